"""Beers put in an order: exact against the tables, an example of the standard and a general library."""

from __future__ import annotations

from itertools import permutations, product

import numpy as np
import pytest
from scipy.stats import friedmanchisquare

from gylebook.process import ranking
from published_tables import published


def test_sums_of_the_standards_example_differ_by_more_than_luck(check):
    sums = np.array([17, 31, 32, 23, 17])
    of = {"at": "8 assessors, 5 samples", "source": "iso-8587"}

    check("Friedman's F", ranking.friedman(sums, 8), 10.6, within=0.005, **of)
    check("least difference of rank sums", ranking.least_difference(5, 8), 12.4, within=0.05, **of)
    odds, exact = ranking.luck_of_order(sums, 8)
    assert exact
    assert 0.01 < odds < 0.05


@pytest.mark.parametrize("beers", [3, 4, 5])
def test_every_order_is_counted(beers, check):
    for k, tasters, least, luck in published("glass_ranking", "beers", "tasters", "f", "luck"):
        if k != beers:
            continue
        values, odds = ranking.all_orders(beers, int(tasters))
        of = {"at": f"{tasters:g} tasters", "source": "friedman-1937", "kind": "slip"}
        # F is printed to 0.001.
        found = np.sum(odds[values >= least - 0.0006])
        check(f"luck of a ranking of {beers}", found, luck, within=5.1e-5, **of)
        assert np.sum(odds) == pytest.approx(1.0)


@pytest.mark.parametrize("beers", [3, 4, 5])
def test_two_sums_may_part_by_so_much(beers, check):
    for k, tasters, apart in published("glass_ranking", "beers", "tasters", "apart"):
        if k != beers:
            continue
        of = {"at": f"{tasters:g} tasters", "source": "friedman-1937", "kind": "slip"}
        found = ranking.least_difference(beers, int(tasters))
        check(f"least difference, {beers} beers", found, apart, within=0.0051, **of)


def test_counting_agrees_with_every_panel_of_three_written_out():
    orders = list(permutations((1, 2, 3)))
    panels = [np.sum(panel, axis=0) for panel in product(orders, repeat=3)]
    seen = np.array([4, 6, 8])

    statistic = ranking.friedman(seen, 3)
    by_hand = np.mean([ranking.friedman(sums, 3) >= statistic - 1e-9 for sums in panels])
    far = np.mean([abs(sums[2] - sums[0]) >= 4 for sums in panels])

    assert ranking.luck_of_order(seen, 3) == (pytest.approx(by_hand), True)
    assert ranking.luck_of_pair(4, 3, 3) == pytest.approx(far)


def test_a_large_panel_is_judged_as_a_general_library_judges_it():
    rng = np.random.default_rng(5)
    ranks = np.array([rng.permutation(6) + 1 for _ in range(30)])
    ranks[:20] = np.arange(1, 7)

    statistic, odds = friedmanchisquare(*ranks.T)
    sums = ranking.rank_sums(ranks)

    assert ranking.friedman(sums, 30) == pytest.approx(statistic)
    assert ranking.luck_of_order(sums, 30) == (pytest.approx(odds), False)


def test_a_tie_or_a_missing_rank_is_a_slip_of_the_program():
    with pytest.raises(ValueError, match="a rank of its own"):
        ranking.rank_sums(np.array([[1, 2, 2]]))


def test_three_beers_and_two_tasters_can_never_show_anything():
    odds, _ = ranking.luck_of_order(np.array([2, 4, 6]), 2)

    assert odds == pytest.approx(1 / 6)
