"""Hold the words for numbers to what a brewer would say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from example_views import about
from gylebook.faces import words
from gylebook.faces.named_numbers import by_name
from gylebook.faces.words import METRIC, US, Units
from gylebook.figures import units as reader
from gylebook.figures.unit_table import Dimension

PLATO = Units(gravity="°P")


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.0, "fewer than 1 in 1,000"),
        (0.00049, "fewer than 1 in 1,000"),
        (0.006, "6 in 1,000"),
        (0.0123, "1 in 100"),
        (0.884, "88 in 100"),
        (0.9899, "99 in 100"),
        (0.99, "990 in 1,000"),
        (0.99949, "999 in 1,000"),
        (0.9995, "more than 999 in 1,000"),
        (1.0, "more than 999 in 1,000"),
    ],
)
def test_odds_are_counted_out_of_a_hundred_or_a_thousand(share: float, said: str) -> None:
    assert words.odds(share) == said


def test_certainty_is_claimed_of_the_draws_alone() -> None:
    assert words.odds(1.0, 4000) == "in all 4,000 draws"
    assert words.odds(0.0, 4000) == "in none of the 4,000 draws"


@given(st.floats(0, 1))
def test_no_odds_are_ever_told_in_per_cent(share: float) -> None:
    assert "%" not in words.odds(share)


def test_odds_beyond_all_chance_are_a_slip_of_the_programmer() -> None:
    with pytest.raises(ValueError, match=r"odds lie from 0 to 1, not at 1\.2"):
        words.odds(1.2)


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "0 min"),
        (2.5, "2.5 min"),
        (60, "60 min"),
        (80, "1 h 20 min"),
        (119.7, "2 h"),
        (-340, "−5 h 40 min"),
        (14 * 1440, "14 days"),
    ],
)
def test_times_are_said_in_the_unit_that_suits_them(minutes: float, said: str) -> None:
    assert words.duration(minutes) == said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(847, "14:07"), (-90, "the day before, 22:30"), (1470, "the day after, 00:30"), (0, "00:00")],
)
def test_the_clock_knows_the_day_before(minutes: float, said: str) -> None:
    assert words.clock(minutes) == said
    assert words.clock(-2 * 1440 + 600) == "2 days before, 10:00"


def test_a_step_is_timed_from_pitching() -> None:
    assert [words.until_pitching(m) for m in (-2880, -2160, -1560, -340, 0, 10)] == [
        "2 days before",
        "2 days before",
        "−26 h",
        "−5 h 40 min",
        "0",
        "+10 min",
    ]


@pytest.mark.parametrize(
    ("kilograms", "metric", "us"),
    [
        (8.24, "8.2 kg", "18 lb 3 oz"),
        (0.32, "320 g", "11.29 oz"),
        (0.0045, "4.5 g", "0.16 oz"),
        (0.99996, "1.0 kg", "2 lb 3 oz"),
        (-2.0, "−2.0 kg", "−4 lb 7 oz"),
        (0.4535, "454 g", "1 lb"),
    ],
)
def test_a_mass_is_said_as_on_the_scale(kilograms: float, metric: str, us: str) -> None:
    assert words.mass(kilograms) == metric
    assert words.mass(kilograms, US) == us


def test_the_colour_of_grain_is_said_finer_where_it_is_pale() -> None:
    assert [words.grain_colour(ebc) for ebc in (0, 3.5, 9.94, 9.96, 1300)] == [
        "0.0 EBC",
        "3.5 EBC",
        "9.9 EBC",
        "10 EBC",
        "1300 EBC",
    ]
    assert words.grain_colour(3.5, US) == "1.8 SRM"  # 1.97 EBC are 1 SRM


def test_what_is_weighed_out_gets_one_digit_more() -> None:
    assert words.to_measure(4.3549, "mass") == "4.35 kg"
    assert words.to_measure(0.0575, "mass") == "57.5 g"
    assert words.to_measure(0.02, "mass") == "20 g"
    assert words.to_measure(0.25, "volume") == "250 mL"
    assert words.to_measure(0.25, "volume", US) == "8.5 fl oz"
    assert words.to_measure(20, "duration") == "20 min"
    assert words.to_measure(71.44, "temperature") == "71.4 °C"
    assert words.to_measure(0.36, "share") == "36 %"
    assert words.to_measure(212.4, "cells") == "212 billion cells"


@given(
    st.floats(0.03, 200), st.sampled_from([METRIC, US]), st.sampled_from([Dimension.MASS, Dimension.VOLUME])
)
def test_what_is_printed_to_be_weighed_reads_back_as_what_was_meant(
    size: float, units: Units, dimension: Dimension
) -> None:
    said = words.to_measure(size, dimension, units)

    # Half of the last digit printed: 0.05 L, 0.005 gal (0.02 L), 0.05 oz; of small things half a gram or mL.
    assert reader.read(said, dimension) == pytest.approx(size, abs=0.051 if size >= 0.99 else 0.002)


def test_gravity_and_temperature_follow_the_brewers_units() -> None:
    assert (words.gravity(1.0524), words.gravity(1.0524, PLATO)) == ("1.052", "13.0 °P")
    assert (words.amount(13.0, "°P"), words.amount(13.0, "°P", PLATO)) == ("1.053", "13.0 °P")
    assert [words.temperature(t) for t in (66.0, 66.5, 66.24)] == ["66 °C", "66.5 °C", "66.2 °C"]
    assert words.temperature(66.0, US) == "151 °F"
    assert (words.volume(34.0), words.volume(34.0, US)) == ("34.0 L", "8.98 gal")


def test_an_interval_is_as_fine_as_its_middle() -> None:
    assert words.interval(about(39.6, 1.05), "L") == "38.6 – 40.6"
    assert words.median_and_interval(about(1.0524, 0.0041), "SG") == "1.052 (1.048 – 1.056)"
    assert words.median_and_interval(about(8.2, 0.0), "kg") == "8.2 kg"
    assert words.median_and_interval(about(0.946, 0.21), "kg") == "946 g (736 – 1156)"
    assert words.median_and_interval(about(0.0042, 0.0005), "kg") == "4.2 g (3.7 – 4.7)"
    assert words.median_and_interval(about(19.0, 2.0), "kg", words.US) == "41.9 lb (37.5 – 46.3)"
    assert words.median_and_interval(about(0.1, 0.01), "kg", words.US) == "3.5 oz (3.2 – 3.9)"
    assert words.interval_with_unit(about(39.6, 1.05), "L", US) == "10.18 – 10.74 gal"


def test_a_zero_has_no_minus_and_what_is_no_number_is_not_shown() -> None:
    assert words.fixed(-0.04, 1) == "0.0"
    with pytest.raises(ValueError, match="nan is not a number that can be shown"):
        words.volume(float("nan"))


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("mash.volume_l", 39.63, "39.6 L"),
        ("mash.strike_temperature_c", 71.44, "71.4 °C"),
        ("kettle.preboil.gravity", 1.0441, "1.044"),
        ("efficiency.fermenter", 0.756, "76 %"),
        ("portion.keg.abv", 5.43, "5.4 %"),
        ("portion.keg.ibu", 28.2, "28 IBU"),
        ("bag.lift_kg", 17.24, "17.2 kg"),
        ("grain.retained_l_per_kg", 0.871, "0.87 L/kg"),
        ("og", 1.0524, "1.052"),
    ],
)
def test_a_forecast_is_worded_by_its_stable_name(name: str, value: float, said: str) -> None:
    assert by_name(name, value) == said


def test_compound_units_follow_the_gallon() -> None:
    # A quart is 0.946352946 L, a pound 0.45359237 kg, an ounce 28.349523125 g, an inch 2.54 cm, all exact.
    assert words.amount(1.0, "L/kg", US) == "0.48 qt/lb"
    assert words.amount(4.5, "L/h", US) == "1.19 gal/h"
    assert words.amount(8.3, "g/L", US) == "1.11 oz/gal"
    assert words.amount(2000.0, "kJ/L", US) == "7571 kJ/gal"
    assert words.amount(48.0, "kcal/100 g", US) == "13.6 kcal/oz"
    assert words.amount(7.6, "cm", US) == "3.0 in"
    assert words.amount(8.3, "g/L") == "8.3 g/L"


def test_odds_in_a_column_are_the_same_in_fewer_letters() -> None:
    assert [words.odds_in_a_column(share) for share in (0.0, 0.88, 1.0)] == [
        "under 1 in 1,000",
        "88 in 100",
        "over 999 in 1,000",
    ]
