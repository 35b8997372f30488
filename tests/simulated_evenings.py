"""Invent calibration evenings whose truth is known, and take their readings.

The figures of an evening are drawn from what is believed before it, its readings from the model with the
instruments' own errors; so whatever is told of the gear can be held to the truth.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from gylebook.brewery.instruments import Reading
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array
from gylebook.gyle.evening import EveningModel, evening_of, instrument_at_hand
from gylebook.gyle.evening_places import evening_places
from gylebook.gyle.observe import tied
from gylebook.tasks.evening import EveningOutlook, look_at_evening

NEEDS_A_JUG = {("evening drained", "volume"), ("evening left", "volume")}


def true_evening(on: Brewery, rng: np.random.Generator) -> Array:
    """Latents of one evening, (1, figures)."""
    return rng.standard_normal((1, len(EveningModel(evening_of(on), on).figures)))


def read_evening(
    on: Brewery,
    truth: Array,
    rng: np.random.Generator,
    without: Collection[tuple[str, str]] = NEEDS_A_JUG,
) -> tuple[Reading, ...]:
    """Every reading of an evening but some, as the brewer's instruments err."""
    evening = evening_of(on)
    places = evening_places(evening, on)
    blank = []
    for place in places:
        instrument = instrument_at_hand(on, place.quantity)
        if instrument is not None and (place.step, place.quantity) not in without:
            blank.append(
                Reading(step=place.step, quantity=place.quantity, value=0.0, instrument=instrument.key)
            )
    model = EveningModel(evening, on)
    model.seen = tied(blank, places, on)  # put in late, so that figures are as told and not as read
    shown = model.readings_forecast(truth)
    return tuple(
        Reading(
            step=one.reading.step,
            quantity=one.reading.quantity,
            value=float(shown[one.name][0] + one.error * rng.standard_normal()),
            instrument=one.instrument.key,
        )
        for one in model.seen
    )


def of_gear(outlook: EveningOutlook) -> list[int]:
    """Columns of the figures that belong to the gear and are not certain."""
    return [k for k, share in enumerate(outlook.shares) if share > 0.0]


def inside(on: Brewery, number: int) -> tuple[Array, Array]:
    """Whether each true figure lies in its 90 % interval, of that evening and of a brew to come."""
    rng = np.random.default_rng((77, number))
    truth = true_evening(on, rng)
    found = look_at_evening(on, read_evening(on, truth, rng), draws=1000, seed=number)
    columns = of_gear(found)
    low, high = np.quantile(found.latents[:, columns], (0.05, 0.95), axis=0)
    true = truth[0, columns]
    share = found.shares[columns]
    brew = share * true + np.sqrt(1.0 - share**2) * rng.standard_normal(len(columns))
    mean, sd = np.array(found.next_brew)[columns].T
    return (low < true) & (true < high), np.abs(brew - mean) < 1.6449 * sd
