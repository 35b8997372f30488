"""Say what readings not yet taken would be worth, one after the other.

In:  joint draws of what one cares about and of what instruments would show, and the error of each reading.
Out: the readings in the order in which they tell most, each with the spread that it takes off beyond the
     ones before it.

Idea: on near-normal draws conditioning is elimination in their covariance, so a whole ranking costs one
covariance; a reading that repeats what another tells sinks once that one is taken.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gylebook.figures.draws import Array


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """One reading: its index, and the share of each wanted standard deviation that it takes off. [0..1]"""

    index: int
    removed: Array


def rank_readings(wanted: Array, shown: Array, errors: Array, most: int) -> tuple[Worth, ...]:
    r"""Up to `most` readings, greedily: each time the one that removes most spread in all.

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
    count = len(wanted)
    covariance = np.atleast_2d(np.cov(np.concatenate([wanted, shown]), bias=True))
    left = list(range(len(shown)))
    before = np.sqrt(np.maximum(np.diag(covariance)[:count], 0.0))
    scale = np.where(before > 0.0, before, 1.0)
    out: list[Worth] = []
    while left and len(out) < most:
        spread = np.sqrt(np.maximum(np.diag(covariance)[:count], 0.0))
        taken = {j: _after(covariance, count + j, float(errors[j])) for j in left}
        removed = {
            j: (spread - np.sqrt(np.maximum(np.diag(after)[:count], 0.0))) / scale
            for j, after in taken.items()
        }
        best = max(left, key=lambda j: float(np.sum(removed[j])))
        out.append(Worth(best, removed[best]))
        covariance = taken[best]
        left.remove(best)
    return tuple(out)


def _after(covariance: Array, column: int, error: float) -> Array:
    """Covariance once one of the variables has been read with this error."""
    noisy = covariance[column, column] + error**2
    if noisy <= 0.0:
        return covariance
    along = covariance[:, column]
    left: Array = covariance - np.outer(along, along) / noisy
    return left
