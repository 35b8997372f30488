"""Readings not yet taken, ranked by what they would tell."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from gylebook.infer.worth import Odds, rank_readings

RNG = np.random.default_rng(3)


def plain(rows: int) -> np.ndarray:
    return RNG.standard_normal((rows, 200_000))


def test_a_reading_takes_off_what_the_closed_form_of_two_normals_says():
    # x ~ N(0, 1) read with error s: posterior sd = s / sqrt(1 + s²), a textbook result.
    x = plain(1)

    (worth,) = rank_readings(x, x, np.array([0.5]), most=1)

    # 0.005: sampling error of a variance from 200,000 draws is 0.3 %.
    assert worth.removed[0] == pytest.approx(1.0 - 0.5 / np.sqrt(1.25), abs=0.005)


def test_a_reading_that_repeats_another_sinks_once_that_one_is_taken():
    x, y = plain(2)
    wanted = np.array([x + y])
    shown = np.array([x, x, 0.8 * y])

    first, second, third = rank_readings(wanted, shown, np.array([0.01, 0.02, 0.01]), most=3)

    assert first.index == 0
    assert second.index == 2
    assert third.index == 1
    assert third.removed[0] < 0.01


def test_readings_one_after_the_other_take_off_what_all_do_at_once():
    x, y, z = plain(3)
    wanted = np.array([x + 0.5 * y - z, y + z])
    shown = np.array([x + y, y - z, z])
    errors = np.array([0.3, 0.5, 0.4])

    ranked = rank_readings(wanted, shown, errors, most=3)

    c = np.cov(np.concatenate([wanted, shown]), bias=True)
    gain = c[:2, 2:] @ np.linalg.inv(c[2:, 2:] + np.diag(errors**2)) @ c[2:, :2]
    left = 1.0 - sum(worth.removed for worth in ranked)
    np.testing.assert_allclose(left, np.sqrt(np.diag(c[:2, :2] - gain) / np.diag(c[:2, :2])), atol=1e-9)


def test_what_does_not_vary_is_narrowed_by_nothing():
    x = plain(1)

    (worth,) = rank_readings(np.ones_like(x), x, np.array([0.1]), most=1)

    assert worth.removed[0] == 0.0


def test_a_doubt_is_settled_as_far_as_the_odds_after_the_reading_are_expected_to_differ():
    # m ~ N(0.5, 1) read with error 0.7: draw the reading, then the odds that it leaves, by two normals' rule.
    margin = 0.5 + plain(1)
    above, error = float(norm.cdf(0.5)), 0.7
    later = 0.5 + RNG.standard_normal(200_000) / np.sqrt(1 + error**2)
    after = norm.cdf(later / (error / np.sqrt(1 + error**2)))

    (worth,) = rank_readings(margin, margin, np.array([error]), 1, doubt(margin, [above]))

    # 200,000 draws know a variance of odds to 0.3 %.
    assert worth.settled[0] == pytest.approx(after.var() / (above * (1 - above)), rel=0.02)


def test_the_reading_that_settles_an_open_doubt_goes_before_one_that_narrows_what_is_safe():
    x, y = plain(1), plain(1)
    errors = np.array([0.1, 0.1])

    shown, odds = np.concatenate([x, y]), doubt(np.concatenate([y, x + 9.0]), [0.5, 0.999])

    spread_first = rank_readings(x, shown, errors, 2)
    odds_first = rank_readings(x, shown, errors, 2, odds)

    assert [worth.index for worth in spread_first] == [0, 1]
    assert [worth.index for worth in odds_first] == [1, 0]
    assert odds_first[0].settled[0] > 0.8


def test_a_reading_that_comes_too_late_for_a_limit_settles_nothing_of_it():
    x = plain(1)
    late = Odds(margins=x, above=np.array([0.5]), counts=np.ones(1), in_time=np.array([[False]]))

    (worth,) = rank_readings(x, x, np.array([0.1]), 1, late)

    assert worth.settled[0] == 0.0


def test_a_doubt_settled_twice_is_settled_no_more_than_once():
    x = plain(1)
    shown = np.concatenate([x, x])

    first, second = rank_readings(x, shown, np.array([0.3, 0.3]), 2, doubt(x, [0.5]))

    once = rank_readings(x, x, np.array([0.3 / np.sqrt(2)]), 1, doubt(x, [0.5]))[0]
    assert second.settled[0] < 0.2 * first.settled[0]
    assert first.settled[0] + second.settled[0] == pytest.approx(once.settled[0], abs=1e-6)


def test_odds_that_are_certain_leave_nothing_to_settle():
    x = plain(1)

    (worth,) = rank_readings(x, x, np.array([0.3]), 1, doubt(np.concatenate([x, x]), [0.0, 1.0]))

    np.testing.assert_array_equal(worth.settled, 0.0)


def doubt(margins, above) -> Odds:
    """Odds that all readings come in time for."""
    return Odds(
        margins=margins,
        above=np.array(above),
        counts=np.ones(len(margins)),
        in_time=np.ones((2, len(margins)), dtype=bool),
    )
