"""Guess how a reading came to be written down wrong.

In:  a reading tied to the course, and where its instrument was to stand by all that the rest says.
Out: the likeliest slip and the reading that was meant, or nothing.

Idea: people go wrong in few ways (another unit, two digits the other way round, a hot level taken for a cold
one), and each of them leads to one number.  A slip is named only where that number fits and the one written
down does not; it is a guess to be checked, so nothing is ever put right by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from gylebook.gyle.observe import Observable
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.process.ferment import real_extract
from gylebook.process.instruments import (
    apparent_from_refractometer,
    hydrometer_reading,
    marks_reading,
    refractometer_reading_beer,
    refractometer_reading_wort,
    sg_from_hydrometer,
)

FAR, NEAR = 4.0, 2.0  # sds from what the rest says: beyond the one it may be a slip, within the other it fits
GALLON_L, IMPERIAL_GALLON_L, POUND_KG = 3.785411784, 4.54609, 0.45359237
HEATED_K = 10.0  # by which a liquid is warmer than noted, to be taken for hot
BRIX_OVER_PLATO = 1.04  # of unfermented wort
SCALE = (0.9925, 1.15)  # SG that a hydrometer for wort and beer shows, and that is known in °P

SlipKind = Literal[
    "two digits swapped",
    "°F for °C",
    "°C for °F",
    "gal for L",
    "imp gal for L",
    "L for gal",
    "lb for kg",
    "kg for lb",
    "°Bx for °P",
    "°P for °Bx",
    "hot for cold",
    "cold for hot",
    "warm sample",
    "cooled sample",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """What likely happened, and the reading that was meant, in the base unit of a `Reading`.

    `sample_c` is the temperature of the sample that would explain it, where that is the slip.
    """

    kind: SlipKind
    meant: float
    sample_c: float | None = None


def likely_slip(
    seen: Observable,
    expected: float,
    spread: float,
    *,
    hot_c: float = 20.0,
    wort_plato: float = 0.0,
) -> Slip | None:
    """The slip whose number fits best, if the reading itself lies far off.

    Parameters
    ----------
    expected, spread
        What the instrument was to show by the rest, and one sd of it. [as `SHOWN_IN` says]
    hot_c
        Temperature of the liquid in its vessel at that step. [°C]
    wort_plato
        Strength of that wort, or of the one that a fermented beer came from. [°P]
    """
    if seen.reading.beyond or abs(seen.value - expected) <= FAR * spread:
        return None
    tried = [
        (abs(shown - expected), slip)
        for slip, shown in _slips(seen, expected, hot_c, wort_plato)
        if abs(shown - expected) <= NEAR * spread
    ]
    return (
        min(tried, key=lambda one: one[0])[1]
        if tried
        else _at_another_temperature(seen, expected, spread, hot_c)
    )


def _slips(
    seen: Observable, expected: float, hot_c: float, wort_plato: float
) -> Iterator[tuple[Slip, float]]:
    """Each slip with what the instrument showed if it was that. [as `SHOWN_IN` says]"""
    value, quantity = seen.reading.value, seen.place.quantity
    for text in _swapped(_as_written(seen)):
        if seen.instrument.kind != "hydrometer":
            yield Slip(kind="two digits swapped", meant=float(text)), float(text)
        elif SCALE[0] <= float(text) <= SCALE[1]:
            yield Slip(kind="two digits swapped", meant=float(plato_from_sg(float(text)))), float(text)
    others: dict[SlipKind, float] = {}
    if quantity == "temperature":
        others = {"°F for °C": (value - 32.0) / 1.8, "°C for °F": value * 1.8 + 32.0}
    elif quantity == "mass":
        others = {"lb for kg": value * POUND_KG, "kg for lb": value / POUND_KG}
    elif quantity == "volume":
        others = {
            "gal for L": value * GALLON_L,
            "imp gal for L": value * IMPERIAL_GALLON_L,
            "L for gal": value / GALLON_L,
            **_other_heat(seen, hot_c, wort_plato),
        }
    yield from ((Slip(kind=kind, meant=meant), meant) for kind, meant in others.items())
    if quantity == "gravity":
        yield from _other_scale(seen, wort_plato)


def _as_written(seen: Observable) -> str:
    """The number as it stands on such a scale."""
    digits = {"hydrometer": 3, "scale": 2, "ph meter": 2, "clock": 0, "tally": 0}.get(seen.instrument.kind, 1)
    return f"{seen.value:.{digits}f}"


def _swapped(text: str) -> Iterator[str]:
    """The number with two digits that stand next to each other the other way round."""
    places = [place for place, sign in enumerate(text) if sign.isdecimal()]
    for one, other in pairwise(places):
        if text[one] != text[other]:
            signs = list(text)
            signs[one], signs[other] = text[other], text[one]
            yield "".join(signs)


def _other_heat(seen: Observable, hot_c: float, wort_plato: float) -> dict[SlipKind, float]:
    """The level if it was reckoned to 20 °C already, or read hot where it was taken for cold."""
    metal = seen.place.metal
    if metal is None or hot_c - 20.0 < HEATED_K:
        return {}
    if hot_c - seen.temperature_c >= HEATED_K:  # noted as colder than it can have been
        at_noted, at_heat = (marks_reading(1.0, wort_plato, t, metal) for t in (seen.temperature_c, hot_c))
        return {"hot for cold": seen.value * float(at_noted / at_heat)}
    return {"cold for hot": seen.value * float(marks_reading(1.0, wort_plato, seen.temperature_c, metal))}


def _other_scale(seen: Observable, wort_plato: float) -> Iterator[tuple[Slip, float]]:
    """The gravity if it was read on the other instrument's scale."""
    value, fermented = seen.reading.value, seen.place.original is not None
    if value < 0.0 or (fermented and not 0.0 < wort_plato <= 32.0):
        return
    if seen.instrument.kind == "hydrometer":
        plato = (
            float(apparent_from_refractometer(value, wort_plato)) if fermented else value / BRIX_OVER_PLATO
        )
        yield Slip(kind="°Bx for °P", meant=plato), float(sg_from_plato(plato))
    elif fermented:
        real = real_extract(wort_plato, value)
        if 0.0 <= real <= wort_plato:
            brix = float(refractometer_reading_beer(wort_plato, real))
            yield Slip(kind="°P for °Bx", meant=brix), brix
    else:
        brix = float(refractometer_reading_wort(value))
        yield Slip(kind="°P for °Bx", meant=brix), brix


def _at_another_temperature(seen: Observable, expected: float, spread: float, hot_c: float) -> Slip | None:
    """A hydrometer read in a sample of another temperature than noted; tried last, as one is easily found."""
    if seen.instrument.kind != "hydrometer" or not SCALE[0] <= expected <= SCALE[1]:
        return None
    made_for = seen.instrument.calibrated_c
    noted_c = made_for if seen.reading.temperature_c is None else seen.reading.temperature_c
    plato = plato_from_sg(sg_from_hydrometer(expected, noted_c, made_for))
    sample_c = np.arange(20.0, max(hot_c, 21.0)) if noted_c == made_for else np.array([made_for])
    off = np.abs(hydrometer_reading(plato, sample_c, made_for) - seen.value)
    best = int(np.argmin(off))
    if off[best] > NEAR * spread:
        return None
    meant = float(plato_from_sg(sg_from_hydrometer(seen.value, sample_c[best], made_for)))
    kind: SlipKind = "warm sample" if noted_c == made_for else "cooled sample"
    return Slip(kind=kind, meant=meant, sample_c=float(sample_c[best]))
