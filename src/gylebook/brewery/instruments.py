"""Describe the instruments and what was read on them.

In:  what the brewery file says of an instrument; what the brewer wrote down.
Out: `Instrument` and `Reading`, in the instrument's own unit.

Idea: an instrument has an error from reading to reading and a bias that all its readings share.
What it would show, given the true state, is an equation and lives in `process.instruments`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.water import MeterWay

InstrumentKind = Literal[
    "hydrometer", "refractometer", "dipstick", "scale", "thermometer", "ph meter", "clock", "tally"
]
Quantity = Literal["volume", "gravity", "temperature", "ph", "mass", "time", "count"]
Beyond = Literal["", "above", "below"]

# The unit in which each kind shows its value, its error and its bias.
SHOWN_IN: dict[InstrumentKind, str] = {
    "hydrometer": "SG",
    "refractometer": "°Bx",
    "dipstick": "L",
    "scale": "kg",
    "thermometer": "°C",
    "ph meter": "pH",
    "clock": "min",
    "tally": "bottles",
}

READS: dict[InstrumentKind, Quantity] = {
    "hydrometer": "gravity",
    "refractometer": "gravity",
    "dipstick": "volume",
    "scale": "mass",
    "thermometer": "temperature",
    "ph meter": "ph",
    "clock": "time",
    "tally": "count",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One instrument: `error` is its sd from reading to reading, `bias` the sd of what all readings share.

    `calibrated_c` is the hydrometer's or the marks' own temperature.
    """

    key: str
    name: str
    kind: InstrumentKind
    error: float
    bias: float
    calibrated_c: float = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Something measured: where in the day, what, the value in base units, on which instrument, when.

    `value` is °P for a gravity as written on the scale, L as the marks show, °C, kg, pH, min or bottles.
    `temperature_c` is the sample's or the liquid's where it was noted; `meter` how a pH was read, a cooled
    sample where it does not say.  `gassy` is a sample from which its carbon dioxide was not driven out: it
    lifts a hydrometer.  With `beyond` the instrument could not show it, and all that was seen is that it lies
    above or below `value`.
    """

    step: str
    quantity: Quantity
    value: float
    instrument: str
    at: str = ""
    temperature_c: float | None = None
    meter: MeterWay = "cooled"
    gassy: bool = False
    beyond: Beyond = ""
