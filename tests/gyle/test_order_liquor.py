"""Hold what is done to the liquor to its place in the day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from example_days import amounts, cautions, day, keys, step
from example_gyles import aimed, dose, plan, water, watered
from gylebook.gyle.observe import places

DOSES = (
    dose("gypsum", 6.0),
    dose("lactic-88", 5.0),
    dose("lactic-88", 1.5, "held back"),
    dose("calcium-chloride", 2.0, "rinse"),
    dose("common-salt", 3.0, "kettle"),
)
TREATED = aimed(5.4, doses=DOSES)
CHLORINATED = watered(water(chlorine_mg_per_l=1.0))


def test_everything_for_the_liquor_is_weighed_in_the_morning():
    weighed = amounts(step(day(TREATED, CHLORINATED), "weigh"))

    assert weighed["gypsum"] == pytest.approx(0.006)
    assert {"lactic-88", "calcium-chloride", "common-salt", "potassium metabisulphite"} <= set(weighed)


def test_chlorine_leaves_all_liquor_before_anything_else_goes_in():
    steps = day(TREATED, CHLORINATED)
    out, mash = step(steps, "take the chlorine out"), step(steps, "dose the mash liquor")

    # Common practice: 1.25 times 1.568 mg of the potassium salt for each mg, here of 28 + 12 L.
    assert amounts(out)["potassium metabisulphite"] == pytest.approx(40.0 * 1.25 * 1.568e-6, rel=0.001)
    assert out.end_min <= mash.start_min + 1e-9


def test_mash_and_rinse_liquor_get_their_own_doses():
    steps = day(TREATED, CHLORINATED)

    assert set(amounts(step(steps, "dose the mash liquor"))) == {"gypsum", "lactic-88"}
    assert set(amounts(step(steps, "dose the rinse liquor"))) == {"calcium-chloride"}
    assert "common-salt" in amounts(step(steps, "heat to the boil"))


def test_what_is_held_back_goes_in_after_the_reading_and_before_the_bag_comes_out():
    steps = day(TREATED, watered())
    rest, finish, lift = step(steps, "rest"), step(steps, "finish the mash pH"), step(steps, "lift and drain")

    assert ("mash", "ph") in rest.read
    assert rest.start_min < finish.start_min < lift.start_min
    assert finish.read == (("mash end", "ph"),)
    assert ("mash end", "ph") in {(place.step, place.quantity) for place in places(TREATED, watered())}


def test_a_short_rest_still_leaves_time_for_it():
    short = replace(TREATED, mash=(replace(TREATED.mash[0], minutes=8.0),))
    steps = day(short, watered())

    assert step(steps, "finish the mash pH").end_min <= step(steps, "lift and drain").start_min + 1e-9


def test_an_untreated_day_has_none_of_these_steps():
    found = keys(day(plan(), watered()))

    assert not {"take the chlorine out", "dose the mash liquor", "finish the mash pH"} & found


def test_acid_and_lime_are_cautioned_of_wherever_they_are_handled():
    strong = aimed(5.4, doses=(dose("phosphoric-85", 3.0), dose("slaked-lime", 2.0, "rinse")))
    steps = day(strong, watered())

    assert {"acid", "caustic"} <= cautions(steps, "weigh")
    assert "acid" in cautions(steps, "dose the mash liquor")
    assert "caustic" in cautions(steps, "dose the rinse liquor")
    mild = day(aimed(5.4, doses=(dose("phosphoric-10", 20.0),)), watered())
    assert "acid" not in cautions(mild, "dose the mash liquor")


def test_a_scale_too_coarse_for_a_dose_is_said():
    small = aimed(5.4, doses=(dose("gypsum", 3.0),))

    assert "coarse scale" in cautions(day(small, replace(watered(), weighs_to_g=1.0)), "dose the mash liquor")
    assert "coarse scale" not in cautions(day(small, watered()), "dose the mash liquor")
