r"""Propose latents near the most probable ones, wasting no draw on what the readings do not touch.

In:  the mode with its Jacobian J, and the prior's own draws as base randomness.
Out: proposed latents with the exact log ratio of prior to proposal; a proposal refitted to weighted draws.

Idea: n readings inform at most n directions of the d latents, the row space of J.  Across them the
linearised posterior *is* the prior, so each draw keeps its own prior value there and the two densities
cancel.  Within them the proposal is a Student t.  A curved forecast bends the ridge on which its likelihood
is high, so the t of each draw is centred one Gauss-Newton step from where its own values across have put it:
one more forecast, which on an invented day of 40 latents and 7 sharp readings turned 4-33 % effective draws
into 28-54 %.  Where one step leaves k high, a second is taken.

A draw differs from its prior draw by a move within the informed directions alone, which also pairs what was
forecast before a reading with what is forecast after it, row by row.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gylebook.figures.draws import Array
from gylebook.infer.laplace import Point
from gylebook.infer.likelihood import Residuals
from gylebook.infer.psis import effective_draws

FREEDOM = 5.0  # of the t: tails for a posterior that is not quite normal, at 10-20 % fewer effective draws
INFORMED = 0.05  # a direction with less slope is narrowed by under 0.13 %: the prior's own draws serve
BEYOND = 8.0  # prior sds; no draw lies further out than the mode by more, where the prior has less than 1e-14


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Base:
    """Draws of the prior (d, draws), their part in the informed directions and the ridge there (r, draws)."""

    prior: Array
    inside: Array
    ridge: Array

    def every(self, stride: int, first: int) -> Base:
        """Every so many draws, from the first on."""
        some = slice(first, None, stride)
        return Base(prior=self.prior[:, some], inside=self.inside[:, some], ridge=self.ridge[:, some])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposed:
    """Proposed latents (d, draws), log of prior over proposal density (less a constant), and where each draw
    stands in the informed directions relative to its ridge (r, draws)."""

    latents: Array
    log_ratio: Array
    relative: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposal:
    """A Student t in r informed directions, the prior across them."""

    directions: Array  # (d, r), orthonormal
    gain: Array  # (r, readings): residuals to a Gauss-Newton step in these directions
    pull: Array  # (r, 1): how much of a place the same step takes back towards the prior's centre
    centre: Array  # (r, 1)
    root: Array  # (r, r): lower root of the t's scale matrix
    reach: float  # of a draw from the prior's centre, in the informed directions

    def base(self, prior: Array) -> Base:
        """Base randomness from draws of the prior (d, draws), as if the ridge were straight."""
        inside = self.directions.T @ prior
        return Base(prior=prior, inside=inside, ridge=np.zeros_like(inside))

    def nearer_ridge(self, residuals: Residuals, base: Base) -> Base:
        """The base with each draw one Gauss-Newton step nearer to its ridge; costs one forecast of all draws.

        The step depends on a draw's place across the informed directions alone, so the t around it stays
        exact.
        """
        there = self.centre + base.ridge
        step = self.gain @ residuals(self._moved(base.prior, there - base.inside)) - self.pull * there
        step[:, ~np.isfinite(step).all(axis=0)] = 0.0  # no forecast there: stay
        return replace(base, ridge=base.ridge + step)

    def propose(self, base: Base, rng: np.random.Generator) -> Proposed:
        """One proposed draw for each of the base."""
        stretch = np.sqrt(FREEDOM / rng.chisquare(FREEDOM, base.inside.shape[1]))
        relative = self.centre + (self.root @ base.inside) * stretch
        placed = base.ridge + relative
        far = np.einsum("ij,ij->j", placed, placed)
        near = far < self.reach**2
        distance = np.square(stretch) * np.einsum("ij,ij->j", base.inside, base.inside)
        log_ratio = 0.5 * (FREEDOM + len(self.centre)) * np.log1p(distance / FREEDOM) - 0.5 * far
        return Proposed(
            latents=self._moved(base.prior, np.where(near, placed, self.centre) - base.inside),
            log_ratio=np.where(near, log_ratio, -np.inf),
            relative=relative,
        )

    def refitted(self, relative: Array, weights: Array) -> Proposal:
        """The same directions with the centre and the spread of weighted draws.

        What the draws say is mixed with what was proposed, counted as r draws, lest few draws make it
        singular.
        """
        trust = effective_draws(weights)
        trust /= trust + len(self.centre)
        mean = (relative @ weights)[:, None]
        deviation = relative - mean
        spread = trust * (deviation * weights) @ deviation.T + (1.0 - trust) * self.root @ self.root.T
        return replace(
            self,
            centre=trust * mean + (1.0 - trust) * self.centre,
            root=np.asarray(np.linalg.cholesky(spread), dtype=float),
        )

    def _moved(self, prior: Array, moves: Array) -> Array:
        """Draws of the prior (d, draws) moved within the informed directions (r, draws)."""
        moved: Array = self.directions @ moves
        moved += prior
        return moved


def laplace_proposal(mode: Point) -> Proposal:
    """The t with the centre and scale of the Laplace approximation, in the row space of its Jacobian."""
    left, slopes, right = np.linalg.svd(mode.slope, full_matrices=False)
    informed = slopes > INFORMED
    directions, slopes = right[informed].T, slopes[informed]
    narrowed = 1.0 / (1.0 + np.square(slopes))
    centre = directions.T @ mode.latents
    return Proposal(
        directions=directions,
        gain=(left[:, informed] * (slopes * narrowed)).T,
        pull=narrowed[:, None],
        centre=centre[:, None],
        root=np.diag(np.sqrt(narrowed)),
        reach=float(np.linalg.norm(centre)) + BEYOND,
    )
