"""Hold the guess at a slip to days on which one was made on purpose, and to days on which none was."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from command_line import EXAMPLE
from gylebook.brewery.instruments import Instrument, Reading
from gylebook.faces import telling
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import Observable, Place, observables, places
from gylebook.matter.extract import plato_from_sg
from gylebook.tasks.files import load_brewery, load_plan, load_readings
from gylebook.tasks.outlook import Stage, look_again, look_ahead
from gylebook.tasks.reading_view import reading_views
from gylebook.tasks.slips import likely_slip

READINGS = tuple(r for r in load_readings(EXAMPLE / "readings.toml") if r.quantity != "ph")
PLACE = {(r.step, r.quantity): number for number, r in enumerate(READINGS)}


@pytest.fixture(scope="module")
def planned():
    return look_ahead(load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml"), draws=2000)


def on_a_day_with(planned, *slips: Reading):
    """The view of each reading of the example's day, with these in the place of those they are slips of."""
    stages = list(READINGS)
    for slip in slips:
        stages[PLACE[slip.step, slip.quantity]] = slip
    stage = stage_of(planned, tuple(stages))
    after = look_again(planned.asked, (stage,), planned.brewery, prior=planned.prior, seed=1)
    return after, reading_views(after)


def taken(step: str, quantity: str, **other) -> Reading:
    return replace(READINGS[PLACE[step, quantity]], **other)


def sg(value: float) -> float:
    return float(plato_from_sg(value))


