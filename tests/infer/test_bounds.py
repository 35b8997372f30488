"""Hold readings that are bounds ("above the top mark") to closed forms and to a fine grid."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.laplace import STEP
from gylebook.infer.likelihood import Observation, readings_of

DRAWS = 4000


def level(z):
    return {
        "level": 10.0 + 2.0 * z[:, 0] + 0.5 * z[:, 1],
        "other": 3.0 * np.exp(0.1 * z[:, 0] - 0.2 * z[:, 2]),
    }


def grid(likelihood):
    """Mean and sd of the first two latents on a fine grid, for a likelihood of the level."""
    axis = np.linspace(-6, 6, 801)
    x, y = np.meshgrid(axis, axis)
    weight = norm.pdf(x) * norm.pdf(y) * likelihood(10.0 + 2.0 * x + 0.5 * y)
    weight /= weight.sum()
    means = [float((weight * v).sum()) for v in (x, y)]
    return means, [float(np.sqrt((weight * (v - m) ** 2).sum())) for v, m in zip((x, y), means, strict=True)]


@pytest.mark.parametrize(
    ("beyond", "value"), [("above", 10.0), ("above", 14.0), ("below", 9.0), ("below", 5.5), ("above", 3.0)]
)
def test_a_bound_cuts_the_forecast_off_as_softly_as_its_error_says(beyond, value):
    error = 0.4
    sign = 1.0 if beyond == "above" else -1.0
    means, sds = grid(lambda true: norm.cdf(sign * (true - value) / error))
    seen = [Observation(name="level", value=value, error=error, beyond=beyond, doubt=0.0)]

    posterior = condition(level, standard_normal_latents(DRAWS, 3, 1), seen, seed=2)

    told = posterior.diagnostic
    assert told.method == "importance"
    noise = 4.0 / np.sqrt(told.effective_draws)
    for column in (0, 1):
        here = posterior.latents[:, column]
        assert here.mean() == pytest.approx(means[column], abs=noise * sds[column])
        assert here.std() == pytest.approx(sds[column], rel=noise)


def test_a_bound_that_is_kept_anyway_says_nothing_and_fits():
    seen = [Observation(name="level", value=0.0, error=0.4, beyond="above")]

    posterior = condition(level, standard_normal_latents(DRAWS, 3, 1), seen, seed=2)

    assert posterior.latents.std(axis=0) == pytest.approx([1.0, 1.0, 1.0], abs=0.03)
    assert posterior.diagnostic.misfits[0].from_rest == 0.0
    assert posterior.diagnostic.misfits[0].expected == pytest.approx(10.0, abs=0.01)


def test_a_bound_and_a_value_on_its_wrong_side_contradict_each_other():
    seen = [
        Observation(name="level", value=12.0, error=0.2, beyond="above"),
        Observation(name="level", value=9.0, error=0.2),
    ]

    told = condition(level, standard_normal_latents(DRAWS, 3, 1), seen, seed=2).diagnostic

    bound, value = told.misfits
    assert bound.from_rest > 4.0
    assert bound.slip + value.slip > 0.9


@pytest.mark.parametrize("beyond", ["above", "below"])
def test_the_steepness_of_a_bound_is_the_slope_of_its_residual(beyond):
    readings = readings_of(level, [Observation(name="level", value=0.0, error=1.0, beyond=beyond)])

    for gap in (-6.0, -2.0, -0.3, 0.0, 0.8, 3.0, 9.0):
        pair = readings.residuals(np.array([[gap - STEP, gap + STEP]]))[0]
        slope = (pair[1] - pair[0]) / (2 * STEP)
        assert readings.steepness(np.array([gap]))[0] == pytest.approx(slope, rel=1e-4, abs=1e-7)


def test_half_the_square_of_a_bounds_residual_is_the_logarithm_of_its_odds():
    readings = readings_of(level, [Observation(name="level", value=0.0, error=1.0, beyond="above")])
    gaps = np.array([[-3.0, 0.0, 2.0, 30.0]])

    np.testing.assert_allclose(-0.5 * readings.residuals(gaps) ** 2, norm.logcdf(-gaps))
    assert readings.residuals(np.array([[-400.0, np.nan]]))[0, 0] == 0.0
