"""A plan file is read with its tables' figures, or refused with every fault at once."""

from __future__ import annotations

import pytest

from exchange.example_files import DOUBLE, FIXED, changed, refusal, text_of
from gylebook.exchange.plan_file import read_plan

PLAN = text_of(FIXED / "plan.toml")
MASSES = text_of(DOUBLE / "plan.toml")


def refused(*changes, text=PLAN):
    return refusal(read_plan, changed(text, *changes), "plan.toml")


def read(*changes, text=PLAN):
    return read_plan(changed(text, *changes), where="plan.toml")


def test_the_example_states_its_aims_and_leaves_the_amounts_open():
    plan = read()

    assert plan.aims.volume_l == 34.0
    assert plan.aims.plato == pytest.approx(12.86, abs=0.01)  # 1.052 in the table of Plato
    assert [grain.share for grain in plan.grist] == [0.62, 0.31, 0.07]
    assert plan.liquor.mash_l is None
    assert plan.hops[0].mass_kg is None
    assert [portion.key for portion in plan.portions] == ["keg", "bottles", "long"]
    assert plan.portions[2].later is not None


def test_the_practice_case_weighs_its_grain():
    plan = read(text=MASSES)

    assert sum(grain.mass_kg for grain in plan.grist) == pytest.approx(10.7)
    assert (plan.liquor.mash_l, plan.liquor.rinse_l) == (41.0, 15.0)


def test_what_the_plan_leaves_out_comes_from_the_tables():
    grain, hop, yeast = read().grist[0], read(('alpha = "7.2 %"\n', "")).hops[0], read().portions[0].yeast

    assert (grain.key, grain.kind, grain.extract_dry, grain.moisture) == ("vienna-malt", "base", 0.805, 0.042)
    assert hop.alpha == pytest.approx(0.0825)  # Perle 7 to 9.5 %
    assert (yeast.low_c, yeast.high_c, yeast.days) == (13.0, 19.0, 9.5)


def test_what_the_plan_states_wins_over_the_tables():
    grain = read(
        ('grain = "Vienna malt"', 'grain = "Vienna malt"\nextract = "79 %"\ncolour = "4 SRM"')
    ).grist[0]

    assert grain.extract_dry == 0.79
    assert grain.extract_scatter == 0.004  # a lot sheet is known to 0.4 points (hot-side priors)
    assert grain.colour_ebc == pytest.approx(4 * 25 / 12.7)


def test_the_alpha_on_a_pack_is_known_to_a_tenth_of_itself():
    assert read().hops[0].alpha_scatter == pytest.approx(0.0072)


def test_a_fly_rinse_drains_through_a_tun_unless_told_otherwise():
    assert read(('"dunk rinse"\ndrain = "hung"', '"fly rinse"')).process.drain == "tun"
    assert read(('"dunk rinse"\ndrain = "hung"', '"full volume"')).process.drain == "hung"


def test_dry_hops_are_counted_in_days_and_go_to_one_portion():
    dry = '[[hops]]\nvariety = "Saaz"\nuse = "dry"\ntime = "4 d"\nmass = "20 g"\nportion = "keg"\n\n[chill]'

    hop = read(("[chill]", dry)).hops[2]

    assert (hop.key, hop.minutes, hop.mass_kg, hop.portion) == ("saaz-2", 4.0, 0.02, "keg")


def test_first_wort_hops_stay_for_the_whole_boil():
    assert (
        read(('time = "60 min"\nbitterness_share', 'use = "first wort"\nbitterness_share')).hops[0].minutes
        == 60.0
    )


def test_units_of_any_house_mean_the_same():
    plan = read(
        ('"34 L"', '"8,98 gal"'), ('"1.052"', '"12.861 °P"'), ('"66 °C"', '"150.8 °F"'), ('"62 %"', '"0.62"')
    )

    assert plan.aims.volume_l == pytest.approx(34, abs=0.01)
    assert plan.mash[0].temperature_c == pytest.approx(66)
    assert plan.grist[0].share == 0.62


def test_an_extract_beer_needs_no_grain():
    lines = PLAN.split("\n")
    grist, boil = lines.index("[[grist]]"), lines.index("[boil]")
    text = changed("\n".join(lines[:grist] + lines[boil:]), ('"dunk rinse"', '"extract only"'))

    assert read(text=text).grist == ()
    assert "needs a [[grist]]" in refused(('"extract only"', '"full volume"'), text=text)
    assert "plan.toml line 18, grist: kind = “extract only” has no mash" in refused(
        ('"dunk rinse"', '"extract only"')
    )


