"""Hold the forecast of a fermentation to simulated portions: it must be right as often as it says."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from example_ferments import ALE, truth, viewed
from example_gyles import plan, portion, yeast
from gylebook.infer.laplace import at_centre, find_mode
from gylebook.infer.likelihood import Observation, readings_of
from gylebook.process.ferment_heat import apparent_extract_at, hours_until_within
from published_tables import published_rows

COLD = yeast(days=13.0, low_c=8.0, high_c=14.0, pitch_million_per_ml_plato=1.5, packs=4.0)
LAGER = plan(portions=(replace(portion("one"), yeast=COLD, ferment_c=11.0), portion("two")))
AS_PUBLISHED = {int(row["last_reading_h"]): row for row in published_rows("beer_logistic_prediction")}


def simulated(portions, seed):
    """For each portion: whether end and day lay inside their 90 %, the rank of the end, the method."""
    rng = np.random.default_rng(seed)
    out = []
    for number in range(portions):
        kind = ALE if number % 3 else LAGER
        real = truth(rng, kind)
        count, longest = int(rng.integers(1, 11)), 1.3 * min(real.near_end_h(), 900.0)
        hours = np.sort(rng.uniform(2.0, longest, count)).tolist()
        on = rng.choice(["hydrometer", "refractometer"], count).tolist()
        view = viewed(real.readings(hours, on, rng), kind, draws=1000, seed=number)
        day = real.near_end_h()
        out.append(
            (
                view.end.low <= real.end_sg <= view.end.high,
                view.near_end_h.low <= day <= view.near_end_h.high,
                (real.end_sg - view.end.mean) / view.end.sd,
                view.trust.method == "importance",
            )
        )
    return np.array(out, dtype=float)


@pytest.fixture(scope="module")
def two_hundred():
    return simulated(200, 20_262)


def test_nine_in_ten_portions_end_within_their_interval(two_hundred):
    # Binomial sd of 200 is 2.1 %; 5 % is asked for.
    assert two_hundred[:, 0].mean() == pytest.approx(0.90, abs=0.05)


def test_nine_in_ten_portions_come_near_their_end_within_the_days_told(two_hundred):
    assert two_hundred[:, 1].mean() == pytest.approx(0.90, abs=0.05)


def test_the_end_is_told_neither_too_high_nor_too_low_on_the_whole(two_hundred):
    # The mean of 200 standardised errors has an sd of 0.07.
    assert abs(two_hundred[:, 2].mean()) < 0.21


def test_most_fits_are_taken_the_quick_way(two_hundred):
    assert two_hundred[:, 3].mean() > 0.8


@pytest.mark.long
def test_a_thousand_portions_keep_to_their_intervals_more_closely():
    inside = simulated(1000, 20_263)

    # Binomial sd 0.9 %; three of them.
    assert inside[:, 0].mean() == pytest.approx(0.90, abs=0.03)
    assert inside[:, 1].mean() == pytest.approx(0.90, abs=0.03)


# ---- as far as the published simulation went


def early_forecast(last_h):
    """200 synthetic ales of the published simulation, read every 12 h until `last_h`.

    Error and sd of the end, and the hour near it, of the most probable curve with its Laplace covariance, as
    the source's 0.598 at 24 h is one.  It does not state its priors of rate, midpoint and start: here 0.09/h
    and 40 h, each to a factor of 1.45, and 12.6 ± 0.3 °P.
    """
    times = np.arange(0.0, last_h + 1.0, 12.0)[:, np.newaxis]

    def curve(z):
        return 12.6 + 0.3 * z[:, 3], 3.1 + 0.6 * z[:, 0], 0.09 * 1.45 ** z[:, 1], 40.0 * 1.45 ** z[:, 2]

    def forecast(z):
        return dict(numbered(apparent_extract_at(times, *curve(z))))

    real = apparent_extract_at(times[:, 0], 12.6, 2.8, 0.085, 40.0)
    rng, rows = np.random.default_rng(5), []
    for _ in range(200):
        read = real + 0.15 * rng.standard_normal(len(times))
        seen = [Observation(name=name, value=float(v), error=0.15) for name, v in numbered(read)]
        readings = readings_of(forecast, seen)
        mode = find_mode(readings, at_centre(readings, 4))
        start, end, rate, midpoint = curve(mode.latents[np.newaxis, :])
        near = hours_until_within(0.2, start, end, rate, midpoint)
        rows.append((end[0] - 2.8, 0.6 * mode.covariance()[0, 0] ** 0.5, near[0]))
    return np.array(rows)


def numbered(values):
    return ((f"{number}", value) for number, value in enumerate(values))


@pytest.mark.parametrize("last_h", [24, 48, 60, 72, 96])
def test_synthetic_ales_are_forecast_as_early_and_as_well_as_in_the_published_simulation(last_h, check):
    row = {name: float(value) for name, value in AS_PUBLISHED[last_h].items()}
    rows = early_forecast(last_h)
    error, posterior, near = rows.mean(axis=0)
    error_sd, _, near_sd = rows.std(axis=0)

    # Two simulations of 200 ales: a mean differs by 0.1 of the ales' own scatter, so three of those; 0.01 °P,
    # 3 % and 0.5 h beside it for priors that the source does not state.
    of = {"at": f"read until {last_h} h", "source": "speers-2003", "kind": "slip"}
    told_sd, told_near_sd = row["sd_error_Pe_P"], row["sd_predicted_end_h"]
    within = 0.3 * told_sd + 0.01
    check("error of the end", error, row["mean_error_Pe_P"], within=within, unit="°P", **of)
    check("sd of the end", posterior, row["mean_posterior_sd_P"], rel=0.03, unit="°P", **of)
    within = 0.3 * told_near_sd + 0.5
    check("hour near the end", near, row["mean_predicted_end_h"], within=within, unit="h", **of)
    # An sd of 200 is known to 5 %: three times √2 of that.
    assert error_sd == pytest.approx(told_sd, rel=0.21, abs=0.005)
    assert near_sd == pytest.approx(told_near_sd, rel=0.21)


# ---- stuck is not slow


def verdicts(portions, hours, seed, **fixed):
    rng, out = np.random.default_rng(seed), Counter()
    for number in range(portions):
        real = truth(rng, **fixed)
        on = ["hydrometer"] * len(hours)
        out[viewed(real.readings(hours, on, rng), seed=number).verdict] += 1
    return out


EACH_DAY = [24.0 * day for day in range(1, 8)]


def test_portions_that_stop_two_degrees_above_are_called_stuck_and_not_slow():
    # 2.5 °P above, the yeast otherwise as usual.
    found = verdicts(12, EACH_DAY, 11, way=1, end_miss=0.3, rate=0.0, lag=0.0)

    assert found["stuck"] >= 11
    assert found["slow"] == found["as good as finished"] == 0


def test_portions_that_ferment_at_half_the_speed_are_called_slow_and_not_stuck():
    # A rate at half of the usual and a long lag, read through the first days, when they still fall.
    found = verdicts(20, EACH_DAY[:5], 12, way=3, rate=0.0, lag=1.0)

    assert found["stuck"] == found["runaway"] == 0
    assert found["slow"] >= 18


def test_portions_that_end_where_they_should_raise_no_alarm():
    found = verdicts(40, EACH_DAY, 13, way=0)

    assert found["stuck"] + found["runaway"] <= 1


def test_portions_that_fall_two_degrees_below_what_their_yeast_reaches_are_noticed():
    found = verdicts(10, [*EACH_DAY, 240.0], 14, way=2, end_miss=0.5, rate=0.5, lag=0.0)

    assert found["runaway"] >= 9
