"""A beer carried to other gear: the nearest way, fermenters that hold it, packs opened whole."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from carried_beers import (
    AIMS,
    DRAWS,
    HALL,
    HOPS,
    SHED,
    carried,
    forward,
    middle,
    wanted,
)
from example_gyles import hop, portion, sugar, yeast
from gylebook.brewery.gear import Fermenter, Vessel
from gylebook.brewery.ingredients import HopTea, Starter
from gylebook.brewery.plan import Blend, Package
from gylebook.decide.housing import housed
from gylebook.tasks.adapt_view import adapt_view
from gylebook.tasks.outlook import look_ahead


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
    assert min(limit.odds_kept for limit in head_room) >= 0.88


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
    told = [pair.name for pair in adapt_view(found).numbers if pair.name.startswith("portion.three.")]
    assert told == ["portion.three.volume_l"]


def test_packs_are_opened_whole_and_by_need():
    lean = yeast(packs=1.0, cells_billion=180.0)
    given = wanted(
        portions=(portion("one", 0.5, yeast=lean), portion("two", 0.5, yeast=replace(lean, packs=3.0)))
    )
    roomy = replace(
        SHED, fermenters={key: Fermenter(key=key, name=key, capacity_l=60.0) for key in ("one", "two")}
    )

    half, twice = carried(given, litres=8.0), carried(given, roomy, times=1.6)

    # 16 L at 12.5 °P want 150 billion cells: one pack that is not quite fresh.
    assert [p.yeast.packs for p in half.outlook.plan.portions] == [1.0, 1.0]
    assert [p.yeast.packs for p in twice.outlook.plan.portions] == [2.0, 4.0]


def test_a_pitch_that_whole_packs_change_is_told():
    lean = yeast(packs=1.0, cells_billion=180.0)
    given = wanted(portions=(portion("one", 0.5, yeast=lean), portion("two", 0.5, yeast=lean)))

    less, as_much = carried(given, SHED, litres=8.0), carried(given, SHED)

    told = [one for one in adapt_view(less).findings if one.kind == "pitch rate"]
    assert [one.why for one in told] == ["packs", "packs"]
    for one, portion_there in zip(told, less.before.beer.portions, strict=True):
        here_l = less.outlook.numbers[f"portion.{portion_there.key}.volume_l"].median
        # A pack as before, for so much less wort of the same strength.
        assert one.after / one.before == pytest.approx(portion_there.volume_l / here_l, rel=0.01)
    assert all(one.kind != "pitch rate" for one in adapt_view(as_much).findings)


def test_a_starter_is_solved_for_what_is_needed_there():
    shared = yeast(form="liquid", packs=1.0, cells_billion=100.0, starter="flask")
    given = wanted(
        portions=(portion("one", 1.0, yeast=shared),),
        starters=(Starter(key="flask", kind="stirred", volume_l=5.0),),
        aims=replace(AIMS, volume_l=20.0),
    )
    small, large = (carried(given, SHED, times=times).outlook.plan for times in (0.3, 1.0))

    assert small.starters[0].volume_l < large.starters[0].volume_l < 5.0


@settings(deadline=None)
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
