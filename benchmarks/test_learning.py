"""Time learning a house from its brews, and how the time grows with their number.

A thousand brews should take three seconds at most on a quiet machine, and ten thousand no more for each.
"""

from __future__ import annotations

import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.infer.learn import learn
from gylebook.tasks.learning import evidence_from, learned_from, states_of
from simulated_houses import brewed, days, house_of, nouns
from simulated_levels import book, house

SIZES = (10, 100, 1_000, 10_000)
SHARES = list(np.linspace(0.3, 0.8, 16))  # as many families as a brew day with eight readings touches
INSTRUMENTS = 5


def processor_seconds(work, times: int = 1) -> float:
    """Least time of the processor for one call: on a busy machine the rest is other programs' doing."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def test_learning_from_a_thousand_brews_and_how_it_grows(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    """Time for each brew at ten thousand over that at a hundred: at most once and a half, as it is linear."""
    of = house(SHARES, constants=INSTRUMENTS)
    brews, _, _ = book(of, SIZES[-1], np.random.default_rng(1), readings=8)
    taken = {
        size: processor_seconds(lambda size=size: learn(of, brews[:size], seed=1), 3 if size < 1_000 else 1)
        for size in SIZES
    }

    benchmark.pedantic(learn, args=(of, brews[:1_000]), kwargs={"seed": 1}, rounds=3)

    growth = (taken[10_000] / 10_000) / (taken[100] / 100)
    benchmark.extra_info.update({f"seconds at {size}": taken[size] for size in SIZES}, growth=growth)
    told = ", ".join(f"{size:,} brews {taken[size]:.2f} s" for size in SIZES)
    with capsys.disabled():
        print(f"\n  {told}: each of 10,000 takes {growth:.2f} times one of 100")
    assert growth <= 1.5


def test_learning_from_brew_days_against_forecasting_them(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    """A brew that is gathered costs to learn from what a few forecasts of it cost."""
    on = days(100, apart=7.0)
    rng = np.random.default_rng(1)
    gathered, _ = brewed(house_of(on[:1], rng), on, rng)
    plan, brewery = nouns(on[0])
    model = Model(plan, brewery)
    rows = standard_normal_latents(4_000, len(model.figures), 1)

    benchmark.pedantic(learned_from, args=(gathered,), rounds=3)

    each = processor_seconds(lambda: learned_from(gathered), 3) / len(on)
    forecast = processor_seconds(lambda: model.forecast(rows), 20)
    states = states_of(gathered.pasts, plan, brewery)
    evidence = evidence_from(states, gathered.pasts, [past.line for past in gathered.pasts])
    alone = processor_seconds(lambda: learn(states.house(), evidence, seed=1), 3) / len(on)
    benchmark.extra_info.update(forecasts=each / forecast, statistics=alone / forecast)
    with capsys.disabled():
        print(
            f"\n  learning from one of {len(on)} brews takes {each / forecast:.2f} forecasts of 4,000 draws, "
            f"{alone / forecast:.2f} of it statistics"
        )
    assert each / forecast <= 6.0
