"""Tell what stands: of all that was ever written, what has not been superseded.

In:  events as the book gives them. Out: the standing events, today or as of any earlier one; readings.

Idea: nothing is edited, so the state of any day is the same function applied to fewer events.
Pure functions; nothing here opens a book.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, asdict, fields
from typing import Any, get_args

from gylebook.brewery.instruments import Beyond, Quantity, Reading
from gylebook.brewery.water import MeterWay
from gylebook.errors import Problem, Refused
from gylebook.record.events import READING, WITHDRAWN, Event

_TEXTS = ("step", "instrument", "at")
_NUMBERS = ("value", "temperature_c")  # JSON may have 65.0 as 65
_WORDS = {"quantity": Quantity, "beyond": Beyond}
_FIELDS = {f.name: f.default is MISSING for f in fields(Reading)}


def standing(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events that no other of these supersedes, in the order written; a withdrawal itself is not shown.

    What superseded another and is withdrawn in turn does not bring the other back: write it anew.
    """
    given = sorted(events, key=lambda event: event.seq)
    gone = {event.supersedes for event in given}
    return tuple(event for event in given if event.id not in gone and event.kind != WITHDRAWN)


def as_of(events: Iterable[Event], seq: int) -> tuple[Event, ...]:
    """What stood when the event `seq` had just been written."""
    return standing(event for event in events if event.seq <= seq)


def readings_of(events: Iterable[Event]) -> tuple[Reading, ...]:
    """The readings among these events, in their order; give it what stands."""
    return tuple(
        reading_of(event.body, where=f"event {event.seq}") for event in events if event.kind == READING
    )


def reading_body(reading: Reading) -> dict[str, Any]:
    """The body of the event that keeps this reading.

    A meter used as usual, a sample without gas and a value that was shown are not kept, so that a reading has
    the body it had before any of these was told of.
    """
    usual = {"meter": "cooled", "gassy": False, "beyond": ""}
    return {key: value for key, value in asdict(reading).items() if key not in usual or value != usual[key]}


def reading_of(body: Mapping[str, Any], where: str = "reading") -> Reading:
    """The reading kept in such a body; a body that holds none is `Refused`, with all that is wrong."""
    problems = [
        Problem(f"{where}, {name}", "", "is missing; a reading needs it")
        for name, needed in _FIELDS.items()
        if needed and name not in body
    ]
    for name, value in body.items():
        accepted = _accepted(name, value)
        if accepted:
            problems.append(Problem(f"{where}, {name}", f"{value!r}", accepted))
    if problems:
        raise Refused(problems)
    numbers = {name: float(body[name]) for name in _NUMBERS if body.get(name) is not None}
    return Reading(**{**body, **numbers})


def _accepted(name: str, value: object) -> str:
    """What would have been accepted in this place, or nothing where the value is."""
    if name not in _FIELDS:
        return f"is not known of a reading; known are {', '.join(_FIELDS)}"
    if name in _TEXTS:
        return "" if isinstance(value, str) else "must be a text"
    if name == "gassy":
        return "" if isinstance(value, bool) else "must be true or false"
    if name == "meter":
        ways = get_args(MeterWay)
        return "" if value in ways else f"must be one of {', '.join(f'“{way}”' for way in ways)}"
    if name in _WORDS:
        known = [word or "nothing" for word in get_args(_WORDS[name])]
        return "" if value in get_args(_WORDS[name]) else f"must be one of {', '.join(known)}"
    if name == "temperature_c" and value is None:
        return ""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return "" if number and math.isfinite(value) else "must be a finite number"  # type: ignore[arg-type]
