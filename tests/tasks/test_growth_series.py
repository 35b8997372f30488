"""Fit the curve to measured growth of yeast: eight series of Gause (1932), warm and cold, unevenly read.

The transcription is not ours to hand on, so it is read where it lies beside the project, and where it does
not these tests say so.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from gylebook.figures.draws import standard_normal_latents
from gylebook.infer.condition import condition
from gylebook.infer.laplace import at_centre, find_mode
from gylebook.infer.likelihood import Observation, readings_of
from gylebook.process.ferment_heat import apparent_extract_at

DATA = Path(__file__).parents[3] / "shared" / "standards" / "data" / "gause-1932-table5-series1-2.csv"
pytestmark = pytest.mark.skipif(
    not DATA.is_file(), reason=f"{DATA.name} is not beside the project: measured growth not tested"
)
# Series, °C: K [index], r [1/h], t0 [h], rms of a least-squares fit, as told beside the data; tolerance 5 %.
FITTED = {
    (1, 5.7): (3.17, 0.011, 221.6, 0.13),
    (1, 15.0): (8.66, 0.067, 51.9, 0.76),
    (1, 28.0): (10.78, 0.178, 20.5, 0.54),
    (1, 39.0): (2.92, 0.317, 10.0, 0.31),
    (2, 5.7): (2.64, 0.016, 272.4, 0.21),
    (2, 15.0): (7.56, 0.062, 59.4, 0.33),
    (2, 28.0): (8.84, 0.198, 21.6, 0.32),
    (2, 39.0): (1.95, 0.352, 9.9, 0.05),
}


def series(number, temp_c):
    with DATA.open(encoding="utf-8") as file:
        rows = [
            (float(row["hours"]), float(row["yeast_volume_index"]))
            for row in csv.DictReader(file)
            if (int(row["series"]), float(row["temperature_C"])) == (number, temp_c)
        ]
    hours, volume = zip(*sorted(rows), strict=True)
    return np.array(hours), np.array(volume)


def growth(z, hours, volume):
    """K, r and t0, from priors too wide to matter."""
    most = volume.max() * np.exp(0.5 * z[:, 0])
    rate = 4.0 / np.median(hours) * np.exp(1.0 * z[:, 1])
    midpoint = np.median(hours) * np.exp(1.0 * z[:, 2])
    return np.array([most, np.clip(rate, 1e-3, 1.9), midpoint])


def asked(hours, volume, error):
    """What is asked of `infer`: the forecast, and the volumes with this error."""

    def forecast(z):
        most, rate, midpoint = growth(z, hours, volume)
        grown = most - apparent_extract_at(hours[:, np.newaxis], most, 0.0, rate, midpoint)
        return {f"{number}": row for number, row in enumerate(grown)}

    return forecast, [
        Observation(name=f"{number}", value=float(v), error=error) for number, v in enumerate(volume)
    ]


@pytest.mark.parametrize(("number", "temp_c"), FITTED)
def test_the_shape_of_measured_growth_is_found(number, temp_c):
    *expected, rms = FITTED[number, temp_c]
    hours, volume = series(number, temp_c)

    # A tenth of the scatter leaves the priors no say: the mode is then that of least squares.
    readings = readings_of(*asked(hours, volume, 0.1 * rms))
    found = find_mode(readings, at_centre(readings, 3))
    mode = growth(found.latents[np.newaxis, :], hours, volume)[:, 0]

    digits = (0.005, 0.0005, 0.05)  # as printed, half a digit
    for value, told, half in zip(mode, expected, digits, strict=True):
        assert value == pytest.approx(told, rel=0.05, abs=half)


@pytest.mark.parametrize(("number", "temp_c"), FITTED)
def test_the_interval_of_a_fit_holds_that_of_the_other_reader(number, temp_c):
    *expected, rms = FITTED[number, temp_c]
    hours, volume = series(number, temp_c)
    forecast, seen = asked(hours, volume, rms)
    latents = condition(forecast, standard_normal_latents(4000, 3, 1), seen, seed=1).latents

    low, high = np.quantile(growth(latents, hours, volume), (0.01, 0.99), axis=1)
    assert np.all((low <= expected) & (expected <= high))


def test_the_lag_hardly_changes_where_the_rate_changes_thirtyfold():
    lags = np.array([rate * midpoint for _, rate, midpoint, _ in FITTED.values()])
    rates = np.array([rate for _, rate, _, _ in FITTED.values()])

    # What the prior of the lag rests on: 3.5 with a scatter of 0.18 in its logarithm.
    assert np.exp(np.log(lags).mean()) == pytest.approx(3.5, abs=0.1)
    assert np.log(lags).std() == pytest.approx(0.18, abs=0.02)
    assert rates.max() / rates.min() > 30.0


def test_it_grows_faster_by_about_the_usual_factor_between_15_and_28_degrees():
    (_, cold, _, _), (_, warm, _, _) = FITTED[1, 15.0], FITTED[1, 28.0]

    # 2.2 ± 0.4 in ten degrees.
    assert (warm / cold) ** (10.0 / 13.0) == pytest.approx(2.2, abs=0.4)
