"""Divide one wort: the parts add up, drift together, and differ by less than anyone knows their level."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_gyles import brewed, brewery, hop, plan, portion, sugar
from gylebook.brewery.plan import Later, Liquor, Package
from gylebook.gyle.course import Course
from gylebook.gyle.names import named
from gylebook.gyle.wort import Measured

SHED = brewery()
DRAWS = 2_000
BRETT = Later(kind="brett", after_days=20.0, attenuation=0.92, attenuation_scatter=0.03, months=6.0)


def course(*portions, **other) -> Course:
    """A full-volume amber gyle divided so."""
    return brewed(plan("full volume", portions=portions, **other), SHED, draws=DRAWS)[0]


def divided_l(of: Course) -> np.ndarray:
    return np.asarray(sum(p.pitched.volume_l for p in of.portions))


@settings(deadline=None, max_examples=40)
@given(st.lists(st.floats(0.1, 1.0), min_size=1, max_size=6), st.floats(0.4, 1.0))
def test_shares_drift_while_filling_but_their_sum_does_not(parts, poured):
    shares = [poured * part / sum(parts) for part in parts]
    keys = ("one", "two", "three", "four", "five", "six")
    gyle = course(*(portion(key, share) for key, share in zip(keys, shares, strict=False)))
    whole = gyle.kettle.wort

    np.testing.assert_allclose(sum(p.wort.mass_kg for p in gyle.portions), poured * whole.mass_kg, rtol=1e-12)
    np.testing.assert_allclose(
        np.broadcast_to(gyle.undivided_kg, DRAWS), (1 - poured) * whole.mass_kg, atol=1e-9
    )


def test_a_fermenter_filled_too_high_means_another_filled_too_low():
    gyle = course(portion("one", 0.5), portion("two", 0.5))
    volumes = [np.asarray(p.pitched.volume_l) for p in gyle.portions]
    whole = volumes[0] + volumes[1]

    drift = [v / whole - 0.5 for v in volumes]

    np.testing.assert_allclose(drift[0], -drift[1], atol=1e-12)
    # Two slips of 2 % each, of which half of the difference shows: 0.5 * 0.02 / √2 = 0.7 %.
    assert 0.005 < np.std(drift[0]) < 0.009


def test_two_portions_of_one_wort_differ_far_less_than_either_is_known():
    gyle = course(portion("one"), portion("two"))
    numbers = named(gyle)

    def spread(what: str) -> tuple[float, float]:
        one, two = (np.asarray(numbers[f"portion.{key}.{what}"]) for key in ("one", "two"))
        return float(np.std(one - two)), float(np.std(one))

    assert spread("og")[0] < 1e-12 < spread("og")[1]
    assert spread("ibu")[0] < 0.01 * spread("ibu")[1]
    difference, level = spread("volume_l")
    assert difference < 0.5 * level


def test_stated_volumes_are_poured_as_stated_while_there_is_enough():
    gyle = course(portion("one", None, volume_l=8.0), portion("two", None, volume_l=10.0))

    for part, wanted in zip(gyle.portions, (8.0, 10.0), strict=True):
        assert np.median(part.pitched.volume_l) == pytest.approx(wanted, rel=0.002)
        assert np.std(part.pitched.volume_l) == pytest.approx(0.02 * wanted, rel=0.1)
    assert np.all(np.asarray(gyle.undivided_kg) > 0)


@settings(deadline=None, max_examples=30)
@given(st.floats(1.0, 40.0), st.floats(1.0, 40.0))
def test_no_more_is_poured_than_there_is(first, second):
    gyle = course(portion("one", None, volume_l=first), portion("two", None, volume_l=second))
    there = Measured.of(gyle.kettle.wort).volume_l

    assert np.all(divided_l(gyle) <= there * (1 + 1e-12))
    assert np.all(np.asarray(gyle.undivided_kg) >= -1e-9)


def test_portions_without_a_share_divide_alike():
    gyle = course(portion("one", None), portion("two", None), portion("three", None))

    there = np.asarray(Measured.of(gyle.kettle.wort).volume_l)
    for part in gyle.portions:
        assert np.median(part.pitched.volume_l / there) == pytest.approx(1 / 3, abs=0.002)


def test_a_portion_without_a_volume_takes_what_the_others_leave():
    gyle = course(portion("one", None, volume_l=8.0), portion("two", None))
    there = np.asarray(Measured.of(gyle.kettle.wort).volume_l)

    assert np.median(gyle.portions[0].pitched.volume_l) == pytest.approx(8.0, rel=0.002)
    np.testing.assert_allclose(divided_l(gyle), there, rtol=1e-9)


def test_liquor_into_one_fermenter_thins_that_portion_alone():
    plain = course(portion("one"), portion("two"))
    thinned = course(portion("one", top_up_l=3.0), portion("two"))

    before, after = named(plain), named(thinned)

    np.testing.assert_allclose(after["portion.two.og"], before["portion.two.og"], rtol=1e-12)
    assert np.all(after["portion.one.og"] < before["portion.one.og"])
    # Wort and water mix with some 0.01 L less than their sum.
    np.testing.assert_allclose(after["portion.one.volume_l"] - before["portion.one.volume_l"], 3.0, atol=0.03)
    bitter = [np.asarray(n["portion.one.ibu"] * n["portion.one.volume_l"]) for n in (before, after)]
    np.testing.assert_allclose(bitter[0], bitter[1], rtol=1e-12)
    assert np.all(np.asarray(after["fermenters.volume_l"] - before["fermenters.volume_l"]) > 2.9)


def test_sugar_into_one_fermenter_makes_that_beer_stronger_and_drier():
    plain = course(portion("one"), portion("two"))
    fed = course(portion("one"), portion("two"), additions=(sugar("candy", 0.5, at="one"),))

    before, after = named(plain), named(fed)

    assert np.all(after["portion.one.og"] > before["portion.one.og"])
    assert np.all(after["portion.one.fg"] < before["portion.one.fg"])
    assert np.all(after["portion.one.abv"] > before["portion.one.abv"])
    np.testing.assert_allclose(after["portion.two.abv"], before["portion.two.abv"], rtol=1e-12)
    np.testing.assert_allclose(after["efficiency.fermenter"], before["efficiency.fermenter"], rtol=1e-12)


def test_lactose_makes_a_beer_fuller_and_no_stronger():
    plain = course(portion("one"), portion("two"))
    sweet = course(
        portion("one"), portion("two"), additions=(sugar("lactose", 0.3, at="one", fermentable=0.0),)
    )

    before, after = named(plain), named(sweet)

    assert np.all(after["portion.one.fg"] > before["portion.one.fg"] + 0.003)
    # The same alcohol in a little more beer.
    np.testing.assert_allclose(after["portion.one.abv"], before["portion.one.abv"], rtol=0.02)


def test_a_later_organism_takes_a_portion_further_than_its_first_yeast():
    gyle = course(portion("one", later=BRETT, package=Package(kind="stays")), portion("two"))
    numbers = named(gyle)

    assert np.all(numbers["portion.one.fg"] <= numbers["portion.one.first_fg"])
    assert np.median(numbers["portion.one.fg"]) < np.median(numbers["portion.two.fg"]) - 0.004
    assert np.median(numbers["portion.one.abv"]) > np.median(numbers["portion.two.abv"]) + 0.5
    np.testing.assert_allclose(numbers["portion.two.fg"], numbers["portion.two.first_fg"])


def test_dry_hops_and_sediment_keep_beer_back():
    # The same additions in both, so that both have the same figures in the same order.
    dry, bare = (
        plan("full volume", hops=(hop(), hop("aroma", mass_kg, use="dry", portion="one")))
        for mass_kg in (0.1, 0.0)
    )
    gyle, figures = brewed(dry, SHED, draws=DRAWS)
    plain, _ = brewed(bare, SHED, draws=DRAWS)

    # 4 to 7 litres a kilogram of pellets: common practice.
    kept = np.asarray(plain.portions[0].packaged_l) - np.asarray(gyle.portions[0].packaged_l)
    np.testing.assert_allclose(kept, 0.55, atol=1e-9)
    one = gyle.portions[1]
    lost = np.asarray(one.beer_l - one.packaged_l)
    wanted = figures["fermenter.sediment"] * one.beer_l + 0.3 + figures["package.loss_l"]
    np.testing.assert_allclose(lost, wanted, rtol=1e-9)


def test_an_empty_looking_keg_holds_nothing_rather_than_less():
    little = replace(plan("full volume"), liquor=Liquor(mash_l=20.0), portions=(portion("one", 0.02),))

    gyle, _ = brewed(little, SHED)

    assert np.min(gyle.portions[0].packaged_l) >= 0.0
