"""Hold what is made of slips to the closed form: a mixture over all sets of right readings."""

from __future__ import annotations

from itertools import product
from math import log, pi, sqrt

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import DOUBT, WIDTH, Observation

DRAWS = 4000


def linear(slopes):
    return lambda z: {f"r{i}": z @ row for i, row in enumerate(slopes)}


def seen(values, errors, **other):
    return [
        Observation(name=f"r{i}", value=float(v), error=float(e), **other)
        for i, (v, e) in enumerate(zip(values, errors, strict=True))
    ]


def mixture(slopes, values, errors):
    """Share, mean and covariance of the latents for every set of right readings, and the sets."""
    n, d = slopes.shape
    shares, means, covariances, sets = [], [], [], []
    for right in product([True, False], repeat=n):
        kept = np.array(right)
        some, error = slopes[kept], errors[kept]
        spread = some @ some.T + np.diag(error**2)
        height = multivariate_normal(np.zeros(kept.sum()), spread).logpdf(values[kept]) if kept.any() else 0.0
        # As the module says: a slip lands evenly within WIDTH sds of the forecast made before.
        before = np.sqrt(errors**2 + np.square(slopes).sum(axis=1))
        height += (~kept @ np.log(DOUBT / (WIDTH * before))) + kept.sum() * log(1.0 - DOUBT)
        gain = some.T @ np.linalg.inv(spread) if kept.any() else np.zeros((d, 0))
        shares.append(height)
        means.append(gain @ values[kept])
        covariances.append(np.eye(d) - gain @ some)
        sets.append(kept)
    shares = np.exp(np.array(shares) - max(shares))
    return shares / shares.sum(), np.array(means), np.array(covariances), np.array(sets)


SLOPES = np.array([[3.0, 1.0, 0.0], [2.5, 0.0, 1.0], [0.0, 2.0, -1.0], [1.0, 1.0, 1.0]])
ERRORS = np.array([0.5, 0.4, 0.6, 0.3])
# How far the last reading is off, in sds of what the others say.
OFF = {"fits": 0.5, "is one of two ways to see it": 3.4, "is a slip": 6.0, "is far beyond": 60.0}


@pytest.mark.parametrize("kind", OFF)
def test_the_posterior_is_the_mixture_over_all_sets_of_right_readings(kind):
    values = np.array([1.5, 1.0, -0.8, 0.0])
    others = SLOPES[:3]
    gain = others.T @ np.linalg.inv(others @ others.T + np.diag(ERRORS[:3] ** 2))
    expected = SLOPES[3] @ gain @ values[:3]
    spread = sqrt(ERRORS[3] ** 2 + SLOPES[3] @ (np.eye(3) - gain @ others) @ SLOPES[3])
    values[3] = expected + OFF[kind] * spread
    shares, means, covariances, sets = mixture(SLOPES, values, ERRORS)

    posterior = condition(linear(SLOPES), standard_normal_latents(DRAWS, 3, 1), seen(values, ERRORS), seed=2)

    told = posterior.diagnostic
    assert told.method == "importance"
    noise = 4.0 / np.sqrt(told.effective_draws)
    for number, misfit in enumerate(told.misfits):
        slip = shares @ ~sets[:, number]
        # Sets below half a percent are left out, here and there.
        assert misfit.slip == pytest.approx(slip, abs=noise * sqrt(slip * (1 - slip)) + 0.01)
    for column in range(3):
        sds = np.sqrt(covariances[:, column, column])
        mean = shares @ means[:, column]
        sd = sqrt(shares @ (sds**2 + (means[:, column] - mean) ** 2))
        here = posterior.latents[:, column]
        assert here.mean() == pytest.approx(mean, abs=(noise + 0.01) * sd)
        for low in (0.05, 0.5, 0.95):
            below = shares @ norm(means[:, column], sds).cdf(np.quantile(here, low))
            assert below == pytest.approx(low, abs=0.5 * noise + 0.01)
    last = told.misfits[3]
    assert last.from_rest == pytest.approx(OFF[kind], abs=0.05)
    assert last.expected == pytest.approx(expected, abs=0.05)
    assert last.spread == pytest.approx(spread, rel=0.02)


