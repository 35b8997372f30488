"""A beer carried to another brewery is the same there, as the forward run says, and comes back the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carried_beers import (
    AIMS,
    DRAWS,
    HALL,
    HOPS,
    SHED,
    amounts,
    at_odds,
    back,
    carried,
    forward,
    middle,
    wanted,
)
from example_gyles import grain, hop, plan, portion, sugar, water, watered
from gylebook.brewery.gear import Fermenter
from gylebook.brewery.plan import Aims, Liquor, Stand
from gylebook.brewery.site import HouseFigure
from gylebook.brewery.water import IonAim, Water
from gylebook.errors import NotConverged, OutsideValidity, Refused
from gylebook.tasks.adapt import adapt, brewed_of
from gylebook.tasks.adapt_view import adapt_view
from gylebook.tasks.outlook import look_ahead
from gyles_at_random import plans


@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse"])
def test_the_forward_run_finds_the_same_beer_on_the_other_brewery(kind):
    before = look_ahead(wanted(kind=kind), SHED, draws=DRAWS)

    found = adapt(brewed_of(before), HALL, draws=DRAWS)

    there = forward(found)
    solved = found.outlook.plan
    assert at_odds(there, solved) == pytest.approx(30.0, rel=5e-4)
    assert middle(there, "fermenters.plato") == pytest.approx(12.5, rel=5e-4)
    assert middle(there, "ibu") == pytest.approx(25.0, rel=5e-4)
    pale, amber = (g.mass_kg for g in solved.grist)
    assert pale / amber == pytest.approx(9.0)
    assert solved.mash == before.plan.mash
    # Other gear, other amounts: else this would show nothing.
    assert amounts(solved) != pytest.approx(amounts(before.plan), rel=0.05)


def test_a_plan_whose_amounts_are_all_given_is_carried_by_what_it_makes():
    given = plan(aims=Aims(odds=0.8))
    made = look_ahead(given, SHED, draws=DRAWS)

    there = forward(found := carried(given))

    for name in ("fermenters.plato", "ibu"):
        assert middle(there, name) == pytest.approx(middle(made.draws, name), rel=1e-3)
    assert at_odds(there, found.outlook.plan) == pytest.approx(at_odds(made.draws, given), rel=1e-3)


@pytest.mark.parametrize(
    "extra",
    [
        {},
        {"aims": replace(AIMS, odds=0.6), "additions": (sugar(), sugar("lactose", 0.3, at="one"))},
        {"stand": Stand(temperature_c=80.0, minutes=20.0), "hops": (*HOPS, hop("warm", 0.05, use="stand"))},
        {"liquor": Liquor(kettle_l=3.0), "bitterness_by": "kinetics"},
        {"portions": (portion("one", 0.7, top_up_l=1.5), portion("two", 0.3))},
        {"kind": "full volume"},
        {"kind": "poured rinse", "aims": replace(AIMS, odds=0.75)},
        {
            "grist": (grain(), grain("amber", 0.6)),
            "liquor": Liquor(mash_l=21.0, rinse_l=20.0),
            "aims": Aims(),
            "hops": (hop(), hop("late", 0.02, minutes=10.0)),
        },
    ],
)
def test_there_and_back_is_the_first_plan_again(extra):
    first = look_ahead(wanted(**extra), SHED, draws=DRAWS).plan

    again = back(carried(wanted(**extra))).outlook.plan

    assert amounts(again) == pytest.approx(amounts(first), rel=2e-3, abs=1e-6)


def test_on_ones_own_gear_twice_as_much_takes_what_its_wort_takes():
    small = wanted(aims=replace(AIMS, volume_l=14.0), hops=(*HOPS[:1], hop("late", 0.03, minutes=5.0)))
    before = look_ahead(small, SHED, draws=DRAWS)

    found = adapt(brewed_of(before), SHED, times=2.0, draws=DRAWS)

    there, solved = forward(found), found.outlook.plan
    assert at_odds(there, solved) == pytest.approx(28.0, rel=5e-4)
    assert middle(there, "fermenters.plato") == pytest.approx(12.5, rel=5e-4)
    assert middle(there, "ibu") == pytest.approx(25.0, rel=5e-4)
    in_kettle = middle(there, "kettle.end.volume_l") / before.numbers["kettle.end.volume_l"].median
    assert solved.hops[1].mass_kg == pytest.approx(in_kettle * 0.03, rel=1e-3)
    assert 1.8 < in_kettle < 2.0
    # What is lost once, whatever the size, is not doubled.
    assert 1.8 < solved.grist[0].mass_kg / before.plan.grist[0].mass_kg < 2.0
    assert [p.fermenter for p in solved.portions] == ["one", "two"]


def test_a_mash_stays_as_thick_as_it_was_typed():
    typed = plan(liquor=Liquor(mash_l=20.0, rinse_l=21.0))

    solved = carried(typed, litres=20.0).outlook.plan

    assert solved.liquor.mash_l / sum(g.mass_kg for g in solved.grist) == pytest.approx(20.0 / 7.0, rel=1e-3)


def test_a_mash_gives_up_its_thickness_where_only_another_fits():
    typed = plan(liquor=Liquor(mash_l=40.0, rinse_l=6.0))
    low = replace(HALL, vessels={**HALL.vessels, "kettle": replace(HALL.vessels["kettle"], capacity_l=36.0)})

    found = carried(typed, onto=low, litres=25.0)

    brims = [limit for limit in found.outlook.limits if limit.name in ("mash brim", "rinse vessel brim")]
    assert all(limit.odds_kept >= 0.9 for limit in brims)
    solved = found.outlook.plan
    assert solved.liquor.mash_l / sum(g.mass_kg for g in solved.grist) < 0.95 * 40.0 / 7.0


def test_late_hops_keep_their_grams_a_litre_and_early_ones_their_part():
    before, found = look_ahead(wanted(), SHED, draws=DRAWS), carried(wanted(), litres=20.0)

    early, late = (
        new.mass_kg / old.mass_kg for new, old in zip(found.outlook.plan.hops, before.plan.hops, strict=True)
    )
    in_kettle = middle(forward(found), "kettle.end.volume_l") / before.numbers["kettle.end.volume_l"].median
    assert late == pytest.approx(in_kettle, rel=1e-3)
    assert early != pytest.approx(in_kettle, rel=1e-2)


def test_where_all_hops_are_late_the_one_that_brings_most_carries_the_bitterness():
    late = (
        hop("a", 0.05, minutes=10.0),
        hop("b", 0.02, minutes=5.0),
        hop("dry", 0.03, use="dry", portion="one"),
    )
    given = plan(hops=late)

    found = carried(given)

    assert middle(forward(found), "ibu") == pytest.approx(
        middle(look_ahead(given, SHED, draws=DRAWS).draws, "ibu"), rel=1e-3
    )
    assert [(note.kind, note.of) for note in found.notes if note.kind == "aroma"] == [("aroma", "a")]


def test_late_hops_that_are_too_bitter_there_give_way_with_the_others():
    stood = Stand(temperature_c=95.0, minutes=40.0)
    hops = (hop("a", 0.002), hop("flood", 0.15, use="stand", minutes=40.0, alpha=0.12))
    given = plan(hops=hops, stand=stood, bitterness_by="kinetics")
    # High up wort boils cooler, so that a stand at the coast makes more of the same hops.
    coast, hill = replace(SHED, altitude_m=0.0), replace(SHED, altitude_m=2500.0)

    found = carried(given, onto=coast, at=hill)

    assert middle(forward(found), "ibu") == pytest.approx(
        middle(look_ahead(given, hill, draws=DRAWS).draws, "ibu"), rel=1e-3
    )


def test_the_colour_is_kept_where_that_is_asked():
    dark = (grain(mass_kg=5.0), grain("black", 0.4, kind="roast", colour_ebc=1200.0, extract_dry=0.65))
    given = plan(grist=dark)
    poor = replace(HALL, house={**HALL.house, "conversion": HouseFigure(level=0.75, scatter=0.02)})
    before = look_ahead(given, SHED, draws=DRAWS).numbers["colour_srm"].median

    plain, kept = carried(given, poor), carried(given, poor, keep_colour=True)

    assert plain.outlook.numbers["colour_srm"].median > 1.03 * before
    assert kept.outlook.numbers["colour_srm"].median == pytest.approx(before, rel=2e-3)
    assert middle(forward(kept), "fermenters.plato") == pytest.approx(
        middle(forward(plain), "fermenters.plato"), rel=1e-3
    )


def test_a_wort_of_extract_alone_reaches_volume_and_strength():
    given = plan("extract only")
    made = look_ahead(given, SHED, draws=DRAWS)

    there = forward(found := carried(given, litres=22.0))

    assert at_odds(there, found.outlook.plan) == pytest.approx(22.0, rel=2e-3)
    assert middle(there, "fermenters.plato") == pytest.approx(
        middle(made.draws, "fermenters.plato"), rel=1e-3
    )


# water ------------------------------------------------------------------------------------------------------

HARD, SOFT = water(alkalinity=150.0, calcium=70.0), water(alkalinity=20.0, calcium=12.0)


def test_ions_and_mash_ph_are_found_anew_for_the_other_water():
    aims = replace(AIMS, mash_ph=5.4)
    wish = Liquor(ions=(IonAim(ion="calcium", mg_per_l=90.0), IonAim(ion="chloride", mg_per_l=80.0)))
    given = wanted(aims=aims, liquor=wish)
    hard, soft = watered(HARD, on=SHED), watered(SOFT, on=HALL)

    found = carried(given, onto=soft, at=hard)

    outlook = found.outlook
    assert outlook.numbers["mash.ph"].median == pytest.approx(5.4, abs=0.03)
    calcium = float(np.median(outlook.liquor.mash.solution.calcium)) * 40.078
    assert calcium == pytest.approx(90.0, abs=6.0)
    salts = [dose for dose in outlook.plan.liquor.doses if dose.kind == "salt"]
    before = look_ahead(given, hard, draws=DRAWS).plan
    assert sum(d.amount for d in salts) > 1.5 * sum(d.amount for d in before.liquor.doses if d.kind == "salt")


def test_every_ion_that_comes_out_otherwise_is_told():
    wish = Liquor(ions=(IonAim(ion="calcium", mg_per_l=90.0), IonAim(ion="chloride", mg_per_l=60.0)))
    given = wanted(liquor=wish)

    found = carried(given, onto=watered(SOFT, on=HALL), at=watered(HARD, on=SHED))

    moved = set()
    for ion, before in found.before.beer.ions:
        mass, near = {
            "calcium": (40.078, 10.0),
            "magnesium": (24.305, 5.0),
            "sodium": (22.99, 15.0),
            "chloride": (35.45, 15.0),
            "sulphate": (96.06, 20.0),
        }[ion]
        after = float(np.median(getattr(found.outlook.liquor.mash.solution, ion))) * mass
        if abs(after - before) > near:
            moved.add(ion)
    told = {one.of for one in adapt_view(found).findings if one.kind in ("ion", "ion moved")}
    assert moved
    assert told >= moved
    assert {one.of for one in adapt_view(found).findings if one.kind == "ion moved"} <= moved


def test_the_ions_that_a_water_had_of_itself_become_the_wish():
    found = carried(wanted(), onto=watered(SOFT, on=HALL), at=watered(HARD, on=SHED))

    wishes = {aim.ion: aim.mg_per_l for aim in found.outlook.plan.liquor.ions}
    assert wishes["calcium"] == pytest.approx(70.0, rel=0.02)
    assert found.outlook.plan.aims.mash_ph == pytest.approx(
        look_ahead(wanted(), watered(HARD, on=SHED), draws=DRAWS).numbers["mash.ph"].median
    )


def test_a_purer_water_goes_to_one_that_is_too_hard():
    wish = Liquor(ions=(IonAim(ion="calcium", mg_per_l=45.0), IonAim(ion="sulphate", mg_per_l=20.0)))
    flinty = water(alkalinity=230.0, calcium=160.0)
    with_membrane = watered(flinty, Water(key="ro", name="membrane", membrane_of=flinty.key), on=HALL)

    hard = carried(wanted(liquor=wish), onto=watered(flinty, on=HALL), at=watered(SOFT, on=SHED))
    diluted = carried(wanted(liquor=wish), onto=with_membrane, at=watered(SOFT, on=SHED))

    calcium = [float(np.median(x.outlook.liquor.mash.solution.calcium)) * 40.078 for x in (hard, diluted)]
    assert calcium[0] > 120.0
    assert calcium[1] == pytest.approx(45.0, abs=12.0)
    assert dict(diluted.outlook.plan.liquor.waters)["ro"] > 0.5


def test_without_a_water_there_the_wishes_fall_away_and_it_is_said():
    wish = Liquor(ions=(IonAim(ion="calcium", mg_per_l=90.0),), rinse_alkalinity=1.0)
    given = wanted(aims=replace(AIMS, mash_ph=5.4), liquor=wish)

    found = carried(given, onto=HALL, at=watered(HARD, on=SHED))

    liquor = found.outlook.plan.liquor
    assert (liquor.ions, liquor.doses, found.outlook.plan.aims.mash_ph) == ((), (), None)
    assert "no water" in [note.kind for note in found.notes]


@pytest.mark.parametrize("wish", [{"litres": 0.1}, {"litres": 4000.0}, {"litres": 20.0, "times": 2.0}])
def test_a_size_that_nobody_means_is_refused(wish):
    with pytest.raises(Refused, match=r"volume: .* L; from 0\.6 L to|--times: was given with --litres"):
        carried(wanted(), **wish)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(a_plan=plans(), times=st.floats(0.5, 1.5))
def test_whatever_is_carried_over_has_its_strength_and_its_bitterness(a_plan, times):
    roomy = replace(
        HALL, fermenters={k: Fermenter(key=k, name=k, capacity_l=400.0) for k in "abcdef"}, rinse="pot"
    )
    try:
        before = look_ahead(a_plan, SHED, draws=200)
        found = adapt(brewed_of(before), roomy, times=times, draws=200)
    except (Refused, NotConverged, OutsideValidity):
        return  # said in words, which is an answer

    there, plan_there = forward(found), found.outlook.plan
    assert middle(there, "fermenters.plato") == pytest.approx(
        middle(before.draws, "fermenters.plato"), rel=2e-3
    )
    if plan_there.aims.bitterness_ibu:
        assert middle(there, "ibu") == pytest.approx(middle(before.draws, "ibu"), rel=2e-3, abs=0.05)
    assert at_odds(there, plan_there) == pytest.approx(plan_there.aims.volume_l, rel=0.02)
