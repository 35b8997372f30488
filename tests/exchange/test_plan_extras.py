"""Teas, blends, old hops, starter steps and souring bacteria are read from a plan, or refused in words."""

from __future__ import annotations

import pytest

from exchange.example_files import FIXED, changed, refusal, text_of
from gylebook.exchange.plan_file import read_plan, write_plan

MORE = """
[[grain_teas]]
grain = "chocolate malt"
at = "keg"
mass = "400 g"
water = "2 L"
hot = false

[[hop_teas]]
variety = "Saaz"
at = "keg"
mass = "20 g"
water = "1 L"
time = "30 min"

[blends.winter]
name = "Winter gate"
parts = { keg = "60 %", long = "40 %" }
package = { kind = "bottles", co2 = "2.4" }

[blends.spring]
name = "Spring gate"
parts = { keg = "40 %" }
package = { kind = "keg" }

[[additions]]
name = "raspberries"
mass = "1 kg"
at = "long"

[[additions]]
name = "dry malt extract"
mass = "500 g"
"""
PLAN = changed(
    text_of(FIXED / "plan.toml"),
    ('name = "Orchard amber"', 'name = "Orchard amber"\nbitterness_by = "kinetics"'),
    (
        'alpha = "3.4 %"',
        'alpha = "3.4 %"\nage = "34 weeks"\nstored_at = "18 °C"\nstorage = "wrapped"\nconfined = true',
    ),
    ('alpha = "7.2 %"', 'alpha = "7.2 %"\nstorage_index = 0.31\nkeeps = "20 %"'),
    (
        "days_before = 2",
        'days_before = 4\nfirst_steps = ["500 mL", "1.5 L"]\ncold_crash = true\nslurry = "120 mL"',
    ),
    ("Brettanomyces secondary", "Lactobacillus brevis"),
)


def read(*changes, more=MORE):
    return read_plan(changed(PLAN, *changes) + more, where="plan.toml")


def refused(*changes):
    return refusal(read_plan, changed(PLAN + MORE, *changes), "plan.toml")


def test_old_hops_are_told_by_age_and_store_or_by_their_storage_index():
    perle, saaz = read().hops

    assert (perle.storage_index, perle.half_year_loss, perle.age_days) == (0.31, 0.2, 0)
    assert (saaz.age_days, saaz.stored_c, saaz.storage, saaz.confined) == (238.0, 18.0, "wrapped", True)
    assert saaz.half_year_loss == pytest.approx(0.49)  # from the table of hops
    assert read(("Saaz", "Pilgrim")).hops[1].half_year_loss == 0.25  # no source says how it keeps


def test_a_starter_has_its_steps_and_its_slurry():
    starter = read().starters[0]

    assert (starter.first_steps_l, starter.cold_crash, starter.slurry_l) == ((0.5, 1.5), True, 0.12)


def test_teas_go_into_one_portion_with_the_figures_of_the_tables():
    plan = read()
    (grain,), (hop,) = plan.grain_teas, plan.hop_teas

    assert (grain.key, grain.at, grain.mass_kg, grain.water_l) == ("chocolate-malt", "keg", 0.4, 2.0)
    assert (grain.hot, grain.extract_dry, grain.colour_ebc) == (False, 0.70, 950.0)
    assert (hop.key, hop.minutes, hop.alpha) == ("saaz", 30.0, pytest.approx(0.047))


def test_hops_may_boil_in_a_part_of_the_portions_own_wort():
    more = MORE.replace('water = "1 L"', 'wort = "2 L"\nboils_off = "0.4 L"')
    (hop,) = read(more=more).hop_teas

    assert (hop.of_wort, hop.water_l, hop.boiled_off_l) == (True, 2.0, pytest.approx(0.4))


def test_blends_take_their_shares_of_the_portions():
    winter, spring = read().blends

    assert winter.parts == (("keg", 0.6), ("long", 0.4))
    assert (spring.key, spring.package.kind) == ("spring", "keg")


def test_malt_extract_is_known_as_malt_and_fruit_is_not():
    plan = read()

    assert [addition.malt for addition in plan.additions] == [False, False, True]
    own = '\n[[additions]]\nname = "my extract"\nmass = "1 kg"\nextract = "80 %"\nmalt = true\n'
    assert read(more=own).additions[1].fermentable == 0.64


def test_souring_bacteria_come_later_and_end_nowhere():
    later = read().portions[2].later

    assert (later.kind, later.attenuation, later.attenuation_scatter) == ("Lactobacillus brevis", None, 0.0)
    assert read(("months = 6", 'months = 6, attenuation = "0 %"')).portions[2].later.attenuation is None


