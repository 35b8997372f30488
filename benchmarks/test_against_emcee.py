"""Time conditioning against a sampler that anyone could take instead, to the same Monte-Carlo error.

`make bench` runs this; both are timed by turns in one run.
"""

from __future__ import annotations

import time

import emcee
import numpy as np
import pytest

from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.infer.condition import condition
from other_samplers import target_of
from simulated_days import FIVE, Days

DRAWS, SEEDS = 4_000, 24
WALKERS, TURNS, STEPS = 300, 10, 200
WANTED = ("og", "fermenters.volume_l", "efficiency.fermenter")


def numbers(days: Days, latents: Array) -> Array:
    """What is wanted of a day, (draws, numbers)."""
    named = days.model.forecast(np.asfortranarray(latents))
    return np.array([named[name] for name in WANTED]).T


def test_conditioning_against_emcee(capsys: pytest.CaptureFixture[str]) -> None:
    """At least 200 times faster, to the same error of the means that a brewer is told.

    Our error is measured, by conditioning the same day on other random numbers; emcee's follows from the
    autocorrelation of the same numbers, after a burn-in of ten such times from draws of the prior.  Finding
    that time out is not counted.
    """
    days = Days(FIVE)
    (day,) = days.simulate(1, 77)
    target = target_of(days.model, day.seen)
    sampler = emcee.EnsembleSampler(
        WALKERS, len(target.informed), target.height, vectorize=True, moves=emcee.moves.DEMove()
    )
    sampler.random_state = np.random.RandomState(1).get_state()
    ours = days.conditioned(day, DRAWS)
    # The chain starts where it will end, so that all of it can tell its autocorrelation.
    state = sampler.run_mcmc(ours.latents[:WALKERS, target.informed], 100)
    priors = [standard_normal_latents(DRAWS, days.d, seed) for seed in range(SEEDS)]
    means, mine, theirs = [], [], []
    for seed, prior in enumerate(priors):
        start = time.perf_counter()
        posterior = condition(days.model.readings_forecast, prior, day.seen, seed=seed)
        mine.append(time.perf_counter() - start)
        means.append(numbers(days, posterior.latents).mean(axis=0))
        if seed < TURNS:
            start = time.perf_counter()
            state = sampler.run_mcmc(state, STEPS)
            theirs.append((time.perf_counter() - start) / STEPS)

    sd = numbers(days, ours.latents).std(axis=0)
    worth = 1.0 / np.mean(np.square(np.std(means, axis=0, ddof=1) / sd))  # independent draws of equal error
    chain = sampler.get_chain()[100:]
    full = np.zeros((chain.shape[0] * WALKERS, days.d), order="F")
    full[:, target.informed] = chain.reshape(-1, len(target.informed))
    walked = numbers(days, full).reshape(chain.shape[0], WALKERS, -1)
    turn = float(np.max(emcee.autocorr.integrated_time(walked, quiet=True)))
    steps = 10.0 * turn + worth * turn / WALKERS
    ratio = steps * float(np.median(theirs)) / float(np.median(mine))
    with capsys.disabled():
        print(
            f"\n  conditioning takes {1e3 * np.median(mine):.1f} ms for means worth {worth:,.0f} draws; "
            f"emcee takes {steps:.0f} steps of {1e3 * np.median(theirs):.2f} ms, {ratio:.0f} times as long"
        )
    assert ratio >= 200.0
