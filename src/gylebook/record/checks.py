"""Judge what is to be written before the book is touched, and say all that is wrong at once.

In:  names, texts, times and bodies as given. Out: lists of `Problem`; bodies as JSON text and back.

Idea: what is written can never be corrected in place, so it is judged first, alike for both databases.
Meaning is not judged here, except that a reading must be one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from gylebook.errors import Problem, Refused
from gylebook.record.events import OWN_TABLES, READING, WITHDRAWN
from gylebook.record.replay import reading_of


def raise_all(*found: list[Problem]) -> None:
    """Raise `Refused` with every problem found, if any was."""
    problems = [problem for some in found for problem in some]
    if problems:
        raise Refused(problems)


def text_problems(where: str, value: str) -> list[Problem]:
    """A text that a database could not keep: PostgreSQL no NUL, neither of them half a character."""
    if "\0" in value:
        return [Problem(where, "holds a NUL character", "write it without")]
    if any("\ud800" <= character <= "\udfff" for character in value):
        return [Problem(where, "holds half a character (a lone surrogate)", "write it as valid Unicode")]
    return []


def name_problems(where: str, value: str) -> list[Problem]:
    """A name must also be there, on one line."""
    if not value.strip() or value != value.strip() or len(value.splitlines()) != 1:
        return [Problem(where, f"“{value}”", "must be one line, neither empty nor with spaces around it")]
    return text_problems(where, value)


def table_problems(where: str, value: str) -> list[Problem]:
    """A name that is none of the tables a book may keep."""
    accepted = f"is none of {', '.join(OWN_TABLES)}"
    return [] if value in OWN_TABLES else [Problem(where, f"“{value}”", accepted)]


def whole_problems(where: str, value: int, low: int, high: int) -> list[Problem]:
    """A whole number outside what the column takes."""
    return [] if low <= value <= high else [Problem(where, f"{value}", f"must be from {low} to {high}")]


def time_problems(where: str, value: str) -> list[Problem]:
    """A time must be ISO 8601 and say its zone, or it is not known when it was."""
    accepted = "must be ISO 8601 with its zone, like 2026-03-14T09:30:00+01:00"
    try:
        zoned = datetime.fromisoformat(value).tzinfo is not None
    except ValueError:
        zoned = False
    return [] if zoned else [Problem(where, f"“{value}”", accepted)]


def event_or_refuse(
    kind: str,
    body: Mapping[str, Any],
    at: str,
    who: str,
    device: str,
    supersedes: UUID | None,
    reason: str,
) -> None:
    """Raise `Refused` with all that is wrong with an event."""
    withdrawal = []
    if kind == WITHDRAWN and supersedes is None:
        withdrawal.append(Problem("supersedes", "", "a withdrawal must say which event it takes away"))
    if kind == WITHDRAWN and body:
        withdrawal.append(Problem("body", "", "a withdrawal puts nothing in the place; leave it empty"))
    raise_all(
        name_problems("kind", kind),
        time_problems("at", at),
        text_problems("who", who),
        text_problems("device", device),
        text_problems("reason", reason),
        withdrawal,
        _body_problems(kind, body),
    )


def _body_problems(kind: str, body: Mapping[str, Any]) -> list[Problem]:
    try:
        written = json_of(body)
    except ValueError as problem:  # NaN and infinity, which JSON does not know
        return [Problem("body", str(problem), "every number must be finite")]
    if kind == READING:
        try:
            reading_of(body)
        except Refused as problem:
            return list(problem.problems)
    # A NUL inside a value is escaped by JSON and kept; half a character is not.
    return text_problems("body", written)


def json_of(body: Mapping[str, Any]) -> str:
    """The body as JSON text: the same content gives the same text."""
    return json.dumps(body, sort_keys=True, ensure_ascii=False, allow_nan=False)


def body_of(text: str) -> dict[str, Any]:
    """The body that such a text holds."""
    body: dict[str, Any] = json.loads(text)
    return body


def sha256(text: str) -> str:
    """The fingerprint of a text as UTF-8, in hexadecimal."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