def test_every_fault_of_a_file_is_told_at_once_with_its_line():
    told = refused(
        ('fermenters = "34 L"', 'fermenters = "-34 L"'),
        ('share = "62 %"', 'share = "62 kg"'),
        ('temperature = "66 °C"', 'temperature = "149 °C"'),
        ('"Perle"\nalpha = "7.2 %"', '"Pelre"'),
        ('mass = "4 g"', "mass = 4"),
        ('to = "19 °C"', 'too = "19 °C"'),
        ('kind = "keg"', 'kind = "kegg"'),
        ('name = "Hedge amber"\n', ""),
        ("months = 6", "months = nan"),
    ).split("\n")

    assert [line.split(":")[0] for line in told] == [
        "plan.toml line 6, aims.fermenters",
        "plan.toml line 20, grist[1].share",
        "plan.toml line 31, mash[1].temperature",
        "plan.toml line 38, hops[1].variety",
        "plan.toml line 50, additions[1].mass",
        "plan.toml line 56, chill.too",
        "plan.toml line 69, portions.keg.package.kind",
        "plan.toml line 71, portions.bottles.name",
        "plan.toml line 85, portions.long.later.months",
    ]
    assert "“-34 L” is understood as -34 L; a volume is not below zero" in told[0]
    assert "If that was Fahrenheit, write “149 °F” (65.0 °C)." in told[2]
    assert "Did you mean “Perle”?" in told[3]
    assert 'write it in quotes with its unit: mass = "30 g"' in told[4]
    assert "did you mean “to”?" in told[5]
    assert "did you mean “keg”? One of keg, bottles, stays" in told[6]
    assert "missing; name of the beer." in told[7]


