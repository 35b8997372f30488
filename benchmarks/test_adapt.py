"""Time carrying a beer to another brewery against solving one plan, on the same draws.

`make bench` runs this.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.brewery.site import HouseFigure
from gylebook.tasks.adapt import adapt, brewed_of
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.parcels import packed, unpacked

EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
TURNS = 5
MOST_SOLVES = 6.0  # one to open it, up to four for a mash as thick as it was, and the numbers that stay


def seconds(work: Callable[[], object]) -> float:
    """Time of the processor for one call, on all cores."""
    start = time.process_time()
    work()
    return time.process_time() - start


def test_a_beer_carried_over_costs_a_few_solves(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    plan, shed = load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml")
    poorer = {"retained_l_per_kg": HouseFigure(level=1.5, scatter=0.1)}
    elsewhere = replace(shed, altitude_m=900.0, liquor_c=6.0, house=poorer)
    before = brewed_of(look_ahead(plan, shed))

    benchmark(adapt, before, elsewhere)

    pairs = [
        (seconds(lambda: adapt(before, elsewhere)), seconds(lambda: look_ahead(plan, elsewhere)))
        for _ in range(TURNS)
    ]
    ratio = median(ours / one for ours, one in pairs)
    with capsys.disabled():
        print(f"\n  adapting takes {ratio:.1f} times one solve, {1e3 * median(x for x, _ in pairs):.0f} ms")
    assert ratio <= MOST_SOLVES


def test_a_parcel_is_packed_and_opened_in_a_moment(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    outlook = look_ahead(load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml"))
    text = packed(outlook)

    benchmark(unpacked, text)

    took = median(seconds(lambda: unpacked(text)) for _ in range(TURNS))
    with capsys.disabled():
        print(f"\n  a parcel of {len(text):,} signs is opened in {1e3 * took:.0f} ms")
    assert took < 0.5
