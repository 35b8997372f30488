"""Hold packing and blending to their days, their litres and what can hurt there."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from example_days import SHED, amounts, cautions, day, keys, step
from example_gyles import brewed, hop, plan, portion, yeast
from gylebook.brewery.ingredients import HopTea
from gylebook.brewery.plan import Blend, Later, Package, PackageKind, Plan
from gylebook.faces.findings import caution_sentence
from gylebook.gyle.order_after import PACK_CAUTIONS
from gyles_at_random import plans

A_DAY = 1440.0
BRETT = Later(kind="brett", after_days=20.0, attenuation=0.92, attenuation_scatter=0.03, months=6.0)
BOTTLES = Package(kind="bottles", after_days=28.0)


def blended(*parts: tuple[str, float], kind: PackageKind = "keg", after: float | None = None) -> Blend:
    return Blend(key="house", name="house", parts=parts, package=Package(kind=kind, after_days=after))


def two(blend: Blend, **second: object) -> Plan:
    """One portion kegged on day 24, one that is as told."""
    one = portion("one", package=Package(kind="keg", after_days=24.0))
    return plan(portions=(one, portion("two", **second)), blends=(blend,))


def test_a_blend_is_poured_on_its_day_with_the_litres_of_each_part():
    gyle = two(blended(("one", 0.4), ("two", 0.5), after=40.0), package=BOTTLES)
    course, _ = brewed(gyle, SHED)

    pour = step(day(gyle), "blend")

    assert pour.start_min == 40.0 * A_DAY
    poured = amounts(pour)
    assert set(poured) == {"one into house", "two into house"}
    # 2 %: the days are laid from other draws than these, and their middles scatter.
    for part, share in zip(course.portions, (0.4, 0.5), strict=True):
        litres = share * float(sorted(part.packable_l)[len(part.packable_l) // 2])
        assert poured[f"{part.portion.name} into house"] == pytest.approx(litres, rel=0.02)


def test_a_blend_without_a_day_waits_for_the_last_of_its_parts():
    gyle = two(blended(("one", 0.4), ("two", 0.5)), package=BOTTLES)
    aged = two(blended(("one", 0.4), ("two", 0.5)), package=Package(kind="stays"), later=BRETT)

    assert step(day(gyle), "blend").start_min == 28.0 * A_DAY
    # 20 days and six months of 30.4, to the next whole day.
    assert step(day(aged), "blend").start_min == 203.0 * A_DAY


def test_a_portion_that_is_blended_in_part_says_how_much_is_held_back():
    steps = day(two(blended(("one", 0.4), ("two", 1.0)), package=Package(kind="stays")))

    keg = amounts(step(steps, "keg"))

    assert keg["held back for house"] == amounts(step(steps, "blend"))["one into house"]
    assert keg["held back for house"] / (keg["held back for house"] + keg["one to pack"]) == pytest.approx(
        0.4
    )


def test_a_portion_that_goes_into_a_blend_whole_is_not_packed_by_itself():
    gyle = two(blended(("one", 0.4), ("two", 0.7), after=40.0), package=BOTTLES)
    more = Blend(key="more", name="more", parts=(("two", 0.3),), package=Package(kind="keg", after_days=50.0))

    assert "bottles" in keys(day(gyle))
    assert "bottles" not in keys(day(replace(gyle, blends=(*gyle.blends, more))))


def test_dry_hops_hang_before_the_beer_first_leaves_its_fermenter():
    gyle = two(blended(("one", 0.4), ("two", 0.5), after=14.0), package=BOTTLES)
    gyle = replace(gyle, hops=(hop("green", use="dry", minutes=4.0, portion="two"),))

    assert step(day(gyle), "dry hop").start_min == 10.0 * A_DAY


def test_a_portion_without_a_day_is_packed_a_week_after_its_yeast_has_worked():
    steps = day(plan(portions=(portion("one", package=Package(kind="bottles")), portion("two"))))

    # Yeast that takes six days.
    assert step(steps, "bottles").start_min == 13.0 * A_DAY
    assert step(steps, "keg").start_min == 13.0 * A_DAY
    assert "pressure" in cautions(steps, "bottles")


def test_bottles_without_a_day_wait_until_the_second_organism_has_worked():
    steps = day(plan(portions=(portion("one", package=Package(kind="bottles"), later=BRETT),)))

    assert step(steps, "bottles").start_min == (203.0 + 7.0) * A_DAY


def test_bottles_are_told_the_sugar_that_primes_them_all():
    gassy = Package(kind="bottles", co2_volumes=2.5)
    gyle = two(replace(blended(("one", 0.4)), package=gassy), package=gassy)
    steps = day(gyle)

    # 4 g/L a volume of gas, less what the beer holds already: some 6 g/L for 2.5 volumes; common practice.
    for poured, whose in (("bottles", "two to pack"), ("blend", "one into house")):
        told = amounts(step(steps, poured))
        assert 1000.0 * told["sucrose to have ready for priming"] / told[whose] == pytest.approx(6.2, abs=1.2)
    assert "sucrose to have ready for priming" not in amounts(step(steps, "keg"))


def test_beer_that_stays_is_not_packed():
    stays = portion("one", package=Package(kind="stays"), later=BRETT)

    assert not {"keg", "bottles"} & keys(day(plan(portions=(stays,))))


@pytest.mark.parametrize("alive", [{"later": BRETT}, {"yeast": yeast(diastatic=True)}])
def test_bottles_of_a_beer_that_lives_have_a_caution_of_their_own(alive):
    glass = plan(portions=(portion("one", package=BOTTLES, **alive), portion("two", package=BOTTLES)))
    marked = [("live in glass" in s.cautions) for s in day(glass) if s.key == "bottles"]
    keg = plan(portions=(portion("one", **alive),))

    assert marked == [True, False]
    assert "live in glass" not in cautions(day(keg), "keg")


@pytest.mark.parametrize("alive", [{"later": BRETT}, {"yeast": yeast(diastatic=True)}])
@pytest.mark.parametrize("kind", ["keg", "bottles", "stays"])
def test_a_blend_with_a_beer_that_lives_is_marked(alive, kind):
    mixed = day(two(blended(("one", 0.4), ("two", 0.5), kind=kind), **alive))
    dead = day(two(blended(("one", 0.4), ("two", 0.5), kind=kind)))

    assert "live in a blend" in cautions(mixed, "blend")
    assert ("live in glass" in cautions(mixed, "blend")) == (kind == "bottles")
    assert not {"live in a blend", "live in glass"} & cautions(dead, "blend")
    assert set(PACK_CAUTIONS[kind]) <= cautions(dead, "blend")


def test_every_caution_at_packing_has_its_sentence():
    for caution in {c for several in PACK_CAUTIONS.values() for c in several} | {"live in glass"}:
        assert caution_sentence(caution) != caution


@settings(deadline=None, max_examples=60)
@given(plans())
def test_all_beer_that_is_drawn_off_is_packed_or_blended(a_plan):
    steps = day(a_plan)
    packed = {s.what for s in steps if s.key in {"keg", "bottles"}}

    for one in a_plan.portions:
        into_blends = sum(share for b in a_plan.blends for key, share in b.parts if key == one.key)
        assert (one.name in packed) == (one.package.kind != "stays" and into_blends < 1.0 - 1e-9)
    assert sum(s.key == "blend" for s in steps) == len(a_plan.blends)


def test_a_part_that_boils_apart_is_drawn_when_the_boil_ends_and_wants_no_liquor():
    tea = HopTea(
        key="apart", variety="Perle", at="two", mass_kg=0.01, water_l=2.0, minutes=30.0,
        alpha=0.08, alpha_scatter=0.01, of_wort=True, boiled_off_l=0.4,
    )  # fmt: skip
    steps = day(replace(plan(), hop_teas=(tea,)))

    apart = step(steps, "part boiled apart")

    assert apart.start_min == step(steps, "end of the boil").start_min
    assert amounts(apart)["its own wort"] == 2.0
    assert "boil over" in cautions(steps, "part boiled apart")
