"""Speak of the readings of a portion in fermentation: what was read, and what became of it just now.

In:  `PortionRead`s, the brewer's `Units`.
Out: plain English; the text that a correction begins with.
"""

from __future__ import annotations

from gylebook.faces import telling, words
from gylebook.faces.day_words import typed_unit
from gylebook.faces.moments import day_and_clock
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.portion_log import PortionRead


def value_text(one: PortionRead, units: Units = METRIC) -> str:
    """What the instrument showed: “1.0115”, “13 °C”."""
    read = one.reading
    if read.quantity == "temperature":
        return f"{read.beyond} {words.temperature(read.value, units)}".lstrip()
    return telling.reading_text(read.quantity, read.value, units, one.kind, read.beyond)


def sample_text(one: PortionRead, units: Units = METRIC) -> str:
    """How warm the sample was; nothing where that was not noted."""
    noted = one.reading.temperature_c
    return "" if noted is None else words.temperature(noted, units)


def unit_of(one: PortionRead, units: Units = METRIC) -> str:
    """The unit in which a bare number is taken in its place."""
    return typed_unit(one.reading.quantity, one.kind, units)


def read_text(one: PortionRead, units: Units = METRIC) -> str:
    """“1.0115 of 2026-03-19, 18:00”."""
    return f"{value_text(one, units)} of {day_and_clock(one.reading.at)}"


def became_sentence(one: PortionRead, units: Units = METRIC) -> str:
    """What was just done with a reading; nothing where something else became of it since."""
    if one.gone == "withdrawn":
        return f"Withdrawn: {read_text(one, units)} counts no more."
    if one.gone:
        return ""
    done = f"Corrected: number {one.corrects} is now" if one.corrects is not None else "Written down:"
    return f"{done} {read_text(one, units)}."
