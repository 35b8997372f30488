"""Hold conditioning to linear forecasts, whose posterior is known in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import Observation

DRAWS = 4000


def linear(slopes: np.ndarray):
    """A forecast of readings r0, r1, ... that are plain sums of the latents."""

    def forecast(latents):
        return {f"r{i}": latents @ row for i, row in enumerate(slopes)}

    return forecast


def read(values, error) -> list[Observation]:
    """Readings none of which can be a slip."""
    errors = np.broadcast_to(error, len(values))
    return [
        Observation(name=f"r{i}", value=float(v), error=float(e), doubt=0.0)
        for i, (v, e) in enumerate(zip(values, errors, strict=True))
    ]


def closed_form(slopes, values, error):
    precision = np.eye(slopes.shape[1]) + slopes.T @ (slopes / np.square(error)[:, None])
    covariance = np.linalg.inv(precision)
    return covariance @ slopes.T @ (values / np.square(error)), covariance


@pytest.mark.parametrize(("d", "readings"), [(3, 2), (3, 6), (40, 5), (40, 12)])
def test_a_linear_forecast_gets_its_closed_form_posterior(d, readings):
    rng = np.random.default_rng(d + readings)
    slopes = rng.standard_normal((readings, d))
    error = np.geomspace(0.1, 2.0, readings)
    values = slopes @ rng.standard_normal(d) + error * rng.standard_normal(readings)
    mean, covariance = closed_form(slopes, values, error)

    posterior = condition(linear(slopes), standard_normal_latents(DRAWS, d, 1), read(values, error), seed=2)

    told = posterior.diagnostic
    assert told.method == "importance"
    assert told.converged
    assert not told.folded
    np.testing.assert_allclose(told.mode, mean, atol=1e-3)
    np.testing.assert_allclose(told.covariance, covariance, atol=1e-6)
    # More than half of the draws effective: only the informed directions pay for the t's tails.
    assert told.effective_draws > 0.5 * DRAWS
    # In coordinates where the posterior is N(0, I): Monte-Carlo error of 2,000 effective draws is 0.022 in a
    # mean, 0.032 in a variance; the worst of 40 means and 820 (co)variances stays within 4 to 5 of them.
    white = np.linalg.solve(np.linalg.cholesky(covariance), (posterior.latents - mean).T)
    np.testing.assert_allclose(white.mean(axis=1), 0.0, atol=0.09)
    np.testing.assert_allclose(np.cov(white), np.eye(d), atol=0.15)


def test_before_and_after_stand_on_the_same_draws_where_the_readings_say_nothing():
    slopes = np.array([[1.0, 0.0, 0.0]])
    prior = standard_normal_latents(DRAWS, 3, 1)

    after = condition(linear(slopes), prior, read([0.7], 0.3), seed=2).latents

    same = (after[:, 1:] == prior[:, 1:]).all(axis=1)
    assert same.mean() > 0.6
    assert after.flags.f_contiguous


def test_conditioning_on_nothing_is_the_prior_and_says_so():
    prior = standard_normal_latents(DRAWS, 3, 1)

    posterior = condition(linear(np.eye(3)), prior, [], seed=2)

    np.testing.assert_array_equal(posterior.latents, prior)
    assert posterior.diagnostic.method == "prior"
    assert posterior.diagnostic.effective_draws == DRAWS
    assert posterior.diagnostic.misfits == ()


def test_a_reading_with_a_huge_error_changes_nothing():
    prior = standard_normal_latents(DRAWS, 3, 1)

    posterior = condition(linear(np.eye(3)), prior, read([3.0], 1e9), seed=2)

    np.testing.assert_array_equal(posterior.latents, prior)
    assert posterior.diagnostic.method == "importance"


def test_two_equal_readings_are_one_of_a_smaller_error():
    slopes = np.array([[1.0, 0.5, -0.3]])
    prior = standard_normal_latents(DRAWS, 3, 1)
    twice = [Observation(name="r0", value=0.8, error=0.4)] * 2
    once = [Observation(name="r0", value=0.8, error=0.4 / np.sqrt(2))]

    one = condition(linear(slopes), prior, once, seed=2)
    two = condition(linear(slopes), prior, twice, seed=2)

    # The same weights but for rounding; a draw or two may fall to the other side of a step.
    np.testing.assert_allclose(one.latents.mean(axis=0), two.latents.mean(axis=0), atol=1e-3)
    np.testing.assert_allclose(np.cov(one.latents.T), np.cov(two.latents.T), atol=1e-3)
    np.testing.assert_allclose(one.diagnostic.mode, two.diagnostic.mode, atol=1e-9)


def test_the_same_seed_gives_the_same_draws_and_another_seed_others():
    slopes = np.random.default_rng(4).standard_normal((3, 8))
    prior = standard_normal_latents(1000, 8, 1)
    seen = read([0.3, -0.2, 1.0], 0.2)

    first, again, other = (condition(linear(slopes), prior, seen, seed=s).latents for s in (5, 5, 6))

    np.testing.assert_array_equal(first, again)
    assert not np.array_equal(first, other)


def test_a_reading_at_odds_with_the_others_is_the_one_told():
    slopes = np.array([[1.0, 0.1], [1.0, -0.1], [1.0, 0.0]])
    values, error = np.array([0.5, 0.52, 1.5]), np.full(3, 0.1)

    told = condition(
        linear(slopes), standard_normal_latents(DRAWS, 2, 1), read(values, error), seed=2
    ).diagnostic

    for i, misfit in enumerate(told.misfits):
        # By definition: the distance from what the other readings predict, over its sd.
        others = [j for j in range(3) if j != i]
        mean, covariance = closed_form(slopes[others], values[others], error[others])
        spread = np.sqrt(error[i] ** 2 + slopes[i] @ covariance @ slopes[i])
        assert misfit.from_rest == pytest.approx((values[i] - slopes[i] @ mean) / spread, abs=0.01)
        assert misfit.from_prior == pytest.approx(
            values[i] / np.sqrt(error[i] ** 2 + slopes[i] @ slopes[i]), abs=1e-6
        )
    assert max(told.misfits, key=lambda m: abs(m.from_rest)).name == "r2"


def test_a_name_that_is_not_forecast_is_refused_with_the_names_that_are():
    prior = standard_normal_latents(DRAWS, 2, 1)
    seen = [Observation(name="kettle", value=1.0, error=0.1)]

    with pytest.raises(ValueError, match=r"no “kettle”; it has r0, r1"):
        condition(linear(np.eye(2)), prior, seen, seed=1)


@pytest.mark.parametrize("error", [0.0, -1.0, np.nan, np.inf])
def test_a_reading_without_a_proper_error_is_refused(error):
    with pytest.raises(ValueError, match=r"gravity: an error of .* above zero"):
        Observation(name="gravity", value=1.0, error=error)


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_reading_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match=r"gravity: a reading of .* is not a number"):
        Observation(name="gravity", value=value, error=1.0)


def test_latents_that_cannot_be_a_prior_are_refused():
    broken = standard_normal_latents(DRAWS, 2, 1)
    broken[3, 1] = np.nan

    with pytest.raises(ValueError, match="not all finite"):
        condition(linear(np.eye(2)), broken, read([0.1], 0.1), seed=1)
    with pytest.raises(ValueError, match="at least 100 draws, not 50"):
        condition(linear(np.eye(2)), broken[:50], read([0.1], 0.1), seed=1)
