"""The usual curve of a yeast, its pitch and its end, against common practice and the curve's own law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import ferment_curve as shape
from gylebook.process.ferment_heat import apparent_extract_at, hours_until_within, speed_at
from published_tables import published

WAYS = (shape.AS_EXPECTED, shape.STOPS_EARLY, shape.GOES_FURTHER)
curves = st.tuples(st.floats(6.0, 25.0), st.floats(-0.5, 4.0), st.floats(0.01, 0.3), st.floats(1.0, 6.0))


@pytest.mark.parametrize(
    ("kind", "days", "original", "warmer_k", "rate"),
    [
        ("ale at 19 °C", 5.5, 12.0, 0.0, 0.08),
        ("lager at 11 °C", 13.0, 12.0, 0.0, 0.03),
        ("kveik at 35 °C, at home at 32.5", 3.0, 12.0, 2.5, 0.18),
        ("wheat", 5.0, 12.0, 0.0, 0.07),
    ],
)
def test_a_kind_of_yeast_works_as_fast_as_custom_says(kind, days, original, warmer_k, rate, check):
    found = shape.usual_rate(days, original) * speed_at(20.0 + warmer_k)

    # Custom knows a rate to a factor of 1.4, so the logarithm to 0.34.
    of = {"unit": "1/h", "at": kind, "source": "common-practice"}
    check("rate of the usual curve", found, rate, within=0.34 * rate, **of)


def test_usual_and_slow_pace_together_scatter_by_the_factor_of_custom(check):
    within, slow = np.log(shape.RATE_SPREAD), shape.SLOW_ODDS
    between = slow * (1.0 - slow) * np.log(shape.SLOW_PACE) ** 2

    factor = np.exp(np.sqrt(within**2 + between))

    check("factor of a rate", factor, 1.4, within=0.05, source="common-practice")  # told to two digits


def test_strong_wort_takes_longer_and_slow_kinds_do_too():
    assert shape.usual_rate(5.5, 20.0) < shape.usual_rate(5.5, 12.0) < shape.usual_rate(4.0, 12.0)


def test_an_ale_pitched_as_usual_is_half_done_after_a_day_and_a_half(check):
    # M 36 to 44 h in ale, 110 to 140 in lager, 14 to 18 in kveik at 35 °C; common practice.
    of = {"unit": "h", "source": "common-practice"}
    for kind, days, low, high in (("ale", 5.5, 36.0, 44.0), ("lager", 13.0, 110.0, 140.0)):
        found = shape.usual_lag(1.0) / shape.usual_rate(days, 12.0)
        check.between("midpoint of the usual curve", found, low / 1.15, high * 1.15, at=kind, **of)


def test_half_the_yeast_comes_later_by_the_logarithm_of_two_over_the_rate():
    rate = 0.08

    later = (shape.usual_lag(0.5) - shape.usual_lag(1.0)) / rate

    assert later == pytest.approx(np.log(2.0) / rate, rel=1e-12)
    assert later == pytest.approx(8.7, abs=0.05)


def test_no_pitch_however_odd_leaves_the_curve_without_a_lag():
    lags = shape.usual_lag(np.array([0.0, 1e-9, 1.0, 1e9]))

    assert np.all(lags >= 0.7)
    assert np.all(np.diff(lags) <= 0.0)


@pytest.mark.parametrize(("hours", "apparent"), published("beer_logistic_curve"))
def test_counted_from_the_original_extract_it_is_the_published_curve(hours, apparent, check):
    # The table's own value at pitching, printed to 0.00005 °P, is the original extract there.
    found = shape.quick_fall_at(hours, 12.2835, 2.8, 0.085, 3.4)

    of = {"unit": "°P", "at": f"{hours:g} h", "source": "speers-2003", "kind": "slip"}
    check("fall of gravity from its original", found, apparent, within=1.2e-4, **of)


@given(curves)
def test_it_stands_at_the_original_extract_when_the_yeast_goes_in(curve):
    assert shape.quick_fall_at(0.0, *curve) == pytest.approx(curve[0], abs=1e-9)


@given(curves, st.floats(0.5, 500.0), st.floats(1.001, 2.0))
def test_gravity_is_never_lower_with_a_longer_lag_nor_higher_with_a_faster_yeast(curve, hours, more):
    original, end, rate, lag = curve
    here = shape.quick_fall_at(hours, original, end, rate, lag)

    assert shape.quick_fall_at(hours, original, end, rate, lag * more) >= here - 1e-12
    assert shape.quick_fall_at(hours, original, end, rate * more, lag) <= here + 1e-12


@given(
    st.floats(4.0, 30.0),
    st.floats(0.5, 0.95),
    st.floats(-8.0, 8.0),
    st.floats(0.01, 1.0),
    st.sampled_from(WAYS),
)
def test_no_end_leaves_the_range_between_all_and_nothing(original, attenuation, miss, more, way):
    expected = original * (1.0 - attenuation)

    reached, further = (shape.end_reached(original, expected, way, z) for z in (miss, miss + more))

    assert shape.lowest_end(original) - 1e-9 <= reached <= original + 1e-9
    assert abs(further - expected) >= abs(reached - expected)
    assert np.sign(reached - expected) == {0: 0.0, 1: 1.0, 2: -1.0}[way]


def test_a_fermentation_that_stops_early_stands_one_to_four_degrees_above():
    # 2 °P, factor 2 either way in one sd; of a fall so large that it sets no bound.
    low, middle, high = (shape.end_reached(40.0, 2.0, shape.STOPS_EARLY, z) - 2.0 for z in (-1.0, 0.0, 1.0))

    assert (low, middle, high) == (
        pytest.approx(1.0, abs=0.01), pytest.approx(2.0, abs=0.01), pytest.approx(4.0, abs=0.02)
    )  # fmt: skip


def test_the_ways_of_many_draws_are_told_row_by_row():
    together = shape.end_reached(12.0, np.full(3, 2.8), np.array(WAYS), np.zeros(3))

    assert together == pytest.approx([float(shape.end_reached(12.0, 2.8, way, 0.0)) for way in WAYS])
    assert sum(shape.END_ODDS) == pytest.approx(1.0)


@given(st.floats(0.1, 5.0), st.floats(24.0, 5000.0))
def test_a_slow_stage_has_taken_63_per_cent_after_its_time_constant_and_nothing_before_it_begins(amount, tau):
    assert shape.slow_fall(-10.0, amount, tau) == 0.0
    assert shape.slow_fall(tau, amount, tau) == pytest.approx(amount * (1.0 - np.exp(-1.0)), rel=1e-12)


@given(curves, st.floats(0.05, 1.0))
def test_the_hour_near_its_end_is_that_of_the_curve_with_four_parameters(curve, within):
    original, end, rate, lag = curve
    start = end + (original - end) * (1.0 + np.exp(-lag))
    hours = hours_until_within(within, start, end, rate, lag / rate)

    there = shape.quick_fall_at(hours, *curve)

    assert there == pytest.approx(apparent_extract_at(hours, start, end, rate, lag / rate), abs=1e-9)
    if hours > 0.0:
        assert there - end == pytest.approx(within, rel=1e-6)


def test_days_that_no_yeast_takes_are_refused():
    with pytest.raises(OutsideValidity, match=r"days is 0 d, but the usual curve of a fermentation holds"):
        shape.usual_rate(0.0, 12.0)
