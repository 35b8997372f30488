"""Hold the whole day to simulated days: what a brewer is told must be right as often as it says.

A day is drawn from the model itself, its readings with their instruments' own errors, slips among them; then
the forecast is conditioned on them, and the truth must fall anywhere among its draws equally often.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.stats import binom, chisquare

from gylebook.infer.likelihood import DOUBT
from simulated_days import FIVE, TWELVE, Days

DAYS, DRAWS, KEPT = 1000, 4000, 99
TOLD = ("og", "fermenters.volume_l", "efficiency.fermenter", "portion.first.fg")
KINDS = {
    "five readings": (FIVE, 0.0, ()),
    "twelve readings": (TWELVE, 0.0, ()),
    "five readings, some of them slips": (FIVE, DOUBT, ()),
    "five readings, two of them bounds": (FIVE, DOUBT, (2, 3)),
}


@dataclass(frozen=True, eq=False)
class Outcome:
    """Rank of the truth among 99 draws by day and number told; k, method and odds of slips by day."""

    ranks: np.ndarray
    k: np.ndarray
    usual: np.ndarray
    odds: np.ndarray
    slips: np.ndarray


@pytest.fixture(scope="module", params=KINDS)
def outcome(request):
    read, share, bounds = KINDS[request.param]
    days, rng = Days(read), np.random.default_rng(1)
    rows = []
    for day in days.simulate(DAYS, 20_260, slips=share, bounds=bounds):
        posterior = days.conditioned(day, DRAWS)
        some = np.asfortranarray(posterior.latents[rng.permutation(DRAWS)[:KEPT]])
        named, real = days.model.forecast(some), days.model.forecast(day.truth)
        told = posterior.diagnostic
        rows.append(
            (
                [int(np.sum(named[name] < real[name])) for name in TOLD],
                told.pareto_k,
                told.method == "importance",
                [m.slip for m in told.misfits],
                day.slips,
            )
        )
    return Outcome(*(np.array(column) for column in zip(*rows, strict=True)))


@pytest.mark.long
def test_the_truth_of_a_thousand_days_ranks_evenly(outcome):
    for column in outcome.ranks.T:
        # Talts et al. (2018): uniform ranks; one false alarm in 1,000 for each number.
        assert chisquare(np.bincount(column // 10, minlength=10)).pvalue > 0.001
        # And no rank's share of days below it strays from its own: a pointwise band of 4 sds at 19 of them.
        for level in range(5, 100, 5):
            below = int(np.sum(column < level))
            assert abs(below - DAYS * level / 100) < 4.0 * binom(DAYS, level / 100).std()


@pytest.mark.long
def test_the_truth_of_a_thousand_days_lies_in_the_90_percent_interval_as_often_as_said(outcome):
    inside = np.mean((outcome.ranks >= 5) & (outcome.ranks < 95), axis=0)

    # 1,000 days know 90 % to 0.95 points.
    assert (inside > 0.88).all()
    assert (inside < 0.92).all()


@pytest.mark.long
def test_the_weights_can_be_trusted_on_99_days_of_100(outcome):
    assert np.mean(outcome.k < 0.7) >= 0.99
    assert np.mean(outcome.usual) >= 0.99


@pytest.mark.long
def test_readings_are_slips_as_often_as_said(outcome):
    odds, slips = outcome.odds, outcome.slips
    if not slips.any():
        # None was made, so few must be suspected: of thousands of readings one in a hundred at most.
        assert np.mean(odds > 0.5) < 0.01
        return
    # 4 sds of a sum of such odds, and what is told as 0 though it is up to half a percent.
    noise = 4.0 * np.sqrt((odds * (1.0 - odds)).sum()) + 0.002 * odds.size
    assert odds.sum() == pytest.approx(slips.sum(), abs=noise)
    sure = odds > 0.95
    assert np.mean(slips[sure]) > 0.9
