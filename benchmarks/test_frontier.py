"""Time the edge of all ways at sixty gravities against forecasts of as many draws."""

from __future__ import annotations

import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.decide.frontier import frontier
from gylebook.gyle.forecast import Model
from gylebook.tasks.files import example_folder, load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.reach import latents_for, ways_of

GRAVITIES = np.linspace(7.5, 25.0, 60)
DRAWS = 1000


def test_the_edge_of_every_way(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """Half a second is asked of it on a quiet machine: about one forecast of 1,000 draws for each point."""
    folder = example_folder("amber-three-ways")
    plan, brewery = load_plan(folder / "plan.toml"), load_brewery(folder / "brewery.toml")
    latents = latents_for(plan, brewery, DRAWS, 1)
    ways = ways_of(brewery, plan)

    def every_way() -> None:
        for way in ways:
            frontier(plan, brewery, way, GRAVITIES, latents)

    benchmark.pedantic(every_way, rounds=5, warmup_rounds=1)

    solved = look_ahead(plan, brewery, draws=DRAWS)
    model = Model(solved.plan, brewery)
    start = time.perf_counter()
    for _ in range(100):
        model.forecast(solved.prior)
    forecast = (time.perf_counter() - start) / 100.0
    taken = benchmark.stats.stats.min if benchmark.stats is not None else float("nan")
    points = len(ways) * len(GRAVITIES)
    benchmark.extra_info.update(forecasts_a_point=taken / forecast / points)
    each = taken / forecast / points
    with capsys.disabled():
        print(f"\n  {points} points in {taken:.2f} s, {each:.1f} forecasts of {DRAWS} draws each")
