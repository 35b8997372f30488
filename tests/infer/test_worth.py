"""Readings not yet taken, ranked by what they would tell."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.infer.worth import rank_readings

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
