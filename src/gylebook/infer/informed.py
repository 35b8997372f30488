"""Leave aside the latents on which no reading depends.

In:  the readings as functions of all latents, and draws of the prior.
Out: which latents they depend on, and the same readings as functions of those alone.

Idea: readings that do not depend on a latent leave it as the prior has it, so its draws stay as they were and
nothing need climb, propose or resample along it.  Every latent is tried at the prior's centre, where it takes
a small step, and at a few draws of the prior, where it takes another draw's value; and each later forecast is
asked again at a few of its places, the mode among them, with other values for all that was left aside.  One
answer that differs there, and nothing is left aside.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array
from gylebook.infer.laplace import neighbours
from gylebook.infer.likelihood import Gaps, Readings

TRIED = 3  # draws of the prior
ALIKE = 1e-9  # sds of a reading: rounding is below, and what else is cannot matter


class DependsAfterAll(Exception):
    """A reading depends on a latent that was left aside."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Narrowed:
    """Gaps as a function of the latents `which`, the others being 0.

    `room` (d, TRIED + columns) is filled anew by each forecast.  Its first columns repeat those that follow,
    with other values for what is left aside.
    """

    gaps: Gaps
    which: NDArray[np.intp]
    room: Array

    def __call__(self, inside: Array) -> Array:
        columns = inside.shape[1]
        repeated = np.arange(TRIED) % columns
        latents = self.room[:, : TRIED + columns]
        latents[self.which, TRIED:] = inside
        latents[self.which, :TRIED] = inside[:, repeated]
        seen = self.gaps(latents)
        if not _alike(seen[:, :TRIED], seen[:, TRIED + repeated]).all():
            raise DependsAfterAll
        return seen[:, TRIED:]


def look_around(readings: Readings, prior: Array) -> tuple[NDArray[np.bool_], Array]:
    """Which of the latents (d,) the readings depend on, and their gaps at the `neighbours` of the centre."""
    d = len(prior)
    tried = prior[:, :TRIED]
    changed = [_one_changed(tried, column) for column in range(TRIED)]
    columns = np.concatenate([neighbours(np.zeros(d)), *changed], axis=1)
    seen = readings.gaps(columns).reshape(-1, 1 + TRIED, 1 + d)
    alike = _alike(seen[:, :, :1], seen[:, :, 1:])
    return np.logical_not(np.all(alike, axis=(0, 1))), seen[:, 0]


def narrowed(readings: Readings, which: NDArray[np.bool_], prior: Array) -> Readings:
    """The same readings as functions of these latents alone."""
    spare = np.count_nonzero(which) + 1
    room = np.zeros((len(prior), TRIED + prior.shape[1] + spare))
    room[~which, :TRIED] = prior[~which, -TRIED:]
    return replace(readings, gaps=Narrowed(gaps=readings.gaps, which=np.flatnonzero(which), room=room))


def _one_changed(tried: Array, column: int) -> Array:
    """A draw, and d others of which each has one latent of the next draw: (d, 1 + d)."""
    d = len(tried)
    columns = np.repeat(tried[:, column, None], 1 + d, axis=1)
    columns[np.arange(d), np.arange(1, 1 + d)] = tried[:, (column + 1) % TRIED]
    return columns


def _alike(one: Array, other: Array) -> NDArray[np.bool_]:
    """Whether two gaps differ by rounding at most; what is not a number is alike to itself."""
    with np.errstate(invalid="ignore"):
        alike: NDArray[np.bool_] = np.abs(one - other) <= ALIKE
    same: NDArray[np.bool_] = alike | (one == other) | (np.isnan(one) & np.isnan(other))
    return same
