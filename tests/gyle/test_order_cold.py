"""Hold late liquor, warm taps and starters in steps to what a brewer has to do and measure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from example_days import SHED, amounts, day, keys, step
from example_gyles import brewed, plan, portion, yeast
from gylebook.brewery.gear import Chiller
from gylebook.brewery.ingredients import Addition, Starter
from gylebook.brewery.plan import Liquor, Plan
from gylebook.tasks.step_words import detail_of, title_of
from gyles_at_random import plans

A_DAY = 1440.0


def tap(temperature_c: float, kind: str = "coil") -> Chiller:
    return replace(SHED.chiller, tap_c=temperature_c, kind=kind)


def test_late_liquor_is_boiled_before_it_goes_in():
    steps = day(plan(liquor=Liquor(mash_l=28.0, rinse_l=12.0, kettle_l=2.0)))

    boiled, end = step(steps, "boil the late liquor"), step(steps, "end of the boil")

    assert amounts(boiled) == {"boiled liquor": 2.0}
    assert boiled.end_min == pytest.approx(end.start_min)
    assert amounts(end) == {"boiled liquor": 2.0}
    assert "Stir the boiled liquor in, then read level and gravity" in detail_of(end)


def test_without_late_liquor_nothing_is_said_of_it():
    steps = day(plan())

    assert "boil the late liquor" not in keys(steps)
    assert "liquor" not in detail_of(step(steps, "end of the boil"))


@settings(deadline=None, max_examples=40)
@given(plans())
def test_the_boil_is_told_of_before_what_goes_into_it(a_plan):
    steps = [s.key for s in day(a_plan)]

    assert "add to the boil" not in steps[: steps.index("boil")]


@pytest.mark.parametrize("kind", ["coil", "counterflow"])
def test_a_tap_too_warm_for_the_aim_chills_as_far_as_it_goes(kind):
    steps = day(plan(chill_c=18.0), replace(SHED, chiller=tap(22.0, kind)))

    chill, ice = step(steps, "chill"), step(steps, "ice")

    assert amounts(chill)["as far as the tap goes"] == 25.0
    assert chill.minutes < 240.0
    assert ice.start_min == pytest.approx(chill.end_min)
    assert ice.end_min == pytest.approx(step(steps, "divide").start_min)
    assert amounts(ice)["pitching temperature"] == 18.0
    assert title_of(ice) == "Leave the rest to ice or the night"
    assert step(steps, "weigh").start_min > -A_DAY


def test_the_ice_takes_out_what_the_tap_leaves():
    gyle, shed = plan(chill_c=18.0), replace(SHED, chiller=tap(22.0))
    course, _ = brewed(gyle, shed)
    wort_kg = float(np.median(course.kettle.end.mass_kg))

    # 7 K by 3.9 kJ/(kg K), wort of 12 to 14 °P, against 334 + 4.19 · 18 kJ a kilogram of ice.
    by_hand = wort_kg * 3.9 * 7.0 / 409.4

    # 3 %: wort's heat within 1 %, and other draws.
    assert amounts(step(day(gyle, shed), "ice"))["ice"] == pytest.approx(by_hand, rel=0.03)


def test_a_cold_tap_needs_no_ice():
    steps = day(plan())

    assert "ice" not in keys(steps)
    assert amounts(step(steps, "chill"))["pitching temperature"] == 20.0


def test_a_tap_just_below_the_aim_needs_no_ice_while_it_gets_there():
    steps = day(plan(chill_c=20.0), replace(SHED, chiller=tap(18.5)))

    assert "ice" not in keys(steps)
    assert step(steps, "chill").minutes < A_DAY


def stepped(**other: object) -> Plan:
    flask = Starter(key="flask", kind="stirred", volume_l=3.0, first_steps_l=(0.5, 1.0), **other)
    return plan(portions=(portion("one", yeast=yeast(starter="flask")), portion("two")), starters=(flask,))


def test_each_step_of_a_starter_has_its_day_its_wort_and_what_it_makes_in_all():
    steps = day(stepped(days_before=2.0))

    first, then, last = (step(steps, key) for key in ("starter", "starter step", "last starter step"))

    # A day and a half for each step before the last.
    assert [s.start_min / A_DAY for s in (first, then, last)] == [-5.0, -3.5, -2.0]
    assert [amounts(s)["starter wort"] for s in (first, then, last)] == [0.5, 1.0, 3.0]
    assert "starter in all" not in amounts(first)
    assert [amounts(s)["starter in all"] for s in (then, last)] == [1.5, 4.5]
    assert "last" in title_of(last)
    # 9 °P: 93 g of extract a litre, and dried extract is 95 % of it.
    for one in (first, then, last):
        by_hand = 0.0931 / 0.95 * amounts(one)["starter wort"]
        assert amounts(one)["dried malt extract"] == pytest.approx(by_hand, rel=0.005)


def test_a_starter_that_is_settled_is_made_two_days_earlier():
    steps = day(stepped(days_before=2.0, cold_crash=True))

    assert step(steps, "last starter step").start_min == -4.0 * A_DAY
    assert step(steps, "settle the starter").start_min == -2.0 * A_DAY


def test_a_starter_in_one_step_is_made_once():
    gyle = replace(stepped(), starters=(Starter(key="flask", kind="still", volume_l=2.0),))

    assert not {"starter step", "last starter step"} & keys(day(gyle))


def test_extract_that_goes_in_at_the_end_is_boiled_up():
    extract = Addition(
        key="more", name="dried malt extract", mass_kg=0.4, extract=0.95, fermentable=0.62, at="kettle end"
    )

    without = detail_of(step(day(plan()), "end of the boil"))
    told = [
        detail_of(step(day(plan(additions=(extract,), liquor=liquor)), "end of the boil"))
        for liquor in (Liquor(mash_l=28.0, rinse_l=12.0), Liquor(mash_l=28.0, rinse_l=12.0, kettle_l=2.0))
    ]

    assert "boil it up" not in without
    assert all("boil it up" in detail for detail in told)
    assert ["boiled liquor" in detail for detail in told] == [False, True]
