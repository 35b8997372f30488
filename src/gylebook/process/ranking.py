r"""Judge beers that tasters put in an order: rank sums against luck.

In:  ranks, shape (tasters, beers), each row 1 to k without ties.
Out: Friedman's F and its p-value, exact for a small panel; for each two beers how far their sums may part by
     luck.

Idea: if the beers are alike, every order is as likely as any other.  The sums of small panels are few enough
to count all of them, so no approximation is needed where it is worst.

Sources: ISO 8587; Friedman (1937).
"""

from __future__ import annotations

from itertools import permutations
from math import factorial

import numpy as np

from gylebook.figures.draws import Array

_MOST_WORK = {2: 200, 3: 40, 4: 14, 5: 8, 6: 4}  # tasters up to whom all orders are counted
SIGNIFICANT_Z = 1.959964  # two-sided, 5 in 100


def rank_sums(ranks: Array) -> Array:
    """Sum of the ranks of each beer, shape (beers,)."""
    given = np.asarray(ranks)
    beers = given.shape[1]
    if np.any(np.sort(given, axis=1) != np.arange(1, beers + 1)):
        raise ValueError("every taster gives each beer a rank of its own, from 1 on")
    sums: Array = np.sum(given, axis=0)
    return sums


def friedman(sums: Array, tasters: int) -> float:
    r"""Friedman's statistic.

    .. math:: F = \frac{12}{n k (k+1)} \sum_j R_j^2 - 3 n (k+1)

    >>> round(friedman(np.array([17, 31, 32, 23, 17]), 8), 2)
    10.6
    """
    r = np.asarray(sums, dtype=float)
    k = len(r)
    return float(12.0 / (tasters * k * (k + 1)) * np.sum(r * r) - 3.0 * tasters * (k + 1))


def luck_of_order(sums: Array, tasters: int) -> tuple[float, bool]:
    """How often beers that are alike are ranked so unevenly or more so; whether that was counted out exactly.

    Else by the chi-squared distribution, which is a shade strict for four beers and more.
    """
    beers = len(sums)
    if tasters <= _MOST_WORK.get(beers, 0):
        values, odds = all_orders(beers, tasters)
        return float(np.sum(odds[values >= friedman(sums, tasters) - 1e-9])), True
    from scipy.special import gammaincc

    return float(gammaincc((beers - 1) / 2.0, friedman(sums, tasters) / 2.0)), False


def all_orders(beers: int, tasters: int) -> tuple[Array, Array]:
    """Every value of F that can be, and how likely each is when the beers are alike.

    Sums are kept in rising order, for which beer has which makes F no different.
    """
    orders = np.array(list(permutations(range(1, beers + 1))))
    sums = orders[:1]
    odds: Array = np.ones(1)
    for _ in range(tasters - 1):
        further = np.sort((sums[:, None, :] + orders[None]).reshape(-1, beers), axis=1)
        # One number a row, so that alike ones are found fast.
        key = further @ (beers * tasters + 1) ** np.arange(beers)
        _, first, back = np.unique(key, return_index=True, return_inverse=True)
        each = np.repeat(odds / factorial(beers), len(orders))
        odds = np.bincount(back.ravel(), weights=each).astype(float)
        sums = further[first]
    k = beers
    values: Array = 12.0 / (tasters * k * (k + 1)) * np.sum(sums.astype(float) ** 2, axis=1)
    return values - 3.0 * tasters * (k + 1), odds


def least_difference(beers: int, tasters: int) -> float:
    r"""Difference of two rank sums that luck exceeds 5 times in 100, :math:`1.96\sqrt{n k (k+1)/6}`.

    >>> round(least_difference(4, 8), 1)
    10.1
    """
    return float(SIGNIFICANT_Z * np.sqrt(tasters * beers * (beers + 1) / 6.0))


def luck_of_pair(apart: int, beers: int, tasters: int) -> float:
    """How often the sums of two given beers part so far or farther when all are alike; exact."""
    steps = np.arange(-(beers - 1), beers)
    one = np.where(steps == 0, 0.0, (beers - np.abs(steps)) / (beers * (beers - 1.0)))
    odds = np.ones(1)
    for _ in range(tasters):
        odds = np.convolve(odds, one)
    middle = (len(odds) - 1) // 2
    far = np.abs(np.arange(len(odds)) - middle) >= abs(apart)
    return min(float(np.sum(odds[far])), 1.0)
