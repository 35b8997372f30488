"""Turn rows of the tables into the dataclasses of `events`, and a brew into its row.

In:  a row as a dictionary. Out: what leaves the record, with ids as UUIDs and bodies as dictionaries.

Idea: columns and fields bear the same names, so only what has another type is named here.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Select

from gylebook.record import checks
from gylebook.record.events import (
    Brew,
    BreweryVersion,
    Device,
    EveningVersion,
    Event,
    PlanVersion,
    TableVersion,
)

Row = dict[str, Any]


def first(connection: Connection, wanted: Select[*tuple[Any, ...]]) -> Row | None:
    """The first row found, if any."""
    found = connection.execute(wanted).first()
    return None if found is None else found._asdict()


def brewery(row: Row) -> BreweryVersion:
    return BreweryVersion(**_with_ids(row, "id"))


def plan(row: Row) -> PlanVersion:
    return PlanVersion(**_with_ids(row, "id"))


def evening(row: Row) -> EveningVersion:
    return EveningVersion(**_with_ids(row, "id"))


def table(row: Row) -> TableVersion:
    return TableVersion(**_with_ids(row, "id"))


def brew(row: Row) -> Brew:
    return Brew(**_with_ids(row, "id", "plan_id", "brewery_id"))


def event(row: Row) -> Event:
    known = _with_ids(row, "id", "brew_id", "supersedes")
    return Event(**{**known, "body": checks.body_of(row["body"])})


def device(row: Row) -> Device:
    known = _with_ids(row, "id")
    del known["token_sha256"]
    return Device(**known)


def of_brew(given: Brew) -> Row:
    """The row of a brew."""
    return {key: str(value) if isinstance(value, UUID) else value for key, value in asdict(given).items()}


def _with_ids(row: Row, *keys: str) -> Row:
    return {**row, **{key: UUID(row[key]) for key in keys if row[key] is not None}}
