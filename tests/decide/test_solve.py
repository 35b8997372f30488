"""Solve backwards and run forwards: the aims are met, or it is said what stands in the way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, grain, hop, latents, plan, portion, sugar, vessel, yeast
from gylebook.brewery.ingredients import Starter, StarterKind
from gylebook.brewery.plan import Aims, Liquor, Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.decide.reach import Reach, reach
from gylebook.decide.solve import CLOSE, solve
from gylebook.decide.starters import LEAST_L, MOST_L
from gylebook.errors import NotConverged, Refused
from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import LEAST_LIQUOR
from gylebook.gyle.names import Named
from gylebook.gyle.pitch import pitches
from gylebook.matter.extract import plato_from_sg

SHED = brewery()
AIMS = Aims(volume_l=30.0, plato=12.5, bitterness_ibu=25.0)
SHARES = (grain(mass_kg=None, share=0.9), grain("amber", None, share=0.1))
OPEN_HOPS = (hop(mass_kg=None), hop("late", None, minutes=10.0))
DRAWS = 1_000
# The search stops at CLOSE; the printed digits of a solved plan add nothing to that.
MET = 1.05 * CLOSE


def rows(a_plan: Plan, on: Brewery = SHED) -> Array:
    return latents(Model(a_plan, on), DRAWS)


def solved(a_plan: Plan, on: Brewery = SHED) -> tuple[Plan, Named]:
    """The solved plan, and its forecast on the same draws."""
    found = solve(a_plan, on, rows(a_plan, on))
    return found, Model(found, on).forecast(rows(found, on))


def wanted(kind: str = "dunk rinse", **other: object) -> Plan:
    """A plan of which everything is open that can be."""
    usual: dict[str, object] = {"aims": AIMS, "liquor": Liquor(), "grist": SHARES, "hops": OPEN_HOPS}
    return plan(kind, **{**usual, **other})


def assert_volume_met(numbers: Named, aims: Aims = AIMS) -> None:
    low = float(np.quantile(numbers["fermenters.volume_l"], 1.0 - aims.odds))
    assert low == pytest.approx(aims.volume_l, rel=MET)


def assert_gravity_met(numbers: Named, aims: Aims = AIMS) -> None:
    assert float(np.median(numbers["fermenters.plato"])) == pytest.approx(aims.plato, rel=MET)


def assert_bitterness_met(numbers: Named, aims: Aims = AIMS) -> None:
    assert float(np.median(numbers["ibu"])) == pytest.approx(aims.bitterness_ibu, rel=MET)


@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse", "fly rinse"])
def test_grain_liquor_and_hops_are_found_for_every_process(kind):
    found, numbers = solved(wanted(kind))

    assert not openings(found).any
    assert_volume_met(numbers)
    assert_gravity_met(numbers)
    assert_bitterness_met(numbers)
    pale, amber = (g.mass_kg for g in found.grist)
    assert pale / amber == pytest.approx(9.0)


@pytest.mark.parametrize("odds", [0.5, 0.75, 0.95])
def test_the_surer_a_brewer_wants_to_be_the_more_is_brewed(odds):
    aims = replace(AIMS, odds=odds)

    _, numbers = solved(wanted(aims=aims))

    assert_volume_met(numbers, aims)
    kept = np.mean(np.asarray(numbers["fermenters.volume_l"]) >= 30.0 * (1 - MET))
    assert kept >= odds - 1.5 / DRAWS


def test_grain_alone_is_weighed_for_the_gravity():
    found, numbers = solved(wanted(liquor=Liquor(mash_l=28.0, rinse_l=12.0), hops=(hop(),)))

    assert_gravity_met(numbers)
    assert (found.liquor.mash_l, found.liquor.rinse_l) == (28.0, 12.0)
    assert found.hops == (hop(),)


def test_water_alone_is_measured_for_the_gravity_and_for_the_volume_without_one():
    given = {"grist": plan().grist, "hops": (hop(),)}

    _, by_gravity = solved(wanted("full volume", **given))
    _, by_volume = solved(wanted("full volume", **given, aims=replace(AIMS, plato=None)))

    assert_gravity_met(by_gravity)
    assert_volume_met(by_volume)


def test_rinse_liquor_alone_is_solved_beside_a_given_mash():
    found, numbers = solved(
        wanted(
            grist=plan().grist,
            hops=(hop(),),
            liquor=Liquor(mash_l=26.0),
            aims=replace(AIMS, plato=None, bitterness_ibu=None),
        )
    )

    assert_volume_met(numbers)
    assert found.liquor.mash_l == 26.0
    assert found.liquor.rinse_l is not None


def test_hops_alone_are_weighed_by_the_bitterness_each_was_given():
    gyle = wanted(
        liquor=Liquor(mash_l=28.0, rinse_l=12.0),
        grist=plan().grist,
        hops=(
            hop("early", None, bitterness_share=0.75),
            hop("late", None, minutes=10.0, bitterness_share=0.25),
        ),
    )
    found, numbers = solved(gyle)

    assert_bitterness_met(numbers)
    only_early = replace(found, hops=(found.hops[0], replace(found.hops[1], mass_kg=0.0)))
    alone = Model(only_early, SHED).forecast(rows(only_early))
    assert float(np.median(alone["ibu"])) == pytest.approx(0.75 * 25.0, rel=0.005)


def test_an_open_addition_makes_up_what_a_given_one_lacks():
    given = hop("dry and early", 0.02)
    found, numbers = solved(wanted(hops=(given, hop("late", None, minutes=10.0))))

    assert_bitterness_met(numbers)
    assert found.hops[0] == given


def test_a_grist_of_masses_and_shares_is_settled_by_its_masses():
    mixed = (grain(mass_kg=6.0), grain("amber", None, share=0.25))

    found, numbers = solved(wanted(grist=mixed))

    assert [g.mass_kg for g in found.grist] == [6.0, pytest.approx(2.0)]
    assert_gravity_met(numbers)


def test_sugar_and_liquor_of_the_fermenters_count_towards_the_aims():
    found, numbers = solved(
        wanted(portions=(portion("one", top_up_l=4.0), portion("two")), additions=(sugar(mass_kg=1.0),))
    )
    plain, _ = solved(wanted())

    assert_volume_met(numbers)
    assert_gravity_met(numbers)
    assert found.grist[0].mass_kg < plain.grist[0].mass_kg


def test_both_vessels_of_a_dunk_stand_equally_full():
    found, numbers = solved(wanted())

    kettle = float(np.median(numbers["mash.volume_l"])) / 60.0
    pot = float(np.median(numbers["rinse.level_l"])) / 38.0

    thickness = found.liquor.mash_l / sum(g.mass_kg for g in found.grist)
    assert thickness > LEAST_LIQUOR
    assert kettle == pytest.approx(pot, abs=2 * CLOSE)


def test_a_wide_pot_never_makes_the_mash_too_thick_to_stir():
    wide = vessel(SHED, "pot", capacity_l=400.0)

    found, numbers = solved(wanted(), wide)

    thickness = found.liquor.mash_l / sum(g.mass_kg for g in found.grist)
    assert thickness == pytest.approx(LEAST_LIQUOR, rel=2 * CLOSE)
    assert_volume_met(numbers)


def test_a_second_vessel_too_small_for_the_bag_gets_the_usual_split():
    found, numbers = solved(wanted(), vessel(SHED, "pot", capacity_l=6.0))

    whole = found.liquor.mash_l + found.liquor.rinse_l
    assert found.liquor.mash_l / whole == pytest.approx(0.65, abs=1e-3)
    assert_volume_met(numbers)
    assert_gravity_met(numbers)


def test_extract_needs_only_its_water():
    gyle = plan("extract only", liquor=Liquor(), aims=replace(AIMS, bitterness_ibu=None))

    found, numbers = solved(gyle)

    assert_gravity_met(numbers)
    assert found.liquor.mash_l > 20.0


def test_extract_is_hopped_too():
    gyle = plan("extract only", liquor=Liquor(), aims=AIMS, hops=OPEN_HOPS)

    _, numbers = solved(gyle)

    assert_bitterness_met(numbers)


def test_nothing_open_is_nothing_changed():
    gyle = plan()

    assert solve(gyle, SHED, rows(gyle)) == gyle


def test_the_same_draws_solve_to_the_same_bits():
    gyle = wanted()

    assert solve(gyle, SHED, rows(gyle)) == solve(gyle, SHED, rows(gyle))


def open_flask(packs: float, kind: StarterKind = "stirred") -> Plan:
    """Two portions that drink from one starter of unknown size."""
    mine = yeast(form="liquid", packs=packs, cells_billion=100.0, starter="flask")
    return plan(
        portions=(portion("one", yeast=mine), portion("two", yeast=mine)),
        starters=(Starter(key="flask", kind=kind),),
    )


def test_a_starter_grows_what_its_portions_need():
    found, _ = solved(open_flask(0.7))
    (starter,) = found.starters
    model = Model(found, SHED)
    course, figures = model.course(rows(found)), model.draw(rows(found))

    given, needed = (
        np.median(sum(getattr(p, what) for p in pitches(found, figures, course.portions)))
        for what in ("given", "needed")
    )

    assert LEAST_L < starter.volume_l < MOST_L
    # brentq ends within a millilitre, of some two litres.
    assert given == pytest.approx(needed, rel=2e-3)


def test_a_starter_is_never_less_than_half_a_litre_nor_more_than_a_flask_holds():
    plenty, hardly = solved(open_flask(6.0))[0], solved(open_flask(0.02, "still"))[0]

    assert plenty.starters[0].volume_l == LEAST_L
    assert hardly.starters[0].volume_l == MOST_L


def test_a_starter_that_no_portion_drinks_is_left_small():
    gyle = plan(starters=(Starter(key="flask", kind="stirred"),))

    assert solve(gyle, SHED, rows(gyle)).starters[0].volume_l == LEAST_L


@pytest.mark.parametrize(
    ("aims", "said"),
    [
        (replace(AIMS, plato=None), "aims.gravity: missing while the grist has only shares; write it like"),
        (replace(AIMS, volume_l=None), "aims.fermenters: missing while grist and liquor are open"),
        (replace(AIMS, bitterness_ibu=None), "aims.bitterness: missing while hops have no mass"),
    ],
)
def test_an_aim_that_is_missing_is_asked_for(aims, said):
    gyle = wanted(aims=aims)

    with pytest.raises(Refused, match=said):
        solve(gyle, SHED, rows(gyle))


def test_all_missing_aims_are_asked_for_at_once():
    gyle = wanted(aims=Aims())

    with pytest.raises(Refused, match="gravity") as refused:
        solve(gyle, SHED, rows(gyle))

    assert len(refused.value.problems) == 4


def test_liquor_without_any_aim_cannot_be_known():
    gyle = wanted("full volume", grist=plan().grist, hops=(), aims=Aims())

    with pytest.raises(Refused, match="no volume and no gravity while liquor is open"):
        solve(gyle, SHED, rows(gyle))


def test_hops_that_bring_too_much_already_are_told_by_how_much():
    gyle = wanted(hops=(hop("heavy", 0.3), hop("late", None, minutes=10.0)))

    with pytest.raises(Refused, match=r"25 IBU, while the hops with a mass already bring 1?\d\d IBU"):
        solve(gyle, SHED, rows(gyle))


def test_an_open_hop_that_can_bring_no_bitterness_wants_a_mass():
    gyle = wanted(hops=(hop(mass_kg=None), hop("flame-out", None, minutes=0.0)))

    with pytest.raises(Refused, match="flame-out has no mass and at its time it brings no bitterness"):
        solve(gyle, SHED, rows(gyle))


def test_a_dry_hop_without_mass_is_refused():
    gyle = wanted(hops=(hop("dry", None, use="dry", portion="one"),))

    with pytest.raises(Refused, match="missing for a dry hop"):
        solve(gyle, SHED, rows(gyle))


def test_a_strength_that_no_mash_reaches_is_said_to_be_out_of_reach():
    gyle = wanted("full volume", aims=Aims(volume_l=30.0, plato=34.0), hops=(hop(),))

    with pytest.raises(NotConverged, match="No grain and liquor meet these aims"):
        solve(gyle, SHED, rows(gyle))


def test_the_strongest_wort_within_reach_is_found_and_can_be_made():
    gyle = wanted("full volume", aims=Aims(volume_l=30.0, plato=34.0), hops=(hop(),))

    most = reach(gyle, SHED, rows(gyle)).strongest_plato

    assert 18.0 < most < 33.0
    within = replace(gyle, aims=replace(gyle.aims, plato=most - 0.5))
    assert solve(within, SHED, rows(within)).grist[0].mass_kg > 0.0


def test_the_least_volume_within_reach_is_found():
    # Ten litres go in after the boil, and of that strength no more than this can be held back.
    gyle = wanted(aims=Aims(volume_l=3.0, plato=12.0), liquor=Liquor(kettle_l=10.0), hops=(hop(),))

    least = reach(gyle, SHED, rows(gyle)).least_l

    assert 3.0 < least < 20.0


def test_what_is_given_has_nothing_else_within_reach():
    assert reach(plan(), SHED, rows(plan())) == Reach()


def test_a_gravity_may_be_aimed_at_in_either_scale():
    aims = replace(AIMS, plato=float(plato_from_sg(1.050)))

    _, numbers = solved(wanted(aims=aims))

    assert float(np.median(numbers["og"])) == pytest.approx(1.050, abs=0.00002)
