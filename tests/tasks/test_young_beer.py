"""Read a gravity in young beer: what the instrument shows is undone, and how far that may be out is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, plan
from gylebook.brewery.site import HouseFigure
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import default_instruments
from gylebook.gyle.house import figures_of
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.process.ferment import real_extract
from gylebook.process.instruments import hydrometer_reading, refractometer_reading_beer
from gylebook.tasks.young_beer import USUAL_FACTOR, factor_of, gravity_in_beer, usual_instrument

INSTRUMENTS = default_instruments()
HYDROMETER, REFRACTOMETER = INSTRUMENTS["hydrometer"], INSTRUMENTS["refractometer"]


def shown(original: float, apparent: float, factor: float = 1.04) -> float:
    """°Bx that beer of that apparent extract shows."""
    return float(refractometer_reading_beer(original, real_extract(original, apparent), factor))


@pytest.mark.parametrize("apparent", [12.0, 8.0, 4.0, 2.5, 0.0])
def test_a_refractometer_reading_is_undone_through_the_model_that_foretells_it(apparent):
    found = gravity_in_beer(shown(13.0, apparent), REFRACTOMETER, 13.0, None)

    # The middle of 4,000 mirrored draws lies within a hundredth of a degree of the reading's own.
    assert float(plato_from_sg(found.sg.median)) == pytest.approx(apparent, abs=0.06)


def test_the_refractometer_sees_the_alcohol():
    # 6.2 °Bx in beer from 1.052 is 1.008, where as wort it would be 1.023.
    found = gravity_in_beer(6.2, REFRACTOMETER, float(plato_from_sg(1.052)), None)

    assert found.sg.median < float(sg_from_plato(6.2 / 1.04)) - 0.010
    assert 0.80 < found.attenuation.median < 0.90


def test_the_interval_holds_the_truth_nine_times_in_ten():
    # 400 beers, with what is uncertain drawn as the reading is taken to be.
    random, held, narrower = np.random.default_rng(7), 0, 0
    for _ in range(400):
        original, apparent = random.uniform(11.0, 16.0), random.uniform(2.0, 8.0)
        reading = shown(original, apparent, random.normal(1.04, 0.015))
        reading += random.normal(0.0, np.hypot(REFRACTOMETER.error, REFRACTOMETER.bias))
        said_original = original + random.normal(0.0, 0.15)

        found = gravity_in_beer(reading, REFRACTOMETER, said_original, None)

        held += found.sg.low <= float(sg_from_plato(apparent)) <= found.sg.high
        narrower += found.sg.high - found.sg.low < 0.002

    # Of 400 at 90 %, two sd are twelve.
    assert 348 <= held <= 372
    assert narrower == 0


def test_a_brewery_that_knows_its_factor_reads_more_surely():
    own = HouseFigure(level=1.02, scatter=0.002)
    shed = replace(brewery(), house={"refractometer.factor": own})

    usual, known = (
        gravity_in_beer(shown(13.0, 3.0, 1.02), REFRACTOMETER, 13.0, None, factor=factor_of(on))
        for on in (brewery(), shed)
    )

    assert known.sg.median == pytest.approx(float(sg_from_plato(3.0)), abs=0.0003)
    assert known.sg.sd < usual.sg.sd
    assert factor_of(None) == factor_of(brewery()) == USUAL_FACTOR


def test_the_usual_factor_is_the_one_of_the_forecast():
    (figure,) = [f for f in figures_of(plan(), brewery()) if f.name == "refractometer.factor"]

    assert (figure.level, figure.scatter) == (USUAL_FACTOR.level, USUAL_FACTOR.scatter)


def test_a_refractometer_leaves_more_open_than_a_hydrometer():
    by_light = gravity_in_beer(shown(13.0, 3.0), REFRACTOMETER, 13.0, None).sg
    by_float = gravity_in_beer(3.0, HYDROMETER, 13.0, None).sg

    assert by_light.sd > by_float.sd


@pytest.mark.parametrize("temp_c", [4.0, 20.0, 26.0, 40.0])
def test_a_hydrometer_is_put_right_for_the_warmth_of_the_sample(temp_c):
    reading = float(hydrometer_reading(3.0, temp_c, HYDROMETER.calibrated_c))

    found = gravity_in_beer(float(plato_from_sg(reading)), HYDROMETER, 13.0, temp_c)

    assert found.sg.median == pytest.approx(float(sg_from_plato(3.0)), abs=0.0001)


def test_a_sample_of_unsaid_warmth_is_taken_as_the_scale_wants_it():
    unsaid, said = (gravity_in_beer(3.0, HYDROMETER, 13.0, t) for t in (None, HYDROMETER.calibrated_c))

    assert unsaid == said


@pytest.mark.parametrize(
    ("value", "on", "temp_c", "told"),
    [
        (14.7, HYDROMETER, None, r"14\.7 °P \(1\.060\) is above the original 12\.9 °P \(1\.052\)"),
        (16.0, REFRACTOMETER, None, r"16\.0 °Bx is above the original 12\.9 °P"),
        # 1.050 at 60 °C is 1.066 at 20 °C.
        (12.4, HYDROMETER, 60.0, "is above the original"),
        (2.0, REFRACTOMETER, None, r"2\.0 °Bx is lower than beer of that original can show"),
        (-3.9, HYDROMETER, None, r"-3\.9 °P is lower than beer"),
    ],
)
def test_a_gravity_that_no_beer_of_that_wort_has_is_refused(value, on, temp_c, told):
    with pytest.raises(Refused, match=told):
        gravity_in_beer(value, on, 12.86, temp_c)


def test_the_warmth_of_a_drop_on_a_refractometer_is_not_taken_in_silence():
    with pytest.raises(Refused, match="--temperature: a refractometer's reading is not put right for warmth"):
        gravity_in_beer(6.2, REFRACTOMETER, 13.0, 30.0)


def test_wort_just_pitched_is_not_refused_for_an_error_of_reading():
    for value, on in ((13.2, HYDROMETER), (13.9, REFRACTOMETER)):
        found = gravity_in_beer(value, on, 13.0, None)

        assert found.attenuation.low >= 0.0
        assert found.attenuation.median < 0.02
        assert found.abv.low >= -1e-9


@pytest.mark.parametrize("value", [-1.0, -1.9, 0.0])
def test_very_dry_beer_is_read_with_its_whole_range(value):
    found = gravity_in_beer(value, HYDROMETER, 13.0, None)

    assert float(sg_from_plato(-2.0)) - 1e-9 <= found.sg.low <= found.sg.median < 1.001
    assert found.attenuation.median > 0.99


@pytest.mark.parametrize(("value", "kind"), [("6.2 °Bx", "refractometer"), ("1.014", "hydrometer")])
def test_the_scale_tells_the_instrument(value, kind):
    assert usual_instrument(value, None, None).kind == kind


def test_the_brewery_s_own_instrument_goes_first_and_the_named_one_before_it():
    mine = {"old": replace(HYDROMETER, key="old", error=0.003), "new": replace(HYDROMETER, key="new")}

    assert usual_instrument("1.014", mine, None).key == "old"
    assert usual_instrument("1.014", mine, "new").key == "new"


def test_an_instrument_that_reads_no_gravity_or_is_not_there_is_refused():
    with pytest.raises(Refused, match="“thermometer” reads no gravity here; there is hydrometer"):
        usual_instrument("1.014", None, "thermometer")
    with pytest.raises(Refused, match=r"“6\.2 °Bx” stands on a refractometer, and this brewery has none"):
        usual_instrument("6.2 °Bx", {"hydrometer": HYDROMETER}, None)
