"""List what a book holds.

In:  a book's location.
Out: `BookView`.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.record.events import About, Brew, BreweryVersion, PlanVersion
from gylebook.record.store import open_book


@dataclass(frozen=True, slots=True, kw_only=True)
class BookView:
    """A book from the outside: what it is, and the names and versions in it."""

    location: str
    about: About
    breweries: tuple[BreweryVersion, ...]
    plans: tuple[PlanVersion, ...]
    brews: tuple[Brew, ...]


def look_at_book(location: str) -> BookView:
    """All breweries, plans and brews of a book."""
    with open_book(location, read_only=True) as book:
        return BookView(
            location=location,
            about=book.about(),
            breweries=book.breweries(),
            plans=book.plans(),
            brews=book.brews(),
        )