# The slip, what was meant (in base units), and what it is called.
SLIPS = {
    "65.6 °C typed as °F": (taken("mash", "temperature", value=(65.6 - 32) / 1.8), 65.6, "°C for °F"),
    "13.7 kg of bag in pounds": (taken("lift", "mass", value=13.7 / 0.45359237), 13.7, "lb for kg"),
    "10.6 gal typed as litres": (taken("preboil", "volume", value=10.62), 40.2, "gal for L"),
    "litres typed as gallons": (taken("preboil", "volume", value=40.2 * 3.785411784), 40.2, "L for gal"),
    "40.4 L typed as 44.0": (taken("boil end", "volume", value=44.0), 40.4, "two digits swapped"),
    "1.051 typed as 1.015": (
        taken("boil end", "gravity", value=sg(1.015), instrument="hydrometer", temperature_c=None),
        sg(1.051),
        "two digits swapped",
    ),
    "a hot sample as if it were cold": (
        taken("boil end", "gravity", value=sg(1.036), instrument="hydrometer", temperature_c=None),
        sg(1.050),
        "warm sample",
    ),
    "a cold sample as if it were hot": (
        taken("boil end", "gravity", value=sg(1.050), instrument="hydrometer", temperature_c=70.0),
        sg(1.050),
        "cooled sample",
    ),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_made_on_purpose_is_recognised(planned, slip):
    reading, meant, kind = SLIPS[slip]

    after, views = on_a_day_with(planned, reading)

    view = views[PLACE[reading.step, reading.quantity]]
    assert view.slip == kind
    assert view.meant == pytest.approx(meant, rel=0.03)
    assert view.doubtful
    assert view.odds_slip > 0.9
    assert [v.slip for v in views if v is not view] == [""] * 6
    # It is flagged, not swallowed: the forecast stays where the other six put it.
    others = tuple(r for r in READINGS if (r.step, r.quantity) != (reading.step, reading.quantity))
    right = look_again(
        planned.asked, (stage_of(planned, others),), planned.brewery, prior=planned.prior, seed=1
    )
    for name in ("fermenters.volume_l", "og"):
        expected = right.numbers[name]
        assert after.numbers[name].median == pytest.approx(expected.median, abs=0.15 * expected.sd)


def stage_of(planned, readings):
    return Stage(plan=planned.plan, readings=readings)


def test_a_day_without_a_slip_is_told_of_none(planned):
    _, views = on_a_day_with(planned)

    assert [(v.slip, v.doubtful) for v in views] == [("", False)] * 7


def test_two_slips_of_one_day_are_both_told(planned):
    _, views = on_a_day_with(
        planned, taken("preboil", "volume", value=10.62), taken("boil end", "volume", value=44.0)
    )

    assert [v.slip for v in views if v.doubtful] == ["gal for L", "two digits swapped"]


def test_a_number_that_no_slip_explains_gets_no_guess(planned):
    _, views = on_a_day_with(planned, taken("preboil", "volume", value=77.0))

    view = views[PLACE["preboil", "volume"]]
    assert view.doubtful
    assert (view.slip, view.meant) == ("", None)
    assert telling.slip_sentence(view) == ""
    assert telling.verdict(view).endswith("It is left out of the forecast.")


def a_level(planned, value: float, temperature_c: float | None) -> Observable:
    reading = taken("boil end", "volume", value=value, temperature_c=temperature_c)
    (seen,) = observables([reading], planned.plan, planned.brewery)
    return seen


def test_a_level_reckoned_to_cold_and_one_taken_for_cold_are_told_apart(planned):
    # On steel, wort at the boil stands 3.9 % above its level at 20 °C: more than 4 of these sds of 0.3 L.
    reckoned = likely_slip(a_level(planned, 38.9, None), 40.4, 0.3, hot_c=98.0, wort_plato=12.5)
    hot = likely_slip(a_level(planned, 40.4, 20.0), 38.9, 0.3, hot_c=98.0, wort_plato=12.5)

    assert (reckoned.kind, hot.kind) == ("cold for hot", "hot for cold")
    assert reckoned.meant == pytest.approx(40.4, abs=0.1)
    assert hot.meant == pytest.approx(38.9, abs=0.1)


def in_beer(planned, instrument: str, value: float) -> Observable:
    place = next(p for p in places(planned.plan, planned.brewery) if p.original)
    reading = Reading(step=place.step, quantity="gravity", value=value, instrument=instrument)
    (seen,) = observables([reading], planned.plan, planned.brewery)
    return seen


def test_brix_of_beer_written_as_plato_are_recognised_and_the_other_way_round(planned):
    # Beer of 12.5 °P at 1.010: a refractometer shows some 6.3 °Bx, as alcohol bends light too.
    as_plato = likely_slip(in_beer(planned, "hydrometer", 6.3), 1.010, 0.002, wort_plato=12.5)
    as_brix = likely_slip(in_beer(planned, "refractometer", 2.4), 6.3, 0.3, wort_plato=12.5)

    assert (as_plato.kind, as_brix.kind) == ("°Bx for °P", "°P for °Bx")
    assert as_plato.meant == pytest.approx(2.6, abs=0.6)
    assert as_brix.meant == pytest.approx(6.3, abs=0.2)


@pytest.mark.parametrize(("off", "told"), [(3.9, False), (4.1, True)])
def test_a_slip_is_proposed_only_beyond_four_sds(off, told):
    place = Place(step="mash", quantity="temperature", shows="mash.temperature_c")
    seen = thermometer(place, 66.0)
    # In °F for °C it would be 18.9 °C, exactly where it was expected.
    expected = (66.0 - 32.0) / 1.8

    found = likely_slip(seen, expected, (66.0 - expected) / off)

    assert (found is not None) == told


@pytest.mark.parametrize(("short", "told"), [(1.9, True), (2.1, False)])
def test_a_slip_is_proposed_only_if_its_number_fits_within_two_sds(short, told):
    place = Place(step="mash", quantity="temperature", shows="mash.temperature_c")
    meant, spread = (66.0 - 32.0) / 1.8, 1.0

    found = likely_slip(thermometer(place, 66.0), meant + short * spread, spread)

    assert (found is not None) == told


def thermometer(place: Place, value: float) -> Observable:
    return Observable(
        name="reading.0",
        reading=Reading(step="mash", quantity="temperature", value=value, instrument="thermometer"),
        place=place,
        instrument=Instrument(key="thermometer", name="t", kind="thermometer", error=0.4, bias=0.5),
        value=value,
        error=0.4,
    )


def test_a_bound_is_never_called_a_slip_of_the_pen(planned):
    _, views = on_a_day_with(planned, taken("preboil", "volume", value=60.0, beyond="above"))

    view = views[PLACE["preboil", "volume"]]
    assert view.doubtful
    assert view.slip == ""


@pytest.mark.parametrize("value", [0.0, 0.4, 5.0, 99.0, 1999.0])
@pytest.mark.parametrize("quantity", ["volume", "gravity", "mass", "temperature"])
def test_no_number_however_odd_ends_in_an_error(planned, quantity, value):
    step = {"volume": "preboil", "gravity": "boil end", "mass": "lift", "temperature": "mash"}[quantity]
    value = min(value, {"gravity": 34.9, "temperature": 109.0}.get(quantity, value))
    instruments = ("hydrometer", "refractometer") if quantity == "gravity" else (None,)
    for instrument in instruments:
        other = {"instrument": instrument} if instrument else {}
        after, views = on_a_day_with(planned, taken(step, quantity, value=value, **other))

        assert all(telling.verdict(view) for view in views)
        assert np.isfinite(after.latents).all()


def test_what_is_expected_in_the_place_of_a_reading_is_what_the_others_say(planned):
    number = PLACE["preboil", "volume"]
    others = READINGS[:number] + READINGS[number + 1 :]
    without = look_again(
        planned.asked, (stage_of(planned, others),), planned.brewery, prior=planned.prior, seed=1
    )
    model = Model(
        planned.plan, planned.brewery, observables([READINGS[number]], planned.plan, planned.brewery)
    )
    shown = model.readings_forecast(without.latents)["reading.0"]

    _, views = on_a_day_with(planned)

    # Linearised, so a tenth of an sd off.
    assert views[number].expected == pytest.approx(float(np.mean(shown)), abs=0.15 * float(np.std(shown)))
