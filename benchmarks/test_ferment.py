"""Time the fit of a fermentation against plain forecasts of what its readings would show."""

from __future__ import annotations

import time
from collections.abc import Callable
from statistics import median

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from example_ferments import ALE, PITCHED, SHED, gravity
from gylebook.figures.draws import standard_normal_latents
from gylebook.tasks.ferment_state import ferment_view
from gylebook.tasks.fermenting import follow
from gylebook.tasks.outlook import look_ahead

DRAWS = 4_000
HEALTHY = ((20.0, 1.048), (44.0, 1.035), (66.0, 1.0225), (90.0, 1.0165), (140.0, 1.0142), (188.0, 1.0140))
HALF_WAY = 3


def seconds(work: Callable[[], object]) -> float:
    """Time of the processor for one call, on all cores."""
    start = time.process_time()
    work()
    return time.process_time() - start


@pytest.mark.parametrize("count", [1, HALF_WAY, len(HEALTHY)])
def test_fit_of_a_fermentation(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str], count: int
) -> None:
    """Six ways: a climb each, and four forecasts of as many draws for each way that is possible."""
    readings = [gravity(hours, sg) for hours, sg in HEALTHY[:count]]
    outlook = look_ahead(ALE, SHED, readings, draws=DRAWS)
    fit = follow(outlook, "one", PITCHED.isoformat())
    columns = fit.fermentation.day + len(fit.fermentation.figures)
    rows = np.asfortranarray(standard_normal_latents(DRAWS, columns, 1))

    benchmark(follow, outlook, "one", PITCHED.isoformat())
    pairs = [
        (
            seconds(lambda: follow(outlook, "one", PITCHED.isoformat())),
            seconds(lambda: fit.fermentation.readings_forecast(rows)),
        )
        for _ in range(15)
    ]
    ratio = median(one / other for one, other in pairs)

    benchmark.extra_info.update(forecasts=ratio, readings=count)
    with capsys.disabled():
        print(f"\n  a fit to {count} readings takes {ratio:.0f} forecasts of what they show")
    # 6 ways of 4 forecasts, as conditioning is held to; 6 climbs of some 6 looks at 300 rows, a fourteenth of
    # a forecast in rows and more in calls; one forecast for the residuals.
    assert ratio <= 40.0


def test_view_of_a_fermentation(benchmark: BenchmarkFixture) -> None:
    """Verdict, day, band and wait from a fit."""
    outlook = look_ahead(ALE, SHED, [gravity(hours, sg) for hours, sg in HEALTHY], draws=DRAWS)
    fit = follow(outlook, "one", PITCHED.isoformat())

    view = benchmark(ferment_view, fit)

    assert view.verdict == "as good as finished"
