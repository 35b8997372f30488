"""Beers and gravities are told in words and in JSON, and what cannot be meant is refused."""

from __future__ import annotations

import re

import pytest

from command_line import EXAMPLE, FEW, changed, cli, refusal

PLAN = EXAMPLE / "plan.toml"
BLEND = """
[blends.house]
name = "House amber"
parts = { keg = "50 %", long = "40 %" }
package = { kind = "keg" }
"""
SUMMARY = {"median", "low", "high", "mean", "sd"}


def test_each_portion_is_told_as_a_beer_by_both_models_and_every_formula():
    told = cli("beers", PLAN, *FEW).out

    for name in ("Gate amber", "Hedge amber", "Loft amber"):
        assert name in told
    assert told.count("bitter by trade rule (planned)") == told.count("bitter by kinetics") == 3
    for formula in ("Balling", "Cutaia 2009", "Tabarié", "Hall 1995", "131.25 × fall"):
        assert told.count(formula) >= 3
    assert told.count("sucrose to") == 1  # one portion is bottled


def test_beers_in_json_are_finite_and_whole():
    answer = cli("beers", PLAN, *FEW, "--json").json

    assert [beer["key"] for beer in answer["beers"]] == ["keg", "bottles", "long"]
    assert answer["blends"] == []
    for beer in answer["beers"]:
        assert set(beer["ibu_by"]) == {"trade rule", "kinetics"}
        assert len(beer["abv_by"]) == 6
        for summary in (beer["og"], beer["colour_srm"], *beer["abv_by"].values(), *beer["ibu_by"].values()):
            assert set(summary) == SUMMARY
        assert (beer["sucrose_g"] is None) == (beer["package"] != "bottles")


def test_blends_are_told_after_the_beers(shed):
    plan = shed / "plan.toml"
    plan.write_text(plan.read_text(encoding="utf-8") + BLEND, encoding="utf-8")

    told, answer = cli("beers", plan, *FEW).out, cli("beers", plan, *FEW, "--json").json

    assert told.index("House amber, a blend") > told.index("Loft amber")
    (house,) = answer["blends"]
    whole = (
        0.5 / 0.5 * answer["beers"][0]["volume_l"]["mean"]
        + 0.4 / 0.6 * answer["beers"][2]["volume_l"]["mean"]
    )
    # What is packed by itself is half of one and three fifths of the other; means add up.
    assert house["volume_l"]["mean"] == pytest.approx(whole)


def test_a_plan_by_kinetics_is_marked_so(shed):
    changed(
        shed / "plan.toml",
        ('name = "Orchard amber"\n', 'name = "Orchard amber"\nbitterness_by = "kinetics"\n'),
    )

    told = cli("beers", shed / "plan.toml", *FEW).out

    assert "bitter by kinetics (planned)" in told
    assert "trade rule (planned)" not in told


def test_more_beer_in_the_glass_is_darker_on_the_screen():
    def screen(glass: str) -> int:
        told = cli("beers", PLAN, *FEW, "--glass", glass).out
        found = re.search(rf"through {glass} on a screen +about #([0-9A-F]{{6}})", told)
        assert found, told
        return sum(bytes.fromhex(found[1]))

    assert screen("1 cm") > screen("5 cm") > screen("12 cm")
    assert screen("2 in") == screen("5.08 cm")


@pytest.mark.parametrize(
    ("glass", "told"),
    [
        ("5", "a number without a unit"),
        ("-5 cm", "not below zero"),
        ("1 m", "deeper than any glass; give up to 50 cm"),
        ("5 L", "--glass"),
    ],
)
def test_a_glass_that_is_none_is_refused(glass, told):
    assert told in refusal("beers", PLAN, *FEW, "--glass", glass)


def test_readings_and_us_units_go_through_the_beers():
    told = cli("beers", PLAN, *FEW, "--units", "us", "-r", EXAMPLE / "readings.toml").out

    assert re.search(r"packaged +\d\.\d+ gal", told)
    assert "SRM" in told
    assert "EBC" not in told


def test_a_gravity_is_told_with_alcohol_and_attenuation():
    told = cli("gravity", "6.2 °Bx", "--original", "1.052").out

    assert "refractometer 6.2 °Bx, began at 1.052" in told
    for what in ("gravity 1.008 (", "alcohol 5.8 % (", "attenuation 8"):
        assert what in told


def test_a_gravity_in_json_and_in_us_units():
    answer = cli("gravity", "1.014", "--original", "1.052", "--json").json
    assert set(answer) == {"sg", "abv", "attenuation"}
    assert all(set(summary) == SUMMARY for summary in answer.values())

    # 80 °F is 26.7 °C, where a scale for 20 °C shows some 0.0015 too little.
    cool, warm = (
        cli("gravity", "1.014", "--original", "1.052", "--units", "us", "--json", *more).json["sg"]["median"]
        for more in ((), ("--temperature", "80 °F"))
    )
    assert warm - cool == pytest.approx(0.0015, abs=0.0003)


def test_degrees_plato_and_gravities_may_be_mixed():
    by_plato = cli("gravity", "1.014", "--original", "12.86 °P", "--json").json
    by_sg = cli("gravity", "1.014", "--original", "1.052", "--json").json

    assert by_plato["abv"]["median"] == pytest.approx(by_sg["abv"]["median"], abs=0.01)


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("1.060", "--original", "1.052"), "14.7 °P (1.060) is above the original 12.9 °P (1.052)"),
        (("16 °Bx", "--original", "1.052"), "16.0 °Bx is above the original"),
        (("2 °Bx", "--original", "1.052"), "2.0 °Bx is lower than beer of that original can show"),
        (("0.985", "--original", "1.052"), "is lower than beer of that original can show"),
        (("1.014",), "--original"),
        (("1.014", "--original", "52"), "1.052 or 13 °P"),
        (("20 L", "--original", "1.052"), "value"),
        (("1.014", "--original", "1.052", "--on", "thermometer"), "reads no gravity here"),
        (("1.014", "--original", "1.052", "--temperature", "26"), "--temperature"),
        (("1.014", "--original", "1.052", "--temperature", "180 °C"), "180"),
    ],
)
def test_a_gravity_that_cannot_be_is_refused(args, told):
    assert told in refusal("gravity", *args)


def test_the_brewery_s_own_instruments_are_used(shed):
    answer = refusal(
        "gravity", "1.014", "--original", "1.052", "-b", shed / "brewery.toml", "--on", "nothing"
    )

    assert "“nothing” reads no gravity here; there is" in answer
