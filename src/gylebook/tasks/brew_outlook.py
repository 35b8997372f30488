"""Work out what a brew of a book leads to, from what it pins and what happened in it.

In:  an open book, a brew, its events.
Out: its outlook; which events that follows from; the fingerprint by which it is known again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any
from uuid import UUID

from gylebook.brewery.plan import Plan
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.house import figures_of
from gylebook.record.book import Book
from gylebook.record.events import PLAN_CHANGED, READING, WITHDRAWN, Brew, Event
from gylebook.record.replay import readings_of, standing
from gylebook.tasks.outlook import Outlook, Stage, look_again

SHOWN = "forecast shown"


def outlook_of(book: Book, brew: Brew, events: Sequence[Event]) -> Outlook:
    """The outlook that the pinned versions and these events, superseded ones among them, lead to."""
    gear = book.brewery_version(brew.brewery_id)
    brewery = read_brewery(gear.text, where=f"brewery “{gear.name}” version {gear.version}")
    stages = stages_of(brew, events, lambda id: _kept_plan(book, id))
    figures = figures_of(stages[0].plan, brewery)
    prior = standard_normal_latents(brew.draws, len(figures), brew.seed)
    return look_again(stages[0].plan, stages, brewery, prior=prior, seed=brew.seed)


def _kept_plan(book: Book, id: UUID) -> Plan:
    kept = book.plan_version(id)
    return read_plan(kept.text, where=f"plan “{kept.name}” version {kept.version}")


def stages_of(brew: Brew, events: Sequence[Event], plan_of: Callable[[UUID], Plan]) -> list[Stage]:
    """Every plan that was followed, with the readings taken on it; `plan_of` reads a version of a plan.

    A reading that corrects another was taken when the other was.
    """
    by_id = {event.id: event for event in events}

    def taken(event: Event) -> int:
        while event.supersedes is not None:
            event = by_id[event.supersedes]
        return event.seq

    count = standing(events)
    changes = [event for event in count if event.kind == PLAN_CHANGED]
    versions = [brew.plan_id, *(UUID(event.body["plan_version_id"]) for event in changes)]
    groups: list[list[Event]] = [[] for _ in versions]
    for event in count:
        groups[sum(change.seq < taken(event) for change in changes)].append(event)
    return [
        Stage(plan=plan_of(id), readings=readings_of(group))
        for id, group in zip(versions, groups, strict=True)
    ]


def what_counts(events: Sequence[Event]) -> tuple[UUID, ...]:
    """What a brew's outlook follows from: the readings and changes of plan that stand, by their ids."""
    return tuple(event.id for event in standing(events) if event.kind in (READING, PLAN_CHANGED))


def last_that_counts(events: Sequence[Event]) -> int:
    """The number of the last event that moved the outlook, be it by taking another away; 0 before any."""
    numbers = {event.id: event for event in events}

    def moves(event: Event) -> bool:
        taken = numbers.get(event.supersedes) if event.supersedes else None
        return (taken if event.kind == WITHDRAWN and taken else event).kind in (READING, PLAN_CHANGED)

    return max((event.seq for event in events if moves(event)), default=0)


def fingerprint(outlook: Outlook) -> dict[str, Any]:
    """Middle of every number, and a digest by which the same forecast is known again."""
    middles = {name: summary.median for name, summary in outlook.numbers.items()}
    exact = json.dumps({k: v.hex() for k, v in middles.items()}, sort_keys=True)
    return {"figures": middles, "sha256": hashlib.sha256(exact.encode()).hexdigest()}


def write_shown(book: Book, brew: Brew, outlook: Outlook, at: str) -> None:
    """Keep the fingerprint of what was shown."""
    body: Mapping[str, Any] = fingerprint(outlook)
    book.write_event(brew.id, SHOWN, dict(body), at)
