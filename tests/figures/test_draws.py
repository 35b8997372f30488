"""Hold summaries and latents to what the normal law says of them."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from gylebook.figures.draws import odds, standard_normal_latents, summarise

DRAWS = 4000


def test_a_certain_number_is_its_own_median_with_no_spread() -> None:
    summary = summarise(33.0)

    assert (summary.median, summary.low, summary.high, summary.mean, summary.sd) == (33, 33, 33, 33, 0)


def test_the_interval_of_a_normal_forecast_holds_nine_draws_of_ten() -> None:
    # The ends of a 90 % interval lie 1.6449 sd from the middle (SciPy's normal law).  0.1: two standard
    # errors of a 5 % quantile of 2,000 independent draws, sqrt(0.05 x 0.95/2000)/0.103 = 0.047 sd each.
    summary = summarise(40.0 + 1.5 * standard_normal_latents(DRAWS, 1, seed=7)[:, 0])

    assert summary.median == pytest.approx(40.0, abs=0.05 * 1.5)
    assert (40.0 - summary.low) / 1.5 == pytest.approx(stats.norm.ppf(0.95), abs=0.1)
    assert (summary.high - 40.0) / 1.5 == pytest.approx(stats.norm.ppf(0.95), abs=0.1)
    # 0.05: three standard errors of an sd from 2,000 independent draws, 1/sqrt(2 x 2000) = 0.016 each.
    assert summary.sd / 1.5 == pytest.approx(1.0, abs=0.05)


def test_odds_are_the_share_of_draws_in_which_it_holds() -> None:
    assert odds(np.array([True, True, True, False])) == 0.75
    assert odds(True) == 1.0


def test_the_same_seed_brews_the_same_forecast_bit_for_bit() -> None:
    first, again = (standard_normal_latents(DRAWS, 3, seed=11) for _ in range(2))

    assert np.array_equal(first, again)
    assert not np.array_equal(first, standard_normal_latents(DRAWS, 3, seed=12))


def test_one_more_figure_leaves_the_draws_of_all_others_as_they_were() -> None:
    few, more = standard_normal_latents(DRAWS, 3, seed=11), standard_normal_latents(DRAWS, 4, seed=11)

    assert np.array_equal(more[:, :3], few)


@pytest.mark.parametrize("draws", [1, 7, 4000])
def test_latents_come_in_mirrored_pairs_and_have_as_many_rows_as_asked_for(draws: int) -> None:
    latents = standard_normal_latents(draws, 2, seed=3)

    half = (draws + 1) // 2
    assert latents.shape == (draws, 2)
    assert np.array_equal(latents[half:], -latents[: draws - half])


def test_two_figures_are_drawn_without_regard_to_each_other() -> None:
    # 0.07: three standard errors of a correlation from 2,000 independent pairs, 1/sqrt(2000) = 0.022 each.
    correlation = np.corrcoef(standard_normal_latents(DRAWS, 2, seed=5), rowvar=False)

    assert correlation[0, 1] == pytest.approx(0.0, abs=0.07)


def test_latents_follow_the_normal_law() -> None:
    # Kolmogorov-Smirnov on the independent half; a sound generator fails this for one seed in a thousand.
    independent_half = standard_normal_latents(DRAWS, 1, seed=5)[: DRAWS // 2, 0]

    assert stats.kstest(independent_half, "norm").pvalue > 0.001
