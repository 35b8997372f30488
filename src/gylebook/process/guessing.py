r"""Say how far an answer of a blind test is from luck: exact tails of the binomial.

In:  right answers, answers in all, the chance that a guess is right.
Out: p-values, critical numbers, an interval of the share of right answers, how many can tell.

Idea: who cannot tell two beers apart is right by luck alone, one time in three with three glasses or with
two pairs, one in two with one pair.  The p-value is how often guessing alone gives as many right answers or
more.  With few tasters the interval says more than any verdict.

Sources: ISO 4120 and ISO 5495 (critical numbers), Clopper and Pearson (1934) for the interval.
"""

from __future__ import annotations

from functools import cache
from math import comb

import numpy as np

from gylebook.figures.draws import Array

CERTAINTY = 0.90  # the intervals of this program
_GRID = 4001


def luck(right: int, answers: int, chance: float) -> float:
    r"""How often guessing alone gives so many right answers or more.

    .. math:: p = \sum_{i \ge x} \binom{n}{i} c^i (1-c)^{n-i}

    Exact.  `chance` c within 0 to 1.

    >>> round(luck(8, 12, 1 / 3), 4)
    0.0188
    """
    _judge(right, answers, chance)
    terms = [
        comb(answers, i) * chance**i * (1.0 - chance) ** (answers - i) for i in range(right, answers + 1)
    ]
    return min(float(sum(terms)), 1.0)


def odds_of_each(answers: int, chance: float) -> Array:
    """Odds of every number of right answers, from none to all, when all guess."""
    _judge(0, answers, chance)
    odds: Array = np.array(
        [comb(answers, i) * chance**i * (1.0 - chance) ** (answers - i) for i in range(answers + 1)]
    )
    return odds


def luck_either_way(first: int, answers: int) -> float:
    """How often two beers that are alike part so unevenly, whichever of them is named the more.

    Twice the tail of the larger count at a chance of a half, as ISO 5495 has it; exact.

    >>> round(luck_either_way(10, 12), 4)
    0.0386
    """
    return min(2.0 * luck(max(first, answers - first), answers, 0.5), 1.0)


@cache
def fewest_right(answers: int, chance: float, alpha: float) -> int | None:
    """The smallest number of right answers that guessing reaches at most `alpha` of the time.

    None where not even all right would do: so few answers can show nothing at that level.

    >>> fewest_right(12, 1 / 3, 0.05), fewest_right(2, 1 / 3, 0.05)
    (8, None)
    """
    _judge(0, answers, chance)
    tail, needed = 0.0, None
    for right in range(answers, -1, -1):
        tail += comb(answers, right) * chance**right * (1.0 - chance) ** (answers - right)
        if tail > alpha:
            break
        needed = right
    return needed


def fewest_either_way(answers: int, alpha: float) -> int | None:
    """The smallest larger count of two that are named so unevenly at most `alpha` of the time.

    >>> fewest_either_way(12, 0.05)
    10
    """
    return fewest_right(answers, 0.5, alpha / 2.0)


def share_interval(right: float, answers: float, certainty: float = CERTAINTY) -> tuple[float, float]:
    r"""Interval of the share of right answers in the long run, after Clopper and Pearson.

    Holds at least `certainty`; each end leaves half of the rest outside.  `right` and `answers` may be parts
    of whole numbers, where answers of one taster are alike and count for less.
    """
    from scipy.special import betaincinv

    outside = (1.0 - certainty) / 2.0
    low = 0.0 if right <= 0.0 else float(betaincinv(right, answers - right + 1.0, outside))
    high = 1.0 if right >= answers else float(betaincinv(right + 1.0, answers - right, 1.0 - outside))
    return low, high


def able_interval(
    right: float, answers: float, chance: float, certainty: float = CERTAINTY
) -> tuple[float, float, float]:
    r"""Share of tasters who truly tell, beyond guessing: low, middle, high.

    .. math:: P(P_d) \propto (c + (1-c) P_d)^x \, ((1-c)(1-P_d))^{n-x}

    A flat prior on P_d from 0 to 1; the mean stands in the middle.  Each answer is taken to come from a
    taster of its own, so `right` and `answers` may be parts of whole numbers where they do not.
    """
    _judge(right, answers, chance)
    able: Array = np.linspace(0.0, 1.0, _GRID)
    correct = chance + (1.0 - chance) * able
    wrong = np.maximum(1.0 - correct, 0.0)
    with np.errstate(divide="ignore"):
        logs = (right * np.log(correct) if right else 0.0 * able) + (
            (answers - right) * np.log(wrong) if answers > right else 0.0
        )
    weight = np.exp(logs - np.max(logs))
    weight[[0, -1]] *= 0.5  # trapezoids
    below = np.cumsum(weight) / np.sum(weight)
    outside = (1.0 - certainty) / 2.0
    low, high = np.interp([outside, 1.0 - outside], below, able)
    return float(low), float(np.sum(weight * able) / np.sum(weight)), float(high)


def likeness(right: Array, answers: Array) -> float:
    r"""How alike the answers of one taster are, from 0 (as if each had a taster of its own) to 1.

    `right` of `answers`, one element a taster.  The correlation within tasters by its usual estimate from
    mean squares between and within them, below 0 taken as 0; 0 where nobody tasted twice.
    """
    r, n = np.asarray(right, dtype=float), np.asarray(answers, dtype=float)
    r, n = r[n > 0], n[n > 0]
    tasters, total = len(n), float(np.sum(n))
    if tasters < 2 or total <= tasters:
        return 0.0
    mean = float(np.sum(r)) / total
    between = float(np.sum(n * (r / n - mean) ** 2)) / (tasters - 1)
    within = float(np.sum(r * (1.0 - r / n))) / (total - tasters)
    usual = (total - float(np.sum(n * n)) / total) / (tasters - 1)
    spread = between + (usual - 1.0) * within
    return 0.0 if spread <= 0.0 else min(max((between - within) / spread, 0.0), 1.0)


def _judge(right: float, answers: float, chance: float) -> None:
    if not 0 <= right <= answers:
        raise ValueError(f"{right:g} right of {answers:g} answers cannot be")
    if not 0.0 < chance < 1.0:
        raise ValueError(f"a guess is right with a chance between 0 and 1, not {chance}")