def test_a_line_that_is_not_toml_does_not_hide_a_wrong_value():
    told = refused(('odds = "90 %"', "odds = 90 %"), ('"66 °C"', '"96 °C"'))

    assert "plan.toml line 9: “odds = 90 %” is not TOML" in told
    assert "plan.toml line 31, mash[1].temperature: “96 °C”" in told


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"66 °C"', '"20 °C"', "temperature lies from 40 to 80 °C"),
        ('alpha = "7.2 %"', 'alpha = "72 %"', r"“72 %” understood as 72 %; alpha lies from 0.1 to 30 %"),
        ('[boil]\ntime = "60 min"', '[boil]\ntime = "7 h"',
         "understood as 420 min; time lies from 0 to 360 min"),
        ('"1.052"', '"1.005"', "gravity lies from 2.5 to 35 °P"),
        ('"1.052"', '"1.252"', "a gravity of 1.252; the scale runs from"),
        ('"1.052"', "1.052",
         '1.052 without quotes has no unit; write it in quotes with its unit: gravity = "1.052"'),
        ('"34 L"', '"34000 L"', "fermenters lies from 0 to 2000 L"),
        ('"34 L"', '"34 kg"', "understood as 34 kg; here a volume is wanted"),
        ('"34 L"', "true", "fermenters: true; write it in quotes"),
        ('"34 L"', "inf", "inf is not a quantity"),
        ('"34 L"', "2026-01-01", "a date or time is not a quantity"),
        ('"34 L"', "[1]", "a list is not a quantity"),
        ('share = "62 %"', 'share = "52 %"',
         "plan.toml line 18, grist: the shares add to 90 %; they add to 100 %"),
        ('share = "62 %"', 'share = "62 %"\nmass = "1 kg"', "grist[1].mass: both a share and a mass"),
        ('share = "62 %"\n', "", "grist[1].share: “Vienna malt” without amount"),
        ('"Vienna malt"', '"Vienna"', "Did you mean “Vienna malt”"),
        ('"Vienna malt"', '"xyz"\nextract = "80 %"',
         "is not in the table of malts; Or give its moisture, colour, kind."),
        ('share = "62 %"', 'share = "62 %"\nmoisture = "30 %"', "moisture lies from 0 to 20 %"),
        ('share = "62 %"', 'share = "62 %"\nextract = "106 %"', "a share lies from 0 to 1"),
        ('fermenter = "tall"', "fermenter = 3", "portions.keg.fermenter: “3”; text in quotes is wanted here"),
        ("stirred = true", 'stirred = "yes"', "true or false is wanted here, without quotes"),
        ("[[mash]]", "[mash]", "mash: a table; a list is wanted here: write the heading with two brackets"),
        ("[boil]", "[[boil]]", "boil: a list; a table is wanted here"),
        ("[boil]", "[boyl]", "the key “boyl” is not known here; did you mean “boil”?"),
        ("[chill]", "[portions.keg.cask]\n[chill]", "the key “cask” is not known here"),
        ('name = "Orchard amber"', 'name = ""', "name: “”; it must not be empty"),
        ('name = "Orchard amber"', r'name = "a\u0007"', "plain characters are wanted"),
        ('kind = "dunk rinse"', 'kind = "dunk"', "did you mean “dunk rinse”? One of full volume, dunk rinse"),
        ("finings = true", "", "is not in the table of sugars; Or give its extract"),
        ('share = "36 %"', 'share = "40 %"',
         "plan.toml line 64, portions: the shares add to 104 %; they add to 100 % at most"),
        ('share = "36 %"\n', "", "portions.keg: no share, but others have one"),
        ('share = "36 %"', 'share = "36 %"\nvolume = "12 L"',
         "portions.keg.volume: both a share and a volume"),
        ('kind = "Kölsch"', 'kind = "Koelsh"', "Did you mean “Kölsch”"),
        ('co2 = "2.4"', 'co2 = "24"', "co2 lies from 0 to 6 volumes"),
        ("months = 6", "months = 600", "months: 600 given; months lies from 0 to 60"),
        ('bitterness_share = "80 %"', 'bitterness_share = "90 %"', "the bitterness_shares add to 110 %"),
        ('alpha = "7.2 %"', 'alpha = "7.2 %"\nportion = "keg"', "only dry hops go to one portion"),
        ('alpha = "7.2 %"', 'alpha = "7.2 %"\nuse = "dry"', "dry hops without mass or portion"),
        ('alpha = "3.4 %"\ntime = "15 min"', 'alpha = "3.4 %"', "hops[2].time: missing; time is wanted"),
        ('alpha = "3.4 %"\ntime = "15 min"', 'alpha = "3.4 %"\ntime = "90 min"',
         "90 min of a boil of 60 min"),
        ('alpha = "7.2 %"', 'alpha = "7.2 %"\nuse = "stand"', "add a [stand]"),
        ('bitterness = "28 IBU"\n', "", "no mass of Perle; give mass"),
        ('starter = "cool"', 'starter = "warm"', "there is no starter “warm”; Known: “cool”."),
        ('at = "boil"', 'at = "barrel"', "there is no place or portion “barrel”"),
        ('alpha = "7.2 %"', 'alpha = "7.2 %"\nkey = "saaz"', "read"),
        ("[portions.keg]", "[portions.boil]", "a portion called “boil”"),
        ("[portions.keg]", '[portions."a.b"]', "a key up to 60 letters and digits"),
    ],
)  # fmt: skip
def test_each_slip_is_refused_with_what_would_be_accepted(old, new, words):
    if words == "read":
        assert read((old, new)).hops[1].key == "saaz-2"
        return

    assert words in refused((old, new))


def test_a_key_given_twice_is_refused_on_its_line():
    told = refused(
        ('alpha = "7.2 %"', 'alpha = "7.2 %"\nkey = "h"'), ('alpha = "3.4 %"', 'alpha = "3.4 %"\nkey = "h"')
    )

    assert "plan.toml line 40, hops[1].key: “h” stands twice" in told
    assert "hops[2].key" in told


def test_shares_may_take_the_rest_beside_masses():
    plan = read(('mass = "7.5 kg"', 'share = "70 %"'), text=MASSES)

    assert [grain.share for grain in plan.grist] == [0.7, None, None]
    assert "something must be left" in refused(('mass = "7.5 kg"', 'share = "100 %"'), text=MASSES)


def test_an_empty_file_is_told_what_a_plan_needs():
    told = refusal(read_plan, "", "plan.toml")

    for key in ("name", "process", "grist", "mash", "boil", "portions"):
        assert f"plan.toml, {key}: missing;" in told


def test_unknown_grain_yeast_hops_and_starters_are_told_in_one_round():
    told = refused(
        ('"Vienna malt"', '"Viena malt"'),
        ('"Saaz"\nalpha = "3.4 %"', '"Sazz"'),
        ('kind = "Saison, non-diastatic"', 'kind = "Sayson"'),
        ('starter = "cool"', 'starter = "cold"'),
    )

    for name in ("Viena malt", "Sazz", "Sayson"):
        assert f"“{name}” is not in the table of" in told
    assert "yeast.starter: there is no starter “cold”; did you mean “cool”?" in told
    assert len(told.split("\n")) == 4
