"""Condition named draws on readings, and say how far the result can be trusted.

In:  a forecast (standard-normal latents -> named draws), draws of its latents, the readings so far.
Out: equally likely latents given the readings, with a diagnostic that travels with them.

Idea: climb near the most probable latents, put each draw on the ridge there, propose draws around it, weigh
each by what it should have been, and smooth the largest weights.  The shape k of the weights' tail tells
whether that was good enough; where it is not quite, the proposal is refitted to the weighted draws and they
are proposed again.  If that is not enough, or if the forecast folds, tempered sampling starts again from the
prior.  If that fails too there is no answer, and `NotConverged` says so.

A reading may be a slip.  Each is weighed against what the others say, and one that nothing explains is told
and hardly moves the rest.  Latents on which no reading depends are left aside: their draws stay the prior's.

Cost: two forecasts of all draws, on the ridge and as proposed, and one or two short ones for the climb, whose
last look goes along with the ridge.  A third is taken where k cannot be trusted, two more where that did
not help; the ridge anew where the last look found the mode far off or another set of readings right.  How
often: docs/inference.md.  The rest is arithmetic on (readings, draws).  Nothing here knows what a name
means.

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
from numpy.typing import NDArray

from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.infer.informed import DependsAfterAll, look_around, narrowed
from gylebook.infer.laplace import Point, point_among
from gylebook.infer.likelihood import Forecast, Observation, Readings, readings_of
from gylebook.infer.psis import effective_draws, trusted_below
from gylebook.infer.resample import resampled_rows
from gylebook.infer.slips import contrary, from_others, from_prior
from gylebook.infer.tempered import sample_tempered
from gylebook.infer.weigh import Weighted, weighted_draws

FEWEST = 100  # draws: below, neither k nor a 90 % interval means much
STREAM = 7_301  # keeps these random numbers apart from those of the latents, which may have the same seed

Method = Literal["prior", "importance", "tempered"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """How one reading disagrees, in sds of that disagreement; beyond 3 it wants a second look.

    `from_prior`: from what was forecast before any reading.  `from_rest`: from what the prior and all the
    other readings say together, which is `expected` with an sd of `spread`, that of the reading included.
    These are linearised.  `slip` is the probability that it is a slip and says nothing, 0..1; one below
    0.5 % is told as 0.
    """

    name: str
    from_prior: float
    from_rest: float
    expected: float
    spread: float
    slip: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Diagnostic:
    """How the posterior was reached and how far it can be trusted.

    `method` "prior": there were no readings; "importance": the usual way; "tempered": the usual way did not
    hold, as `pareto_k` is not below `trusted_below` or the forecast is `folded`, and the slow one was taken.
    `effective_draws` are those of the method taken.  `converged` tells whether the climb to `mode` settled;
    `folded` that a reading's slope turned on the way there, or that draws explain what its slope calls a
    slip, so that there may be a second mode.  k cannot see a mode that no draw has reached, nor does `folded`
    tell every one: a forecast had better be monotone.
    """

    method: Method
    pareto_k: float
    trusted_below: float
    effective_draws: float
    converged: bool
    folded: bool
    mode: Array  # (d,), the most probable latents
    covariance: Array  # (d, d), of the Laplace approximation there
    informed: NDArray[np.bool_]  # (d,), the latents on which a reading depends
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """Equally likely latents (draws, d), columns contiguous.

    Row i comes from row i of the prior wherever that survived, and entirely so in the latents on which no
    reading depends; before and after can be compared row by row.
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
    readings = readings_of(forecast, observations)
    informed, seen = look_around(readings, prior)
    if informed.any() and not informed.all():
        try:
            return _conditioned(readings, prior, informed, seen, observations, seed)
        except DependsAfterAll:
            pass
    return _conditioned(readings, prior, np.ones(d, dtype=bool), seen, observations, seed)


def _conditioned(
    readings: Readings,
    prior: Array,
    informed: NDArray[np.bool_],
    seen: Array,
    observations: Sequence[Observation],
    seed: int,
) -> Posterior:
    """The same with the `informed` latents alone; `seen` are the gaps around the prior's centre."""
    rng, draws = np.random.default_rng((seed, STREAM)), prior.shape[1]
    if not informed.all():
        readings = narrowed(readings, informed, prior)
    some = prior[informed]
    start = point_among(readings, np.zeros(len(some)), seen[:, np.concatenate([[True], informed])])
    readings = readings.with_floors(start.slope)
    best = weighted_draws(readings, start, some, rng)
    folded = best.mode.folded() or best.misjudged()
    usual = best.k <= trusted_below(draws) and not folded
    if usual:
        worth, slips = effective_draws(best.weights), best.slips()
        rows, some = resampled_rows(best.weights, rng), best.latents
    else:
        rows = np.arange(draws)
        some, worth, slips = _tempered(best, some, observations, rng)
    latents = np.empty_like(prior)
    for column in np.flatnonzero(~informed):
        latents[column] = prior[column]
    for column, drawn in zip(np.flatnonzero(informed), some, strict=True):
        np.take(drawn, rows, out=latents[column], mode="clip")  # else it goes by way of a copy
    mode, covariance = np.zeros(len(prior)), np.eye(len(prior))
    mode[informed] = best.mode.latents
    covariance[np.ix_(informed, informed)] = best.mode.covariance()
    diagnostic = Diagnostic(
        method="importance" if usual else "tempered",
        pareto_k=best.k,
        trusted_below=trusted_below(draws),
        effective_draws=worth,
        converged=best.mode.converged,
        folded=folded,
        mode=mode,
        covariance=covariance,
        informed=informed,
        misfits=_misfits(readings, start, best.mode, slips, observations),
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
        informed=np.zeros(d, dtype=bool),
        misfits=(),
    )


def _tempered(
    best: Weighted, prior: Array, observations: Sequence[Observation], rng: np.random.Generator
) -> tuple[Array, float, Array]:
    """Latents of the slow method, their worth and the odds that each reading is a slip.

    Its failure is told with the reading that fits worst.
    """
    readings = best.readings
    try:
        slow = sample_tempered(readings, prior, rng)
    except NotConverged as problem:
        rest, spread = from_others(best.mode, readings.side)
        off = contrary(rest, readings.side) / spread
        number = int(np.argmax(np.abs(off)))
        worst = observations[number].name
        raise NotConverged(
            f"{len(observations)} readings could not be reconciled with the forecast. {problem} "
            f"“{worst}” fits worst, {off[number]:+.1f} sd from what the rest says: check it and "
            "its unit, or leave it out; if it is right, give its error or the figures behind it more room.",
            worst=worst,
        ) from problem
    odds = readings.slips(readings.residuals(readings.gaps(slow.latents)))
    return slow.latents, slow.effective_draws, odds.mean(axis=1)


def _misfits(
    readings: Readings, start: Point, mode: Point, slips: Array, observations: Sequence[Observation]
) -> tuple[Misfit, ...]:
    """Each reading against the forecast before any, and against what the others make of it."""
    before = from_prior(start, readings.side)
    rest, spread = from_others(mode, readings.side)
    off = contrary(rest, readings.side) / spread
    return tuple(
        Misfit(
            name=seen.name,
            from_prior=float(before[i]),
            from_rest=float(off[i]),
            expected=float(seen.value - seen.error * rest[i]),
            spread=float(seen.error * spread[i]),
            slip=float(slips[i]),
        )
        for i, seen in enumerate(observations)
    )
