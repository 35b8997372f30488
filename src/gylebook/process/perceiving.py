r"""Tie how far two beers lie apart to how often a taster is right, after Thurstone.

In:  d′, the distance of two beers in standard deviations of perception; or a share of right answers.
Out: the share of right answers in a test; d′ and its interval; the odds that a panel notices.

Idea: the same beer tastes a little different from sip to sip, normally scattered.  From that alone follows
how often each test is answered right at a given distance, so that tests of different kinds can be compared
and the worth of a panel is known before anything is poured.

Sources: Ennis (1993), triangle; Ennis and Jesionka (2011), tetrad; the pair is Thurstone's own.  From memory,
both held by simulation.  Valid for d′ 0 to 6 (a pair also below 0).
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from gylebook.figures.draws import Array
from gylebook.process.guessing import (
    CERTAINTY,
    fewest_either_way,
    fewest_right,
    share_interval,
)

Way = Literal["triangle", "tetrad", "paired"]

CHANCE: dict[Way, float] = {"triangle": 1.0 / 3.0, "tetrad": 1.0 / 3.0, "paired": 0.5}
"""How often a guess is right."""

FARTHEST = 6.0  # in 1,000 triangles one taster errs ten times there
ALPHA = 0.05
ENOUGH = 0.80  # odds of noticing that custom asks of a panel
_LEVEL = 8.0  # standard deviations beyond which nothing is left


def share_right(way: Way, distance: Array | float) -> Array:
    r"""Share of right answers at a distance d′.

    triangle:
    :math:`2\int_0^\infty [\Phi(-z\sqrt3 + d\sqrt{2/3}) + \Phi(-z\sqrt3 - d\sqrt{2/3})]\varphi(z)dz`;
    tetrad, two groups of two: :math:`1 - 2\int \varphi(z)[2\Phi(z)\Phi(z-d) - \Phi(z-d)^2]dz`;
    paired: :math:`\Phi(d/\sqrt2)`.

    >>> [round(float(share_right(way, 1.0)), 3) for way in ("triangle", "tetrad", "paired")]
    [0.418, 0.494, 0.76]
    """
    from scipy.special import ndtr

    d = np.asarray(distance, dtype=float)
    if way == "paired":
        right: Array = ndtr(d / np.sqrt(2.0))
        return right
    if np.any((d < 0.0) | (d > 2.0 * FARTHEST)):
        raise ValueError(f"d′ is from 0 to {2 * FARTHEST:g}")
    node, weight = np.polynomial.legendre.leggauss(160)
    low = 0.0 if way == "triangle" else -_LEVEL
    z = low + (node + 1.0) * 0.5 * (_LEVEL - low)
    density = weight * 0.5 * (_LEVEL - low) * np.exp(-0.5 * z * z) / np.sqrt(2.0 * np.pi)
    apart = d[..., None]
    if way == "triangle":
        shift = apart * np.sqrt(2.0 / 3.0)
        right = 2.0 * np.sum(
            (ndtr(-z * np.sqrt(3.0) + shift) + ndtr(-z * np.sqrt(3.0) - shift)) * density, axis=-1
        )
        return right
    other = ndtr(z - apart)
    right = 1.0 - 2.0 * np.sum((2.0 * ndtr(z) * other - other**2) * density, axis=-1)
    return right


def distance_of(way: Way, share: float) -> float:
    """d′ at which a share of answers is right: 0 at or below chance, infinite where all are.

    Of a pair below chance it is negative: the other of the two is the more.

    >>> round(distance_of("tetrad", 0.778), 2)
    2.0
    """
    from scipy.optimize import brentq
    from scipy.special import ndtri

    if way == "paired":
        return float(np.sqrt(2.0) * ndtri(share))
    if share <= CHANCE[way]:
        return 0.0
    most = 2.0 * FARTHEST
    if share >= float(share_right(way, most)):
        return float("inf")
    return float(brentq(lambda d: float(share_right(way, d)) - share, 0.0, most, xtol=1e-9))


def distance_interval(
    way: Way, right: float, answers: float, certainty: float = CERTAINTY
) -> tuple[float, float, float]:
    """d′ with its interval: low, the likeliest, high.

    The exact interval of the share of right answers, carried over; it holds at least `certainty`.
    """
    low, high = share_interval(right, answers, certainty)
    return distance_of(way, low), distance_of(way, right / answers), distance_of(way, high)


def odds_of_noticing(
    way: Way, answers: int, distance: float, *, either_way: bool = False, alpha: float = ALPHA
) -> float:
    """How often so many answers, each of a taster of its own, would be too many for luck. `distance` d′.

    `either_way` for a pair of which nobody said beforehand which would be named.

    >>> round(odds_of_noticing("triangle", 8, 2.0), 2), round(odds_of_noticing("tetrad", 8, 2.0), 2)
    (0.33, 0.75)
    """
    return odds_of_noticing_again(way, answers, 1, distance, 0.0, either_way=either_way, alpha=alpha)


def odds_of_noticing_again(
    way: Way,
    tasters: int,
    rounds: int,
    distance: float,
    alike: float,
    *,
    either_way: bool = False,
    alpha: float = ALPHA,
) -> float:
    """The same where each taster answers `rounds` times and tasters differ in how well they tell.

    The right answers of a taster are beta-binomial: `alike` is the correlation of two answers of one taster,
    0 where all tell equally well.  By luck alone every answer is a guess of its own, so that the number that
    must be right is that of tasters x rounds answers.  After Brockhoff and Schlich (1998).
    """
    answers = tasters * rounds
    share = float(share_right(way, distance))
    if alike <= 0.0 or rounds == 1 or share >= 1.0:
        return _odds_by_share(way, answers, share, either_way, alpha)
    from scipy.stats import betabinom

    needed = _needed(way, answers, either_way, alpha)
    if needed is None:
        return 0.0
    size = 1.0 / alike - 1.0
    one = betabinom.pmf(np.arange(rounds + 1), rounds, share * size, (1.0 - share) * size)
    counts = np.ones(1)
    for _ in range(tasters):
        counts = np.convolve(counts, one)
    odds = float(np.sum(counts[needed:]))
    if either_way:
        odds += float(np.sum(counts[: answers - needed + 1]))
    return min(odds, 1.0)


def _needed(way: Way, answers: int, either_way: bool, alpha: float) -> int | None:
    return fewest_either_way(answers, alpha) if either_way else fewest_right(answers, CHANCE[way], alpha)


def _odds_by_share(way: Way, answers: int, share: float, either_way: bool, alpha: float) -> float:
    """Odds that answers, each right with the same odds, are too many for luck."""
    from scipy.special import bdtr, bdtrc

    needed = _needed(way, answers, either_way, alpha)
    if needed is None:
        return 0.0
    odds = float(bdtrc(needed - 1, answers, share))
    return odds + float(bdtr(answers - needed, answers, share)) if either_way else odds


def answers_needed(
    way: Way,
    distance: float,
    *,
    either_way: bool = False,
    odds: float = ENOUGH,
    alpha: float = ALPHA,
    most: int = 400,
) -> int | None:
    """From how many answers on a difference is noticed with these odds and more; None beyond `most`.

    The odds rise as the teeth of a saw, so that the first number to reach them is not yet enough.
    """
    found, share = None, float(share_right(way, distance))
    for answers in range(most, 1, -1):
        if _odds_by_share(way, answers, share, either_way, alpha) < odds:
            break
        found = answers
    return found
