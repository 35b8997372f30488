"""Time a forecast, what it is made of, conditioning, solving and the start of the command line.

`make bench` runs these; nothing of `make test` depends on the clock.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from importlib.util import find_spec
from statistics import median

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from array_operations import replay_of
from example_gyles import brewery, grain, hop, latents, middling, plan
from gylebook.brewery.instruments import Quantity, Reading
from gylebook.brewery.plan import Aims, Liquor
from gylebook.decide.solve import solve
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import limits
from gylebook.gyle.observe import observables
from gylebook.infer.condition import condition
from gylebook.infer.likelihood import Observation

DRAWS = 4_000
AMBER, SHED = plan(), brewery()
# Step, quantity, instrument, and how many sd of its error each reading lies off the middle forecast.
SEVEN = (
    ("mash", "temperature", "thermometer", 0.5),
    ("mash", "gravity", "refractometer", -1.0),
    ("preboil", "volume", "dipstick", 1.0),
    ("preboil", "gravity", "hydrometer", -0.5),
    ("boil end", "volume", "dipstick", -1.0),
    ("boil end", "gravity", "hydrometer", 0.5),
    ("fermenters", "volume", "dipstick", 0.5),
)
TWELVE = (
    *SEVEN,
    ("lift", "mass", "scale", -0.5),
    ("heat liquor", "time", "clock", -0.5),
    ("mash", "volume", "dipstick", 0.5),
    ("rinse", "gravity", "hydrometer", 1.0),
    ("fermenters", "gravity", "hydrometer", -0.3),
)


@pytest.fixture(scope="module")
def model() -> Model:
    return Model(AMBER, SHED)


@pytest.fixture(scope="module")
def rows(model: Model) -> Array:
    return latents(model, DRAWS)


def seconds(
    work: Callable[[], object], times: int = 40, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Middle time of one call."""
    taken = []
    for _ in range(times):
        start = clock()
        work()
        taken.append(clock() - start)
    return median(taken)


def by_turns(first: Callable[[], object], second: Callable[[], object], times: int = 40) -> float:
    """How many times longer the first takes, taken in turns so that a busy machine slows both.

    In time of the processor, on all cores: the longer a call, the likelier another program cuts in, which
    would count against the first.
    """
    pairs = [
        (seconds(first, 3, time.process_time), seconds(second, 3, time.process_time)) for _ in range(times)
    ]
    return median(one / other for one, other in pairs)


def test_forecast(benchmark: BenchmarkFixture, model: Model, rows: Array) -> None:
    """The whole course with all its names."""
    numbers = benchmark(model.forecast, rows)

    assert len(numbers) > 30


def test_forecast_and_limits(benchmark: BenchmarkFixture, model: Model, rows: Array) -> None:
    """All that a page of one plan needs."""

    def page() -> object:
        figures = model.draw(rows)
        return limits(AMBER, SHED, figures, model.course(rows))

    assert benchmark(page)


def test_forecast_against_its_bare_operations(
    benchmark: BenchmarkFixture, model: Model, rows: Array, capsys: pytest.CaptureFixture[str]
) -> None:
    """At most twice the sum of the array operations of which it is made."""
    bare = replay_of(model.forecast, rows)

    benchmark(model.forecast, rows)
    ratio = median(seconds(lambda: model.forecast(rows)) / bare.seconds() for _ in range(5))

    benchmark.extra_info.update(operations=len(bare), ratio=ratio)
    with capsys.disabled():
        print(f"\n  a forecast takes {ratio:.2f} times its {len(bare)} bare array operations")
    assert len(bare) > 150
    assert ratio <= 2.0


