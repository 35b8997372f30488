"""Lay out docs/checks.md: every value checked against the world, by source, and what was found.

In:  the rows that `checks` kept while the tests ran, in any order.
Out: the page; and what makes a page stale.

Idea: the page says the same on every machine.  Values are printed to a tenth of their tolerance, and what was
got is left out where a page is held to a run, so that the last bit of a sum makes no page stale.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from gylebook.figures.sources import SOURCES

PAGE = Path(__file__).parents[1] / "docs" / "checks.md"
KINDS = ("world", "practice", "slip")
LISTED = 25  # rows of one table; a longer one is told by its worst row


class Row(NamedTuple):
    """One value held to one from outside."""

    kind: str
    source: str
    what: str
    unit: str
    at: str
    got: float
    expected: float
    allowed: float
    within: str  # the tolerance in words; empty of a range
    low: float = math.nan
    high: float = math.nan


HEAD = """# What is checked against the world

Each value that a test compares with one from outside the project, as the last full run found it. The tests
write this page (`make checks`), and `make test` fails where it no longer lists what they check. Why a
tolerance is what it is stands beside its test. Of a long table only the worst row is shown.
"""
SLIPS = """
## Against slips

The expected values of these were computed with the formulas and constants of their source, most of them in
a second program. Agreement says that no slip was made in writing a formula down; it says nothing of whether
it is true. They do not count above.
"""
TABLE = "| what | expected | got | error | within |\n|---|---|---|---|---|\n"


def page(rows: Iterable[Row]) -> str:
    """The whole page."""
    ordered = sorted(rows, key=_order)
    by_kind = {kind: [row for row in ordered if row.kind == kind] for kind in KINDS}
    parts = [HEAD, _counts(by_kind), "\n## Against the world\n"]
    for source, found in groupby(by_kind["world"], key=lambda row: row.source):
        parts += [f"\n### {source}\n\n{TABLE}", *_tables(list(found), LISTED)]
    parts += ["\n## Against common practice\n\nWhat brewers find, with no source to name.\n\n", TABLE]
    parts += [*_tables(by_kind["practice"], LISTED), SLIPS, "\n", TABLE, *_tables(by_kind["slip"], 0)]
    parts += [
        "\n## The sources\n\n| key | values | where to find it | how well it is known |\n|---|---|---|---|\n"
    ]
    for source in sorted({row.source for row in by_kind["world"]}):
        count = sum(row.source == source for row in by_kind["world"])
        parts.append(f"| {source} | {count} | {SOURCES[source].citation} | {SOURCES[source].note} |\n")
    return "".join(parts)


def differs(old: str, new: str) -> str:
    """The first line that only one of two pages has, the new one's first; empty where they agree."""
    old_lines, new_lines = ([_settled(line) for line in text.splitlines()] for text in (old, new))
    if old_lines == new_lines:
        return ""
    only = [line for line in new_lines if line not in old_lines] or [
        line for line in old_lines if line not in new_lines
    ]
    return only[0] if only else "its order"


def _settled(line: str) -> str:
    """A line without what the last bit of a computation may change: columns got and error."""
    cells = line.split(" | ")
    return " | ".join([*cells[:2], *cells[4:]]) if len(cells) == 5 else line


def _counts(by_kind: dict[str, list[Row]]) -> str:
    world = by_kind["world"]
    sources = {row.source for row in world}
    tables = Counter((row.source, row.what) for row in world)
    in_long = sum(count for count in tables.values() if count > LISTED)
    return (
        f"\n**{len(world)} values from {len(sources)} sources** are checked against the world, in "
        f"{len(tables)} quantities; {in_long} of them stand in tables of more than {LISTED} rows. "
        f"{len(by_kind['practice'])} are checked against common practice. "
        f"{len(by_kind['slip'])} more only catch slips.\n"
    )


def _order(row: Row) -> tuple[object, ...]:
    """By source, quantity and condition, numbers by their size; the rest settles what is left."""
    at = [
        (float(part) if part[-1].isdigit() else 0.0, part)
        for part in re.findall(r"-?\d+\.?\d*|[^\d-]+|-", row.at)
    ]
    return row.source, row.what, at, row.unit, row.expected, row.allowed, row.got


def _tables(rows: list[Row], listed: int) -> Iterator[str]:
    for (source, _), group in groupby(rows, key=lambda row: (row.source, row.what)):
        found = list(group)
        labels = {row.at for row in found}
        if listed and (len(found) == 1 or len(labels) == len(found) <= listed):
            yield from map(_line, found)
        else:
            yield _worst(found, "" if listed else f" ({source})")


def _line(row: Row) -> str:
    label = _with_unit(f"{row.what}, {row.at}" if row.at else row.what, row.unit)
    got = _number(row.got, row.allowed)
    if not row.within:
        return f"| {label} | {row.low:.4g} to {row.high:.4g} | {got} | … | the range |\n"
    expected, error = (_number(value, row.allowed) for value in (row.expected, row.got - row.expected))
    return f"| {label} | {expected} | {got} | {error} | {row.within} |\n"


def _worst(rows: list[Row], source: str) -> str:
    """One line for a table: its span, and the row that comes nearest to its tolerance."""
    count = f"{len(rows)} value{'s' if len(rows) > 1 else ''}"
    label = _with_unit(f"{rows[0].what}, {count}{source}", rows[0].unit)
    low, high = (pick(rows, key=lambda row: row.expected) for pick in (min, max))
    ends = [_number(row.expected, row.allowed) for row in (low, high)]
    span = ends[0] if len(rows) == 1 else " to ".join(ends)
    worst = max(rows, key=lambda row: abs(row.got - row.expected) / (row.allowed or 1.0))
    error = _number(worst.got - worst.expected, worst.allowed)
    shown = f"{error} at {worst.at}" if worst.at else error
    tolerances = sorted({(row.allowed, row.within or "the range") for row in rows})
    first, last = tolerances[0][1], tolerances[-1][1]
    within = first if len({words for _, words in tolerances}) == 1 else f"{first} to {last}"
    return f"| {label} | {span} | … | {shown} | {within} |\n"


def _with_unit(label: str, unit: str) -> str:
    return f"{label} [{unit}]" if unit else label


def _number(value: float, allowed: float) -> str:
    """To a tenth of the tolerance, without idle zeros."""
    places = max(0, 1 - math.floor(math.log10(allowed) + 1e-9)) if allowed > 0 else 6
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text.replace("-", "−")
