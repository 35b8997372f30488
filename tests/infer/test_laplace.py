"""Hold the climb to the most probable latents to a general-purpose minimiser."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from gylebook.infer.laplace import (
    LEFT,
    NEAR,
    SETTLED,
    climb_on,
    find_mode,
    looked_at,
    neighbours,
    point_among,
)
from gylebook.infer.likelihood import Observation, readings_of


def climbed(readings, d, settled=SETTLED):
    """The end of a climb from the prior's centre."""
    centre = np.zeros(d)
    return find_mode(readings, point_among(readings, centre, readings.gaps(neighbours(centre))), settled)


def steep(z):
    """So steep that a full step from the prior's centre lands far beyond the answer."""
    return {"a": np.exp(2.0 * z[:, 0] + 0.5 * z[:, 1]), "b": z[:, 1] / (1.0 + np.exp(-z[:, 2]))}


@pytest.mark.parametrize("value", [0.02, 1.0, 8.0, 200.0])
def test_the_climb_ends_where_a_minimiser_ends(value):
    seen = [
        Observation(name="a", value=value, error=0.05 * value),
        Observation(name="b", value=0.4, error=0.1),
    ]
    readings = readings_of(steep, seen)

    mode = climbed(readings, 3)

    def loss(z):
        return 0.5 * float(np.square(readings.gaps(z[:, None])).sum() + z @ z)

    there = minimize(loss, mode.latents, method="BFGS", options={"gtol": 1e-4})
    assert mode.converged
    # The climb stops once a step is below a tenth of a posterior sd and takes that step.
    off = np.linalg.solve(np.linalg.cholesky(mode.covariance()), mode.latents - there.x)
    assert np.abs(off).max() < 0.05
    np.testing.assert_allclose(mode.residual, readings.gaps(mode.latents[:, None])[:, 0], atol=0.02)


def test_the_climb_stays_where_there_is_a_forecast():
    def forecast(z):
        return {"y": np.sqrt(1.0 - z[:, 0])}

    readings = readings_of(forecast, [Observation(name="y", value=0.01, error=0.1)])

    mode = climbed(readings, 1)

    assert mode.latents[0] < 1.0
    assert np.isfinite(mode.height)


def test_a_forecast_is_called_a_few_times_with_about_d_rows():
    calls = []

    def forecast(z):
        calls.append(len(z))
        return {"y": np.exp(0.1 * z).sum(axis=1)}

    climbed(readings_of(forecast, [Observation(name="y", value=42.0, error=0.2)]), 40)

    assert len(calls) <= 4
    assert max(calls) <= 45


def late_bend(z):
    """Nearly straight as far as a climb from the prior's centre looks, and bent where it would end."""
    return {"y": z[:, 0] + 0.4 * np.exp(2.0 * z[:, 0]), "other": z[:, 0] + z[:, 1]}


SEEN = [Observation(name="y", value=1.2, error=0.3), Observation(name="other", value=1.5, error=0.5)]


def test_a_climb_that_ends_early_gets_to_the_mode_with_one_more_look():
    readings = readings_of(late_bend, SEEN)
    there = climbed(readings, 2)

    early = climbed(readings, 2, NEAR)
    mode = looked_at(readings, early, readings.gaps(neighbours(early.latents)))

    root = np.linalg.cholesky(there.covariance())
    before = np.linalg.norm(np.linalg.solve(root, early.latents - there.latents))
    after = np.linalg.norm(np.linalg.solve(root, mode.latents - there.latents))
    # Newton's error falls with its square: a step of under 2 posterior sds leaves a small part of itself.
    assert before > 0.3
    assert after < 0.1
    assert mode.converged
    np.testing.assert_array_equal(mode.start.latents, np.zeros(2))


def test_a_last_look_that_finds_the_mode_far_off_says_so_and_the_climb_goes_on():
    readings = readings_of(late_bend, [Observation(name="y", value=3.0, error=0.6), SEEN[1]])
    early = climbed(readings, 2, NEAR)

    mode = looked_at(readings, early, readings.gaps(neighbours(early.latents)))
    there = climb_on(readings, mode)

    assert mode.step()[1] > LEFT
    assert early.converged
    assert not mode.converged
    np.testing.assert_array_equal(mode.latents, early.latents)
    assert there.converged
    assert there.height > mode.height


def test_a_last_look_where_there_is_no_forecast_goes_back_to_the_start():
    readings = readings_of(late_bend, SEEN)
    early = climbed(readings, 2, NEAR)

    mode = looked_at(readings, early, np.full((2, 3), np.nan))

    assert not mode.converged
    np.testing.assert_array_equal(mode.latents, np.zeros(2))
    assert climb_on(readings, mode).converged
