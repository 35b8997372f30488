"""Tell every reading of a portion in fermentation, gravities and warmths, with what became of each.

In:  a `Standing`, a portion's key, its curve where there is one.
Out: `PortionRead`s in the order of their moments; one of them by its event.

Idea: a wrong reading bends the curve or leaves none at all, so the list needs no curve.  What was corrected
or withdrawn stays in it, and says why it counts no more.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal
from uuid import UUID

from gylebook.brewery.instruments import InstrumentKind, Reading
from gylebook.errors import Problem, Refused
from gylebook.record.events import READING, WITHDRAWN, Event
from gylebook.record.replay import reading_of
from gylebook.tasks.brews import Standing, withdraw_reading
from gylebook.tasks.cellar import ferment_step
from gylebook.tasks.day_deeds import reading_asked
from gylebook.tasks.ferment_views import FermentView, GravityTaken
from gylebook.tasks.moments import hours_between, moment_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PortionRead:
    """One reading: `gone` says how it came to count no more and `reason` why, `taken` where the curve lies.

    `day` counts from pitching, None where either moment is not known.
    """

    number: int
    id: UUID
    reading: Reading
    instrument: str
    kind: InstrumentKind | Literal[""]
    day: float | None
    gone: Literal["", "corrected", "withdrawn"]
    reason: str
    corrects: int | None
    taken: GravityTaken | None


def portion_log(
    standing: Standing, key: str, pitched: str, view: FermentView | None
) -> tuple[PortionRead, ...]:
    """Every reading taken of a portion while it fermented, the earliest moment first."""
    gone_by = {event.supersedes: event for event in standing.written if event.supersedes is not None}
    numbers = {event.id: event.seq for event in standing.written}
    curve = {(one.at, one.value, one.instrument): one for one in view.taken} if view is not None else {}

    def read(event: Event) -> PortionRead:
        reading, by = reading_of(event.body), gone_by.get(event.id)
        instrument = standing.outlook.brewery.instruments.get(reading.instrument)
        name = instrument.name if instrument is not None else reading.instrument
        return PortionRead(
            number=event.seq,
            id=event.id,
            reading=reading,
            instrument=name,
            kind=instrument.kind if instrument is not None else "",
            day=_day(pitched, reading.at),
            gone="" if by is None else "withdrawn" if by.kind == WITHDRAWN else "corrected",
            reason=by.reason if by is not None else "",
            corrects=numbers.get(event.supersedes) if event.supersedes is not None else None,
            taken=None if by is not None else curve.get((reading.at, reading.value, name)),
        )

    step = ferment_step(key)
    found = [read(e) for e in standing.written if e.kind == READING and e.body.get("step") == step]
    return tuple(sorted(found, key=lambda one: one.day if one.day is not None else -1.0))


def correction(
    standing: Standing,
    earlier: PortionRead,
    value: str,
    unit: str,
    temperature: str,
    temperature_unit: str,
    at: str,
    gassy: bool,
) -> Reading:
    """The reading that takes the place of an earlier one; a bare number is in the unit of the earlier."""
    was = earlier.reading
    typed = reading_asked(
        standing.outlook, was.step, was.quantity, value, unit, was.instrument, temperature, temperature_unit,
        at, was.meter if was.quantity == "ph" else "",
    )  # fmt: skip
    return replace(typed, gassy=gassy)


def withdraw_of_portion(
    location: str, name: str, earlier: PortionRead, at: str, *, reason: str, id: UUID | None, device: str
) -> None:
    """Take a reading back; sent again, it is taken back once."""
    if earlier.gone == "corrected":
        accepted = "was corrected meanwhile; look at what stands in its place"
        raise Refused((Problem("reading", f"number {earlier.number}", accepted),))
    if not earlier.gone:
        withdraw_reading(location, name, earlier.id, at, reason=reason, id=id, device=device)


def _day(pitched: str, at: str) -> float | None:
    try:
        return hours_between(moment_of(pitched, "pitched"), moment_of(at, "at")) / 24.0
    except Refused:
        return None
