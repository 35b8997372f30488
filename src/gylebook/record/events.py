"""Name what a book holds: versions of breweries, plans and tables, brews, and what happened in them.

In:  nothing. Out: frozen dataclasses, the only things that leave the record.

Idea: rows become these objects once, at the edge of the record, so that no other room sees a row or SQL.
Bodies of events are plain JSON objects; what they mean is said in `replay`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

READING = "reading"
PLAN_CHANGED = "plan changed"  # body: plan_version_id, after_step, remedy (older ones lack it)
NOTE = "note"
STEP_BEGUN = "step begun"  # body: step (its key), nth (1 for the first of that key in the running order)
DAY_ENDED = "day ended"
PACKED = "packed"  # body: portion, packages, sugar, gas, store, odds, reason where it was packed against them
TASTING = "tasting set up"  # body: the tasting; written on the brew of its first beer
ANSWERED = "tasting answered"  # body: tasting (the id of its event), taster, round, picked, sure, words
TASTED = "tasted"  # body: portion, words, traits, off_flavours
WITHDRAWN = "withdrawn"  # supersedes without putting anything in the place

OWN_TABLES = (
    "malts",
    "sugars",
    "yeasts",
    "hops",
    "bottles",
)  # the tables of which a book may keep the brewer's own


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a book says of itself: its own id, when and by which program it was made, its revision."""

    id: UUID
    made_at: str
    made_by: str
    revision: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BreweryVersion:
    """One version of a brewery file, byte for byte as it was typed."""

    id: UUID
    name: str
    version: int
    text: str
    sha256: str
    made_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanVersion:
    """One version of a plan file, byte for byte as it was typed, with what the brewer said of it."""

    id: UUID
    name: str
    version: int
    text: str
    sha256: str
    made_at: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningVersion:
    """The readings of an evening with water, as a file of readings; `name` is that of the brewery."""

    id: UUID
    name: str
    version: int
    text: str
    sha256: str
    made_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TableVersion:
    """One version of a brewer's own table, as it was typed; `name` is one of `OWN_TABLES`."""

    id: UUID
    name: str
    version: int
    text: str
    sha256: str
    made_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Brew:
    """One brewing: it pins all that its first forecast needs to be made again."""

    id: UUID
    name: str
    plan_id: UUID
    brewery_id: UUID
    seed: int
    draws: int
    program_version: str
    started_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A phone or another machine that may open the book over a network, until it is revoked."""

    id: UUID
    name: str
    paired_at: str
    revoked_at: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened. `at` is when it happened, `written_at` when the book had it safely.

    `seq` grows in the order in which the events of a brew were written.
    """

    seq: int
    id: UUID
    brew_id: UUID
    kind: str
    at: str
    written_at: str
    who: str
    device: str
    body: Mapping[str, Any] = field(hash=False)
    supersedes: UUID | None
    reason: str
