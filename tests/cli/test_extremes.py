"""Plans at the edge of what people brew are answered with finite numbers that make sense, never a crash."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from command_line import FEW, changed, cli

PLAN = """
name = "Edge"

[aims]
fermenters = "{litres} L"
gravity = "{gravity}"
{bitterness}
odds = "80 %"

[process]
kind = "{kind}"
drain = "{drain}"

[[grist]]
grain = "Pilsner malt"
share = "100 %"

[[mash]]
temperature = "66 °C"
time = "60 min"

[boil]
time = "60 min"
{hops}
{portions}
"""
HOPS = '[[hops]]\nvariety = "Perle"\nalpha = "7 %"\ntime = "60 min"\n'
PORTION = """
[portions.{key}]
name = "{key}"
fermenter = "{key}"
share = "{share} %"
yeast = {{ kind = "American ale, clean", form = "dry", packs = 2, cells = "180 billion" }}
package = {{ kind = "keg", co2 = "2.4" }}
"""
BREWERY = """
name = "Edge"
kettle = "kettle"
rinse = "pot"
tun = "tun"

[vessels.kettle]
capacity = "{kettle} L"

[vessels.pot]
capacity = "{pot} L"

[vessels.tun]
capacity = "{kettle} L"
may_be_heated = false
insulated = true

[heat_sources.fire]
kind = "{fire}"
power = "{power} kW"
vessels = ["kettle", "pot"]

{chiller}

[bag]
hoist = "1000 kg"

