"""Write down what a brewer does on the day: begin a step, take that back, end the day, read an instrument.

In:  a book's location, what was done and when, the id that the sender gave it.
Out: the event; for readings sent together, what became of each.

Idea: a phone without a network sends everything later and perhaps twice, so each deed comes with its own
hour and its own id, and is kept once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal
from uuid import NAMESPACE_URL, UUID, uuid5

from gylebook.brewery.instruments import Quantity, Reading
from gylebook.errors import GylebookError, Problem, Refused
from gylebook.exchange.readings_file import read_readings_with_ids
from gylebook.figures.quantity_text import with_unit
from gylebook.record.events import DAY_ENDED, READING, STEP_BEGUN, WITHDRAWN, Event
from gylebook.record.store import open_book
from gylebook.tasks.brews import take_reading
from gylebook.tasks.day import DayOrder
from gylebook.tasks.moments import moment_of
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.typed import reading_typed

CLOCK = re.compile(r"(\d{1,2}):(\d{2})(:\d{2})?")
DAY = NAMESPACE_URL  # ids of readings that were pasted without one follow from what they say
LONGEST_PASTED = 200_000  # signs; a day's readings are some thousands


@dataclass(frozen=True, slots=True, kw_only=True)
class Pasted:
    """What became of one reading that was pasted."""

    reading: Reading
    became: Literal["kept", "there already", "refused"]
    why: str = ""


def begin_step(
    location: str, name: str, order: DayOrder, step: str, at: str, *, id: UUID | None = None, device: str = ""
) -> Event:
    """Write down that a step began; an empty step ends the day."""
    if step and step not in order.ids[: len(order.steps)]:
        accepted = "no such step stands in the running order as it is now; look at the day again"
        raise Refused((Problem("step", f"“{step}”", accepted),))
    key, _, nth = step.rpartition(".")
    with open_book(location) as book:
        brew = book.brew(name)
        if not step:
            return book.write_event(brew.id, DAY_ENDED, {}, at, id=id, device=device)
        body = {"step": key, "nth": int(nth)}
        return book.write_event(brew.id, STEP_BEGUN, body, at, id=id, device=device)


def take_back_step(
    location: str, name: str, event: UUID, at: str, *, id: UUID | None = None, device: str = ""
) -> Event:
    """Take back that a step began, or that the day ended: what was present before is so again."""
    with open_book(location) as book:
        brew = book.brew(name)
        target = next((one for one in book.events(brew.id) if one.id == event), None)
        if target is None or target.kind not in (STEP_BEGUN, DAY_ENDED):
            accepted = "is no step of this brew that was begun; look at the day again"
            raise Refused((Problem("event", f"{event}", accepted),))
        return book.write_event(
            brew.id, WITHDRAWN, {}, at, id=id, device=device, supersedes=event, reason="begun too early"
        )


def reading_asked(
    outlook: Outlook,
    step: str,
    quantity: Quantity,
    value: str,
    unit: str,
    instrument: str,
    temperature: str,
    temperature_unit: str,
    at: str,
    meter: str,
) -> Reading:
    """The reading meant by what was typed where one was asked for; a bare number is in the unit shown."""
    sample = temperature.strip()
    try:
        reading = reading_typed(
            outlook,
            step,
            with_unit(value, unit),
            instrument or None,
            with_unit(sample, temperature_unit) if sample else None,
            at,
            meter or None,
        )
    except Refused as refused:
        raise Refused([_in_the_form(problem) for problem in refused.problems]) from refused
    if reading.quantity != quantity:
        accepted = f"a {_word(quantity)} is asked for here"
        raise Refused((Problem("value", f"“{value.strip()}” is a {_word(reading.quantity)}", accepted),))
    return reading


def keep_pasted(location: str, name: str, text: str, now: datetime, device: str = "") -> tuple[Pasted, ...]:
    """Write down every reading of a pasted text, each once however often it comes.

    A text that cannot be read is refused as a whole; of one that can, each reading is kept or refused alone.
    """
    if len(text) > LONGEST_PASTED:
        raise Refused((Problem("readings", f"{len(text):,} signs", f"at most {LONGEST_PASTED:,} are taken"),))
    with open_book(location) as book:
        brew = book.brew(name)
        known = {event.id for event in book.events(brew.id) if event.kind == READING}
    out = []
    for id, reading in read_readings_with_ids(text, where="pasted text"):
        own = id or uuid5(DAY, f"{brew.id} {reading!r}")
        if own in known:
            out.append(Pasted(reading=reading, became="there already"))
            continue
        try:
            dated = replace(reading, at=_on_the_day(reading.at, brew.started_at, now))
            take_reading(location, name, dated, id=own, device=device)
        except GylebookError as refused:
            out.append(Pasted(reading=reading, became="refused", why=str(refused)))
        else:
            out.append(Pasted(reading=reading, became="kept"))
            known.add(own)
    return tuple(out)


def _on_the_day(at: str, started_at: str, now: datetime) -> str:
    """A full moment: an hour alone is one of the day on which the brew was started, none at all is now."""
    if not at.strip():
        return now.isoformat(timespec="seconds")
    if hour := CLOCK.fullmatch(at.strip()):
        started = moment_of(started_at, "started")
        try:
            return started.replace(hour=int(hour[1]), minute=int(hour[2]), second=0).isoformat()
        except ValueError:
            raise Refused((Problem("at", f"“{at}”", "write an hour like 14:05"),)) from None
    moment = moment_of(at, "at")
    return (moment if moment.tzinfo else moment.replace(tzinfo=now.tzinfo)).isoformat()


def _in_the_form(problem: Problem) -> Problem:
    """A problem under the name that the field has on the page, without the terminal's options."""
    where = {"--temperature": "temperature"}.get(problem.where, problem.where)
    return replace(problem, where=where)


def _word(quantity: Quantity) -> str:
    return "pH" if quantity == "ph" else quantity
