"""Read a moment as it is typed, and say one.

In:  “14:07”, “2026-03-14T14:07”, with a zone or without.
Out: ISO 8601 with its zone; short words of it.
"""

from __future__ import annotations

from datetime import datetime

from gylebook.errors import Problem, Refused

EARLIEST, LATEST = 1970, 2199  # years a book can speak of
WRITE = "write it like 14:07 or 2026-03-14T14:07+01:00"


def moment(text: str | None, *, now: datetime | None = None, where: str = "--at") -> str:
    """A time as typed, with this machine's zone where none is given; else the present."""
    now = now or datetime.now().astimezone()
    if text is None:
        return now.isoformat(timespec="seconds")
    try:
        if len(text) <= len("14:07"):
            clock = datetime.strptime(text, "%H:%M").time()
            return datetime.combine(now.date(), clock).astimezone().isoformat(timespec="seconds")
        given = datetime.fromisoformat(text)
    except ValueError:
        raise Refused((Problem(where, f"“{text}” is not a time", WRITE),)) from None
    if not EARLIEST <= given.year <= LATEST:
        raise Refused((Problem(where, f"the year {given.year}", f"must be {EARLIEST} to {LATEST}"),))
    return (given if given.tzinfo else given.astimezone()).isoformat(timespec="seconds")


def day_and_clock(at: str) -> str:
    """“2026-03-14, 09:00” of a full moment."""
    return f"{at[:10]}, {at[11:16]}" if len(at) > len("2026-03-14T09") else at[:10]
