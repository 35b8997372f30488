"""Declare the figures that belong to one calibration evening: what was poured, how warm, how long boiled.

In:  an evening, its brewery, and what was read.
Out: figures, in a fixed order.

Idea: they are known as told to the brewer until they are read.  What is read is believed by the reading
alone: the figure lies around it, several of the instrument's own sds wide, and the reading then conditions
it as any other.  A twentieth of the reading's weight counts twice by that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from gylebook.brewery.evening import Evening
from gylebook.brewery.instruments import Quantity
from gylebook.brewery.site import Brewery
from gylebook.figures.figure import Figure
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.observe import Observable

POUR_AS_TOLD, TIME_AS_TOLD, WARM_AS_TOLD_K = 0.02, 0.02, 2.0  # sd where it was not read; shares but the last
WIDE = 4.0  # times the instrument's own sd
WEATHER_K = 0.25  # sd of the boiling point by the weather: 9 hPa at 0.028 K each

Known = tuple[float, float]  # a value and its sd


def own_figures(evening: Evening, brewery: Brewery, seen: Sequence[Observable]) -> tuple[Figure, ...]:
    """What belongs to this evening alone, as told or around what was read; all of it is judgement."""
    return tuple(_own(evening, brewery, seen))


def _own(evening: Evening, brewery: Brewery, seen: Sequence[Observable]) -> Iterator[Figure]:
    first, second = _read(seen, "evening first", "mass"), _read(seen, "evening full", "mass")
    half, full = _read(seen, "evening first", "volume"), _read(seen, "evening full", "volume")
    if second is None and full is not None:
        second = _risen(first or half, full)
    beside = _read(seen, "evening beside", "mass")
    liquor, tap = _read(seen, "evening full", "temperature"), _read(seen, "evening tap", "temperature")
    boiled = _read(seen, "evening boil", "time")
    yield _pour("first_kg", evening.first_l, first or half)
    yield _pour("second_kg", evening.second_l, second)
    yield _figure("liquor_c", "°C", (brewery.liquor_c, WARM_AS_TOLD_K), liquor)
    yield _figure("tap_c", "°C", (brewery.chiller.tap_c, WARM_AS_TOLD_K), tap)
    yield _figure("boil_min", "min", (evening.boil_minutes, TIME_AS_TOLD * evening.boil_minutes), boiled)
    yield _figure("weather_k", "°C", (0.0, WEATHER_K), None)
    if evening.beside_l is not None:
        yield _pour("beside_kg", evening.beside_l, beside)


def _pour(name: str, litres: float, read: Known | None) -> Figure:
    told = litres * WATER_20
    return _figure(name, "kg", (told, POUR_AS_TOLD * told), read)


def _figure(name: str, unit: str, told: Known, read: Known | None) -> Figure:
    level, scatter = told if read is None else (read[0], WIDE * read[1])
    return Figure(name=f"evening.{name}", unit=unit, level=level, scatter=scatter, source="judgement")


def _read(seen: Sequence[Observable], step: str, quantity: Quantity) -> Known | None:
    """What was read there first and how surely, the instrument's bias included; None where nothing was."""
    for one in seen:
        if (one.place.step, one.place.quantity) == (step, quantity):
            return one.value, math.hypot(one.error, one.instrument.bias)
    return None


def _risen(before: Known | None, full: Known) -> Known | None:
    """The second pour by what the marks rose; a litre and a kilogram are near enough for a middle."""
    return None if before is None else (full[0] - before[0], math.hypot(full[1], before[1]))
