"""Hold conditioning to simulated days: the truth must fall anywhere among its draws equally often."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chisquare

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import Observation

DAYS, DRAWS, D = 200, 1000, 8
READINGS = {"level": 0.5, "strength": 0.3, "later": 0.4}


def day(z):
    """An invented day: curved, with latents that no reading touches and one that two readings share."""
    amount = 10.0 * np.exp(0.1 * z[:, 0])
    share = 1.0 / (1.0 + np.exp(-1.0 - 0.4 * z[:, 1]))
    level = 40.0 * np.exp(0.03 * z[:, 2]) - amount * np.exp(0.15 * z[:, 3]) + 0.3 * z[:, 4]
    strength = 100.0 * amount * share / (amount * share + level)
    later = level - 4.0 * np.exp(0.2 * z[:, 5]) + 0.3 * z[:, 4]
    end = later * (1.0 - 0.05 * np.exp(0.3 * z[:, 6])) + 0.5 * z[:, 7]
    return {"level": level, "strength": strength, "later": later, "end": end}


@pytest.fixture(scope="module")
def ranks():
    """Rank of the truth among 99 posterior draws, 0..99, for each simulated day and several quantities."""
    rng = np.random.default_rng(2024)
    rows = []
    for number in range(DAYS):
        truth = rng.standard_normal((1, D))
        named = day(truth)
        seen = [
            Observation(name=name, value=float(named[name][0] + error * rng.standard_normal()), error=error)
            for name, error in READINGS.items()
        ]
        prior = standard_normal_latents(DRAWS, D, 10_000 + number)
        posterior = condition(day, prior, seen, seed=number)
        some = posterior.latents[rng.permutation(DRAWS)[:99]]
        there = day(some)
        latents = (some[:, [1, 3, 5]] < truth[:, [1, 3, 5]]).sum(axis=0)
        rows.append([*latents, *((there[name] < named[name]).sum() for name in ("strength", "end"))])
    return np.array(rows)


@pytest.mark.parametrize("column", range(5))
def test_the_truth_ranks_evenly_among_posterior_draws(ranks, column):
    counts = np.bincount(ranks[:, column] // 10, minlength=10)

    # Talts et al. (2018), simulation-based calibration: uniform ranks; one false alarm in 1,000.
    assert chisquare(counts).pvalue > 0.001


@pytest.mark.parametrize("column", range(5))
def test_nine_in_ten_truths_fall_within_the_90_percent_interval(ranks, column):
    inside = ((ranks[:, column] >= 5) & (ranks[:, column] < 95)).mean()

    # Binomial sd with 200 days is 2.1 %; 3 of them.
    assert inside == pytest.approx(0.90, abs=0.064)
