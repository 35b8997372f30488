"""A beer carried to another brewery is the same there, as the forward run says, and comes back the same."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_gyles import brewery, grain, hop, plan, portion, sugar, water, watered, yeast
from gylebook.brewery.gear import Bag, Chiller, Fermenter, Vessel
from gylebook.brewery.ingredients import HopTea, Starter
from gylebook.brewery.plan import Aims, Blend, Liquor, Package, Plan, Stand
from gylebook.brewery.site import Brewery, HouseFigure
from gylebook.brewery.water import IonAim
from gylebook.decide.housing import housed
from gylebook.errors import NotConverged, OutsideValidity, Refused
from gylebook.gyle.forecast import Model
from gylebook.gyle.names import Named
from gylebook.tasks.adapt import Adapted, adapt, brewed_of
from gylebook.tasks.outlook import look_ahead
from gyles_at_random import plans

DRAWS = 400
SHED = brewery()
# Another house: it boils harder, loses more after the boil, its grain gives less and its tap is colder.
HALL = replace(
    brewery(
        chiller=Chiller(kind="counterflow", area_m2=0.3, tap_c=9.0),
        bag=Bag(mass_kg=0.5),
        fermenters={
            key: Fermenter(key=key, name=key, capacity_l=litres)
            for key, litres in {"oak": 40.0, "ash": 28.0, "elm": 28.0}.items()
        },
        altitude_m=900.0,
        house={
            "boil_off_l_per_h": HouseFigure(level=7.0, scatter=0.4),
            "retained_l_per_kg": HouseFigure(level=1.3, scatter=0.1),
        },
    ),
    name="hall",
)
AIMS = Aims(volume_l=30.0, plato=12.5, bitterness_ibu=25.0)
SHARES = (grain(mass_kg=None, share=0.9), grain("amber", None, share=0.1, kind="caramel"))
HOPS = (hop(mass_kg=None, bitterness_share=0.8), hop("late", None, minutes=10.0, bitterness_share=0.2))


def wanted(**other: Any) -> Plan:
    """A plan of which everything is open that can be."""
    usual: dict[str, Any] = {"aims": AIMS, "liquor": Liquor(), "grist": SHARES, "hops": HOPS}
    kind = other.pop("kind", "dunk rinse")
    return plan(kind, **{**usual, **other})


def carried(a_plan: Plan, onto: Brewery = HALL, at: Brewery = SHED, **wish: Any) -> Adapted:
    return adapt(brewed_of(look_ahead(a_plan, at, draws=DRAWS)), onto, draws=DRAWS, **wish)


def back(there: Adapted, to: Brewery = SHED, **wish: Any) -> Adapted:
    return adapt(brewed_of(there.outlook), to, draws=DRAWS, **wish)


def forward(adapted: Adapted) -> Named:
    """What the forward run makes of the adapted plan, run anew."""
    found = adapted.outlook
    return Model(found.plan, found.brewery).forecast(found.prior)


def middle(numbers: Named, name: str) -> float:
    return float(np.median(numbers[name]))


def at_odds(numbers: Named, a_plan: Plan) -> float:
    return float(np.quantile(numbers["fermenters.volume_l"], 1.0 - a_plan.aims.odds))


def amounts(a_plan: Plan) -> list[float]:
    """Every amount of a solved plan."""
    liquor = a_plan.liquor
    return [
        *(g.mass_kg or 0.0 for g in a_plan.grist),
        liquor.mash_l or 0.0,
        liquor.rinse_l or 0.0,
        liquor.kettle_l,
        *(h.mass_kg or 0.0 for h in a_plan.hops),
        *(a.mass_kg for a in a_plan.additions),
        *(s.volume_l or 0.0 for s in a_plan.starters),
        *(p.yeast.packs for p in a_plan.portions),
        *(p.top_up_l for p in a_plan.portions),
    ]


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


def test_on_ones_own_gear_twice_as_much_is_twice_what_acts_by_the_litre():
    small = wanted(aims=replace(AIMS, volume_l=14.0), hops=(*HOPS[:1], hop("late", 0.03, minutes=5.0)))
    before = look_ahead(small, SHED, draws=DRAWS)

    found = adapt(brewed_of(before), SHED, times=2.0, draws=DRAWS)

    there, solved = forward(found), found.outlook.plan
    assert at_odds(there, solved) == pytest.approx(28.0, rel=5e-4)
    assert middle(there, "fermenters.plato") == pytest.approx(12.5, rel=5e-4)
    assert middle(there, "ibu") == pytest.approx(25.0, rel=5e-4)
    assert solved.hops[1].mass_kg == pytest.approx(2.0 * 0.03, rel=1e-3)
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
    before = look_ahead(wanted(), SHED, draws=DRAWS).plan

    solved = carried(wanted(), litres=20.0).outlook.plan

    assert solved.hops[1].mass_kg == pytest.approx(before.hops[1].mass_kg * 20.0 / 30.0, rel=1e-3)
    assert solved.hops[0].mass_kg != pytest.approx(before.hops[0].mass_kg * 20.0 / 30.0, rel=1e-2)


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


def test_the_ions_that_a_water_had_of_itself_become_the_wish():
    found = carried(wanted(), onto=watered(SOFT, on=HALL), at=watered(HARD, on=SHED))

    wishes = {aim.ion: aim.mg_per_l for aim in found.outlook.plan.liquor.ions}
    assert wishes["calcium"] == pytest.approx(70.0, rel=0.02)
    assert found.outlook.plan.aims.mash_ph == pytest.approx(
        look_ahead(wanted(), watered(HARD, on=SHED), draws=DRAWS).numbers["mash.ph"].median
    )


def test_without_a_water_there_the_wishes_fall_away_and_it_is_said():
    wish = Liquor(ions=(IonAim(ion="calcium", mg_per_l=90.0),), rinse_alkalinity=1.0)
    given = wanted(aims=replace(AIMS, mash_ph=5.4), liquor=wish)

    found = carried(given, onto=HALL, at=watered(HARD, on=SHED))

    liquor = found.outlook.plan.liquor
    assert (liquor.ions, liquor.doses, found.outlook.plan.aims.mash_ph) == ((), (), None)
    assert "no water" in [note.kind for note in found.notes]


# gear -------------------------------------------------------------------------------------------------------


def test_a_way_that_the_gear_lacks_becomes_the_nearest():
    potless = replace(HALL, rinse=None)
    tun = Vessel(key="tun", name="tun", capacity_l=60.0, mass_kg=6.0)
    tuned = replace(SHED, vessels={**SHED.vessels, "tun": tun}, tun="tun")

    dunked = carried(wanted(kind="dunk rinse"), onto=potless)
    flown = carried(wanted(kind="fly rinse", drain="tun"), at=tuned)

    assert dunked.outlook.plan.process.kind == "poured rinse"
    assert flown.outlook.plan.process.kind == "poured rinse"
    assert flown.outlook.plan.process.drain == "hung"
    assert [(n.kind, n.why) for n in flown.notes if n.kind in ("way", "drain")] == [
        ("way", "tun"),
        ("drain", "tun"),
    ]


def test_a_portion_too_large_for_any_fermenter_is_made_smaller_and_the_others_stay():
    given = wanted(portions=(portion("one", 0.7), portion("two", 0.3)))
    small = replace(
        HALL,
        fermenters={
            "keg": Fermenter(key="keg", name="keg", capacity_l=20.0),
            "jug": Fermenter(key="jug", name="jug", capacity_l=13.0),
        },
    )

    found = carried(given, onto=small)

    there = forward(found)
    (note,) = (note for note in found.notes if note.kind == "portion smaller")
    assert (note.of, note.why) == ("one", "keg")
    assert middle(there, "portion.one.volume_l") == pytest.approx(note.after, rel=0.03)
    before = look_ahead(given, SHED, draws=DRAWS).numbers["portion.two.volume_l"].median
    assert middle(there, "portion.two.volume_l") == pytest.approx(before, rel=0.03)
    head_room = [limit for limit in found.outlook.limits if limit.name == "head room"]
    assert min(limit.odds_kept for limit in head_room) > 0.75


def test_a_portion_without_a_fermenter_is_left_out_with_all_that_is_its_own():
    given = wanted(
        portions=(portion("one", 0.5), portion("two", 0.3), portion("three", 0.2)),
        hops=(*HOPS, hop("dry", 0.03, use="dry", portion="three", minutes=4.0)),
        additions=(sugar(at="three", mass_kg=0.1),),
        hop_teas=(
            HopTea(
                key="t",
                variety="x",
                at="three",
                mass_kg=0.01,
                water_l=0.5,
                minutes=10.0,
                alpha=0.05,
                alpha_scatter=0.005,
            ),
        ),
        blends=(Blend(key="b", name="b", parts=(("one", 0.5), ("three", 0.5)), package=Package(kind="keg")),),
    )
    two = replace(HALL, fermenters={k: HALL.fermenters[k] for k in ("oak", "ash")})

    found = carried(given, onto=two)

    solved = found.outlook.plan
    assert [p.key for p in solved.portions] == ["one", "two"]
    assert [(n.kind, n.of) for n in found.notes if n.kind == "portion left out"] == [
        ("portion left out", "three")
    ]
    assert [h.key for h in solved.hops] == ["bitter", "late"]
    assert (solved.additions, solved.hop_teas) == ((), ())
    assert solved.blends[0].parts == (("one", 0.5),)
    assert solved.aims.volume_l == pytest.approx(0.8 * 30.0, rel=0.02)
    assert sum(p.share for p in solved.portions) == pytest.approx(1.0)


def test_packs_are_opened_whole_and_by_need():
    lean = yeast(packs=1.0, cells_billion=180.0)
    given = wanted(
        portions=(portion("one", 0.5, yeast=lean), portion("two", 0.5, yeast=replace(lean, packs=3.0)))
    )

    half, twice = carried(given, litres=8.0), carried(given, SHED, times=1.6)

    # 16 L at 12.5 °P want 150 billion cells: one pack that is not quite fresh.
    assert [p.yeast.packs for p in half.outlook.plan.portions] == [1.0, 1.0]
    assert [p.yeast.packs for p in twice.outlook.plan.portions] == [2.0, 4.0]


def test_a_starter_is_solved_for_what_is_needed_there():
    shared = yeast(form="liquid", packs=1.0, cells_billion=100.0, starter="flask")
    given = wanted(
        portions=(portion("one", 1.0, yeast=shared),),
        starters=(Starter(key="flask", kind="stirred", volume_l=5.0),),
        aims=replace(AIMS, volume_l=20.0),
    )
    small, large = (carried(given, SHED, times=times).outlook.plan for times in (0.3, 1.0))

    assert small.starters[0].volume_l < large.starters[0].volume_l < 5.0


@pytest.mark.parametrize("wish", [{"litres": 0.1}, {"litres": 4000.0}, {"litres": 20.0, "times": 2.0}])
def test_a_size_that_nobody_means_is_refused(wish):
    with pytest.raises(Refused, match=r"volume: .* L; from 0\.6 L to|--times: was given with --litres"):
        carried(wanted(), **wish)


@given(
    needed=st.lists(st.floats(1.0, 40.0), min_size=1, max_size=5),
    sizes=st.lists(st.floats(1.0, 40.0), min_size=1, max_size=5),
)
def test_all_portions_are_housed_wherever_all_can_be(needed, sizes):
    portions = {f"p{n}": litres for n, litres in enumerate(needed)}
    fermenters = {f"f{n}": Fermenter(key=f"f{n}", name="f", capacity_l=size) for n, size in enumerate(sizes)}
    wished = {key: f"f{n}" for n, key in enumerate(portions)}

    found = housed(portions, wished, fermenters)

    assert len(set(found.values())) == len(found) == min(len(needed), len(sizes))
    possible = any(
        all(size >= litres for size, litres in zip(order, needed, strict=False))
        for order in permutations(sizes)
        if len(sizes) >= len(needed)
    )
    fits = all(
        fermenters[found[key]].capacity_l >= litres for key, litres in portions.items() if key in found
    )
    assert (fits and len(found) == len(needed)) == possible


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
