"""List what a book holds.

In:  a book's location.
Out: `BookView`; `newest_of_each`, the breweries that there are to choose from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gylebook.record.book import Book
from gylebook.record.events import About, Brew, BreweryVersion, PlanVersion, TableVersion
from gylebook.record.store import open_book


@dataclass(frozen=True, slots=True, kw_only=True)
class BookView:
    """A book from the outside: what it is, and the names and versions in it."""

    location: str
    about: About
    breweries: tuple[BreweryVersion, ...]
    plans: tuple[PlanVersion, ...]
    tables: tuple[TableVersion, ...]
    brews: tuple[Brew, ...]


def look_at_book(location: str) -> BookView:
    """All breweries, plans, own tables and brews of a book."""
    # Not opened for reading alone: a book of an earlier gylebook is brought up to date first.
    with open_book(location) as book:
        return book_view(book, location)


def book_view(book: Book, location: str) -> BookView:
    """The same of a book that is open."""
    return BookView(
        location=location,
        about=book.about(),
        breweries=book.breweries(),
        plans=book.plans(),
        tables=book.tables(),
        brews=book.brews(),
    )


def newest_of_each(breweries: Iterable[BreweryVersion]) -> tuple[BreweryVersion, ...]:
    """The newest version of each brewery, the one that was kept last first."""
    newest = {one.name: one for one in breweries}
    return tuple(sorted(newest.values(), key=lambda one: one.made_at, reverse=True))