@pytest.mark.parametrize(
    ("yeast", "attenuation", "scatter", "diastatic"),
    [
        ('kind = "Kölsch"', 0.77, 0.0225, False),
        ('kind = "Saison, diastatic"', 0.93, 0.05, True),
        ('kind = "Saison, diastatic", diastatic = false', 0.93, 0.05, False),
        ('kind = "Brettanomyces primary"', 0.82, 0.0625, True),
        # What only the brewer calls diastatic goes as far as such yeast does, if it has no figure of its own.
        ('kind = "Saison", diastatic = true', 0.93, 0.05, True),
        ('kind = "Saison", diastatic = true, attenuation = "88 %"', 0.88, 0.03, True),
        ('kind = "barn yeast", diastatic = true, pitch = "0.75", lowest = "20 °C", highest = "30 °C", '
         'primary = "9 d"', 0.93, 0.05, True),
    ],
)  # fmt: skip
def test_yeast_that_takes_dextrins_goes_further(yeast, attenuation, scatter, diastatic):
    plan = read(('kind = "Kölsch"', yeast))
    read_so = plan.portions[0].yeast

    assert (read_so.attenuation, read_so.attenuation_scatter) == (attenuation, scatter)
    assert read_so.diastatic is diastatic
    assert read_plan(write_plan(plan), where="written") == plan


def test_a_plan_with_all_of_it_is_written_and_read_back():
    plan = read()
    written = write_plan(plan)

    assert read_plan(written, where="written") == plan
    assert 'parts = { keg = "60 %", long = "40 %" }' in written


def test_what_is_usual_is_not_written_out():
    written = write_plan(read_plan(text_of(FIXED / "plan.toml"), where="plan.toml"))

    for key in ("bitterness_by", "stored_at = \"4 °C\"\nstorage", "storage", "keeps", "confined", "malt =",
                "first_steps", "cold_crash", "slurry", "teas", "blends"):  # fmt: skip
        assert key not in written


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"kinetics"', '"kinetic"', "did you mean “kinetics”? One of trade rule, kinetics is wanted"),
        ("0.31", "3", "hops[1].storage_index: 3 given; storage_index lies from 0.2 to 2"),
        ('"34 weeks"', '"8 months"', "8 of “months”, which is not a unit known here"),
        ('"wrapped"', '"wraped"', "did you mean “wrapped”? One of open, wrapped, sealed is wanted"),
        ('keeps = "20 %"', 'keeps = "95 %"', "keeps lies from 0 to 90 %"),
        ('"500 mL"', '"0 L"', "starters.cool.first_steps[1]: “0 L” understood as 0 L; first_steps lies from"),
        ('slurry = "120 mL"', 'slurry = "0 mL"', "slurry lies from 0.001 to 200 L"),
        ('"chocolate malt"', '"choclate malt"', "Did you mean “chocolate malt”"),
        ('"chocolate malt"', '"xyz"', "Or give its extract, moisture, colour."),
        ('"chocolate malt"\nat = "keg"', '"chocolate malt"\nat = "keeg"',
         "plan.toml line 101, grain_teas[1].at: there is no portion “keeg”; did you mean “keg”?"),
        ('water = "2 L"', 'water = "0 L"',
         "grain_teas[1].water: “0 L” understood as 0 L; water lies from 0.01"),
        ('"Saaz"\nat = "keg"', '"Saaz"\nat = "boil"', "hop_teas[1].at: there is no portion “boil”"),
        ('water = "1 L"', 'water = "1 L"\nwort = "2 L"', "both water and wort; hops are boiled in"),
        ('water = "1 L"', "", "neither water nor wort"),
        ('water = "1 L"', 'wort = "2 L"\nboils_off = "1.5 L"', "50 % of it at most"),
        ('"Saaz"\nat', '"Zaas"\nat', "“Zaas” is not in the table of hops"),
        ('{ keg = "60 %"', '{ kegg = "60 %"', "blends.winter.parts.kegg: there is no portion “kegg”"),
        ('{ keg = "40 %" }', '{ keg = "50 %" }',
         "blends.spring.parts.keg: 110 % of “keg” in all blends together; a portion is poured out once"),
        ('{ keg = "40 %" }', "{ }",
         "blends.spring.parts: empty; which share of each portion's beer goes in"),
        ('{ keg = "40 %" }', '{ keg = "0 %" }', "parts lies from 0.1 to 100 %"),
        ('kind = "Kölsch"', 'kind = "Lactobacillus brevis"',
         "“Lactobacillus brevis” are bacteria; they come after"),
        ("months = 6", 'months = 6, attenuation = "3 %"',
         "it is that of the finished beer, 5 to 100 %, or 0 %"),
        ("months = 6", 'months = 6, attenuation = "102 %"', "a share lies from 0 to 1"),
        ('kind = "Kölsch"', 'kind = "Kölsch", diastatic = "yes"',
         "yeast.diastatic: “yes”; true or false is wanted"),
        ('kind = "Kölsch"', 'kind = "barn yeast"',
         "Or give its attenuation, pitch, lowest, highest, primary."),
        ('"raspberries"', '"rasberries"', "Did you mean “raspberries”"),
    ],
)  # fmt: skip
def test_each_slip_is_refused_with_what_would_be_accepted(old, new, words):
    assert words in refused((old, new))
