"""Speak of readings to the brewer: what was read, what cannot have been, which one does not fit.

In:  readings and the brewery they were taken on.
Out: short texts and refusals.

Idea: inside, a reading bears a number that counts from zero within its plan; a brewer knows it by its step,
what it was of, and its value, so every error about a reading says those.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from gylebook.brewery.instruments import Beyond, Quantity, Reading
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.readings_file import READ_AS
from gylebook.figures.units import Dimension, write
from gylebook.gyle.observe import is_of_fermentation

BEER_C = (-2.0, 45.0)  # of beer that ferments or is kept: frozen below, its yeast dead above

_SHOWN: dict[Quantity, tuple[str, int]] = {
    "volume": ("L", 1),
    "gravity": ("SG", 3),
    "temperature": ("°C", 1),
    "ph": ("pH", 2),
    "mass": ("kg", 2),
    "time": ("min", 0),
    "count": ("bottles", 0),
}


def reading_in_words(reading: Reading, brewery: Brewery) -> str:
    """“volume at preboil, 40.2 L”, “above 40.2 L”; a refractometer's gravity in °Bx, any other in SG."""
    instrument = brewery.instruments.get(reading.instrument)
    if instrument is not None and instrument.kind == "refractometer":
        value = f"{reading.value:.1f} °Bx"
    else:
        unit, digits = _SHOWN[reading.quantity]
        value = write(reading.value, READ_AS[reading.quantity].dimension, unit, digits=digits)
    side = f"{reading.beyond} " if reading.beyond else ""
    return f"{place_in_words(reading)}, {side}{value}"


def place_in_words(reading: Reading) -> str:
    """“volume at preboil”."""
    return f"{'pH' if reading.quantity == 'ph' else reading.quantity} at {reading.step}"


def impossible(reading: Reading) -> str:
    """Where such a reading can lie, by the ranges of a readings file; nothing where this one does."""
    asked = READ_AS[reading.quantity]
    return "" if asked.low <= reading.value <= asked.high else asked.range_in_words()


def no_beer_so_warm(reading: Reading, typed: str) -> str:
    """How warm fermenting beer may be, and the likely slip of unit; nothing of any other reading.

    `typed` tells in which unit it was written.
    """
    celsius = reading.value
    if not (is_of_fermentation(reading) and reading.quantity == "temperature"):
        return ""
    if BEER_C[0] <= celsius <= BEER_C[1]:
        return ""
    in_fahrenheit = "f" in typed.casefold()
    number = 1.8 * celsius + 32.0 if in_fahrenheit else celsius
    other = "°C" if in_fahrenheit else "°F"
    meant = number if in_fahrenheit else (number - 32.0) / 1.8
    hint = ""
    if BEER_C[0] <= meant <= BEER_C[1]:
        hint = f"; if it was read in {other}, write “{number:g} {other}”"
        hint += "" if in_fahrenheit else f", which is {write(meant, Dimension.TEMPERATURE, '°C', digits=1)}"
    return f"beer that ferments lies from {BEER_C[0]:g} to {BEER_C[1]:g} °C{hint}"


def refuse_impossible(readings: Sequence[Reading]) -> None:
    """Raise `Refused` for every reading that no instrument shows."""
    problems = [
        Problem(
            f"reading {number}, {place_in_words(reading)}",
            f"{reading.value:g} {READ_AS[reading.quantity].unit}",
            f"must be {beyond}",
        )
        for number, reading in enumerate(readings, 1)
        if (beyond := impossible(reading))
    ]
    sides = get_args(Beyond)
    problems += [
        Problem(f"reading {number}, beyond", f"“{reading.beyond}”", f"must be one of {', '.join(sides[1:])}")
        for number, reading in enumerate(readings, 1)
        if reading.beyond not in sides
    ]
    if problems:
        raise Refused(problems)


def irreconcilable(worst: Reading, count: int, brewery: Brewery) -> str:
    """Which of `count` readings to check, where they cannot be reconciled with the forecast."""
    named = reading_in_words(worst, brewery)
    if count == 1:
        opening = f"The reading cannot be reconciled with the forecast: {named}. Check it"
    else:
        opening = f"The {count} readings cannot be reconciled. The {named}, fits worst: check it"
    return (
        f"{opening} and its unit, or leave it out; if it is right, give its instrument's error or the "
        "house figures behind it more room."
    )
