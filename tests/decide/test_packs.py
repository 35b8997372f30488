"""Buy whole packs.  Small cases are held against every combination of packs there is."""

from __future__ import annotations

from itertools import product

import pytest

from example_gyles import grain, hop, plan, portion
from gylebook.brewery.larder import Larder, Pack
from gylebook.decide.packs import GRIST_MOVES, LEFT_OVER_COUNTS, WHOLE_MOVES, buy
from gylebook.errors import NotConverged

TWO = (grain("pale", 6.0), grain("amber", 1.03, kind="caramel"))
HOPS = (hop("bitter", 0.052),)


def asked(grist=TWO, hops=HOPS, **more):
    return plan(grist=grist, hops=hops, **more)


def pack(of, size, price, **more):
    return Pack(of=of, size_kg=size, price=price, **more)


def bought(view, name):
    return {one.size_kg: one.packs for one in view.purchases if one.of == name}


def test_the_cheapest_packs_are_those_of_every_combination():
    sold = (pack("pale", 5.0, 12.0), pack("pale", 1.0, 3.1), pack("pale", 2.5, 6.6))

    view = buy(asked(grist=(grain("pale", 7.4),), hops=()), Larder(packs=sold))

    least = 7.4 * (1.0 - WHOLE_MOVES)
    per_kg = min(p.price / p.size_kg for p in sold)
    best = min(
        sum(n * p.price for n, p in zip(counts, sold, strict=True))
        for counts in product(range(5), repeat=3)
        if sum(n * p.size_kg for n, p in zip(counts, sold, strict=True)) >= least
    )
    have = sum(n * size for size, n in bought(view, "pale").items())
    assert have >= view.plan.grist[0].mass_kg - 1e-9
    assert best <= view.cost <= best + LEFT_OVER_COUNTS * per_kg * 5.0


def test_a_bag_ends_empty_where_the_share_may_move_so_far():
    view = buy(asked(), Larder(packs=(pack("amber", 0.5, 2.2), pack("pale", 1.0, 3.0))))

    amber = next(one for one in view.purchases if one.of == "amber")
    assert amber.used == pytest.approx(1.0)
    assert amber.left == 0.0
    assert amber.packs == 2


def test_no_share_moves_by_more_than_it_may_and_the_grist_keeps_its_mass():
    sold = (pack("pale", 5.0, 10.0), pack("amber", 1.0, 4.0), pack("bitter", 0.1, 5.0))

    view = buy(asked(), Larder(packs=sold))

    before, after = sum(g.mass_kg for g in TWO), sum(g.mass_kg for g in view.plan.grist)
    assert after == pytest.approx(before, rel=WHOLE_MOVES + 1e-6)
    for old, new in zip(TWO, view.plan.grist, strict=True):
        assert new.mass_kg / after == pytest.approx(old.mass_kg / before, abs=GRIST_MOVES + 1e-6)


def test_what_is_at_hand_is_used_before_anything_is_bought():
    sold = (pack("pale", 5.0, 10.0, at_hand=6.2), pack("amber", 1.0, 4.0, at_hand=1.2))

    view = buy(asked(), Larder(packs=sold))

    assert view.cost == 0.0
    assert all(one.packs == 0 for one in view.purchases)


def test_weights_stay_where_moving_them_gains_nothing():
    view = buy(asked(), Larder(packs=(pack("bitter", 0.1, 5.0),)))

    assert view.plan.hops[0].mass_kg == pytest.approx(0.052)
    assert view.moved == ()
    assert {name for name, _ in view.missing} >= {"pale", "amber"}


def test_packs_that_do_not_hold_enough_are_refused_in_words():
    with pytest.raises(NotConverged, match="do not hold what this plan needs"):
        buy(asked(), Larder(packs=(pack("pale", 1.0, 3.0, most=2),)))


def test_yeast_is_counted_over_all_portions():
    packs = (Pack(of="clean ale", size_kg=None, price=4.0, at_hand=1.0),)

    view = buy(asked(portions=(portion("one"), portion("two"))), Larder(packs=packs))

    (yeast,) = view.purchases
    assert (yeast.used, yeast.packs, yeast.cost) == (4.0, 3, 12.0)  # two packs each, one at hand
