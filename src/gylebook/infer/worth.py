r"""Say what readings not yet taken would be worth, one after the other.

In:  joint draws of what one cares about and of what instruments would show, and the error of each reading.
Out: the readings in the order in which they tell most, each with the doubt about odds that it settles and the
     spread that it takes off, beyond the ones before it.

Idea: on near-normal draws conditioning is elimination in their covariance, so a whole ranking costs one
covariance; a reading that repeats what another tells sinks once that one is taken.  Odds near one in two are
the doubt that matters: after a reading they will be other odds, and how far these are expected to differ from
the present ones is what the reading is worth to them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array

SPREAD_COUNTS = 0.2  # of all spread taken off, beside one doubt settled: it decides where no odds are open


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Odds:
    """Margins (odds, draws) whose odds to be above zero matter, those odds, and how much each counts.

    `in_time` (readings, odds) says which reading comes before it is too late to do anything about which.
    """

    margins: Array
    above: Array
    counts: Array
    in_time: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Worth:
    """One reading: its index, the share of each wanted standard deviation that it takes off, and the share of
    the doubt about each of the odds that it settles. [0..1]"""

    index: int
    removed: Array
    settled: Array


def rank_readings(
    wanted: Array, shown: Array, errors: Array, most: int, odds: Odds | None = None
) -> tuple[Worth, ...]:
    r"""Up to `most` readings, greedily: each time the one that is worth most.

    Parameters
    ----------
    wanted, shown
        Draws, shape (numbers, draws) and (readings, draws).
    errors
        One standard deviation of each reading.

    Notes
    -----
    Taking reading :math:`j` turns the covariance :math:`C` into
    :math:`C - c_j c_j^T / (C_{jj} + \sigma_j^2)`.
    """
    if odds is None:
        none = np.empty((0, shown.shape[1]))
        odds = Odds(
            margins=none, above=none[:, 0], counts=none[:, 0], in_time=np.empty((len(shown), 0), bool)
        )
    count, doubts = len(wanted), len(odds.margins)
    covariance = np.atleast_2d(np.cov(np.concatenate([wanted, odds.margins, shown]), bias=True))
    start = np.maximum(np.diag(covariance), 0.0)
    left = list(range(len(shown)))
    out: list[Worth] = []
    while left and len(out) < most:
        before = np.maximum(np.diag(covariance), 0.0)
        taken = {j: _after(covariance, count + doubts + j, float(errors[j])) for j in left}
        found = {j: _worth(j, start, before, np.maximum(np.diag(taken[j]), 0.0), count, odds) for j in left}
        best = max(left, key=lambda j: _value(found[j], odds))
        out.append(found[best])
        covariance = taken[best]
        left.remove(best)
    return tuple(out)


def _worth(index: int, start: Array, before: Array, after: Array, count: int, odds: Odds) -> Worth:
    """What one reading adds, from the variances at the start, before it and after it."""
    scale = np.sqrt(np.where(start > 0.0, start, 1.0))
    removed = (np.sqrt(before) - np.sqrt(after)) / scale
    some = slice(count, count + len(odds.margins))
    known = [1.0 - now[some] / np.where(start[some] > 0.0, start[some], np.inf) for now in (before, after)]
    known = [np.where(start[some] > 0.0, share, 0.0) for share in known]
    settled = _settled(odds.above, known[1]) - _settled(odds.above, known[0])
    return Worth(index=index, removed=removed[:count], settled=settled * odds.in_time[index])


def _value(worth: Worth, odds: Odds) -> float:
    """Doubt settled, each of the odds counting as it is open: wholly at one in two, not at all when sure."""
    doubt = 4.0 * odds.above * (1.0 - odds.above) * odds.counts
    return float(doubt @ worth.settled) + SPREAD_COUNTS * float(np.mean(worth.removed))


def _settled(above: Array, known: Array) -> Array:
    r"""Share of the doubt :math:`p (1 - p)` settled once a share of the margin's variance is known. [0..1]

    The odds will then be :math:`p' = \Phi(m' / s')`, of variance
    :math:`p (1 - p) - 2\,T(h, \sqrt{(1 - \rho) / (1 + \rho)})` with :math:`h = \Phi^{-1}(p)`, the share known
    :math:`\rho` and Owen's T [1]_.

    References
    ----------
    .. [1] D. B. Owen, "Tables for computing bivariate normal probabilities", Ann. Math. Stat. 27,
       1075 (1956).
    """
    if not above.size:
        return above
    from scipy.special import ndtri, owens_t

    open_ = (above > 0.0) & (above < 1.0)
    p = np.where(open_, above, 0.5)
    share = np.clip(known, 0.0, 1.0)
    spread = p * (1.0 - p) - 2.0 * owens_t(ndtri(p), np.sqrt((1.0 - share) / (1.0 + share)))
    settled: Array = np.where(open_, spread / (p * (1.0 - p)), 0.0)
    return settled


def _after(covariance: Array, column: int, error: float) -> Array:
    """Covariance once one of the variables has been read with this error."""
    noisy = covariance[column, column] + error**2
    if noisy <= 0.0:
        return covariance
    along = covariance[:, column]
    left: Array = covariance - np.outer(along, along) / noisy
    return left
