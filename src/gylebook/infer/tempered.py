"""Sample a posterior that no single bump describes, slowly.

In:  the readings, any of which may be a slip, and draws of the prior.
Out: equally weighted draws of the posterior and how many independent ones they are worth.

Idea: let the readings count for a little at first and for more at each stage, as fast as half of the draws
stay effective; at each stage resample, then move every draw by steps that leave that stage's density as it
is.  It starts from the whole prior, so it finds what a climb from the prior's centre would miss, at 30 to
200 forecasts.

References
----------
.. [1] P. Del Moral, A. Doucet, A. Jasra, "Sequential Monte Carlo samplers",
   J. R. Stat. Soc. B 68, 411 (2006).
.. [2] A. Beskos et al., "Sequential Monte Carlo methods for Bayesian elliptic inverse problems",
   Stat. Comput. 25, 727 (2015): moves that leave a Gaussian fitted to the draws as it is.
.. [3] A. Lee, N. Whiteley, "Variance estimation in the particle filter", Biometrika 105, 609 (2018).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.infer.likelihood import Readings
from gylebook.infer.psis import effective_draws
from gylebook.infer.resample import resampled_rows

KEPT = 0.5  # share of effective draws at each rise in temperature
STAGES = 60
MOVES = 25  # at most, in one stage
FORGOTTEN = 0.1  # correlation of a draw with its place before the moves that is small enough
WANTED = 0.3  # share of moves accepted
ROUNDS = 12  # of moves at the end, while draws are worth too little
ENOUGH = 50.0  # independent draws, below which a 90 % interval is hearsay


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tempered:
    """Equally weighted latents (d, draws) and their worth in independent draws."""

    latents: Array
    effective_draws: float


def sample_tempered(readings: Readings, prior: Array, rng: np.random.Generator) -> Tempered:
    """Carry draws of the prior (d, draws) over to the posterior.

    Raises `NotConverged` where no draw can be forecast, the temperature does not arrive, or the draws do
    not mix.
    """
    draws = prior.shape[1]
    latents, likely = prior, _likely(readings, prior)
    if np.isfinite(likely).sum() < draws * 0.01:
        raise NotConverged("Fewer than 1 % of the draws have a finite forecast of the readings.")
    heat, step, ancestors = 0.0, 0.5, np.arange(draws)
    for _ in range(STAGES):
        rise = _next_rise(likely, 1.0 - heat)
        heat = min(heat + rise, 1.0)
        rows = resampled_rows(_weights(rise * likely), rng)
        ancestors = ancestors[rows]
        latents = np.take(latents, rows, axis=1)
        latents, likely, step = _move(readings, latents, likely[rows], heat, step, rng)
        if heat >= 1.0:
            return _mixed(readings, latents, likely, ancestors, step, rng)
    raise NotConverged(f"After {STAGES} stages the readings count for {heat:.1%} of their weight only.")


def _mixed(
    readings: Readings,
    latents: Array,
    likely: Array,
    ancestors: NDArray[np.intp],
    step: float,
    rng: np.random.Generator,
) -> Tempered:
    """The draws once they are worth enough, moved on where few ancestors still show in them."""
    for _ in range(ROUNDS):
        worth = _worth(latents, ancestors)
        if worth >= ENOUGH:
            return Tempered(latents=latents, effective_draws=worth)
        latents, likely, step = _move(readings, latents, likely, 1.0, step, rng)
    raise NotConverged(f"The draws that agree with the readings are worth only {worth:.0f} independent ones.")


def _likely(readings: Readings, latents: Array) -> Array:
    return readings.log_likelihood_of_all(readings.residuals(readings.gaps(latents)))


def _worth(latents: Array, ancestors: NDArray[np.intp]) -> float:
    """Independent draws that would know the mean of the worst-known latent as well.

    Draws with one ancestor share its luck as far as they have not forgotten it, so the variance of a mean
    is the sum of squares over ancestors of what their descendants add to it ([3]_).
    """
    worst = np.inf
    for row in latents:
        deviation = row - row.mean()
        shared = np.bincount(ancestors, deviation)
        worst = min(worst, row.size * float(deviation @ deviation) / float(shared @ shared))
    return min(worst, float(latents.shape[1]))


def _weights(log_weights: Array) -> Array:
    raw = np.exp(log_weights - log_weights.max())
    normalised: Array = raw / raw.sum()
    return normalised


def _next_rise(likely: Array, left: float) -> float:
    """Largest rise in temperature that keeps the wanted share of draws effective, by bisection."""
    wanted = KEPT * min(likely.size, np.isfinite(likely).sum())
    if effective_draws(_weights(left * likely)) >= wanted:
        return left
    low, high = 0.0, left
    for _ in range(40):
        middle = 0.5 * (low + high)
        if effective_draws(_weights(middle * likely)) >= wanted:
            low = middle
        else:
            high = middle
    return high


def _move(
    readings: Readings, latents: Array, likely: Array, heat: float, step: float, rng: np.random.Generator
) -> tuple[Array, Array, float]:
    """Metropolis moves until the draws have forgotten their places; returns also a length of step that suits.

    Each move shrinks a draw towards the mean m of all and adds noise of their covariance C, so that N(m,
    C) would be left as it is ([2]_); accepted by how the stage's density differs from N(m, C).
    """
    d, draws = latents.shape
    mean = latents.mean(axis=1, keepdims=True)
    covariance = (latents - mean) @ (latents - mean).T
    # The prior counts as d + 1 draws, lest few draws make the covariance singular.
    root = np.linalg.cholesky((covariance + (d + 1) * np.eye(d)) / (draws + d + 1))
    unroot = np.linalg.inv(root)
    start = unroot @ (latents - mean)
    start_norm = np.square(start - start.mean(axis=1, keepdims=True)).sum(axis=1)
    here = start
    height = _relative_height(latents, here, likely, heat)
    for _ in range(MOVES):
        there = np.sqrt(1.0 - step**2) * here + step * rng.standard_normal((d, draws))
        moved = mean + root @ there
        moved_likely = _likely(readings, moved)
        moved_height = _relative_height(moved, there, moved_likely, heat)
        accept = np.log(rng.random(draws)) < moved_height - height
        here = np.where(accept, there, here)
        latents = np.where(accept, moved, latents)
        likely = np.where(accept, moved_likely, likely)
        height = np.where(accept, moved_height, height)
        step = float(np.clip(step * np.exp(accept.mean() - WANTED), 0.02, 1.0))
        centred = here - here.mean(axis=1, keepdims=True)
        remembered = (start * centred).sum(axis=1) / np.sqrt(start_norm * np.square(centred).sum(axis=1))
        if remembered.max() < max(FORGOTTEN, 4.0 / np.sqrt(draws)):  # chance alone reaches 4 / sqrt S
            break
    return latents, likely, step


def _relative_height(latents: Array, whitened: Array, likely: Array, heat: float) -> Array:
    """Log density of the stage less that of the Gaussian of the moves."""
    prior = np.square(latents).sum(axis=0)
    gaussian = np.square(whitened).sum(axis=0)
    relative: Array = heat * likely - 0.5 * (prior - gaussian)
    return relative
