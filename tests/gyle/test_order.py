"""Hold the day to its order: one fire heats one vessel at a time, and nothing is forgotten."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_days import SHED, cautions, day, step
from example_gyles import hop, only_fire, plan, portion, sugar, yeast
from gylebook.brewery.gear import Bag, Chiller, HeatSource
from gylebook.brewery.ingredients import Starter
from gylebook.brewery.plan import Liquor, MashStep, Plan, Stand
from gylebook.gyle.observe import places
from gylebook.gyle.steps import Step
from gyles_at_random import plans

GAS = HeatSource(key="gas", name="burner", kind="gas", power_kw=9.0, vessels=("kettle", "pot"))
BREWERIES = {
    "two fires": SHED,
    "one fire": only_fire(SHED),
    "kettle alone": only_fire(SHED, vessels=("kettle",), power_kw=4.0),
    "gas": replace(SHED, heat_sources=(GAS,)),
    "two that fit both": replace(SHED, heat_sources=(GAS, replace(SHED.heat_sources[1], power_kw=2.0))),
    "no second vessel": replace(SHED, rinse=None),
    "a weak element": only_fire(SHED, power_kw=0.9),
}


@st.composite
def days(draw: st.DrawFn) -> tuple[Plan, list[Step]]:
    """A day of any plan on any of the breweries that its process can use."""
    a_plan = draw(plans())
    able = [b for b in BREWERIES.values() if b.rinse is not None or a_plan.process.kind != "dunk rinse"]
    return a_plan, day(a_plan, draw(st.sampled_from(able)))


@settings(deadline=None, max_examples=150)
@given(days())
def test_one_fire_is_never_under_two_vessels_at_once(a_day):
    _, steps = a_day
    heating = [s for s in steps if s.heat_source is not None and s.minutes > 0]

    for one, other in combinations(heating, 2):
        if one.heat_source == other.heat_source:
            # A millionth of a minute: sums of the same durations in another order.
            assert one.end_min <= other.start_min + 1e-6 or other.end_min <= one.start_min + 1e-6, (
                one,
                other,
            )


@settings(deadline=None, max_examples=80)
@given(days())
def test_steps_stand_in_order_and_pitching_is_at_zero(a_day):
    _, steps = a_day

    starts = [s.start_min for s in steps]

    assert starts == sorted(starts)
    assert step(steps, "pitch").start_min == 0.0
    weeks = {"dry hop", "second organism", "keg", "bottles", "blend"}
    assert all(s.start_min < 0.0 for s in steps if s.key not in {"pitch", *weeks})
    assert all(s.start_min >= 0.0 for s in steps if s.key in weeks)
    assert all(s.minutes >= 0.0 for s in steps)


@settings(deadline=None, max_examples=80)
@given(days())
def test_every_hop_and_addition_is_weighed_and_goes_in_somewhere(a_day):
    a_plan, steps = a_day
    weighed = [(a.what, a.amount) for a in step(steps, "weigh").amounts]
    added = [a.what for s in steps if s.key != "weigh" for a in s.amounts]

    for one in a_plan.hops:
        assert (one.variety, one.mass_kg) in weighed
        # A stand that nobody planned takes none.
        if one.use == "dry":
            assert any(what.startswith(f"{one.variety} into ") for what in added)
        elif one.use != "stand" or a_plan.stand is not None:
            assert one.variety in added
    for addition in a_plan.additions:
        assert (addition.name, addition.mass_kg) in weighed
        assert any(addition.name in what for what in added)


@settings(deadline=None, max_examples=60)
@given(days())
def test_the_grain_is_wet_before_the_bag_is_lifted_and_the_boil_follows(a_day):
    _, steps = a_day
    at = {s.key: s for s in steps}

    heat = at.get("heat to the boil") or at["heat the liquor to the boil"]
    assert heat.end_min <= at["boil"].start_min + 1e-6
    assert at["boil"].end_min <= at["end of the boil"].start_min + 1e-6
    assert at["divide"].end_min <= at["pitch"].start_min + 1e-6
    if "mash in" in at:
        off = at.get("lift and drain") or at["run off"]
        assert at["heat mash liquor"].end_min <= at["mash in"].start_min + 1e-6
        assert at["mash in"].end_min < off.start_min
        assert off.end_min <= at["heat to the boil"].start_min + 1e-6


def test_the_same_day_is_laid_out_twice_alike():
    assert day(plan()) == day(plan())


def test_rinse_liquor_is_warm_when_the_bag_comes_out():
    steps = day(plan())

    heat, lift = step(steps, "heat rinse liquor"), step(steps, "lift and drain")

    assert heat.heat_source == "ring"
    assert heat.end_min == pytest.approx(lift.start_min)
    assert step(steps, "heat mash liquor").heat_source == "element"


def test_with_one_fire_the_rinse_liquor_is_heated_first():
    steps = day(plan(), only_fire(SHED))

    heat = step(steps, "heat rinse liquor")

    assert heat.end_min <= step(steps, "heat mash liquor").start_min + 1e-9


def test_a_pot_that_nothing_heats_gets_its_rinse_from_the_kettle():
    steps = day(plan(), BREWERIES["kettle alone"])

    heat = step(steps, "heat rinse liquor in the kettle")

    assert heat.vessel == "kettle"
    assert heat.end_min <= step(steps, "heat mash liquor").start_min + 1e-9


def test_starters_begin_days_before_with_their_extract():
    gyle = plan(
        portions=(portion("one", yeast=yeast(starter="flask")), portion("two")),
        starters=(Starter(key="flask", kind="stirred", volume_l=2.0, days_before=3.0),),
    )

    starter = day(gyle)[0]

    assert starter.key == "starter"
    assert starter.start_min == -3 * 24 * 60
    # 2 L of 9 °P hold 2 * 1.0341 * 0.09 = 186 g of extract.
    (extract,) = [a.amount for a in starter.amounts if a.what == "dried malt extract"]
    assert extract == pytest.approx(0.186 / 0.95, rel=0.005)


def test_hops_go_in_at_their_minute():
    gyle = plan(hops=(hop("bitter", minutes=60.0), hop("late", minutes=10.0)))

    steps = day(gyle)
    end = step(steps, "boil").end_min
    at = {a.what: end - s.start_min for s in steps if s.key == "add to the boil" for a in s.amounts}

    assert at == {"bitter": pytest.approx(60.0), "late": pytest.approx(10.0)}


def test_a_stepped_mash_is_heated_between_its_rests():
    gyle = plan(mash=tuple(MashStep(temperature_c=t, minutes=20.0) for t in (55.0, 66.0, 76.0)))

    steps = day(gyle)

    assert [s.key for s in steps].count("rest") == 3
    assert [s.key for s in steps].count("heat the mash") == 2
    # 11 K of 28 kg of water and 7 kg of grain by 5 kW: 11 * 130 kJ / 4.9 kW = 5 min.
    rise = next(s for s in steps if s.key == "heat the mash")
    assert rise.minutes == pytest.approx(5.0, abs=1.0)


def test_cautions_stand_where_the_work_can_hurt():
    gyle = plan(
        hops=(hop(), hop("aroma", use="stand", minutes=20.0)),
        stand=Stand(temperature_c=80.0, minutes=20.0),
        portions=(portion("one", yeast=yeast(starter="flask")), portion("two")),
        starters=(Starter(key="flask", kind="still", volume_l=2.0),),
    )
    steps = day(gyle, replace(SHED, bag=Bag(), heat_sources=(GAS,)))

    assert {"lift", "scald"} <= cautions(steps, "lift and drain")
    assert "scald" in cautions(steps, "mash in")
    assert {"dunk", "scald"} <= cautions(steps, "dunk rinse")
    assert "gas" in cautions(steps, "heat mash liquor")
    assert {"boil over", "gas"} <= cautions(steps, "heat to the boil")
    assert "boil over" in cautions(steps, "add to the boil")
    assert "scald" in cautions(steps, "stand")
    assert "carry" in cautions(steps, "divide")
    assert "co2" in cautions(steps, "pitch")
    assert "starter" in cautions(steps, "starter")


def test_an_element_has_the_caution_of_electricity_and_a_tun_none_of_lifting():
    steps = day(plan("fly rinse", "tun"))

    assert "electric" in cautions(steps, "heat to the boil")
    assert "lift" not in cautions(steps, "run off")


def test_without_a_chiller_the_wort_stands_to_cool():
    steps = day(plan(), replace(SHED, chiller=Chiller(kind="none")))

    assert step(steps, "stand to cool").minutes == 24 * 60
    assert not [s for s in steps if s.key == "coil in"]
    assert cautions(steps, "stand to cool") == {"scald"}  # no hose to mind


def test_liquor_at_the_end_of_the_boil_and_in_a_fermenter_is_measured_out():
    gyle = plan(
        liquor=Liquor(mash_l=28.0, rinse_l=12.0, kettle_l=2.0),
        portions=(portion("one", top_up_l=3.0), portion("two")),
        additions=(sugar("candy", at="two"),),
    )
    steps = day(gyle)

    assert ("boiled liquor", 2.0) in [(a.what, a.amount) for a in step(steps, "end of the boil").amounts]
    divided = {a.what: a.amount for a in step(steps, "divide").amounts}
    assert divided["boiled, cooled liquor into one"] == 3.0
    assert divided["candy into two"] == 0.5


@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse", "fly rinse", "extract only"])
def test_every_reading_that_the_day_asks_for_can_be_taken(kind):
    gyle = plan(kind)
    known = {(place.step, place.quantity) for place in places(gyle, SHED)}

    asked = {read for s in day(gyle) for read in s.read}

    assert asked <= known