@pytest.mark.parametrize(("taken", "most"), [(SEVEN, 4.5), (TWELVE, 4.0)], ids=["seven", "twelve"])
def test_conditioning_on_readings(
    benchmark: BenchmarkFixture,
    rows: Array,
    capsys: pytest.CaptureFixture[str],
    taken: tuple[tuple[str, Quantity, str, float], ...],
    most: float,
) -> None:
    """At most four forecasts of as many draws for a day of twelve readings.

    Of seven the forecast is cheaper, while the first look at all figures costs the same.
    """
    readings = [Reading(step=s, quantity=q, value=10.0, instrument=i) for s, q, i, _ in taken]
    seen = observables(readings, AMBER, SHED)
    model = Model(AMBER, SHED, seen)
    middle = model.readings_forecast(middling(model))
    observations = [
        Observation(name=o.name, value=float(np.max(middle[o.name])) + off * o.error, error=o.error)
        for o, (*_, off) in zip(seen, taken, strict=True)
    ]

    def conditioned() -> object:
        return condition(model.readings_forecast, rows, observations, seed=1)

    posterior = benchmark(conditioned)
    ratio = by_turns(conditioned, lambda: model.readings_forecast(rows), times=15)

    benchmark.extra_info.update(forecasts=ratio)
    with capsys.disabled():
        print(
            f"\n  conditioning takes {ratio:.2f} forecasts of what {len(seen)} readings show; "
            f"Pareto k {posterior.diagnostic.pareto_k:.2f}"
        )
    assert posterior.diagnostic.method == "importance"
    assert ratio <= most


def invented(rows: Array) -> dict[str, Array]:
    """Seven curved sums of 40 latents, about 2 ms for 4,000 rows: time goes into rows, not into calls."""
    bent = np.exp(0.15 * rows) + 0.1 * np.sin(rows) + 0.05 * np.tanh(rows)
    return {f"reading {i}": bent[:, i::7].sum(axis=1) + 0.5 * bent[:, i] * bent[:, i + 8] for i in range(7)}


def test_conditioning_on_seven_readings_of_an_invented_forecast(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    """At most four forecasts of as many draws."""
    rows = standard_normal_latents(DRAWS, 40, 1)
    middle = invented(np.zeros((1, 40)))
    observations = [
        Observation(name=name, value=float(value[0]) + 0.1 * off, error=0.1)
        for (name, value), (*_, off) in zip(middle.items(), SEVEN, strict=True)
    ]

    def conditioned() -> object:
        return condition(invented, rows, observations, seed=1)

    posterior = benchmark(conditioned)
    ratio = by_turns(conditioned, lambda: invented(rows), times=15)

    benchmark.extra_info.update(forecasts=ratio)
    took = 1e3 * seconds(lambda: invented(rows))
    with capsys.disabled():
        print(f"\n  conditioning takes {ratio:.2f} invented forecasts of {took:.1f} ms")
    assert posterior.diagnostic.method == "importance"
    assert ratio <= 4.0


def test_solve(benchmark: BenchmarkFixture, model: Model) -> None:
    """Grain, both liquors and two hops, for a volume at its odds, a gravity and a bitterness."""
    wanted = replace(
        AMBER,
        aims=Aims(volume_l=30.0, plato=12.5, bitterness_ibu=25.0),
        liquor=Liquor(),
        grist=(grain(mass_kg=None, share=0.9), grain("amber", None, share=0.1)),
        hops=(hop(mass_kg=None), hop("late", None, minutes=10.0)),
    )
    rows = latents(Model(wanted, SHED), DRAWS)

    found = benchmark(solve, wanted, SHED, rows)

    assert found.liquor.mash_l


def test_start_of_the_command_line(benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]) -> None:
    """Against a Python that does nothing."""
    if find_spec("gylebook.faces.cli") is None:
        pytest.skip("there is no command line yet: its start was not timed")

    def started(*arguments: str) -> None:
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)

    def command() -> None:
        started("-c", "from gylebook.faces.cli import run; run(['--help'])")

    benchmark.pedantic(command, rounds=10, warmup_rounds=1)
    nothing = seconds(lambda: started("-c", "pass"), 10)
    taken = seconds(command, 10)

    benchmark.extra_info.update(bare_start=nothing)
    with capsys.disabled():
        print(
            f"\n  the command line starts in {1e3 * taken:.0f} ms, python -c pass in {1e3 * nothing:.0f} ms"
        )
