"""An outlook is the same for the same seed, narrows with readings, and tells which of them is far off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from command_line import EXAMPLE, cli
from gylebook.brewery.instruments import Reading
from gylebook.brewery.site import HouseFigure
from gylebook.errors import Refused
from gylebook.tasks.files import load_brewery, load_plan, load_readings
from gylebook.tasks.notebook import condition, forecast
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.remedy_view import changes, last_step
from gylebook.tasks.typed import reading_typed

PLAN, BREWERY = load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml")
READINGS = load_readings(EXAMPLE / "readings.toml")
VOLUME = Reading(
    step="preboil", quantity="volume", value=40.2, instrument="dipstick", temperature_c=72.0, at="11:40"
)


@pytest.fixture(scope="module")
def ahead():
    return forecast(PLAN, BREWERY)


def with_house(**figures: tuple[float, float]):
    house = {
        name.replace("__", "."): HouseFigure(level=level, scatter=scatter)
        for name, (level, scatter) in figures.items()
    }
    return replace(BREWERY, house=house)


def test_a_house_figure_of_no_gyle_is_refused_with_those_there_are():
    with pytest.raises(Refused, match=r"house\.evaporation.*no figure has that name"):
        look_ahead(PLAN, with_house(evaporation=(4.0, 0.5)), draws=200)


def test_every_impossible_house_figure_is_refused_at_once():
    brewery = with_house(conversion=(1.2, 0.05), boil_off_l_per_h=(-4.0, 0.5), retained_l_per_kg=(1.0, -0.1))
    with pytest.raises(Refused, match=r"house\.conversion") as refused:
        look_ahead(PLAN, brewery, draws=200)
    assert len(refused.value.problems) == 3


def test_a_house_figure_moves_the_forecast_and_narrows_it(ahead):
    known = look_ahead(PLAN, with_house(boil_off_l_per_h=(7.0, 0.2)))
    steam = known.numbers["kettle.steam_kg"]
    assert steam.median > ahead.numbers["kettle.steam_kg"].median + 1.5
    assert steam.sd < 0.5 * ahead.numbers["kettle.steam_kg"].sd


def test_a_house_figure_of_another_process_does_no_harm():
    look_ahead(PLAN, with_house(rinse__bypass=(0.3, 0.1)), draws=200)


def test_conditioning_on_nothing_is_the_forecast(ahead):
    again = condition(ahead, ())
    assert again.diagnostic is None
    assert again.numbers == ahead.numbers


def test_the_same_seed_gives_the_same_outlook_bit_for_bit(ahead):
    first, again = (look_ahead(PLAN, BREWERY, READINGS, seed=4) for _ in range(2))
    assert np.array_equal(first.latents, again.latents)
    assert first.numbers == again.numbers
    assert first.numbers != look_ahead(PLAN, BREWERY, READINGS, seed=5).numbers


def test_more_draws_begin_with_no_other_middle(ahead):
    # The plan is solved already: from 200 draws it would be solved a little otherwise.
    few = look_ahead(ahead.plan, BREWERY, READINGS, draws=200)
    many = condition(ahead, READINGS)
    for name in ("og", "fermenters.volume_l", "portion.keg.abv"):
        # The sd of a mean of 200 draws is 0.07 sd; of importance draws some more.
        assert few.numbers[name].mean == pytest.approx(
            many.numbers[name].mean, abs=0.3 * many.numbers[name].sd
        )


def test_each_reading_narrows_the_forecast_a_little_more(ahead):
    widths = [condition(ahead, READINGS[:count]).numbers["kettle.end.gravity"].sd for count in (0, 2, 5, 7)]
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < 0.5 * widths[0]


def test_before_and_after_are_told_for_the_gyle_and_each_portion(ahead):
    told = {change.name: change for change in changes(ahead, condition(ahead, READINGS))}
    assert {"og", "fermenters.volume_l"} <= set(told)
    for key in ("keg", "bottles", "long"):
        change = told[f"portion.{key}.volume_l"]
        assert change.after.sd < change.before.sd


def test_the_order_of_readings_does_not_matter(ahead):
    forwards, backwards = condition(ahead, READINGS), condition(ahead, READINGS[::-1])
    for name in ("og", "fermenters.volume_l"):
        one, other = forwards.numbers[name], backwards.numbers[name]
        assert one.mean == pytest.approx(other.mean, abs=0.1 * one.sd)


def test_readings_that_agree_are_near_what_the_rest_says(ahead):
    found = condition(ahead, READINGS).diagnostic
    assert all(abs(misfit.from_rest) < 3 for misfit in found.misfits)


def test_a_reading_off_by_ten_litres_wants_a_second_look(ahead):
    slip = replace(READINGS[4], value=30.2)
    found = condition(ahead, (*READINGS[:4], slip, *READINGS[5:])).diagnostic
    misfits = [abs(misfit.from_rest) for misfit in found.misfits]
    assert misfits[4] > 3


def test_the_brewer_is_told_which_reading_to_check(tmp_path):
    text = (EXAMPLE / "readings.toml").read_text(encoding="utf-8")
    (tmp_path / "slip.toml").write_text(text.replace("40.2 L", "35.2 L"), encoding="utf-8")
    told = cli("forecast", EXAMPLE / "plan.toml", "-r", tmp_path / "slip.toml").out
    checked = [line for line in told.splitlines() if "check it" in line]
    assert any("35.2 L" in line for line in checked)


def test_the_furthest_step_read_is_where_the_day_stands(ahead):
    assert last_step(ahead) == "heat liquor"
    assert last_step(condition(ahead, READINGS[::-1])) == "boil end"


@pytest.mark.parametrize(
    ("step", "value", "quantity", "instrument", "base"),
    [
        ("preboil", "10.6 gal", "volume", "dipstick", 10.6 * 3.785411784),
        ("mash", "149 °F", "temperature", "thermometer", 65.0),
        ("lift", "30 lb", "mass", "scale", 30 * 0.45359237),
        ("mash", "pH 5.4", "ph", "ph meter", 5.4),
        ("chill", "28 min", "time", "clock", 28.0),
        ("chill", "1 h 5 min", "time", "clock", 65.0),
    ],
)
def test_a_typed_value_tells_what_was_read_and_on_what(ahead, step, value, quantity, instrument, base):
    meter = "cooled" if quantity == "ph" else None
    reading = reading_typed(ahead, step, value, None, None, "", meter)
    assert (reading.step, reading.quantity, reading.instrument) == (step, quantity, instrument)
    assert reading.value == pytest.approx(base, rel=1e-9)


def test_the_scale_of_a_typed_gravity_tells_its_instrument(ahead):
    assert reading_typed(ahead, "preboil", "12.7 °Bx", None, None, "").instrument == "refractometer"
    reading = reading_typed(ahead, "preboil", "1.050", None, "104 °F", "11:42")
    assert reading.instrument == "hydrometer"
    assert reading.value == pytest.approx(12.39, abs=0.01)  # °P of 1.050, sucrose table
    assert reading.temperature_c == pytest.approx(40.0)
    assert reading.at == "11:42"


def test_where_two_instruments_could_have_shown_it_the_brewer_is_asked():
    second = replace(BREWERY.instruments["hydrometer"], key="long hydrometer")
    brewery = replace(BREWERY, instruments={**BREWERY.instruments, second.key: second})
    outlook = look_ahead(PLAN, brewery, draws=200)
    with pytest.raises(Refused, match="hydrometer, long hydrometer"):
        reading_typed(outlook, "preboil", "1.050", None, None, "")
    assert reading_typed(outlook, "preboil", "1.050", second.key, None, "").instrument == second.key


def test_a_typed_ph_says_which_way_its_meter_was_used_where_it_was_hot(ahead):
    hot = reading_typed(ahead, "mash", "pH 5.1", None, "65 °C", "", "hot, uncorrected")

    assert (hot.meter, hot.temperature_c) == ("hot, uncorrected", 65.0)
    assert reading_typed(ahead, "mash", "pH 5.4", None, "22 °C", "").meter == "cooled"
    with pytest.raises(
        Refused, match=r"meter: a pH read at 65 °C; which way was the meter used\? Say “hot, c"
    ):
        reading_typed(ahead, "mash", "pH 5.1", None, "65 °C", "")
    with pytest.raises(
        Refused, match="“hot”; one of “cooled”, “hot, corrected”, “hot, uncorrected” is wanted"
    ):
        reading_typed(ahead, "mash", "pH 5.1", None, "65 °C", "", "hot")
    with pytest.raises(Refused, match="“cooled” of a volume; only a pH is read so"):
        reading_typed(ahead, "preboil", "40 L", None, None, "", "cooled")


def test_what_no_instrument_reads_is_refused(ahead):
    with pytest.raises(Refused, match="read a volume, gravity"):
        reading_typed(ahead, "preboil", "5 kW", None, None, "")
    with pytest.raises(Refused, match="72 kg"):
        reading_typed(ahead, "preboil", "40 L", None, "72 kg", "")


@pytest.mark.parametrize(("draws", "seed"), [(199, 1), (100_001, 1), (400, -1), (400, 2**63)])
def test_draws_and_seed_out_of_range_are_refused(draws, seed):
    with pytest.raises(Refused, match="take "):
        look_ahead(PLAN, BREWERY, draws=draws, seed=seed)
