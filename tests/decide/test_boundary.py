"""How much of a beer a brewery can carry, against worked capacities and what brewers find in practice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from example_gyles import grain, vessel
from gylebook.brewery.gear import Bag
from gylebook.brewery.plan import Liquor
from gylebook.decide.boundary import boundary
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.house import figures_of
from pair_of_pots import as_worked, asked, big_shed


def found(a_plan, on, draws=400, **more):
    return boundary(a_plan, on, standard_normal_latents(draws, len(figures_of(a_plan, on)), 1), **more)


# Worked capacities of a 60 L kettle and a 38 L pot at 14.04 °P: trade figures and exact balances, solved by
# root finding in a program of its own.  1 %: hot litres there are 1.0416 of cold ones for any wort, and the
# bisection ends within 0.2 % of what is asked for.
WORKED = [
    ("dunk rinse", {}, 44.35, "foam room"),
    ("full volume", {}, 35.74, "mash brim"),
    ("full volume", {"retained_l_per_kg": 0.83}, 38.21, "mash brim"),
    ("full volume", {"retained_l_per_kg": 1.35}, 33.12, "mash brim"),
    ("full volume", {"conversion": 0.85}, 34.33, "mash brim"),
    ("dunk rinse", {"boil_off_l_per_h": 3.0}, 45.85, "foam room"),
    ("dunk rinse", {"kettle__left_l": 5.0}, 42.35, "foam room"),
    ("full volume", {"mash__displacement_l_per_kg": 0.75}, 35.16, "mash brim"),
]


@pytest.mark.parametrize(("kind", "figures", "litres", "limit"), WORKED)
def test_capacity_is_that_of_the_worked_cases(kind, figures, litres, limit, check):
    edge = found(asked(kind), as_worked(**figures))
    at = ", ".join([kind, *(f"{name} {value:g}" for name, value in figures.items())])
    of = {"rel": 0.01, "unit": "L", "at": at, "source": "derived", "kind": "slip"}
    check("greatest batch of two pots", edge.volume_l, litres, **of)
    assert edge.limit == limit


def test_more_foam_room_is_less_beer():
    shed = replace(as_worked(), foam_room=0.20)
    assert found(asked(), shed).volume_l == pytest.approx(38.59, rel=0.01)  # the same worked table


def test_with_common_spread_a_dunk_carries_42_l_and_a_full_mash_does_not(check):
    # Common practice with such a pair of pots: about 42 L of 1.057 came out at the edge with a dunk rinse,
    # which is a middle.  With 90 % odds of the volume and of every brim it is some litres less.
    dunk, full = (found(asked(kind), big_shed()) for kind in ("dunk rinse", "full volume"))
    what, source = "most that a pair of pots carries with a dunk rinse", "common-practice"
    check(what, dunk.volume_l, 42.0, within=2.0, unit="L", source=source, kind="practice")
    assert full.volume_l < 37.0
    sure = found(asked(odds=0.9), big_shed())
    assert dunk.volume_l - 8.0 < sure.volume_l < dunk.volume_l - 3.0


def test_what_is_within_reach_has_no_boundary_unless_asked_for():
    assert found(asked(volume_l=30.0), as_worked()) is None
    above = found(asked(volume_l=30.0), as_worked(), above=True)
    assert above.volume_l == pytest.approx(44.35, rel=0.01)


def test_the_edge_itself_is_carried_and_a_litre_more_is_not():
    edge = found(asked(), as_worked()).volume_l
    assert found(asked(volume_l=edge - 0.1), as_worked()) is None
    assert found(asked(volume_l=edge + 1.0), as_worked()).volume_l == pytest.approx(edge, rel=0.005)


def test_the_second_vessel_binds_where_it_is_a_bucket():
    shed = vessel(as_worked(), "pot", capacity_l=19.0)
    edge = found(asked(), shed)
    assert edge.volume_l < 44.0
    assert {edge.vessel, edge.limit} & {"pot", "rinse vessel brim", "mash brim"}


def test_what_lacks_is_told_at_the_volume_wanted():
    edge = found(asked(volume_l=50.0), as_worked())
    # 50 L less 44.35 L, hot: 1.0416 times as much.
    assert edge.unit == "L"
    assert edge.short_by == pytest.approx(1.0416 * (50.0 - 44.35), rel=0.05)


def test_a_limit_that_holds_at_no_volume_is_told_as_such():
    # Nobody lifts this bag: what binds is told, and no volume is.
    shed = replace(as_worked(), bag=Bag(mass_kg=0.3, hoist_kg=2.0))
    edge = found(asked(), shed)
    assert edge.volume_l is None
    assert edge.limit == "bag weight"


def test_an_aim_ten_times_too_large_still_finds_what_can_be_carried():
    assert found(asked(volume_l=600.0), as_worked()).volume_l == pytest.approx(44.35, rel=0.01)


def test_a_plan_with_its_grain_weighed_has_no_boundary():
    weighed = replace(asked(), grist=(grain(mass_kg=9.0),))
    assert found(weighed, as_worked()) is None


def test_a_volume_too_small_to_be_brewed_is_not_the_end_of_the_search():
    # Six litres of liquor go in after the boil, so a tenth of 30 L cannot be brewed at all.
    wanted = replace(asked(volume_l=30.0), liquor=Liquor(kettle_l=6.0))
    small = vessel(as_worked(), "kettle", capacity_l=36.0)
    edge = found(wanted, small)
    assert 15.0 < edge.volume_l < 30.0


@pytest.mark.parametrize("plato", [18.0, 20.0, 22.0])
def test_a_thickness_that_the_search_itself_keeps_to_never_binds(plato):
    # Strong wort is mashed as thick as can be stirred, exactly; what runs out is the room for it.
    edge = found(asked(volume_l=60.0, odds=0.9, plato=plato), big_shed())
    assert edge.limit != "mash thickness"
    assert edge.short_by > 0.0


def test_a_trial_that_no_equation_covers_is_not_carried():
    # Thin wort through a fly rinse: somewhere on the way more liquor goes in than any rinse was measured for.
    edge = found(asked("fly rinse", volume_l=400.0, plato=5.0), big_shed())
    assert edge is not None
    assert edge.short_by > 0.0
