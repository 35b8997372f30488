"""Condition named draws on readings, and say how far the result can be trusted.

In:  a forecast (standard-normal latents -> named draws), draws of its latents, the readings so far.
Out: equally likely latents given the readings, with a diagnostic that travels with them.

Idea: climb near the most probable latents, put each draw on the ridge there, propose draws around it, weigh
each by what it should have been, and smooth the largest weights.  The shape k of the weights' tail tells
whether that was good enough; where it is not quite, the proposal is refitted to the weighted draws and they
are proposed again.  If that is not enough, or if the forecast folds, tempered sampling starts again from the
prior.  If that fails too there is no answer, and `NotConverged` says so.

Cost: two forecasts of all draws, on the ridge and as proposed, and one or two of d rows for the climb, whose
last look goes along with the ridge.  Of 100 days of seven readings 14 took a third, as k was above `GOOD`,
and 5 the ridge anew, as that look found the mode more than 2 posterior sds away; two more are taken where k
cannot be trusted even then.  The rest is arithmetic on (readings, draws), and costs about as much as one
forecast of a brew day.  Nothing here knows what a name means.

References
----------
.. [1] A. Vehtari, D. Simpson, A. Gelman, Y. Yao, J. Gabry, "Pareto smoothed importance sampling",
   J. Mach. Learn. Res. 25(72) (2024).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.infer.laplace import NEAR, Mode, climb_on, find_mode, looked_at, neighbours
from gylebook.infer.likelihood import Forecast, Observation, Residuals, log_likelihood, residuals_of
from gylebook.infer.proposal import Base, Proposal, Proposed, informed_directions, laplace_proposal
from gylebook.infer.psis import effective_draws, pareto_smoothed, trusted_below
from gylebook.infer.resample import resampled_rows
from gylebook.infer.tempered import sample_tempered

FEWEST = 100  # draws: below, neither k nor a 90 % interval means much
GOOD = 0.6  # k below which a refit, for one more forecast, takes under a tenth off the error
STREAM = 7_301  # keeps these random numbers apart from those of the latents, which may have the same seed

Method = Literal["prior", "importance", "tempered"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """How one reading disagrees, in sds of that disagreement; beyond 3 it wants a second look.

    `from_prior`: from what was forecast before any reading.  `from_rest`: from what the prior and all the
    other readings say together.  Both are linearised.
    """

    name: str
    from_prior: float
    from_rest: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Diagnostic:
    """How the posterior was reached and how far it can be trusted.

    `method` "prior": there were no readings; "importance": the usual way; "tempered": the usual way did not
    hold, as `pareto_k` is not below `trusted_below` or the forecast is `folded`, and the slow one was taken.
    `effective_draws` are those of the method taken.  `converged` tells whether the climb to `mode` settled;
    `folded` that a reading's slope turned on the way there, so that there may be a second mode.  k cannot see
    a mode that no draw has reached, nor does `folded` tell every one: a forecast had better be monotone.
    """

    method: Method
    pareto_k: float
    trusted_below: float
    effective_draws: float
    converged: bool
    folded: bool
    mode: Array  # (d,), the most probable latents
    covariance: Array  # (d, d), of the Laplace approximation there
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """Equally likely latents (draws, d), columns contiguous.

    Row i comes from row i of the prior wherever that survived, so before and after can be compared row by
    row.
    """

    latents: Array
    diagnostic: Diagnostic


def condition(
    forecast: Forecast, prior_latents: Array, observations: Sequence[Observation], *, seed: int
) -> Posterior:
    """Latents given the observations; the same for the same seed, bit for bit.

    Parameters
    ----------
    forecast
        Must answer for rows up to 8 prior sds further out than the most probable latents; a row whose
        value is not finite gets no weight.
    prior_latents
        Draws of the prior N(0, I), shape (draws, d).

    Raises `ValueError` for a name that the forecast does not have or latents that are not finite,
    `NotConverged` where no method gives an answer that can be stood behind.
    """
    draws, d = prior_latents.shape
    if draws < FEWEST:
        raise ValueError(f"conditioning needs at least {FEWEST} draws, not {draws}")
    if not np.isfinite(prior_latents).all():
        raise ValueError("prior_latents are not all finite")
    if not observations:
        return Posterior(latents=prior_latents, diagnostic=_nothing_read(draws, d))

    prior = np.ascontiguousarray(prior_latents.T)
    residuals = residuals_of(forecast, observations)
    rng = np.random.default_rng((seed, STREAM))
    best = _importance(residuals, prior, rng)
    mode = best.mode
    method: Method = "importance"
    folded = mode.folded()
    if best.k <= trusted_below(draws) and not folded:
        worth = effective_draws(best.weights)
        latents = np.take(best.proposed.latents, resampled_rows(best.weights, rng), axis=1)
    else:
        method = "tempered"
        latents, worth = _tempered(residuals, mode, prior, observations, rng)
    diagnostic = Diagnostic(
        method=method,
        pareto_k=best.k,
        trusted_below=trusted_below(draws),
        effective_draws=worth,
        converged=mode.converged,
        folded=folded,
        mode=mode.latents,
        covariance=mode.covariance(),
        misfits=_misfits(mode, observations),
    )
    return Posterior(latents=latents.T, diagnostic=diagnostic)


def _nothing_read(draws: int, d: int) -> Diagnostic:
    return Diagnostic(
        method="prior",
        pareto_k=0.0,
        trusted_below=trusted_below(draws),
        effective_draws=float(draws),
        converged=True,
        folded=False,
        mode=np.zeros(d),
        covariance=np.eye(d),
        misfits=(),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Weighted:
    """Proposed draws, their smoothed weights and k, and the mode they were proposed around."""

    mode: Mode
    proposed: Proposed
    weights: Array
    k: float


def _importance(residuals: Residuals, prior: Array, rng: np.random.Generator) -> _Weighted:
    """Weighted draws around the ridge; better ones, at further forecasts, while k is too high."""
    near = find_mode(residuals, len(prior), NEAR)
    mode, laplace, base = _on_ridge(residuals, near, prior)
    if near.converged and not mode.converged:  # it bends more than the last step could tell
        mode, laplace, base = _on_ridge(residuals, climb_on(residuals, mode), prior)
    best = _weighed(residuals, mode, laplace, base, rng)
    if best.k > GOOD:
        refitted = laplace.refitted(best.proposed.relative, best.weights)
        best = min(best, _weighed(residuals, mode, refitted, base, rng), key=lambda w: w.k)
    if best.k > trusted_below(prior.shape[1]):  # one more step costs 2 forecasts, the slow way some 100
        base = laplace.nearer_ridge(residuals, base)
        refitted = laplace.refitted(best.proposed.relative, best.weights)
        best = min(best, _weighed(residuals, mode, refitted, base, rng), key=lambda w: w.k)
    return best


def _on_ridge(residuals: Residuals, mode: Mode, prior: Array) -> tuple[Mode, Proposal, Base]:
    """The draws near their ridge, from one forecast in which the mode is looked at a last time."""
    draws, across = prior.shape[1], informed_directions(mode.slope)
    laplace = laplace_proposal(mode, across)
    base = laplace.base(prior)
    columns = laplace.on_ridge(base, spare=1 + mode.latents.size)
    columns[:, draws:] = neighbours(mode.latents)
    seen = residuals(columns)
    mode = looked_at(mode, seen[:, draws:])
    laplace = laplace_proposal(mode, across)
    return mode, laplace, laplace.stepped(base, seen[:, :draws])


def _weighed(
    residuals: Residuals, mode: Mode, proposal: Proposal, base: Base, rng: np.random.Generator
) -> _Weighted:
    proposed = proposal.propose(base, rng)
    weights, k = pareto_smoothed(log_likelihood(residuals(proposed.latents)) + proposed.log_ratio)
    return _Weighted(mode=mode, proposed=proposed, weights=weights, k=k)


def _tempered(
    residuals: Residuals,
    mode: Mode,
    prior: Array,
    observations: Sequence[Observation],
    rng: np.random.Generator,
) -> tuple[Array, float]:
    """Latents of the slow method and their worth; its failure is told with the reading that fits worst."""
    try:
        slow = sample_tempered(residuals, prior, rng)
    except NotConverged as problem:
        worst = max(_misfits(mode, observations), key=lambda misfit: abs(misfit.from_rest))
        raise NotConverged(
            f"{len(observations)} readings could not be reconciled with the forecast. {problem} "
            f"“{worst.name}” fits worst, {worst.from_rest:+.1f} sd from what the rest says: check it and its "
            "unit, or leave it out; if it is right, give its error or the figures behind it more room.",
            worst=worst.name,
        ) from problem
    return slow.latents, slow.effective_draws


def _misfits(mode: Mode, observations: Sequence[Observation]) -> tuple[Misfit, ...]:
    return tuple(
        Misfit(name=seen.name, from_prior=float(prior), from_rest=float(rest))
        for seen, prior, rest in zip(observations, mode.from_prior(), mode.from_rest(), strict=True)
    )
