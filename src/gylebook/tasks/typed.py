"""Understand a reading as it is typed.

In:  a step, a value with its unit, perhaps an instrument and a temperature.
Out: a `Reading` in base units, for an instrument of this brewery.

Idea: the unit tells what was read, `above` or `>` before it that it was off the scale; only where two
instruments could have shown it is the brewer asked.
"""

from __future__ import annotations

import re
from typing import get_args

from gylebook.brewery.instruments import READS, Quantity, Reading
from gylebook.brewery.site import Brewery
from gylebook.brewery.water import MeterWay
from gylebook.errors import Problem, Refused
from gylebook.exchange.meter_ways import asked_of_meter
from gylebook.figures.quantity_text import beyond
from gylebook.figures.units import Dimension, read, read_quantity, write
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_words import impossible, no_beer_so_warm

BRIX = re.compile("bx|brix", re.IGNORECASE)
QUANTITIES: dict[Dimension, Quantity] = {
    Dimension.VOLUME: "volume",
    Dimension.GRAVITY: "gravity",
    Dimension.TEMPERATURE: "temperature",
    Dimension.PH: "ph",
    Dimension.MASS: "mass",
    Dimension.DURATION: "time",
    Dimension.COUNT: "count",
}


def reading_typed(
    outlook: Outlook,
    step: str,
    value: str,
    instrument: str | None,
    temperature: str | None,
    at: str,
    meter: str | None = None,
) -> Reading:
    """The reading meant by what was typed; refused with what would be accepted.

    `meter` is how a pH was read, a `MeterWay`.
    """
    side, shown = beyond(value)
    number, dimension = read_quantity(shown, gravity_expected=True, where="value")
    if dimension not in QUANTITIES:
        kinds = ", ".join(get_args(Quantity))
        raise Refused((Problem("value", f"“{value}” is a {dimension.value}", f"read a {kinds}"),))
    quantity = QUANTITIES[dimension]
    temperature_c = (
        None if temperature is None else read(temperature, Dimension.TEMPERATURE, where="--temperature")
    )
    way = _meter_way(meter)
    reading = Reading(
        step=step,
        quantity=quantity,
        value=number,
        instrument=instrument or _only_instrument(outlook.brewery, quantity, value),
        at=at,
        temperature_c=temperature_c,
        meter=way or "cooled",
        beyond=side,
    )
    if accepted := no_beer_so_warm(reading, shown):
        understood = f"“{value}” is {write(number, Dimension.TEMPERATURE, '°C', digits=1)}"
        raise Refused((Problem("value", understood, accepted),))
    accepted = impossible(reading)
    if accepted:
        raise Refused((Problem("value", f"“{value}”", f"must be {accepted}"),))
    if asked := asked_of_meter(quantity, temperature_c, way):
        raise Refused((Problem(*asked),))
    return reading


def _meter_way(meter: str | None) -> MeterWay | None:
    known: tuple[MeterWay, ...] = get_args(MeterWay)
    way = next((way for way in known if way == meter), None)
    if meter is not None and way is None:
        listed = ", ".join(f"“{way}”" for way in known)
        raise Refused((Problem("meter", f"“{meter}”", f"one of {listed} is wanted"),))
    return way


def _only_instrument(brewery: Brewery, quantity: Quantity, value: str) -> str:
    """The one instrument that shows such a value: °Bx stands on a refractometer, an SG on a hydrometer."""
    able = [i for i in brewery.instruments.values() if READS[i.kind] == quantity]
    if quantity == "gravity":
        kind = "refractometer" if BRIX.search(value) else "hydrometer"
        able = [i for i in able if i.kind == kind] or able
    if len(able) == 1:
        return able[0].key
    names = ", ".join(i.key for i in able) or "nothing here"
    raise Refused(
        (
            Problem(
                "instrument",
                f"a {quantity} can be read on {names}",
                "say which, like --on " + (f'"{able[0].key}"' if able else "INSTRUMENT"),
            ),
        )
    )
