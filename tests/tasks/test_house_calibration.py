"""Hold what books teach to houses that are known: whole brew days, from readings to the next forecast.

A house is drawn from what is believed before any brew, brews scatter about it and drift with it, the model
itself says what the instruments show; then the book is learned from, and every true level, every scatter
and everything of one more brew must lie in its 90 % interval as often as that says.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chisquare

from gylebook.gyle.belonging import belongings
from gylebook.infer.straight import expected
from gylebook.tasks.learning import expected_of, learned_from, met, of_house
from simulated_houses import brewed, days, house_of, latents_of

KEPT, BREWS = 399, 12


def simulated(books: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ranks among 399 draws, by book: of levels and scatters; of what one more brew would show; trust."""
    on = days(BREWS)
    ranks, ahead, trusted = [], [], []
    for number in range(books):
        rng = np.random.default_rng((31, number))
        house = house_of(on, rng)
        gathered, at = brewed(house, on, rng)
        learning = learned_from(gathered, seed=number)
        states, learned = learning.states, learning.learned
        found = belongings(learning.plan, learning.site)
        columns = of_house(states, found)
        places = met(found, columns)
        drawn, logs = learned.draws(KEPT, number)
        levels = drawn @ states.made_of(places).T < house.states.made_of(places) @ at
        rows = [house.states.scattering.index(family) for family in states.scattering]
        scatters = logs[:, :-1] < house.logs[rows]
        ranks.append(np.concatenate([levels.sum(axis=0), scatters.sum(axis=0)]))
        _, figures = expected_of(states, learned, found)
        coming = expected(len(found), columns, figures)
        rootl = np.linalg.cholesky(coming.covariance)
        latents = coming.mean + rng.standard_normal((KEPT, len(found))) @ rootl.T
        truth = latents_of(house, on[-1], at, rng)
        shown = gathered.pasts[-1].residuals(np.vstack([truth, latents]).T)
        ahead.append((shown[:, 1:] > shown[:, :1]).sum(axis=1))
        trusted.append(learned.pareto_k < 0.7)
    return np.array(ranks), np.array(ahead), np.array(trusted)


def inside(ranks: np.ndarray) -> np.ndarray:
    """Whether each truth lies in the 90 % interval of its draws."""
    return (ranks >= 20) & (ranks < 380)


def test_levels_and_the_next_brew_lie_in_their_intervals_as_often_as_said():
    ranks, ahead, trusted = simulated(15)

    # 15 books of some 25 numbers that hang together a little: 2 % sd; the next brew's eight readings: 4 %.
    assert inside(ranks).mean() == pytest.approx(0.90, abs=0.06)
    assert inside(ahead).mean() == pytest.approx(0.90, abs=0.12)
    assert trusted.all()


@pytest.mark.long
def test_six_hundred_books_are_as_right_as_they_say():
    ranks, ahead, trusted = simulated(600)

    for column in (*ranks.T, *ahead.T):
        # Talts et al. (2018): uniform ranks; one false alarm in 10,000 for each of some 35 columns.
        assert chisquare(np.bincount(np.minimum(column // 40, 9), minlength=10)).pvalue > 1e-4
    assert 0.88 < inside(ranks).mean() < 0.92
    assert 0.88 < inside(ahead).mean() < 0.92
    # A column by itself: 3.5 binomial sds of 600 books.
    assert np.abs(inside(ranks).mean(axis=0) - 0.90).max() < 3.5 * 0.3 / np.sqrt(600)
    assert trusted.mean() > 0.99
