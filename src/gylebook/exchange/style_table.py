"""Look up the published ranges of beer styles.

In:  the table that ships; a code or a name as a brewer writes it.
Out: `StyleRow`, its ranges in base units.

Idea: numbers with their code and source, and nothing else of the guidelines.  One name may stand in both
guidelines, so a name that two codes go by is answered with both.
"""

from __future__ import annotations

import csv
import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from gylebook.brewery.wish import QUALITIES, Quality, Span
from gylebook.exchange.naming import plain

LISTED = 3  # names that a slip is answered with


@dataclass(frozen=True, slots=True, kw_only=True)
class StyleRow:
    """One style: ranges by quality, SG, per cent, IBU and SRM; what its guideline lets vary is not there."""

    code: str
    name: str
    ranges: Mapping[Quality, Span]
    source: str
    how: str

    @property
    def complete(self) -> bool:
        """Whether all five figures have a range."""
        return len(self.ranges) == len(QUALITIES)


@cache
def styles() -> tuple[StyleRow, ...]:
    """Every style that has a range, in the order of the guidelines."""
    text = resources.files("gylebook.data").joinpath("styles.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return tuple(_row(cells) for cells in csv.DictReader(lines))


def _row(cells: Mapping[str, str]) -> StyleRow:
    spans = {quality: _span(cells[f"{quality}_low"], cells[f"{quality}_high"]) for quality in QUALITIES}
    return StyleRow(
        code=cells["code"],
        name=cells["name"],
        ranges={quality: span for quality, span in spans.items() if span != (None, None)},
        source=cells["source"],
        how=cells["how"],
    )


def _span(low: str, high: str) -> Span:
    return (float(low) if low else None, float(high) if high else None)


@cache
def _by_name() -> Mapping[str, tuple[StyleRow, ...]]:
    found: dict[str, tuple[StyleRow, ...]] = {}
    for row in styles():
        for name in {plain(row.code), plain(row.name)}:
            found[name] = (*found.get(name, ()), row)
    return found


def styles_called(name: str) -> tuple[StyleRow, ...]:
    """The styles of this code or name: none, one, or one of each guideline."""
    return _by_name().get(plain(name), ())


def close_styles(name: str) -> tuple[str, ...]:
    """Up to three styles that were perhaps meant, as name and code."""
    known, wanted = _by_name(), plain(name)
    close = difflib.get_close_matches(wanted, known, n=LISTED, cutoff=0.6)
    holding = [written for written in known if wanted and set(wanted.split()) <= set(written.split())]
    found = dict.fromkeys(f"{row.name} ({row.code})" for key in [*close, *holding] for row in known[key])
    return tuple(found)[:LISTED]
