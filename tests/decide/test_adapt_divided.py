"""A portion that no fermenter holds whole goes into several, with its share of all that is its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from carried_beers import HOPS, SHED, carried, forward, middle, wanted
from example_gyles import hop, portion, sugar, yeast
from gylebook.brewery.gear import Fermenter
from gylebook.brewery.ingredients import HopTea
from gylebook.brewery.plan import Blend, Package
from gylebook.tasks.adapt_text import adapted_text
from gylebook.tasks.adapt_view import adapt_view


def with_fermenters(**litres):
    return replace(
        SHED, fermenters={key: Fermenter(key=key, name=key, capacity_l=size) for key, size in litres.items()}
    )


OWN = with_fermenters(oak=40.0, ash=30.0, elm=15.0)
HALF = wanted(
    aims=replace(wanted().aims, volume_l=20.0),
    portions=(portion("one", fermenter="oak", yeast=yeast(packs=2.0, cells_billion=180.0)),),
    hops=(*HOPS, hop("dry", 0.04, use="dry", portion="one", minutes=4.0)),
    additions=(sugar(at="one", mass_kg=0.2),),
    blends=(Blend(key="b", name="b", parts=(("one", 0.5),), package=Package(kind="keg")),),
)


def test_twice_as_much_goes_into_a_second_fermenter_of_ones_own():
    found = carried(HALF, OWN, at=OWN, times=2.0)

    there, solved = forward(found), found.outlook.plan
    whole = sum(middle(there, f"portion.{part.key}.volume_l") for part in solved.portions)
    before = found.before.numbers["portion.one.volume_l"].median
    assert whole == pytest.approx(2.0 * before, rel=0.01)
    assert [part.fermenter for part in solved.portions] == ["oak", "elm"]
    assert [(note.of, note.after) for note in found.notes] == [("one", 2.0)]
    kept = {limit.vessel: limit.odds_kept for limit in found.outlook.limits if limit.name == "head room"}
    assert min(kept.values()) >= solved.aims.odds - 0.02


def test_each_part_has_its_share_of_all_that_is_its_own():
    found = carried(HALF, OWN, at=OWN, times=2.0)

    there, solved = forward(found), found.outlook.plan
    first, second = solved.portions
    ratio = middle(there, f"portion.{first.key}.volume_l") / middle(there, f"portion.{second.key}.volume_l")
    dry = [one.mass_kg for one in solved.hops if one.use == "dry"]
    sugars = [one.mass_kg for one in solved.additions]
    assert sum(dry) == pytest.approx(2.0 * 0.04, rel=0.01)
    assert sum(sugars) == pytest.approx(2.0 * 0.2, rel=0.01)
    assert [dry[0] / dry[1], sugars[0] / sugars[1]] == pytest.approx([ratio, ratio], rel=0.01)
    for name in ("og", "fg", "ibu"):
        as_before = found.before.numbers[f"portion.one.{name}"].median
        parts = [middle(there, f"portion.{part.key}.{name}") for part in (first, second)]
        assert parts == pytest.approx([as_before, as_before], rel=2e-3)
    colours = [middle(there, f"portion.{part.key}.colour_srm") for part in (first, second)]
    assert colours[0] == pytest.approx(colours[1], rel=1e-3)
    assert solved.blends[0].parts == ((first.key, 0.5), (second.key, 0.5))
    assert [part.yeast.packs for part in solved.portions] == [
        round(part.yeast.packs) for part in solved.portions
    ]


def test_the_parts_stand_in_the_comparison_and_in_the_plan_file():
    found = carried(HALF, OWN, at=OWN, times=2.0)

    second = found.outlook.plan.portions[1]
    told = {pair.portion for pair in adapt_view(found).numbers}
    assert second.name in told
    assert f"[portions.{second.key}]" in adapted_text(found)


def test_where_no_other_fermenter_is_free_it_is_made_smaller():
    found = carried(HALF, with_fermenters(oak=30.0), at=OWN, times=2.0)

    assert [note.kind for note in found.notes] == ["portion smaller"]


def test_a_portion_stays_whole_where_a_larger_fermenter_is_there():
    found = carried(HALF, with_fermenters(oak=40.0, vat=80.0), at=OWN, times=2.0)

    assert [part.fermenter for part in found.outlook.plan.portions] == ["vat"]
    assert found.notes == ()


def test_half_of_a_beer_boils_half_of_its_part_apart():
    tea = HopTea(
        key="t", variety="x", at="one", mass_kg=0.02, water_l=4.0, minutes=30.0, alpha=0.05,
        alpha_scatter=0.005, of_wort=True, boiled_off_l=0.8,
    )  # fmt: skip

    found = carried(replace(HALF, hop_teas=(tea,)), OWN, at=OWN, times=0.5)

    (half,) = found.outlook.plan.hop_teas
    assert half.of_wort
    assert (half.mass_kg, half.water_l, half.boiled_off_l) == pytest.approx((0.01, 2.0, 0.4), rel=0.03)
