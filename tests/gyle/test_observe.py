"""Say what each instrument would show, and refuse readings of things that are not there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, latents, middling, plan, portion, vessel
from gylebook.brewery.instruments import READS, Reading
from gylebook.brewery.plan import Later, Package, Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Refused
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import observables, places
from gylebook.matter.extract import plato_from_sg, sg_from_plato

AMBER, SHED = plan(), brewery()
ON = {quantity: kind for kind, quantity in READS.items() if kind != "refractometer"}
KINDS = ["full volume", "dunk rinse", "poured rinse", "fly rinse", "extract only"]


def reading(step: str, quantity: str, value: float = 10.0, instrument: str = "", **other: object) -> Reading:
    return Reading(step=step, quantity=quantity, value=value, instrument=instrument or ON[quantity], **other)


def shown(a_reading: Reading, a_plan: Plan = AMBER, on: Brewery = SHED) -> float:
    """What the instrument would show at the middle of all figures."""
    model = Model(a_plan, on, observables([a_reading], a_plan, on))
    (value,) = model.readings_forecast(middling(model)).values()
    return float(value[0])


def true(name: str, a_plan: Plan = AMBER) -> float:
    model = Model(a_plan, SHED)
    return float(np.max(model.forecast(middling(model))[name]))


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_can_be_read_can_be_forecast(kind):
    late = Later(kind="brett", after_days=20.0, attenuation=0.92, attenuation_scatter=0.03, months=6.0)
    gyle = plan(kind, portions=(portion("one", later=late), portion("two")))
    readings = [reading(place.step, place.quantity) for place in places(gyle, SHED)]
    readings += [replace(r, instrument="refractometer") for r in readings if r.quantity == "gravity"]
    model = Model(gyle, SHED, observables(readings, gyle, SHED))

    told = model.readings_forecast(latents(model))

    assert len(told) == len(readings)
    for name, draws in told.items():
        assert draws.shape == (400,), name
        assert np.all(np.isfinite(draws)), name


def test_a_hydrometer_in_cold_wort_shows_its_gravity():
    assert shown(reading("fermenters", "gravity")) == pytest.approx(true("og"), abs=1e-9)


def test_a_hydrometer_in_warm_wort_shows_less():
    warm = shown(reading("fermenters", "gravity", temperature_c=40.0))

    # About 0.0065 at 40 °C for 12 to 14 °P: NBS Circular 440, 1.7 °P at that strength.
    assert true("og") - warm == pytest.approx(0.0065, abs=0.0007)


def test_an_uncertain_sample_temperature_widens_a_warm_reading_alone():
    cold, warm = observables(
        [reading("fermenters", "gravity"), reading("fermenters", "gravity", temperature_c=40.0)], AMBER, SHED
    )

    assert cold.error == 0.0008
    assert warm.error == pytest.approx(np.hypot(0.0008, 0.0004))


def test_a_refractometer_shows_a_little_more_than_plato_in_wort():
    plato = float(plato_from_sg(true("og")))

    assert shown(reading("fermenters", "gravity", instrument="refractometer")) == pytest.approx(1.04 * plato)


def test_a_refractometer_in_finished_beer_is_fooled_by_the_alcohol():
    there = "portion.one end"
    by_glass = shown(reading(there, "gravity", instrument="refractometer"))
    by_float = float(plato_from_sg(shown(reading(there, "gravity"))))

    # Beer of 1.050 that ends at 1.012 (3 °P) shows 6 to 7 °Bx: common practice.
    assert 2.0 < by_float < 5.0
    assert by_glass > by_float + 2.5


def test_cold_marks_on_a_boiling_steel_kettle_show_376_per_cent_more():
    at_the_boil = shown(reading("boil end", "volume"))

    # Wort grows by 4.16 % and the kettle by 0.38 %.
    assert at_the_boil / true("kettle.end.volume_l") == pytest.approx(1.0376, abs=0.0006)


def test_marks_in_a_cooled_kettle_and_in_a_fermenter_show_litres_as_they_are():
    cooled = shown(reading("boil end", "volume", temperature_c=20.0))

    assert cooled == pytest.approx(true("kettle.end.volume_l"), rel=1e-9)
    assert shown(reading("portion.one", "volume")) == pytest.approx(true("portion.one.volume_l"), rel=1e-6)


def test_an_aluminium_kettle_grows_more_and_shows_less():
    steel, light = SHED, vessel(SHED, "kettle", metal="aluminium")

    assert shown(reading("boil end", "volume"), on=light) < shown(reading("boil end", "volume"), on=steel)


def test_readings_on_one_instrument_share_its_bias():
    model = Model(
        AMBER,
        SHED,
        observables([reading("portion.one", "volume"), reading("portion.two", "volume")], AMBER, SHED),
    )
    zero = middling(model)
    biased = zero.copy()
    column = [f.name for f in model.figures].index("instrument.dipstick.bias")
    biased[0, column] = 1.0

    plain, shifted = model.readings_forecast(zero), model.readings_forecast(biased)

    for name in plain:
        assert shifted[name] - plain[name] == pytest.approx(0.25)


def test_a_hydrometer_is_compared_in_its_own_gravity():
    (seen,) = observables([reading("fermenters", "gravity", 12.5)], AMBER, SHED)

    assert seen.value == pytest.approx(float(sg_from_plato(12.5)))


def test_all_readings_that_cannot_be_placed_are_told_at_once():
    wrong = [
        reading("pre-boil", "volume"),
        reading("mash", "mass"),
        reading("preboil", "gravity", instrument="dipstick"),
        reading("preboil", "volume", instrument="eye"),
        reading("preboil", "gravity"),
    ]

    with pytest.raises(Refused, match="reading 1, step: “pre-boil”; perhaps “preboil” is meant") as refused:
        observables(wrong, AMBER, SHED)

    told = [str(problem) for problem in refused.value.problems]
    assert len(told) == 4
    assert told[1].startswith("reading 2, quantity: “mass” at “mash”; there it can be temperature or gravity")
    assert "“dipstick” for a gravity; this brewery reads a gravity on: hydrometer, refractometer" in told[2]
    assert "“eye” for a volume; this brewery reads a volume on: dipstick" in told[3]


def test_a_step_that_resembles_none_is_answered_with_all_there_are():
    with pytest.raises(Refused, match="“zzz”; the steps are heat liquor, mash, mash end, lift, rinse"):
        observables([reading("zzz", "volume")], AMBER, SHED)


def test_extract_has_no_mash_to_read_and_a_full_volume_mash_no_rinse():
    extract = {place.step for place in places(plan("extract only"), SHED)}
    full = {place.step for place in places(plan("full volume"), SHED)}

    assert not {"mash", "lift", "rinse", "heat liquor"} & extract
    assert "rinse" not in full


def test_bottles_are_counted_where_a_portion_is_bottled():
    bottled = replace(
        AMBER, portions=(portion("one", package=Package(kind="bottles", bottle_l=0.5)), portion("two"))
    )
    known = {(place.step, place.quantity) for place in places(bottled, SHED)}
    counted = Reading(step="portion.one package", quantity="count", value=24.0, instrument="tally")
    model = Model(bottled, SHED, observables([counted], bottled, SHED))

    (shown_as,) = model.readings_forecast(middling(model)).values()
    packed = model.forecast(middling(model))["portion.one.packaged_l"]

    assert ("portion.one package", "count") in known
    assert ("portion.two package", "count") not in known
    assert float(shown_as[0]) == pytest.approx(2.0 * float(packed[0]))
    assert not any(figure.name == "instrument.tally.bias" for figure in model.figures)
