"""Time a division, what a wort becomes, whole packs and fillings, each against one forecast of as many draws.

Both are timed by turns, so that a busy machine slows them alike; the ratio is what is held.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from example_wishes import EXAMPLE, SHED
from gylebook.decide.bench import Bench
from gylebook.decide.divide import divide
from gylebook.decide.fillings import fillings
from gylebook.decide.packs import buy
from gylebook.decide.wort_search import Banned, WortSearch
from gylebook.exchange.larder_file import read_larder
from gylebook.exchange.wish_file import read_wish
from gylebook.gyle.forecast import Model
from gylebook.tasks.becoming import what_it_becomes
from gylebook.tasks.dividing import divided
from gylebook.tasks.outlook import Outlook, look_ahead

WISH = read_wish((EXAMPLE / "wish.toml").read_text(encoding="utf-8"), where="wish")
LARDER = read_larder((EXAMPLE / "larder.toml").read_text(encoding="utf-8"), where="larder")
DRAWS = 1000
TURNS, FORECASTS = 3, 20
# Twice what is seen on a quiet machine: some 25, 3,400, 2,100, 20 and 30.
MOST = {"search": 50, "divide": 7000, "becomes": 4500, "packs": 50, "fillings": 70}


@pytest.fixture(scope="module")
def outlook() -> Outlook:
    """The best solution of the example, as a plan to be brewed."""
    plan = divide(WISH, SHED, draws=400, seed=1, most=1).solutions[0].asked
    return look_ahead(plan, SHED, draws=DRAWS)


@pytest.fixture
def held(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str], outlook: Outlook
) -> Callable[..., None]:
    """Time some work, say how many forecasts it takes, and hold it below a number of them."""
    model = Model(outlook.plan, SHED)

    def time_it(name: str, most: float, work: Callable[[], Any]) -> None:
        work()
        ratios = [_seconds(work) / _forecast(model, outlook) for _ in range(TURNS)]
        benchmark.pedantic(work, rounds=3)
        ratio = statistics.median(ratios)
        benchmark.extra_info.update(forecasts=ratio)
        with capsys.disabled():
            print(f"\n  {name}: {ratio:.0f} forecasts of {DRAWS} draws")
        assert ratio <= most

    return time_it


def _forecast(model: Model, outlook: Outlook) -> float:
    def some() -> None:
        for _ in range(FORECASTS):
            model.forecast(outlook.prior)

    return _seconds(some) / FORECASTS


def _seconds(work: Callable[[], Any]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def test_search_one_wort_for_three_beers(held: Callable[..., None]) -> None:
    """The tables are made once; each solution asks again."""
    search = WortSearch(Bench(WISH, SHED))
    held("one search of the tables", MOST["search"], lambda: search.best(Banned()))


def test_divide_into_several_solutions(held: Callable[..., None]) -> None:
    held("a division", MOST["divide"], lambda: divided(WISH, SHED, draws=DRAWS))


def test_rank_what_else_a_wort_could_become(held: Callable[..., None], outlook: Outlook) -> None:
    held("what a wort becomes", MOST["becomes"], lambda: what_it_becomes(outlook))


def test_buy_whole_packs(held: Callable[..., None], outlook: Outlook) -> None:
    held("whole packs", MOST["packs"], lambda: buy(outlook.plan, LARDER))


def test_fill_four_fermenters(held: Callable[..., None]) -> None:
    held("fillings", MOST["fillings"], lambda: fillings(SHED, kegs_l=[9.5, 9.5, 19.0], bottle_l=0.5))
