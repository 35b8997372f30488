"""Tell how a brew day stands: which step is present, since when, what comes when, what was written down.

In:  a `Standing`, the running order and where readings are expected, the hour.
Out: `DayView`.

Idea: which step is present is a fact that somebody wrote down, so every phone sees the same one; the hours
of what is to come hang from the longest step that still goes on (a boil, under its additions), and are
reckoned from when it began on the clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal
from uuid import UUID

from gylebook.brewery.instruments import READS, InstrumentKind, Quantity
from gylebook.figures.draws import Summary, summarise
from gylebook.gyle.observe import places
from gylebook.record.events import DAY_ENDED, STEP_BEGUN, Event
from gylebook.tasks.brews import Standing
from gylebook.tasks.imagined import numbers_to_read, would_show
from gylebook.tasks.moments import moment_of
from gylebook.tasks.order_view import order_view
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.views import OrderView, StepView

State = Literal["passed", "goes on", "present", "ahead"]
LAST = "pitch"  # the step with which the day ends; what comes in the weeks after is told as later
NEAR_MIN = 0.5  # steps that end and begin within half a minute touch
HOT_C = 45.0  # from here on the temperature of what stands in a vessel moves its marks enough to be noted


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadOn:
    """An instrument that could be taken, and where its value is expected."""

    key: str
    name: str
    kind: InstrumentKind
    expected: Summary


@dataclass(frozen=True, slots=True, kw_only=True)
class DayReading:
    """A reading worth taking at a step; `hot` where the liquid's own temperature moves what is shown."""

    step: str
    quantity: Quantity
    portion: str
    pays: bool
    hot: bool
    on: tuple[ReadOn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOrder:
    """The running order as the day goes through it, and what follows in the weeks after."""

    name: str
    steps: tuple[StepView, ...]
    ids: tuple[str, ...]
    readings: tuple[tuple[DayReading, ...], ...]
    later: tuple[StepView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayStep:
    """One step of the day on the clock: when it began or will, when it ends if it takes any time."""

    id: str
    step: StepView
    readings: tuple[DayReading, ...]
    state: State
    begun: bool
    at: datetime
    ends: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DayView:
    """A brew day as it stands.

    `present` is an index into `steps`, none before the first and after the last; `event` is what made it so.
    """

    brew: str
    name: str
    newest: int
    steps: tuple[DayStep, ...]
    present: int | None
    following: int | None
    event: UUID | None
    over: bool
    later: tuple[StepView, ...]


def day_order(outlook: Outlook) -> DayOrder:
    """The steps of the day, told apart where several are alike, and every reading on every instrument."""
    order = order_view(outlook)
    numbers, known = (
        numbers_to_read(outlook),
        {(p.step, p.quantity): p for p in places(outlook.plan, outlook.brewery)},
    )

    def readings(step: StepView) -> tuple[DayReading, ...]:
        found = []
        for asked in step.reading:
            quantity: Quantity = asked.quantity  # type: ignore[assignment]
            place = known[(asked.step, quantity)]
            able = [i for i in outlook.brewery.instruments.values() if READS[i.kind] == quantity]
            on = tuple(
                ReadOn(
                    key=i.key,
                    name=i.name,
                    kind=i.kind,
                    expected=summarise(would_show(outlook, place, i, numbers)),
                )
                for i in able
            )
            hot = quantity == "volume" and place.usual_c >= HOT_C
            found.append(
                DayReading(
                    step=asked.step,
                    quantity=quantity,
                    portion=asked.portion,
                    pays=asked.pays,
                    hot=hot,
                    on=on,
                )
            )
        return tuple(sorted(found, key=lambda one: not one.pays))

    last = max((n for n, step in enumerate(order.steps) if step.key == LAST), default=len(order.steps) - 1)
    steps = order.steps[: last + 1]
    return DayOrder(
        name=order.name,
        steps=steps,
        ids=step_ids(order),
        readings=tuple(readings(step) for step in steps),
        later=order.steps[last + 1 :],
    )


def step_ids(order: OrderView) -> tuple[str, ...]:
    """“boil.1”, “add to the boil.2”: a step by its key and its turn among those alike."""
    seen: dict[str, int] = {}
    out = []
    for step in order.steps:
        seen[step.key] = seen.get(step.key, 0) + 1
        out.append(f"{step.key}.{seen[step.key]}")
    return tuple(out)


def day_view(standing: Standing, order: DayOrder, now: datetime) -> DayView:
    """The day as the events tell it.  Before its first step the hours are as if it began now."""
    begun, ended = _begun(standing.events, order), _last(standing.events, DAY_ENDED)
    newest = _last(standing.events, STEP_BEGUN)
    over = ended is not None and (newest is None or _when(ended) >= _when(newest))
    present = None if newest is None or over else index_of(newest, order)
    going = _going_on(order, begun, present)
    anchor, hung = _anchor(order, begun, going, present, now)

    def at(place: int) -> datetime:
        if place in begun and (present is None or place <= present or place in going):
            return begun[place]
        return hung + timedelta(minutes=order.steps[place].start_min - order.steps[anchor].start_min)

    def state(place: int) -> State:
        if place == present:
            return "present"
        if place in going:
            return "goes on"
        done = over or (present is not None and place < present)
        return "passed" if done else "ahead"

    return DayView(
        brew=standing.brew.name,
        name=order.name,
        newest=max((event.seq for event in standing.written), default=0),
        steps=tuple(
            DayStep(
                id=order.ids[place],
                step=step,
                readings=order.readings[place],
                state=state(place),
                begun=place in begun,
                at=at(place),
                ends=at(place) + timedelta(minutes=step.minutes),
            )
            for place, step in enumerate(order.steps)
        ),
        present=present,
        following=_following(order, present, over),
        event=(ended.id if over and ended else newest.id if newest else None),
        over=over,
        later=order.later,
    )


def _begun(events: Sequence[Event], order: DayOrder) -> dict[int, datetime]:
    """When each step began that somebody wrote down; the last time where it was begun twice."""
    found: dict[int, datetime] = {}
    for event in sorted((e for e in events if e.kind == STEP_BEGUN), key=_when):
        found[index_of(event, order)] = moment_of(event.at, "at")
    return found


def index_of(event: Event, order: DayOrder) -> int:
    """Where the step of an event stands now; where a changed plan has no such step, the last one alike."""
    key, nth = str(event.body["step"]), int(event.body["nth"])
    if f"{key}.{nth}" in order.ids[: len(order.steps)]:
        return order.ids.index(f"{key}.{nth}")
    alike = [place for place, step in enumerate(order.steps) if step.key == key]
    return alike[-1] if alike else 0


def _last(events: Sequence[Event], kind: str) -> Event | None:
    """The latest by its own hour, whoever wrote it first: a phone may send late what it saw early."""
    return max((event for event in events if event.kind == kind), key=_when, default=None)


def _when(event: Event) -> tuple[datetime, int]:
    return moment_of(event.at, "at"), event.seq


def _going_on(order: DayOrder, begun: dict[int, datetime], present: int | None) -> list[int]:
    """Steps before the present one that the plan lets run on beside it."""
    if present is None:
        return []
    start = order.steps[present].start_min
    return [
        place
        for place in begun
        if place < present and order.steps[place].start_min + order.steps[place].minutes > start + NEAR_MIN
    ]


def _anchor(
    order: DayOrder,
    begun: dict[int, datetime],
    going: list[int],
    present: int | None,
    now: datetime,
) -> tuple[int, datetime]:
    """The step that all to come hangs from, and when it began."""
    if present is None:
        last = max(begun, default=0)
        return last, begun.get(last, now)
    held = max([*going, present], key=lambda p: order.steps[p].start_min + order.steps[p].minutes)
    return held, begun[held]


def _following(order: DayOrder, present: int | None, over: bool) -> int | None:
    if over:
        return None
    if present is None:
        return 0
    return present + 1 if present + 1 < len(order.steps) else None
