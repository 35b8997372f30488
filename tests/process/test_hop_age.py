"""Hold the ageing of hops to its published index and rule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import hop_age
from published_tables import published, published_rows


@pytest.mark.parametrize("crop", [1969, 1975, 1976, 1977])
def test_storage_index_tells_the_loss_of_each_crop(crop, check):
    column = f"lost_pct_slope{100.0 * hop_age.SLOPES[crop]:.1f}"

    # Nickerson & Likens 1979 give the slopes; per cent to two decimals were tabled in a second program.
    for index, lost in published("beer_hop_storage_index", "HSI", column):
        found = 100.0 * hop_age.lost_by_index(index, hop_age.SLOPES[crop])
        of = {"unit": "%", "at": f"{crop}, {index:g}", "source": "nickerson-likens-1979", "kind": "slip"}
        check("loss by storage index, by crop", found, lost, within=5.1e-3, **of)


def test_storage_index_tells_the_loss_by_the_usual_slope(check):
    for index, lost in published("beer_hop_storage_index", "HSI", "lost_pct_slope110"):
        found, at = 100.0 * hop_age.lost_by_index(index), f"{index:g}"
        of = {"unit": "%", "source": "nickerson-likens-1979", "kind": "slip"}
        check("loss by storage index, usual slope", found, lost, within=5.1e-3, at=at, **of)


def test_an_index_of_031_is_a_tenth_lost_as_the_trade_says(check):
    # A hop trade's text: HSI 0.31, 10 % lost; printed in whole per cent.
    what, found = "share lost at a storage index of 0.31", hop_age.lost_by_index(0.31)
    check(what, found, 0.10, within=0.005, source="hop-trade-index")


def test_hops_fresher_than_fresh_have_lost_nothing():
    assert hop_age.lost_by_index(0.22) == 0.0


@pytest.mark.parametrize("row", published_rows("beer_hop_ageing"))
def test_hops_age_in_the_store_as_a_second_program_says(row, check):
    lost, rate, temp_c, speed, packing, days, left = (float(value) for value in row.values())

    # A slip-catcher: half of the last printed digit.
    of = {"source": "garetz-1994", "kind": "slip"}
    at = f"{lost:g} %, {temp_c:g} °C, {packing:g}, {days:g} d"
    kept = hop_age.alpha_left(days, temp_c, lost / 100.0, packing)
    check("rate of ageing", hop_age.ageing_rate(lost / 100.0), rate, within=5.1e-7, unit="1/d", at=at, **of)
    check("speed of ageing by temperature", hop_age.speed_at(temp_c), speed, within=5.1e-5, at=at, **of)
    check("alpha acids left in the store", kept, left, within=5.1e-5, at=at, **of)


@pytest.mark.parametrize("lost", hop_age.KEEPERS.values())
def test_half_a_year_warm_and_open_loses_what_the_kind_of_keeper_says(lost, check):
    # By definition of a keeper, Garetz 1994.
    what, found = "alpha acids left after half a year", hop_age.alpha_left(180.0, 20.0, lost)
    check(what, found, 1.0 - lost, rel=1e-12, at=f"{lost:g} lost", source="garetz-1994", kind="slip")


def test_hops_age_half_as_fast_fifteen_degrees_colder(check):
    # Garetz 1994.
    what, ratio = "speed of ageing, fifteen degrees colder", hop_age.speed_at(5.0) / hop_age.speed_at(20.0)
    check(what, ratio, 0.5, rel=1e-6, source="garetz-1994", kind="slip")


@given(st.floats(0.0, 0.9), st.floats(1.0, 1.2))
def test_index_and_loss_are_each_others_inverse(lost, slope):
    assert hop_age.lost_by_index(hop_age.index_from_lost(lost, slope), slope) == pytest.approx(
        lost, abs=1e-12
    )


@given(st.floats(0.0, 500.0), st.floats(0.0, 500.0), st.floats(-20.0, 30.0), st.floats(0.05, 0.6))
def test_two_stretches_in_the_store_multiply(first, second, temp_c, lost):
    apart = hop_age.alpha_left(first, temp_c, lost) * hop_age.alpha_left(second, temp_c, lost)

    assert hop_age.alpha_left(first + second, temp_c, lost) == pytest.approx(float(apart), rel=1e-12)


def test_hops_keep_better_cold_and_without_air():
    left = [
        [hop_age.alpha_left(365.0, temp_c, 0.35, packing) for packing in hop_age.PACKED.values()]
        for temp_c in (20.0, 5.0, -18.0)
    ]

    assert np.all(np.diff(left, axis=0) > 0)
    assert np.all(np.diff(left, axis=1) > 0)


def test_a_loss_in_per_cent_and_a_freezer_in_fahrenheit_are_refused():
    with pytest.raises(OutsideValidity, match=r"lost_in_six_months is 35.*it is 0\.35"):
        hop_age.ageing_rate(35.0)
    with pytest.raises(OutsideValidity, match=r"temp_c is 68 °C.*it is 20\.0 °C"):
        hop_age.alpha_left(100.0, 68.0, 0.35)
