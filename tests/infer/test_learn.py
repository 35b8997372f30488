"""Hold what is learned of a house to houses that are known, and to its own odds."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chisquare

from gylebook.infer.learn import Following, Learned, learn
from simulated_levels import book, brew, house

SHARES = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8]
KEPT = 399


def own(learned: Learned) -> np.ndarray:
    """How levels are made where each is a state of its own."""
    return np.eye(len(learned.house.start))


def test_before_any_brew_a_brew_to_come_has_the_published_spread():
    of = house(SHARES)

    learned = learn(of, (), seed=1)

    coming = learned.next_brew(own(learned), np.arange(6))
    assert coming.mean == pytest.approx(np.zeros(6))
    # 512 antithetic guesses of a log-normal scatter know its mean square to some 4 %.
    assert np.diag(coming.covariance) == pytest.approx(np.ones(6), abs=0.12)


def test_known_scatters_leave_the_exact_level():
    of = house([0.6], memory=1e9, spread=1e-6)
    values = np.array([0.9, 0.2, 0.6, 0.5])
    brews = [brew(np.array([[2.0]]), np.array([2.0 * value]), 1) for value in values]

    learned = learn(of, brews, seed=1)

    each, level = 0.4 + 0.25, learned.level(own(learned))
    precision = 1.0 / 0.6 + 4.0 / each
    assert level.mean[0] == pytest.approx(values.sum() / each / precision, rel=1e-4)
    assert level.covariance[0, 0] == pytest.approx(1.0 / precision, rel=1e-4)


@pytest.mark.parametrize("scatter", [0.25, 0.6, 1.0])
def test_many_brews_show_how_much_a_house_scatters(scatter):
    rng = np.random.default_rng(8)
    of = house([0.6], memory=1e6)
    brews = [
        brew(np.array([[5.0]]), 5.0 * (0.4 + scatter * rng.standard_normal(1)) + rng.standard_normal(1), 1)
        for _ in range(150)
    ]

    learned = learn(of, brews, seed=1)

    found = np.exp(learned.draws(2000, 1)[1][:, 0])
    # 150 brews know a scatter of s with an error of 0.2 to (s² + 0.04) / (17 s); 3 of them.
    assert np.mean(found) == pytest.approx(scatter, abs=3.0 * (scatter**2 + 0.04) / (17.0 * scatter))
    low, high = np.quantile(found, [0.005, 0.995])
    assert low < scatter < high


def monthly(of, levels) -> Learned:
    """Learn from brews a month apart that scatter by 0.3 about these levels."""
    rng = np.random.default_rng(3)
    brews = [
        brew(4.0 * np.eye(2), 4.0 * (np.array(level) + 0.3 * rng.standard_normal(2)), 2, when=month / 12.0)
        for month, level in enumerate(levels)
    ]
    return learn(of, brews, seed=1)


def test_a_level_that_steps_is_followed_and_one_that_stays_is_kept():
    of = house([0.6, 0.6])

    stepped = monthly(of, [(0.5, 0.5 if month < 120 else -1.0) for month in range(180)])

    assert stepped.level(own(stepped)).mean == pytest.approx([0.5, -1.0], abs=0.35)
    stayed = monthly(of, [(0.5, 0.5)] * 180)
    memories = [np.median(learned.draws(500, 1)[1][:, -1]) for learned in (stepped, stayed)]
    assert memories[0] < memories[1]  # a house that changes is forgotten sooner


def test_the_same_brews_and_seed_give_the_same_bits():
    of = house(SHARES, constants=1)
    told, _, _ = book(of, 9, np.random.default_rng(5))

    one, again = learn(of, told, seed=7), learn(of, told, seed=7)

    np.testing.assert_array_equal(one.weights, again.weights)
    np.testing.assert_array_equal(one.draws(50, 7)[0], again.draws(50, 7)[0])


def test_a_house_that_is_followed_knows_after_the_last_brew_what_all_of_them_tell():
    of = house(SHARES, constants=1)
    told, _, _ = book(of, 20, np.random.default_rng(6))
    following = Following(of, seed=1)
    for one in told:
        following.foreseen(one.when)
        following.take(one)

    followed = following.foreseen(told[-1].when).level(np.eye(7))

    at_once = learn(of, told, seed=1).level(np.eye(7))
    sd = np.sqrt(np.diag(at_once.covariance))
    # 64 guesses that were moved on for up to a third of the brews: a few hundredths of an sd apart.
    assert (followed.mean - at_once.mean) / sd == pytest.approx(np.zeros(7), abs=0.15)
    assert np.diag(followed.covariance) / sd**2 == pytest.approx(np.ones(7), abs=0.15)


def test_a_brew_is_foreseen_from_those_before_it_alone():
    of = house(SHARES)
    told, _, _ = book(of, 8, np.random.default_rng(2))
    means = []
    for brews in (told, [*told[:5], *book(of, 3, np.random.default_rng(99))[0]]):
        following = Following(of, seed=1)
        for one in brews[:5]:
            following.foreseen(one.when)
            following.take(one)
        means.append(following.foreseen(brews[4].when).level(np.eye(6)).mean)

    np.testing.assert_array_equal(means[0], means[1])


def simulated(brews: int, books: int) -> tuple[np.ndarray, np.ndarray]:
    """Ranks of the true levels, scatters and memory among 399 draws, 0..399; whether the weights held."""
    of = house(SHARES, constants=2)
    ranks, held = [], []
    for number in range(books):
        rng = np.random.default_rng((brews, number))
        told, at, logs = book(of, brews, rng)
        learned = learn(of, told, seed=number)
        states, scatters = learned.draws(KEPT, number)
        ranks.append(np.concatenate([(states < at).sum(axis=0), (scatters < logs).sum(axis=0)]))
        held.append(learned.pareto_k < 0.7)
    return np.array(ranks), np.array(held)


def inside(ranks: np.ndarray) -> np.ndarray:
    """Whether each truth lies in the 90 % interval of its draws."""
    return (ranks >= 20) & (ranks < 380)


def test_the_truth_of_simulated_houses_lies_in_the_interval_as_often_as_said():
    ranks, held = simulated(brews=8, books=60)

    # 60 books of 15 numbers; those of one book hang together a little: about 1.2 % sd, 3 of them.
    assert inside(ranks).mean() == pytest.approx(0.90, abs=0.036)
    assert held.all()


@pytest.mark.long
@pytest.mark.parametrize(("brews", "books"), [(1, 1000), (5, 1000), (30, 1000), (150, 400)])
def test_simulation_based_calibration_of_a_thousand_houses(brews, books):
    ranks, held = simulated(brews, books)

    for column in ranks.T:
        # Talts et al. (2018): uniform ranks; one false alarm in 10,000 for each of 60 columns in all.
        assert chisquare(np.bincount(np.minimum(column // 40, 9), minlength=10)).pvalue > 1e-4
    assert 0.88 < inside(ranks).mean() < 0.92
    # A column by itself: 3.5 binomial sds of its number of books.
    assert np.abs(inside(ranks).mean(axis=0) - 0.90).max() < 3.5 * 0.3 / np.sqrt(books)
    assert held.mean() > 0.99
