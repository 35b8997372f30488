"""Hold tempered sampling to a closed form, and its claim of effective draws to repeated runs."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import NotConverged
from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.likelihood import Observation, Readings, readings_of
from gylebook.infer.tempered import sample_tempered

D, ERROR = 10, 0.1
SLOPES = np.random.default_rng(8).standard_normal((3, D))
VALUES = np.array([2.0, -1.0, 0.5])
COVARIANCE = np.linalg.inv(np.eye(D) + SLOPES.T @ SLOPES / ERROR**2)
MEAN = COVARIANCE @ SLOPES.T @ VALUES / ERROR**2


def linear_readings():
    seen = [Observation(name=f"r{i}", value=float(v), error=ERROR) for i, v in enumerate(VALUES)]
    return readings_of(lambda z: {f"r{i}": z @ row for i, row in enumerate(SLOPES)}, seen)


def sample(seed: int, draws: int = 2000):
    prior = np.ascontiguousarray(standard_normal_latents(draws, D, seed).T)
    return sample_tempered(linear_readings(), prior, np.random.default_rng(seed))


def test_a_linear_forecast_gets_its_closed_form_posterior_the_slow_way_too():
    drawn = sample(1, draws=4000)

    # In coordinates where the posterior is N(0, I); 4 sds of as many independent draws as it claims.
    white = np.linalg.solve(np.linalg.cholesky(COVARIANCE), drawn.latents - MEAN[:, None])
    noise = 4.0 / np.sqrt(drawn.effective_draws)
    np.testing.assert_allclose(white.mean(axis=1), 0.0, atol=noise)
    np.testing.assert_allclose(np.cov(white), np.eye(D), atol=1.5 * noise)


def test_the_claimed_number_of_effective_draws_is_borne_out_by_repeated_runs():
    runs = [sample(seed) for seed in range(20)]

    # Mean squared error of a mean is variance / effective draws; 20 runs of 10 latents know it to about 15 %.
    # The claim is for the worst-known latent, thus on the careful side, and no more than three times so.
    errors = np.array([(run.latents.mean(axis=1) - MEAN) ** 2 / np.diag(COVARIANCE) for run in runs])
    borne_out = 1.0 / errors.mean()
    claimed = np.mean([run.effective_draws for run in runs])
    assert claimed < 1.3 * borne_out
    assert claimed > borne_out / 3.0


def test_the_slow_way_is_the_same_for_the_same_random_numbers():
    np.testing.assert_array_equal(sample(3).latents, sample(3).latents)


def test_draws_that_cannot_share_out_two_specks_are_not_passed_off_as_an_answer():
    # How much belongs to each speck is known from the three draws that started in one, and from nothing else.
    def gaps(z):
        return np.where(np.abs(np.abs(z) - 2.0).max(axis=0) < 0.01, 0.0, 60.0)[None, :]

    readings = Readings(
        gaps=gaps, side=np.zeros(1), doubt=np.zeros(1), kept=np.array([True]), floors=np.full(1, -np.inf)
    )
    prior = np.ascontiguousarray(standard_normal_latents(1000, 2, 1).T)
    prior[:, :3] = [2.0, -2.0, 2.0]

    with pytest.raises(NotConverged, match=r"worth only \d+ independent ones"):
        sample_tempered(readings, prior, np.random.default_rng(1))
