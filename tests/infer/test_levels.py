"""Hold the pass over brews to what is known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from gylebook.infer.levels import Guesses, Levels, evidence_of, pass_over
from simulated_levels import book, brew, house, together

FOREVER = np.array([1e12])


def test_a_level_read_in_some_brews_is_the_mean_that_a_textbook_gives():
    values, scatter, share = np.array([0.9, 0.2, 0.6, 0.5]), 0.5, 0.6
    brews = [brew(np.array([[2.0]]), np.array([2.0 * value]), 1) for value in values]

    levels, _ = pass_over(np.array([[share]]), Guesses(scatter=np.array([[scatter]]), memory=FOREVER), brews)

    each = scatter**2 + 0.25  # an error of 1 on a slope of 2 is one of a half
    precision = 1.0 / share + len(values) / each
    assert levels.mean[0, 0] == pytest.approx(values.sum() / each / precision, rel=1e-12)
    assert levels.covariance[0, 0, 0] == pytest.approx(1.0 / precision, rel=1e-12)


def test_a_house_that_does_not_brew_falls_back_to_what_was_published():
    start = np.array([[0.6]])
    levels = Levels.before(start, Guesses(scatter=np.array([[0.5]]), memory=np.array([10.0])))
    levels.take(brew(np.array([[3.0]]), np.array([3.0]), 1, when=2000.0))
    mean, variance = levels.mean[0, 0], levels.covariance[0, 0, 0]

    levels.wait(2005.0)

    assert levels.mean[0, 0] == pytest.approx(mean * np.exp(-0.5), rel=1e-12)
    assert levels.covariance[0, 0, 0] == pytest.approx(0.6 - (0.6 - variance) * np.exp(-1.0), rel=1e-12)


def test_a_brew_written_down_late_does_not_turn_time_back():
    levels = Levels.before(np.array([[0.6]]), Guesses(scatter=np.array([[0.5]]), memory=np.array([10.0])))
    levels.take(brew(np.array([[3.0]]), np.array([3.0]), 1, when=10.0))
    known = levels.covariance.copy()

    levels.wait(5.0)

    assert levels.when == 10.0
    np.testing.assert_array_equal(levels.covariance, known)


@pytest.mark.parametrize("brews", [1, 2, 15])
def test_forecasts_one_step_ahead_multiply_to_the_likelihood_of_all_readings_together(brews):
    of = house([0.3, 0.5, 0.8], constants=2)
    told, _, logs = book(of, brews, np.random.default_rng(brews))

    _, height = pass_over(of.start, of.guesses(logs[None]), told)

    seen = np.concatenate([one.seen for one in told])
    whole = multivariate_normal(np.zeros(len(seen)), together(of, told, logs)).logpdf(seen)
    assert height[0] - 0.5 * len(seen) * np.log(2.0 * np.pi) == pytest.approx(whole, rel=1e-9)


def test_levels_after_the_last_brew_are_those_of_one_great_regression():
    of = house([0.3, 0.5, 0.8], constants=2)
    told, _, logs = book(of, 12, np.random.default_rng(4))

    levels, _ = pass_over(of.start, of.guesses(logs[None]), told)

    kept = np.exp(-(told[-1].when - np.array([one.when for one in told])) / np.exp(logs[-1]))
    along = np.concatenate([k * of.start @ one.through.T for k, one in zip(kept, told, strict=True)], axis=1)
    gain = np.linalg.solve(together(of, told, logs), along.T).T
    seen = np.concatenate([one.seen for one in told])
    np.testing.assert_allclose(levels.mean[0], gain @ seen, atol=1e-9)
    np.testing.assert_allclose(levels.covariance[0], of.start - gain @ along.T, atol=1e-9)


def test_guesses_that_pass_together_fare_as_each_by_itself():
    of = house([0.3] * 20)  # covariances of 20 states: 62 guesses go through at once
    told, _, _ = book(of, 3, np.random.default_rng(1))
    rows = of.middle + of.spread * np.random.default_rng(2).standard_normal((130, 21))

    levels, height = pass_over(of.start, of.guesses(rows), told)

    alone, one = pass_over(of.start, of.guesses(rows[100:101]), told)
    assert height[100] == pytest.approx(one[0], rel=1e-12)
    np.testing.assert_allclose(levels.mean[100], alone.mean[0], atol=1e-12)


def test_what_belongs_to_no_house_only_widens_the_errors():
    slope = np.array([[1.0, 3.0], [0.5, 0.0]])

    told = evidence_of(
        np.array([2.0, 1.0]), slope, np.eye(2), np.array([0]), np.eye(1), np.array([0]), when=0.0
    )

    # The first reading's error is the root of 1 + 3², so it is divided by that; the second stays.
    assert told.seen == pytest.approx([2.0 / np.sqrt(10.0), 1.0])
    np.testing.assert_allclose(told.slope, [[1.0 / np.sqrt(10.0)], [0.5]])
