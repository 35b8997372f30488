"""A line over all that may be has the mean and the spread of the curve it stands for."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import NotConverged
from gylebook.infer.learn import Figures
from gylebook.infer.likelihood import Observation, residuals_of
from gylebook.infer.straight import expected, misfits, published, straight

READ = [Observation(name="a", value=3.0, error=0.5), Observation(name="b", value=-1.0, error=2.0)]


def residuals(forecast):
    return residuals_of(forecast, READ)


def test_a_straight_forecast_is_its_own_line():
    line = straight(
        residuals(lambda z: {"a": 1.0 + z[:, 0] - z[:, 2], "b": 3.0 * z[:, 1]}), published(4), seed=1
    )

    # Residuals are (value - forecast) / error, so slopes are those of the forecast over the error.
    assert line.middle == pytest.approx([4.0, -0.5])
    np.testing.assert_allclose(line.slope, [[2.0, 0.0, -2.0, 0.0], [0.0, 1.5, 0.0, 0.0]], atol=1e-9)
    np.testing.assert_allclose(line.noise, np.eye(2), atol=1e-9)


def test_a_curve_gives_the_mean_the_slope_and_the_leftover_that_are_known_of_it():
    a = 0.6

    line = straight(residuals(lambda z: {"a": np.exp(a * z[:, 0]), "b": z[:, 1]}), published(2), seed=1)

    # Of exp(a z) over a standard normal: mean exp(a²/2), slope a exp(a²/2), variance exp(a²)(exp(a²) - 1).
    mean = np.exp(a**2 / 2.0)
    left = mean**2 * (np.exp(a**2) - 1.0) - (a * mean) ** 2
    # 128 pairs know the even part to 4 % of its sd (0.3), the slope to 3 %.
    assert 3.0 - 0.5 * line.middle[0] == pytest.approx(mean, abs=0.07)
    assert 0.5 * line.slope[0, 0] == pytest.approx(a * mean, rel=0.06)
    assert 0.25 * (line.noise[0, 0] - 1.0) == pytest.approx(left, rel=0.5)
    assert line.slope[1] == pytest.approx([0.0, 0.5], abs=1e-9)


def test_the_line_lies_where_the_latents_are_expected():
    near = Figures(mean=np.array([2.0]), covariance=np.array([[0.01]]))

    line = straight(
        residuals(lambda z: {"a": z[:, 0] ** 2, "b": z[:, 1]}), expected(2, np.array([0]), near), seed=1
    )

    assert 0.5 * line.slope[0, 0] == pytest.approx(4.0, rel=1e-6)  # 2 z at z = 2
    assert 3.0 - 0.5 * line.middle[0] == pytest.approx(4.01, abs=0.005)  # z² plus the variance


def test_a_reading_that_fits_nothing_else_is_far_from_what_the_rest_says():
    values = {"a": 1.0, "b": 1.1, "c": 9.0}
    readings = [Observation(name=name, value=value, error=0.1) for name, value in values.items()]
    line = straight(residuals_of(lambda z: dict.fromkeys("abc", z[:, 0]), readings), published(1), seed=1)

    off = misfits(line, published(1))

    # Two readings of 0.1 know the latent to 0.07, so the third is 7.95 off with an sd of 0.122.
    assert off[2] == pytest.approx((9.0 - 2.1 / 2.01) / np.hypot(0.1, 0.1 / np.sqrt(2.01)), rel=1e-6)
    # Each of the two against the other one, which the prior draws to zero by 1 in 101.
    apart = np.hypot(0.1, 0.1 / np.sqrt(1.01))
    assert misfits(line.without(2), published(1)) == pytest.approx(
        [(1.0 - 1.1 / 1.01) / apart, (1.1 - 1.0 / 1.01) / apart], rel=1e-6
    )


def test_a_forecast_that_is_hardly_ever_there_is_said_so():
    with pytest.raises(NotConverged, match="no forecast"):
        straight(residuals(lambda z: {"a": np.log(z[:, 0] - 3.0), "b": z[:, 1]}), published(2), seed=1)


def test_what_readings_take_off_each_figure_is_the_posterior_of_a_regression():
    line = straight(residuals(lambda z: {"a": z[:, 0] + z[:, 1], "b": 4.0 * z[:, 2]}), published(3), seed=1)

    told = line.told(np.array([0]), np.array([[0.25]]))

    spread = 4.0 * 0.25 + 4.0 + 1.0  # of the first residual: slopes of 2, an own error of 1
    assert told == pytest.approx([4.0 * 0.25 / spread, 4.0 / spread, 4.0 / 5.0], rel=1e-6)
