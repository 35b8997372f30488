"""How far two beers lie apart, and what a panel would notice of it."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from gylebook.process import perceiving
from published_tables import published

WAYS = ("triangle", "tetrad", "paired")
SOURCE = {"triangle": "ennis-1993", "tetrad": "ennis-jesionka-2011", "paired": "thurstone-1927"}


@pytest.mark.parametrize("way", WAYS)
def test_share_of_right_answers_is_that_of_the_integrals(way, check):
    for distance, share in published("glass_share_right", "distance", way):
        of = {"at": f"d′ {distance:g}", "source": SOURCE[way], "kind": "slip"}
        check(f"share right, {way}", perceiving.share_right(way, distance), share, within=5.1e-5, **of)


@pytest.mark.parametrize("way", WAYS)
def test_odds_of_noticing_are_those_of_the_table(way, check):
    for answers, distance, odds in published("glass_odds_of_noticing", "answers", "distance", way):
        of = {"at": f"{answers:g}, d′ {distance:g}", "source": SOURCE[way], "kind": "slip"}
        found = perceiving.odds_of_noticing(way, int(answers), distance)
        check(f"odds of noticing, {way}", found, odds, within=0.00051, **of)


@pytest.mark.parametrize(("distance", "needed"), [(1.5, (57, 20, 13)), (2.0, (23, 9, 8)), (3.0, (9, 5, 5))])
def test_so_many_answers_are_needed(distance, needed, check):
    for way, answers in zip(WAYS, needed, strict=True):
        of = {"at": f"{way}, d′ {distance:g}", "source": SOURCE[way], "kind": "slip", "unit": "answers"}
        found = perceiving.answers_needed(way, distance)
        check("answers for 80 in 100", found, answers, within=0, **of)


def nearest_pair(tastes):
    """The two of a triangle that are nearest; the third is called the odd one."""
    apart = {pair: abs(tastes[:, pair[0]] - tastes[:, pair[1]]) for pair in combinations(range(3), 2)}
    return np.argmin(np.stack(list(apart.values())), axis=0)  # pairs 01, 02, 12


@pytest.mark.parametrize("distance", [0.0, 1.0, 2.0])
def test_tasters_who_perceive_as_the_model_says_are_right_so_often(distance):
    # 200,000 tasters scatter by 0.0011; four times that.
    rng = np.random.default_rng(3)
    tastes = rng.normal(size=(200_000, 4))
    tastes[:, 2] += distance

    triangle = np.mean(nearest_pair(tastes[:, :3]) == 0)
    tastes[:, 3] += distance
    rank = np.argsort(np.argsort(tastes, axis=1), axis=1)
    tetrad = np.mean((rank[:, 0] > 1) == (rank[:, 1] > 1))  # the two lowest are one group
    paired = np.mean(tastes[:, 2] > tastes[:, 0])

    for way, share in zip(WAYS, (triangle, tetrad, paired), strict=True):
        assert share == pytest.approx(float(perceiving.share_right(way, distance)), abs=0.0045), way


@pytest.mark.parametrize("way", WAYS)
def test_distance_is_the_way_back_from_the_share(way):
    for distance in (0.2, 1.0, 2.5, 4.0):
        share = float(perceiving.share_right(way, distance))
        assert perceiving.distance_of(way, share) == pytest.approx(distance, abs=1e-6)


def test_no_distance_is_found_below_chance_and_no_end_where_all_are_right():
    assert perceiving.distance_interval("triangle", 2, 12)[:2] == (0.0, 0.0)
    low, likeliest, high = perceiving.distance_interval("tetrad", 6, 6)
    assert 0.0 < low < likeliest == high == float("inf")
    assert perceiving.distance_of("paired", 0.25) < 0.0  # the other one is the more


def test_the_interval_of_the_distance_holds_what_is_true_as_often_as_it_says():
    rng = np.random.default_rng(11)
    share = float(perceiving.share_right("tetrad", 1.5))
    inside = 0
    for right in rng.binomial(12, share, 400):
        low, _, high = perceiving.distance_interval("tetrad", int(right), 12)
        inside += low <= 1.5 <= high

    assert inside / 400 >= 0.90  # exact intervals hold more, never less; 400 scatter by 0.015


def test_a_taster_asked_twice_is_worth_less_than_two_tasters_unless_all_tell_alike():
    two = perceiving.odds_of_noticing("tetrad", 12, 2.0)
    alike = perceiving.odds_of_noticing_again("tetrad", 6, 2, 2.0, 0.3)

    assert perceiving.odds_of_noticing_again("tetrad", 6, 2, 2.0, 0.0) == pytest.approx(two)
    assert perceiving.odds_of_noticing("tetrad", 6, 2.0) < alike < two


def test_nobody_knowing_the_direction_takes_more_to_notice():
    known = perceiving.odds_of_noticing("paired", 8, 1.5)

    assert perceiving.odds_of_noticing("paired", 8, 1.5, either_way=True) < known
    assert perceiving.odds_of_noticing("paired", 5, 3.0, either_way=True) == 0.0  # five can show nothing so