{fermenters}
"""
COIL = '[chiller]\nkind = "coil"\narea = "0.5 m2"\n'
KEYS = ("one", "two", "three", "four", "five", "six")


@pytest.fixture
def brewed(tmp_path):
    """Writes both files with what is unusual and gives the forecast's answer in JSON."""

    def brew(
        *, litres=20, gravity="1.050", kind="dunk rinse", drain="hung", portions=1, hops=HOPS, more=(),
        kettle=60, pot=40, fire="gas", power=10, chiller=COIL,
    ):  # fmt: skip
        keys = KEYS[:portions]
        shares = [100 // portions] * (portions - 1)
        shares.append(100 - sum(shares))
        plan = PLAN.format(
            litres=litres,
            gravity=gravity,
            kind=kind,
            drain=drain,
            hops=hops,
            bitterness='bitterness = "25 IBU"' if hops else "",
            portions="".join(PORTION.format(key=k, share=s) for k, s in zip(keys, shares, strict=True)),
        )
        fermenters = "".join(f'[fermenters.{key}]\ncapacity = "{max(litres, 5)} L"\n\n' for key in KEYS)
        (tmp_path / "plan.toml").write_text(plan, encoding="utf-8")
        (tmp_path / "brewery.toml").write_text(
            BREWERY.format(
                kettle=kettle, pot=pot, fire=fire, power=power, chiller=chiller, fermenters=fermenters
            ),
            encoding="utf-8",
        )
        if more:
            changed(tmp_path / "plan.toml", *more)
        return answered(tmp_path)

    return brew


def answered(folder: Path):
    """The JSON answer; every other command answers the same plan too."""
    plan = folder / "plan.toml"
    for other in ("limits", "order", "remedies", "solve"):
        said = cli(other, plan, *FEW)
        assert said.code in (0, 1), said.err
        assert said.err == ""
        assert "nan" not in said.out.lower().split()
        assert "None" not in said.out
    answer = cli("forecast", plan, "--json", *FEW)
    assert answer.code in (0, 1), answer.err
    assert "null" not in answer.out.replace('"readings": null', "").replace('"within": null', "")
    return answer.json


def limit(answer, name):
    return next(found for found in answer["limits"] if found["name"] == name)


def test_five_litres_on_a_strong_gas_burner(brewed):
    answer = brewed(litres=5, kettle=15, pot=10, power=20)
    assert answer["fermenters.volume_l"]["median"] > 5
    # The burner is turned down to a rolling boil; it still takes more than half of so small a wort.
    assert answer["kettle.preboil.volume_l"]["median"] > 9


def test_two_hundred_litres(brewed):
    answer = brewed(litres=200, kettle=400, pot=200, power=40)
    assert answer["fermenters.volume_l"]["low"] > 180
    assert answer["efficiency.fermenter"]["median"] > 0.7


def test_a_very_strong_beer_costs_efficiency(brewed):
    long_boil = [('[boil]\ntime = "60 min"', '[boil]\ntime = "150 min"')]
    strong, plain = (
        brewed(litres=15, gravity=gravity, kettle=80, kind="full volume", more=long_boil)["efficiency.kettle"]
        for gravity in ("1.120", "1.050")
    )
    assert strong["median"] < plain["median"] - 0.1


def test_a_very_weak_beer(brewed):
    answer = brewed(gravity="1.020")
    assert answer["og"]["median"] == pytest.approx(1.020, abs=0.0005)
    assert 1 < answer["portion.one.abv"]["median"] < 2.5


@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse", "fly rinse"])
def test_every_way_of_rinsing(brewed, kind):
    answer = brewed(kind=kind, drain="tun" if kind == "fly rinse" else "hung")
    assert answer["og"]["median"] == pytest.approx(1.050, abs=0.0005)
    assert 0.6 < answer["efficiency.lauter"]["median"] < 1


def test_extract_only_needs_no_grain(brewed, tmp_path):
    grist = PLAN[PLAN.index("[[grist]]") : PLAN.index("[boil]")]
    extract = (
        '[[additions]]\nname = "pale dry malt extract"\nmass = "2.6 kg"\nat = "boil"\ntime = "60 min"\n\n'
    )
    liquor = '[liquor]\nmash = "24 L"\n\n'
    answer = brewed(kind="extract only", more=[(grist, liquor + extract)])
    assert "mash.volume_l" not in answer
    # 2.6 kg of dried extract in 20 L: about 0.95 x 2.6 kg = 2.47 kg, 12 % by mass, 1.048.
    assert answer["og"]["median"] == pytest.approx(1.048, abs=0.006)


@pytest.mark.parametrize("count", [1, 6])
def test_one_portion_or_six(brewed, count):
    answer = brewed(portions=count, litres=30)
    parts = [answer[f"portion.{key}.volume_l"]["mean"] for key in KEYS[:count]]
    assert sum(parts) == pytest.approx(answer["fermenters.volume_l"]["mean"], rel=1e-9)


def test_no_hops_no_bitterness(brewed):
    assert brewed(hops="")["ibu"]["high"] == 0


def test_dry_hops_keep_beer_and_bring_no_bitterness(brewed):
    dry = '[[hops]]\nvariety = "Saaz"\nuse = "dry"\ntime = "4 d"\nportion = "one"\nmass = "300 g"\n'
    plain, hopped = brewed(), brewed(hops=HOPS + "\n" + dry)
    lost = plain["portion.one.packaged_l"]["median"] - hopped["portion.one.packaged_l"]["median"]
    assert 1 < lost < 4
    assert hopped["ibu"]["median"] == pytest.approx(plain["ibu"]["median"], rel=0.05)


def test_all_sugar_in_the_portion(brewed):
    sugar = '[[additions]]\nname = "table sugar"\nmass = "1 kg"\nat = "one"\n\n[portions.one]'
    plain, sweet = brewed(), brewed(more=[("[portions.one]", sugar)])
    raised = sweet["portion.one.og"]["median"] - plain["portion.one.og"]["median"]
    # Where the grain is solved for the gravity of all fermenters, sugar takes the place of grain.
    assert abs(raised) < 0.001
    assert sweet["portion.one.fg"]["median"] < plain["portion.one.fg"]["median"]


@pytest.mark.parametrize(
    "chiller",
    [
        '[chiller]\nkind = "counterflow"\narea = "0.3 m2"\nflow = "8 L/min"\n',
        '[chiller]\nkind = "coil"\nknown = { volume = "20 L", to = "20 °C", time = "30 min" }\n',
        '[chiller]\nkind = "none"\n',
        "",
        COIL + 'tap = "24 °C"\n',
    ],
    ids=["counterflow", "known time", "none", "left out", "warm tap"],
)
def test_every_way_of_cooling(brewed, chiller):
    assert brewed(chiller=chiller)["fermenters.volume_l"]["median"] > 20


def test_a_kettle_that_never_boils_is_told_as_a_limit(brewed):
    answer = brewed(litres=40, kettle=80, pot=60, fire="hotplate", power=1)
    found = limit(answer, "heating to the boil")
    assert found["odds_kept"] < 0.1


def test_a_plan_that_is_all_given_needs_no_aims(tmp_path, brewed):
    brewed()
    solved = cli("solve", tmp_path / "plan.toml", *FEW, "-o", tmp_path / "solved.toml")
    assert solved.code in (0, 1)
    text = (tmp_path / "solved.toml").read_text(encoding="utf-8")
    aims = tomllib.loads(text)["aims"]
    assert {"fermenters", "gravity", "bitterness"} <= set(aims)
    kept = [
        line
        for line in text.splitlines()
        if not line.startswith(("fermenters =", "gravity =", "bitterness ="))
    ]
    (tmp_path / "plan.toml").write_text("\n".join(kept), encoding="utf-8")
    assert answered(tmp_path)["og"]["median"] == pytest.approx(1.050, abs=0.0005)
