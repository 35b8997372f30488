"""Hold Pareto smoothing to tails whose shape is known and to an independent library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from arviz_stats.base import array_stats

from gylebook.infer.psis import (
    effective_draws,
    fit_generalised_pareto,
    pareto_smoothed,
    tail_length,
    trusted_below,
)


def pareto_tail(k: float, size: int, seed: int) -> np.ndarray:
    """Draws of a generalised Pareto distribution of shape k and scale 1, by inversion."""
    survival = 1.0 - np.random.default_rng(seed).random(size)
    return np.expm1(-k * np.log(survival)) / k


@pytest.mark.parametrize("k", [-0.3, 0.2, 0.5, 0.9, 1.4])
def test_the_shape_of_an_exact_pareto_tail_is_found(k):
    found = [fit_generalised_pareto(np.sort(pareto_tail(k, 2000, seed)))[0] for seed in range(20)]

    # One fit of n draws has an sd of (1 + k)/sqrt(n), Zhang & Stephens (2009); 4 sds of a mean of 20.
    # The pull towards 0.5 by 10 in 2010 is below 0.005.
    assert np.mean(found) == pytest.approx(k, abs=4 * (1 + k) / math.sqrt(20 * 2000) + 0.005)


def test_the_scale_of_an_exact_pareto_tail_is_found():
    found = [fit_generalised_pareto(3.0 * np.sort(pareto_tail(0.4, 2000, seed)))[1] for seed in range(20)]

    # sd of one fit is scale * sqrt(2 (1 + k) / n), thus 0.11; 4 sds of a mean of 20.
    assert np.mean(found) == pytest.approx(3.0, abs=0.1)


@pytest.mark.parametrize("draws", [200, 900, 3600])
@pytest.mark.parametrize("spread", [0.3, 1.0, 3.0])
def test_smoothed_weights_and_k_agree_with_an_independent_library(draws, spread):
    log_weights = spread * np.random.default_rng(7).standard_t(5, draws)

    weights, k = pareto_smoothed(log_weights)

    # arviz-stats, whose psislw takes the negative log ratio.  It rounds the length of the tail down where we
    # round up, so the draws are so many that the length is whole.
    log_smoothed, k_there = array_stats.psislw(-log_weights)
    there = np.exp(log_smoothed - log_smoothed.max())
    assert k == pytest.approx(float(k_there), abs=1e-9)
    np.testing.assert_allclose(weights, there / there.sum(), rtol=1e-9, atol=1e-15)


def test_weights_of_a_proposal_that_is_too_narrow_are_told_from_those_of_a_wide_one():
    z = np.random.default_rng(3).standard_normal(4000)

    # Target sd 1, normal proposal of sd s: P(weight > w) falls as w^(-1/k) with k = 1 - s^2, by the normal
    # tail.  At s = 0.2 that is 0.96; 4,000 draws show less of it, as the tail is reached slowly.
    _, narrow = pareto_smoothed(-0.5 * (0.2 * z) ** 2 + 0.5 * z**2)
    _, wide = pareto_smoothed(-0.5 * (1.5 * z) ** 2 + 0.5 * z**2)

    assert narrow > trusted_below(4000)
    assert wide < 0.3


def test_smoothing_keeps_the_order_and_lets_no_weight_stand_above_the_largest():
    log_weights = 2.0 * np.random.default_rng(5).standard_normal(2000)

    weights, _ = pareto_smoothed(log_weights)

    assert weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert (np.diff(weights[np.argsort(log_weights)]) >= 0).all()
    raw = np.exp(log_weights - log_weights.max())
    body = np.argsort(log_weights)[: -tail_length(2000)]
    np.testing.assert_allclose(weights[body] / weights.max(), raw[body] / raw.max(), rtol=0.6)


def test_weights_that_are_all_alike_are_left_alone():
    weights, k = pareto_smoothed(np.full(1000, -40.0))

    np.testing.assert_allclose(weights, 1e-3)
    assert k == 0.0
    assert effective_draws(weights) == pytest.approx(1000)


@pytest.mark.parametrize("alive", [0, 1, 40])
def test_too_few_draws_with_any_weight_show_no_shape(alive):
    log_weights = np.full(1000, -np.inf)
    log_weights[:alive] = np.linspace(-1, 0, alive)

    weights, k = pareto_smoothed(log_weights)

    assert k == math.inf
    assert np.isfinite(weights).all()


def test_tail_and_bound_follow_the_number_of_draws():
    # Vehtari et al. (2024): a fifth of few draws, 3 sqrt S of many; 1 - 1/log10 S up to 2154 draws, then 0.7.
    assert tail_length(100) == 20
    assert tail_length(4000) == 190
    assert trusted_below(1000) == pytest.approx(2 / 3)
    assert trusted_below(4000) == 0.7
