r"""Tell readings that are right from slips, and say how far each is from what the others say.

In:  a point near the most probable latents, with the gaps and slopes of all readings there.
Out: the likeliest set of readings to take at their word, others nearly as likely with their odds, and for
     each reading what the prior and the others make one expect in its place.

Idea: near one point the forecast is straight, so the evidence for any set of right readings is that of a
normal, :math:`N(r; 0, I + J J^T)` over the set, times the odds that the rest are slips.  From the set at hand
one looks at those that differ by one reading, or by one for another (either of two readings that contradict
each other may be the slip), and goes where the evidence is best.

References
----------
.. [1] G. E. P. Box, G. C. Tiao, "A Bayesian approach to some outlier problems", Biometrika 55, 119 (1968).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gylebook.figures.draws import Array
from gylebook.infer.laplace import Point
from gylebook.infer.likelihood import Kept, Readings

LEAST = 0.005  # odds below which a set is left out: 20 draws of 4,000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One set of right readings and its share of the probability, 0..1."""

    kept: Kept
    share: float


def likeliest(readings: Readings, at: Point) -> Kept:
    """The set of right readings with the best evidence near `at`."""
    kept = at.kept
    for _ in range(2 * len(kept)):
        others = _others(kept)
        evidence = _log_evidence(readings, at, np.concatenate([kept[None], others]))
        best = int(np.argmax(evidence[1:]))
        if not evidence[1 + best] > evidence[0]:
            break
        kept = others[best]
    return kept


def cases(readings: Readings, at: Point) -> tuple[Case, ...]:
    """The set kept at `at`, and those next to it that are not far less likely."""
    if all_right(readings, at):
        return (Case(kept=at.kept, share=1.0),)
    sets = np.concatenate([at.kept[None], _others(at.kept)])
    evidence = _log_evidence(readings, at, sets)
    odds = np.exp(evidence - evidence.max())
    odds /= odds.sum()
    worth = odds >= LEAST
    worth[0] = True  # it may be less likely than another, but draws around it keep the weights in bounds
    odds = np.maximum(odds, LEAST)
    total = odds[worth].sum()
    return tuple(Case(kept=sets[i], share=float(odds[i] / total)) for i in np.flatnonzero(worth))


def all_right(readings: Readings, at: Point) -> bool:
    """Whether all readings are taken to be right, and not one is at all likely to be a slip.

    The usual case, and the cheap one: the evidence without a reading follows from how it stands to the rest.
    """
    if not at.kept.all():
        return False
    residual, spread = _apart(at)
    odds = readings.floors + 0.5 * np.square(residual / spread) + np.log(spread)
    return bool(np.all(odds < np.log(LEAST)))


def _apart(at: Point) -> tuple[Array, Array]:
    """Each residual from what the prior and all other readings say, and one sd of it, where all are right.

    The diagonal of the inverse is one over the variance that the others leave.
    """
    steep = at.steep
    inverse = np.linalg.inv(np.eye(len(steep)) + steep @ steep.T)
    variance = 1.0 / np.diag(inverse)
    residual: Array = (inverse @ (at.residual + steep @ at.latents)) * variance
    return residual, np.sqrt(variance)


def _others(kept: Kept) -> Kept:
    """The sets that differ from `kept` by one reading, and by one slip in the place of another."""
    count = len(kept)
    flipped = kept ^ np.eye(count, dtype=bool)
    slips, right = np.flatnonzero(~kept), np.flatnonzero(kept)
    swapped = np.repeat(kept[None], slips.size * right.size, axis=0)
    rows = np.arange(len(swapped))
    swapped[rows, np.repeat(slips, right.size)] = True
    swapped[rows, np.tile(right, slips.size)] = False
    both: Kept = np.concatenate([flipped, swapped])
    return both


def _log_evidence(readings: Readings, at: Point, sets: Kept) -> Array:
    """Log evidence of each set (sets, readings), for a forecast that is straight from `at`."""
    steep = at.steep
    centre = np.nan_to_num(at.residual + steep @ at.latents, posinf=1e9, neginf=-1e9)
    inner = np.eye(len(centre)) + sets[:, :, None] * (steep @ steep.T) * sets[:, None, :]
    gaps = sets * centre
    distance = np.einsum("ij,ij->i", gaps, np.linalg.solve(inner, gaps[:, :, None])[:, :, 0])
    slips = np.where(sets, 0.0, readings.floors).sum(axis=1)
    evidence: Array = slips - 0.5 * (distance + np.linalg.slogdet(inner).logabsdet)
    return evidence


def from_prior(start: Point, side: Array) -> Array:
    """Each reading's gap from the forecast made before any, in sds of that gap."""
    gap: Array = contrary(start.gap, side) / np.sqrt(1.0 + np.square(start.slope).sum(axis=1))
    return gap


def from_others(at: Point, side: Array) -> tuple[Array, Array]:
    """Each reading's gap from what the prior and the *other* right readings say, and one sd of that gap.

    Both in sds of its error; a bound's gap is that of its value.
    """
    if at.kept.all() and not side.any():
        return _apart(at)
    count = len(at.gap)
    sets = at.kept & ~np.eye(count, dtype=bool)
    steep = at.steep
    kernel = steep @ steep.T
    inner = np.eye(count) + sets[:, :, None] * kernel * sets[:, None, :]
    centre = at.residual + steep @ at.latents
    across = sets * (at.slope @ steep.T)  # row i: covariance of what i would show with the others' residuals
    solved = np.linalg.solve(inner, np.stack([sets * centre, across], axis=2))
    gap = at.gap + at.slope @ at.latents - np.einsum("ij,ij->i", across, solved[:, :, 0])
    spread = 1.0 + np.square(at.slope).sum(axis=1) - np.einsum("ij,ij->i", across, solved[:, :, 1])
    return gap, np.sqrt(spread)


def contrary(gap: Array, side: Array) -> Array:
    """The gap, of a bound only what is against it: none where the bound is kept."""
    against: Array = np.where(side == 0.0, gap, side * np.maximum(side * gap, 0.0))
    return against
