"""Readings are read as they were written down."""

from __future__ import annotations

from typing import get_args

import pytest

from exchange.example_files import AMBER, refusal, text_of
from gylebook.brewery.instruments import Reading
from gylebook.brewery.water import MeterWay
from gylebook.errors import Refused
from gylebook.exchange.readings_file import read_readings, read_readings_with_ids


def one(quantity, value, more=""):
    text = (
        f'[[reading]]\nstep = "preboil"\nquantity = "{quantity}"\nvalue = {value}\ninstrument = "it"\n{more}'
    )
    return read_readings(text, where="readings.toml")[0]


def test_the_invented_day_is_read_in_its_order():
    readings = read_readings(text_of(AMBER / "readings.toml"), where="readings.toml")

    assert [reading.at for reading in readings] == sorted(reading.at for reading in readings)
    assert readings[0] == Reading(
        step="mash", quantity="temperature", value=65.6, instrument="thermometer", at="09:35"
    )


@pytest.mark.parametrize(
    ("quantity", "written", "value"),
    [
        ("gravity", '"1.052"', 12.86),  # table of Plato
        ("gravity", '"13 °P"', 13.0),
        ("gravity", '"12.6 °Bx"', 12.6),  # on a refractometer °Bx stays as shown
        ("volume", '"10 gal"', 37.854),
        ("temperature", '"150 °F"', 65.556),
        ("ph", '"5.42"', 5.42),
        ("ph", '"pH 5.42"', 5.42),
        ("mass", '"17400 g"', 17.4),
        ("time", '"1 h 2 min"', 62.0),
    ],
)
def test_a_value_is_read_by_its_quantity(quantity, written, value):
    warm = 'temperature = "20 °C"\n' if quantity == "ph" else ""
    assert one(quantity, written, warm).value == pytest.approx(
        value, abs=0.005
    )  # half the last digit written here


def test_a_time_may_stand_without_quotes():
    assert one("mass", '"5.4 kg"', "at = 09:35:00\n").at == "09:35:00"


@pytest.mark.parametrize(
    ("quantity", "written", "words"),
    [
        ("volume", "41.6",
         '41.6 without quotes has no unit; write it in quotes with its unit: value = "41.6 L"'),
        ("volume", '"1.052"', "a number without a unit"),
        ("gravity", '"41 L"', "here a gravity is wanted"),
        ("temperature", '"150 °C"', "If that was Fahrenheit, write “150 °F” (65.6 °C)"),
        ("ph", '"54"', "a pH lies from 0 to 14"),
        ("weight", '"5 kg"', "One of volume, gravity, temperature, ph, mass, time, count"),
        ("mass", '""', "not a number with a unit"),
    ],
)  # fmt: skip
def test_a_value_of_another_kind_is_refused(quantity, written, words):
    text = f'[[reading]]\nstep = "preboil"\nquantity = "{quantity}"\nvalue = {written}\ninstrument = "it"\n'

    assert words in refusal(read_readings, text, "readings.toml")


def test_all_faults_of_all_readings_are_told():
    told = refusal(
        read_readings, '[[reading]]\nstep = "mash"\n[[reading]]\nvolume = "4 L"\n', "readings.toml"
    )

    assert told.count("missing") == 3 + 4
    assert "readings.toml line 4, reading[2].volume: the key “volume” is not known here" in told


def test_a_file_without_readings_has_none():
    assert read_readings("# nothing yet\n", where="readings.toml") == ()


@pytest.mark.parametrize("way", get_args(MeterWay))
def test_a_hot_ph_says_which_way_its_meter_was_used(way):
    temperature = "22 °C" if way == "cooled" else "65 °C"

    reading = one("ph", '"5.1"', f'temperature = "{temperature}"\nmeter = "{way}"\n')

    assert reading.meter == way


def test_a_ph_of_a_sample_that_is_not_hot_is_that_of_a_cooled_one():
    assert one("ph", '"5.4"', 'meter = "cooled"\n').meter == "cooled"
    assert one("ph", '"5.4"', 'temperature = "35 °C"\n').meter == "cooled"


@pytest.mark.parametrize(
    ("quantity", "value", "more", "words"),
    [
        ("ph", '"5.1"', "", "reading[1].meter: a pH, but not of a sample how warm; give the temperature"),
        ("ph", '"5.1"', 'temperature = "65 °C"',
         "reading[1].meter: a pH read at 65 °C; which way was the meter used? Say “hot, corrected” where the "
         "meter takes the temperature into account, “hot, uncorrected” where not; of a cooled sample give "
         "its temperature."),
        ("ph", '"5.1"', 'temperature = "149 °F"\nmeter = "cooled"',
         "a pH read at 65 °C of a cooled sample; which way was the meter used?"),
        ("ph", '"5.1"', 'meter = "hot, corrected"',
         "reading[1].temperature: “hot, corrected”, but not how hot; give the temperature of the sample."),
        ("ph", '"5.1"', 'meter = "hot"', "One of “cooled”, “hot, corrected”, “hot, uncorrected” is wanted"),
        ("volume", '"40 L"', 'meter = "cooled"', "“cooled” of a volume; only a pH is read so."),
    ],
)  # fmt: skip
def test_which_way_a_meter_was_used_is_asked(quantity, value, more, words):
    text = (
        f'[[reading]]\nstep = "mash"\nquantity = "{quantity}"\nvalue = {value}\ninstrument = "it"\n{more}\n'
    )

    assert words in refusal(read_readings, text, "readings.toml")


@pytest.mark.parametrize(
    ("written", "value", "beyond"),
    [
        ('"above 38 L"', 38.0, "above"),
        ('"> 38 L"', 38.0, "above"),
        ('">10 gal"', 37.854, "above"),
        ('"More than 38 L"', 38.0, "above"),
        ('"under 12 L"', 12.0, "below"),
        ('"<12 L"', 12.0, "below"),
        ('"12 L"', 12.0, ""),
    ],
)
def test_a_level_off_the_scale_says_on_which_side(written, value, beyond):
    reading = one("volume", written)

    assert reading.value == pytest.approx(value, abs=0.001)
    assert reading.beyond == beyond


def test_a_bound_is_held_to_the_same_range_as_a_value():
    with pytest.raises(Refused, match=r"value lies from 0 to 2000 L"):
        one("volume", '"above 3000 L"')
    with pytest.raises(Refused, match=r"“abovementioned” is not a number with a unit"):
        one("volume", '"abovementioned"')


def test_a_reading_may_bear_an_id_of_its_own():
    text = (
        '[[reading]]\nstep = "lift"\nquantity = "mass"\nvalue = "13 kg"\ninstrument = "scale"\n'
        'id = "5f0c3f4e-7b0a-4c52-9a51-2f3f5f0e9d11"\n'
    )

    ((own, reading),) = read_readings_with_ids(text, where="readings.toml")

    assert str(own) == "5f0c3f4e-7b0a-4c52-9a51-2f3f5f0e9d11"
    assert reading == read_readings(text, where="readings.toml")[0]
    with pytest.raises(Refused, match="id"):
        read_readings(text.replace("5f0c", "no id"), where="readings.toml")
