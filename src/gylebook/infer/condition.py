"""Condition named draws on readings, and say how far the result can be trusted.

In:  a forecast (standard-normal latents -> named draws), draws of its latents, the readings so far.
Out: equally likely latents given the readings, with a diagnostic that travels with them.

Idea: climb to the most probable latents, propose draws around them, weigh each by what it should have
been, smooth the largest weights, refit the proposal to the weighted draws twice on a quarter of the draws,
then once with all.  The shape k of the weights' tail tells whether that was good enough; if not, or if the
forecast folds, tempered sampling starts again from the prior.  If that fails too there is no answer, and
`NotConverged` says so.

Cost: 2.5 forecasts of all draws, 3.5 where the ridge is bent, 5.5 where k is still too high then, and a few
of d rows.  Nothing here knows what a name means.

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
from gylebook.infer.laplace import Mode, find_mode
from gylebook.infer.likelihood import Forecast, Observation, Residuals, log_likelihood, residuals_of
from gylebook.infer.proposal import Base, Proposal, Proposed, laplace_proposal
from gylebook.infer.psis import effective_draws, pareto_smoothed, trusted_below
from gylebook.infer.resample import resampled_rows
from gylebook.infer.tempered import sample_tempered

FEWEST = 100  # draws: below, neither k nor a 90 % interval means much
REFITS = 2
SHARE = 4  # a refit uses every fourth draw
BENT = 0.4  # k after the refits, above which a second step to the ridge pays
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
    mode = find_mode(residuals, d)
    latents, weights, k = _importance(residuals, mode, prior, seed)
    method: Method = "importance"
    if k <= trusted_below(draws) and not mode.folded():
        worth = effective_draws(weights)
        latents = np.take(latents, resampled_rows(weights, _stream(seed, REFITS + 1)), axis=1)
    else:
        method = "tempered"
        latents, worth = _tempered(residuals, mode, prior, observations, seed)
    diagnostic = Diagnostic(
        method=method,
        pareto_k=k,
        trusted_below=trusted_below(draws),
        effective_draws=worth,
        converged=mode.converged,
        folded=mode.folded(),
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


def _importance(residuals: Residuals, mode: Mode, prior: Array, seed: int) -> tuple[Array, Array, float]:
    """Latents (d, draws), their smoothed weights and k, from a proposal refitted to weighted draws."""
    laplace = proposal = laplace_proposal(mode)
    base = laplace.nearer_ridge(residuals, laplace.base(prior))
    for turn in range(REFITS):
        proposed, weights, k = _weighed(residuals, proposal, base.every(SHARE, turn), _stream(seed, turn))
        proposal = proposal.refitted(proposed.relative, weights)
    if k > BENT:
        base = laplace.nearer_ridge(residuals, base)
    proposed, weights, k = _weighed(residuals, proposal, base, _stream(seed, REFITS))
    if k > trusted_below(weights.size):  # one more step costs 2 forecasts, the slow way some 100
        base = laplace.nearer_ridge(residuals, base)
        proposed, weights, k = _weighed(residuals, proposal, base, _stream(seed, REFITS))
    return proposed.latents, weights, k


def _weighed(
    residuals: Residuals, proposal: Proposal, base: Base, rng: np.random.Generator
) -> tuple[Proposed, Array, float]:
    """Proposed draws with their smoothed weights and k."""
    proposed = proposal.propose(base, rng)
    weights, k = pareto_smoothed(log_likelihood(residuals(proposed.latents)) + proposed.log_ratio)
    return proposed, weights, k


def _tempered(
    residuals: Residuals, mode: Mode, prior: Array, observations: Sequence[Observation], seed: int
) -> tuple[Array, float]:
    """Latents of the slow method and their worth; its failure is told with the reading that fits worst."""
    try:
        slow = sample_tempered(residuals, prior, _stream(seed, REFITS + 2))
    except NotConverged as problem:
        worst = max(_misfits(mode, observations), key=lambda misfit: abs(misfit.from_rest))
        raise NotConverged(
            f"{len(observations)} readings could not be reconciled with the forecast. {problem} "
            f"“{worst.name}” fits worst, {worst.from_rest:+.1f} sd from what the rest says: check it and its "
            "unit, or leave it out; if it is right, give its error or the figures behind it more room."
        ) from problem
    return slow.latents, slow.effective_draws


def _misfits(mode: Mode, observations: Sequence[Observation]) -> tuple[Misfit, ...]:
    return tuple(
        Misfit(name=seen.name, from_prior=float(prior), from_rest=float(rest))
        for seen, prior, rest in zip(observations, mode.from_prior(), mode.from_rest(), strict=True)
    )


def _stream(seed: int, turn: int) -> np.random.Generator:
    return np.random.default_rng((seed, STREAM, turn))
