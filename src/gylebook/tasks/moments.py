"""Read the moments at which a fermentation was looked at, and count the hours between them.

In:  texts as they were typed or kept.
Out: moments and hours; what is not a date with a time of day is refused in words.

Idea: hours since pitching need both ends.  A moment without a zone is taken in the zone of the other, so that
no machine's own zone decides.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from gylebook.errors import Problem, Refused

LONGEST_DAYS = 4 * 365
WRITE = "write the date and the time of day, like 2026-11-20T18:00"


def moment_of(text: str, where: str) -> datetime:
    """A date with a time of day."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or len(text) <= len("2026-11-20"):
        said = f"“{text}” is not a moment" if text else "is missing"
        raise Refused((Problem(where, said, WRITE),))
    return moment


def hours_between(first: datetime, then: datetime) -> float:
    """Hours from one moment to another, below zero where it lies before."""
    if first.tzinfo is None and then.tzinfo is not None:
        first = first.replace(tzinfo=then.tzinfo)
    elif first.tzinfo is not None and then.tzinfo is None:
        then = then.replace(tzinfo=first.tzinfo)
    return (then - first).total_seconds() / 3600.0


def after(first: datetime, hours: float) -> str:
    """The moment so many hours later, to the minute."""
    return (first + timedelta(hours=hours)).isoformat(timespec="minutes")