def test_of_two_readings_that_contradict_each_other_either_may_be_the_slip():
    slopes = np.array([[1.0, 0.2], [1.0, -0.2]])
    values, errors = np.array([-1.0, 1.0]), np.full(2, 0.1)
    shares, *_, sets = mixture(slopes, values, errors)
    posterior = condition(linear(slopes), standard_normal_latents(DRAWS, 2, 1), seen(values, errors), seed=2)

    told = posterior.diagnostic
    assert [m.slip for m in told.misfits] == pytest.approx(list(shares @ ~sets), abs=0.04)
    assert [m.slip for m in told.misfits] == pytest.approx([0.5, 0.5], abs=0.04)
    # Two humps: one at either reading.
    assert (posterior.latents[:, 0] > 0).mean() == pytest.approx(0.5, abs=0.04)


def test_a_gross_slip_is_told_and_moves_nothing():
    # The reading before the last in °F for °C, as it were; the rest agree.
    values = np.array([1.5, 1.0, -0.8, 0.9])
    slipped = values.copy()
    slipped[1] = 150.0
    prior = standard_normal_latents(DRAWS, 3, 1)
    without = [o for o in seen(values, ERRORS) if o.name != "r1"]

    found = condition(linear(SLOPES), prior, seen(slipped, ERRORS), seed=2)
    left_out = condition(linear(SLOPES), prior, without, seed=2)

    assert found.diagnostic.misfits[1].slip > 0.99
    assert found.diagnostic.misfits[1].from_rest > 50
    assert all(abs(m.from_rest) < 3 for m in found.diagnostic.misfits if m.name != "r1")
    np.testing.assert_allclose(found.latents.mean(axis=0), left_out.latents.mean(axis=0), atol=0.08)
    np.testing.assert_allclose(found.latents.std(axis=0), left_out.latents.std(axis=0), rtol=0.08)


def test_two_slips_among_six_readings_are_both_told():
    rng = np.random.default_rng(3)
    slopes = rng.standard_normal((6, 2)) * 3.0
    truth, errors = np.array([0.5, -0.3]), np.full(6, 0.2)
    values = slopes @ truth + 0.1
    values[[1, 4]] += [8.0, -6.0]

    told = condition(
        linear(slopes), standard_normal_latents(DRAWS, 2, 1), seen(values, errors), seed=2
    ).diagnostic

    slips = np.array([m.slip for m in told.misfits])
    assert (slips[[1, 4]] > 0.9).all()
    assert (slips[[0, 2, 3, 5]] < 0.1).all()


def test_a_reading_without_doubt_is_taken_at_its_word():
    values, errors = np.array([-1.0, 1.0]), np.full(2, 0.1)
    slopes = np.array([[1.0, 0.2], [1.0, -0.2]])

    posterior = condition(
        linear(slopes), standard_normal_latents(DRAWS, 2, 1), seen(values, errors, doubt=0.0), seed=2
    )

    spread = np.linalg.inv(slopes @ slopes.T + np.diag(errors**2))
    mean = slopes.T @ spread @ values
    assert [m.slip for m in posterior.diagnostic.misfits] == [0.0, 0.0]
    np.testing.assert_allclose(posterior.latents.mean(axis=0), mean, atol=0.05)


def test_a_reading_explained_where_the_slope_does_not_point_is_not_called_a_slip():
    # At the prior's centre the forecast is flat in the latent that explains it.
    def forecast(z):
        return {"y": z[:, 1] + 4.0 * z[:, 0] ** 2}

    told = condition(forecast, standard_normal_latents(DRAWS, 2, 1), seen_one(6.0, 0.1), seed=2).diagnostic

    assert told.method == "tempered"
    assert told.folded
    assert told.misfits[0].slip < 0.1


def seen_one(value, error):
    return [Observation(name="y", value=value, error=error)]


def test_the_floor_of_a_slip_is_its_density_beside_that_of_a_reading_that_fits():
    from gylebook.infer.likelihood import readings_of

    readings = readings_of(linear(SLOPES), seen(np.zeros(4), ERRORS)).with_floors(SLOPES / ERRORS[:, None])

    fits = (1.0 - DOUBT) / (sqrt(2.0 * pi) * ERRORS)
    slip = DOUBT / (WIDTH * np.sqrt(ERRORS**2 + np.square(SLOPES).sum(axis=1)))
    np.testing.assert_allclose(np.exp(readings.floors), slip / fits)
