"""Time the complete forecast with bitterness by the kinetics against the one by the trade's rule."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from statistics import median

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from example_gyles import brewery, hop, latents, plan
from gylebook.brewery.plan import Plan, Stand
from gylebook.gyle.forecast import Model
from gylebook.gyle.glass import details

DRAWS = 4_000
BUDGET_S = 8e-3
SHED = brewery()
# Every kind of addition, so that the whole day's temperatures are followed.
HOPS = (
    hop("first", use="first wort"),
    hop("early", minutes=60.0, age_days=200.0),
    hop("middle", minutes=20.0),
    hop("late", minutes=5.0),
    hop("stood", use="stand", minutes=30.0),
    hop("brief", use="stand", minutes=10.0),
    hop("dry", use="dry", portion="one"),
)
DAY = plan(hops=HOPS, stand=Stand(temperature_c=85.0, minutes=30.0))


def processor_seconds(work: Callable[[], object], times: int = 40) -> float:
    """Middle time of one call on the processor, in which another program's share does not count."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return median(taken)


def asked(a_plan: Plan) -> Callable[[], object]:
    """The complete forecast of a plan."""
    model = Model(a_plan, SHED)
    rows = latents(model, DRAWS)
    return lambda: model.forecast(rows)


def test_forecast_with_kinetics(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """A whole day's history on 4,000 draws: within 8 ms, and at most twice the plain forecast."""
    kinetic, trade = asked(replace(DAY, bitterness_by="kinetics")), asked(DAY)

    benchmark(kinetic)
    pairs = [(processor_seconds(kinetic, 3), processor_seconds(trade, 3)) for _ in range(40)]
    ratio = median(one / other for one, other in pairs)
    taken = processor_seconds(kinetic)

    benchmark.extra_info.update(ratio=ratio, ms=1000.0 * taken)
    with capsys.disabled():
        print(
            f"\n  by the kinetics a forecast takes {1000.0 * taken:.1f} ms, "
            f"{ratio:.2f} times that by the trade's rule"
        )
    assert taken <= BUDGET_S
    assert ratio <= 2.0


def test_what_drinker_and_bottler_ask(benchmark: BenchmarkFixture) -> None:
    """Alcohol by every formula, food, heat and gas of two portions."""
    model = Model(DAY, SHED)
    rows = latents(model, DRAWS)
    figures, course = model.draw(rows), model.course(rows)

    assert benchmark(details, DAY, SHED, figures, course)
