"""Time a division, what a wort becomes, whole packs and fillings; `make bench` runs these."""

from __future__ import annotations

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
from gylebook.tasks.becoming import what_it_becomes
from gylebook.tasks.dividing import divided
from gylebook.tasks.outlook import Outlook, look_ahead

WISH = read_wish((EXAMPLE / "wish.toml").read_text(encoding="utf-8"), where="wish")
LARDER = read_larder((EXAMPLE / "larder.toml").read_text(encoding="utf-8"), where="larder")


@pytest.fixture(scope="module")
def outlook() -> Outlook:
    """The best solution of the example, as a plan to be brewed."""
    plan = divide(WISH, SHED, draws=400, seed=1, most=1).solutions[0].asked
    return look_ahead(plan, SHED, draws=1000)


def test_search_one_wort_for_three_beers(benchmark: BenchmarkFixture) -> None:
    search = WortSearch(Bench(WISH, SHED))
    benchmark(search.best, Banned())


def test_divide_into_several_solutions(benchmark: BenchmarkFixture) -> None:
    benchmark.pedantic(divided, args=(WISH, SHED), rounds=3)


def test_rank_what_else_a_wort_could_become(benchmark: BenchmarkFixture, outlook: Outlook) -> None:
    benchmark.pedantic(what_it_becomes, args=(outlook,), rounds=3)


def test_buy_whole_packs(benchmark: BenchmarkFixture, outlook: Outlook) -> None:
    benchmark(buy, outlook.plan, LARDER)


def test_fill_four_fermenters(benchmark: BenchmarkFixture) -> None:
    benchmark(fillings, SHED, kegs_l=[9.5, 9.5, 19.0], bottle_l=0.5)
