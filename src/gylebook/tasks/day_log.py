"""Tell all that happened on a brew day, and what the last of it changed for each portion.

In:  a `Standing`, the running order, outlooks before and after.
Out: `LogEntry`s, the newest first; `PortionChange`s.

Idea: nothing that was written is hidden.  What was corrected or withdrawn stays in its place, and says why it
counts no more.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal
from uuid import UUID

from gylebook.brewery.instruments import InstrumentKind, Reading
from gylebook.decide.targets import odds_to_the_mark
from gylebook.record.events import DAY_ENDED, PLAN_CHANGED, READING, STEP_BEGUN, WITHDRAWN, Event
from gylebook.record.replay import reading_of
from gylebook.tasks.brews import Standing
from gylebook.tasks.day import DayOrder, index_of
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.reading_view import reading_views
from gylebook.tasks.remedy_view import changes
from gylebook.tasks.trust import ReadingView
from gylebook.tasks.views import ChangeView, RemedyView, StepView

Gone = Literal["", "corrected", "withdrawn"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One thing that happened.  `gone` says how it came to count no more, `reason` why.

    `step` began; `portion` was read, where the reading is one's own.
    """

    number: int
    id: UUID
    kind: str
    at: str
    device: str
    gone: Gone
    reason: str
    corrects: int | None
    step: StepView | None = None
    portion: str = ""
    reading: Reading | None = None
    instrument: str = ""
    instrument_kind: InstrumentKind | Literal[""] = ""
    view: ReadingView | None = None
    remedy: RemedyView | None = None
    after_step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PortionChange:
    """One portion before and after: litres, gravity, odds of its mark where a volume is aimed at."""

    name: str
    volume_l: ChangeView
    og: ChangeView
    mark: tuple[float, float] | None


def day_log(standing: Standing, order: DayOrder) -> tuple[LogEntry, ...]:
    """All that was written of the brew but its forecasts, the newest first."""
    by_id = {event.id: event for event in standing.written}
    taken_by = {event.supersedes: event for event in standing.written if event.supersedes is not None}
    views = {_mark(view): view for view in reading_views(standing.outlook)}
    told = (READING, STEP_BEGUN, PLAN_CHANGED, DAY_ENDED)

    portions = {f"portion.{one.key}": one.name for one in standing.outlook.plan.portions}

    def entry(event: Event) -> LogEntry:
        by = taken_by.get(event.id)
        gone: Gone = "" if by is None else "withdrawn" if by.kind == WITHDRAWN else "corrected"
        earlier = by_id.get(event.supersedes) if event.supersedes else None
        reading = reading_of(event.body) if event.kind == READING else None
        instrument = standing.outlook.brewery.instruments.get(reading.instrument) if reading else None
        return LogEntry(
            number=event.seq,
            id=event.id,
            kind=event.kind,
            at=event.at,
            device=event.device,
            gone=gone,
            reason=by.reason if by is not None else "",
            corrects=earlier.seq if earlier is not None else None,
            step=order.steps[index_of(event, order)] if event.kind == STEP_BEGUN else None,
            portion=portions.get(str(event.body.get("step", "")).partition(" ")[0], ""),
            reading=reading,
            instrument=instrument.name if instrument else reading.instrument if reading else "",
            instrument_kind=instrument.kind if instrument else "",
            view=views.get(_mark(reading)) if reading and not gone else None,
            remedy=_remedy(event),
            after_step=str(event.body.get("after_step", "")),
        )

    return tuple(entry(event) for event in reversed(standing.written) if event.kind in told)


def portion_changes(before: Outlook, after: Outlook) -> tuple[PortionChange, ...]:
    """Each portion before and after the last that was written down."""
    by_name = {change.name: change for change in changes(before, after)}
    marked = after.plan.aims.volume_l is not None

    def mark(key: str) -> tuple[float, float]:
        first, then = (odds_to_the_mark(after.targets[key], one.draws, key) for one in (before, after))
        return first, then

    return tuple(
        PortionChange(
            name=portion.name,
            volume_l=by_name[f"portion.{portion.key}.volume_l"],
            og=by_name[f"portion.{portion.key}.og"],
            mark=mark(portion.key) if marked else None,
        )
        for portion in after.plan.portions
    )


def _mark(read: Reading | ReadingView) -> tuple[str, str, float, str, str]:
    """What tells one reading from another."""
    return read.step, read.quantity, read.value, read.at, read.instrument


def _remedy(event: Event) -> RemedyView | None:
    """The remedy that changed a plan, as far as the event tells it."""
    told = event.body.get("remedy")
    if event.kind != PLAN_CHANGED or told is None:
        return None
    return RemedyView(
        deed=told["deed"],
        amount=told["amount"],
        dimension=told["dimension"],
        of=told["of"],
        loss=0.0,
        portions=(),
        odds_limits_kept=1.0,
    )
