r"""Follow the levels of a house from brew to brew, for many guesses of its scatters at once.

In:  how levels are spread before any brew; one brew's readings as a straight line through its figures.
Out: `Levels`: mean and covariance of every level given the brews so far, and what the next reading should be.

Idea: in its standardised space a figure of a brew is :math:`z = a^T x + s\,\epsilon`: the house's level
(a sum of states, such as a level and how it tilts with scale) and the scatter of that brew.  Readings see
:math:`y = J z + e`.  Given the scatters all of it is Gaussian, so one pass of a Kalman filter gives the
levels exactly, and on the way the likelihood of the scatters and an honest forecast of every brew from
those before it.  The cost is one small update a brew: linear.

Levels drift: between two brews they fall back towards what was known before any brew, by
:math:`a = \exp(-\Delta t / T)`, and regain the spread that goes with it.  So a house is forgotten as slowly
as houses change, and no spread ever exceeds what was published.  Nothing here knows what a level is of.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array

NO_SCATTER = -1  # family of a column that is the same in every brew
CACHED = 200_000  # bytes of covariances worked on at once


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """What one brew tells, already cleared of everything in it that belongs to no house.

    `seen` (n,) and `slope` (n, c): readings with unit independent errors and how they go with c figures.
    `made_of` (c, states) writes the level of each figure as a sum of states; `family` (c,) says whose scatter
    it has, `NO_SCATTER` where none; `when` is the time of the brew. [years]
    """

    seen: Array
    slope: Array
    made_of: Array
    family: NDArray[np.intp]
    when: float

    @property
    def through(self) -> Array:
        """How the readings go with the states, (n, states)."""
        through: Array = self.slope @ self.made_of
        return through


def evidence_of(
    seen: Array,
    slope: Array,
    noise: Array,
    columns: NDArray[np.intp],
    made_of: Array,
    family: NDArray[np.intp],
    when: float,
) -> Evidence:
    r"""Evidence from readings `seen` (n,) that go with all latents by `slope` (n, d), with this `noise`.

    Latents not at `columns` are a brew's own, standard normal and new in every brew, so they widen the noise
    to :math:`C = N + J_o J_o^T`, by whose root the readings are divided.
    """
    own = np.ones(slope.shape[1], dtype=bool)
    own[columns] = False
    widened = noise + slope[:, own] @ slope[:, own].T
    root = np.linalg.inv(np.linalg.cholesky(widened))
    return Evidence(
        seen=root @ seen,
        slope=root @ slope[:, columns],
        made_of=made_of,
        family=family,
        when=when,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Guesses:
    """Guesses of a house: scatter of each family (guesses, families), memory (guesses,). [years]"""

    scatter: Array
    memory: Array

    def squared(self, family: NDArray[np.intp]) -> Array:
        """Variance of each column from brew to brew, (guesses, c)."""
        padded = np.concatenate([np.square(self.scatter), np.zeros((len(self.scatter), 1))], axis=1)
        chosen: Array = padded[:, family]  # NO_SCATTER is the last column
        return chosen


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Innovation:
    """What the readings of a brew brought against the forecast from the brews before it, for each guess.

    `root` is the inverse lower root of its covariance, `surprise` the difference in those units.
    """

    root: Array  # (guesses, n, n)
    surprise: Array  # (guesses, n)
    gain: Array  # (guesses, n, states), in the same units

    @property
    def log_likelihood(self) -> Array:
        """Log density of the readings, less its constant, (guesses,)."""
        spread = np.log(np.einsum("mii->mi", self.root)).sum(axis=1)
        height: Array = spread - 0.5 * np.square(self.surprise).sum(axis=1)
        return height


@dataclass(slots=True, kw_only=True, eq=False)
class Levels:
    """Every level given the brews so far, for each guess.  `take` moves it on; one is made for each pass."""

    start: Array  # (states, states): covariance before any brew; the means are zero
    guesses: Guesses
    mean: Array  # (guesses, states)
    covariance: Array  # (guesses, states, states)
    when: float | None = None

    @classmethod
    def before(cls, start: Array, guesses: Guesses) -> Levels:
        """Levels before any brew."""
        count = len(guesses.memory)
        return cls(
            start=start,
            guesses=guesses,
            mean=np.zeros((count, len(start))),
            covariance=np.repeat(start[None], count, axis=0),
        )

    def wait(self, when: float) -> None:
        """Let time pass; a brew written down late counts as of the latest one before it."""
        passed = 0.0 if self.when is None else when - self.when
        self.when = when if self.when is None else max(when, self.when)
        if passed > 0.0:
            kept = np.exp(-passed / self.guesses.memory)
            self.mean *= kept[:, None]
            self.covariance -= self.start
            self.covariance *= np.square(kept)[:, None, None]
            self.covariance += self.start

    def innovation(self, brew: Evidence) -> Innovation:
        """The readings of a brew against what the brews before it say."""
        n = len(brew.seen)
        through = brew.through
        pairs = (brew.slope.T[:, :, None] * brew.slope.T[:, None, :]).reshape(-1, n * n)
        scatter = (self.guesses.squared(brew.family) @ pairs).reshape(-1, n, n)
        along = through @ self.covariance  # (guesses, n, states)
        root = np.linalg.inv(np.linalg.cholesky(np.eye(n) + scatter + along @ through.T))
        surprise = np.einsum("mij,mj->mi", root, brew.seen - self.mean @ through.T)
        return Innovation(root=root, surprise=surprise, gain=root @ along)

    def take(self, brew: Evidence) -> Innovation:
        """Move on by one brew."""
        self.wait(brew.when)
        found = self.innovation(brew)
        self.mean += np.einsum("mij,mi->mj", found.gain, found.surprise)
        self.covariance -= found.gain.transpose(0, 2, 1) @ found.gain
        return found


def pass_over(start: Array, guesses: Guesses, brews: Sequence[Evidence]) -> tuple[Levels, Array]:
    """Levels after all brews, and the log likelihood of each guess.

    Guesses go through in groups whose covariances stay in a core's cache, which is three times as fast.
    """
    count, size = len(guesses.memory), max(1, CACHED // (8 * start.size))
    height = np.zeros(count)
    parts = []
    for first in range(0, count, size):
        some = slice(first, first + size)
        part = Guesses(scatter=guesses.scatter[some], memory=guesses.memory[some])
        levels = Levels.before(start, part)
        for brew in brews:
            height[some] += levels.take(brew).log_likelihood
        parts.append(levels)
    whole = Levels(
        start=start,
        guesses=guesses,
        mean=np.concatenate([levels.mean for levels in parts]),
        covariance=np.concatenate([levels.covariance for levels in parts]),
        when=parts[0].when,
    )
    return whole, height
