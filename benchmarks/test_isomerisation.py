"""Time the kinetics of bitterness over a full brewing day on 4,000 draws."""

from __future__ import annotations

import time
from collections.abc import Callable
from statistics import median

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.figures.draws import Array
from gylebook.process import isomerisation as iso

DRAWS = 4_000
BUDGET_S = 3e-3


def draws(level: float, scatter: float, seed: int) -> Array:
    return level * np.exp(scatter * np.random.default_rng(seed).standard_normal(DRAWS))


K1, K2 = draws(1.0, iso.K1_SCATTER, 1), draws(1.0, iso.K2_SCATTER, 2)
STAND, CHILL, WARM = draws(180.0, 0.3, 3), draws(8.0, 0.3, 4), draws(35.0, 0.2, 5)


def whole_day() -> tuple[iso.History, tuple[int, ...]]:
    """First wort, warming, 90 min at the boil, a stand that cools as it will, a chill as long as it takes."""
    warm = iso.warmed(WARM, 68.0, 99.0)
    boil, at = iso.boiled_with_hops(90.0, 99.0, [60.0, 20.0, 5.0, 0.0])
    stand = iso.cooled(30.0, 99.0, 20.0, STAND)
    hot_c = 20.0 + 79.0 * np.exp(-30.0 / STAND)
    history = warm.then(boil).then(stand).then(iso.chilled(hot_c, 14.0, CHILL, 20.0))
    return history, (0, *(warm.steps + index for index in at))


def test_bitterness_of_a_whole_day(benchmark: BenchmarkFixture) -> None:
    """Five additions, every rate and pace uncertain: within 3 ms, history included."""

    def bittered() -> tuple[iso.Shares, ...]:
        return iso.isomerised(*whole_day(), K1, K2)

    assert len(benchmark(bittered)) == 5
    assert middle(bittered) <= BUDGET_S


def test_bitterness_of_a_whole_day_where_not_all_dissolves(benchmark: BenchmarkFixture) -> None:
    """The same with a solubility that is uncertain too."""
    soluble = draws(*iso.SOLUBILITY_MG_PER_L, 6)

    def bittered() -> iso.Dissolved:
        history, at = whole_day()
        return iso.isomerised_where_soluble(history, [(index, 80.0) for index in at], soluble, K1, K2)

    assert np.max(benchmark(bittered).undissolved_most) > 0.0


def middle(work: Callable[[], object]) -> float:
    """Middle time of one call. [s]"""
    taken = []
    for _ in range(40):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return median(taken)
