"""Keep plans in a book as versions, and tell the brewer's own from those that a day made of them.

In:  a book's location, names, texts.
Out: `VersionView`s; `Kept`, the version that was written or the one that came between.

Idea: a version is never overwritten.  Starting a brew keeps the solved plan beside the one that was typed,
and a remedy keeps what it made of it: those belong to their day, and writing goes on from what was typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from gylebook.errors import Problem, Refused
from gylebook.record.book import Book
from gylebook.record.events import PLAN_CHANGED, BreweryVersion, PlanVersion
from gylebook.record.store import open_book
from gylebook.tasks.drafts import Tables, draft_with, name_in, refuse_unreadable
from gylebook.tasks.own_tables import book_tables


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionView:
    """One version of a plan; `of_a_day` where a brew made it, not the brewer at the table."""

    name: str
    version: int
    text: str
    made_at: str
    note: str
    of_a_day: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanView:
    """A plan of a book: its versions, oldest first, the breweries it may be made on, and their tables.

    `breweries` are the newest version of each, the one to take where none is chosen first.
    """

    name: str
    versions: tuple[VersionView, ...]
    breweries: tuple[BreweryVersion, ...]
    tables: Tables

    @property
    def own(self) -> VersionView:
        """The newest version that the brewer wrote."""
        return newest_own(self.versions)

    def numbered(self, version: int) -> VersionView:
        """The version of this number; Refused where there is none."""
        found = next((one for one in self.versions if one.version == version), None)
        if found is None:
            accepted = f"“{self.name}” has versions 1 to {len(self.versions)}"
            raise Refused((Problem("version", f"{version}", accepted),))
        return found

    def brewery(self, name: str = "") -> BreweryVersion | None:
        """The brewery of this name, else the one to take; None where the book holds none."""
        named = (brewery for brewery in self.breweries if brewery.name == name)
        return next(named, self.breweries[0] if self.breweries else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What became of a text that was to be kept: its version, or the newer one that came between."""

    version: int | None
    overtaken_by: VersionView | None


def newest_own(versions: tuple[VersionView, ...]) -> VersionView:
    """The newest version that the brewer wrote; the newest of all where a day made every one."""
    own = [one for one in versions if not one.of_a_day]
    return (own or list(versions))[-1]


def plans_in(location: str) -> tuple[VersionView, ...]:
    """The newest own version of every plan, by name."""
    with open_book(location) as book:
        views = _views(book, book.plans())
    by_name: dict[str, list[VersionView]] = {}
    for view in views:
        by_name.setdefault(view.name, []).append(view)
    return tuple(newest_own(tuple(versions)) for versions in by_name.values())


def look_at_plan(location: str, name: str) -> PlanView:
    """A plan with all its versions.  Raises Refused where the book has none of that name."""
    with open_book(location) as book:
        return plan_view(book, name)


def plan_view(book: Book, name: str) -> PlanView:
    """The same, of a book that is open."""
    book.plan(name)
    return PlanView(
        name=name,
        versions=_views(book, [one for one in book.plans() if one.name == name]),
        breweries=tuple(_breweries(book, name)),
        tables=book_tables(book),
    )


def keep_plan(location: str, name: str, text: str, note: str = "", *, made_from: int | None = None) -> Kept:
    """Keep a text as the next version of a plan.

    With `made_from`, the number of the version that it was written from, nothing is written where a newer one
    of the brewer's own came between.  Raises Refused where the text is no plan, or bears another name.
    """
    with open_book(location) as book, book.all_or_nothing():
        refuse_unreadable(text, book_tables(book))
        if name_in(text) != name:
            accepted = f"the versions kept here are those of “{name}”; begin another plan under a new name."
            raise Refused((Problem("plan, name", f"“{name_in(text)}”", accepted),))
        views = _views(book, [one for one in book.plans() if one.name == name])
        if views and made_from is not None and newest_own(views).version > made_from:
            return Kept(version=None, overtaken_by=newest_own(views))
        return Kept(version=book.keep_plan(name, text, note).version, overtaken_by=None)


def copy_plan(location: str, of: str, name: str) -> str:
    """Begin another plan from the newest own version of one; gives the name it is kept under."""
    with open_book(location) as book, book.all_or_nothing():
        book.plan(of)
        source = newest_own(_views(book, [one for one in book.plans() if one.name == of]))
        return _begun(book, name, source.text, f"begun from {of}, version {source.version}")


def begin_plan(location: str, name: str, text: str, note: str) -> str:
    """Begin a plan from a text, whatever name that bears; gives the name it is kept under.

    Raises Refused for a name that is none or that a plan has already.
    """
    with open_book(location) as book, book.all_or_nothing():
        return _begun(book, name, text, note)


def _begun(book: Book, name: str, text: str, note: str) -> str:
    name = " ".join(name.split())
    if not name:
        raise Refused((Problem("name", "nothing was typed", "give the new plan a name"),))
    if any(one.name == name for one in book.plans()):
        raise Refused((Problem("name", f"“{name}”", "is a plan of this book already; give a new name"),))
    named = draft_with(text, {"name": name})
    refuse_unreadable(named, book_tables(book))
    return book.keep_plan(name, named, note).name


def _views(book: Book, plans: tuple[PlanVersion, ...] | list[PlanVersion]) -> tuple[VersionView, ...]:
    days = set(_made_by_days(book))
    return tuple(
        VersionView(
            name=one.name,
            version=one.version,
            text=one.text,
            made_at=one.made_at,
            note=one.note,
            of_a_day=one.id in days,
        )
        for one in plans
    )


def _made_by_days(book: Book) -> Iterator[UUID]:
    """Versions that a brew pinned when it was started, or changed to on the day."""
    for brew in book.brews():
        yield brew.plan_id
        for event in book.events(brew.id):
            if event.kind == PLAN_CHANGED:
                yield UUID(event.body["plan_version_id"])


def _breweries(book: Book, plan: str) -> list[BreweryVersion]:
    """The newest version of each brewery; first that of the plan's newest brew, else the last one kept."""
    newest = {one.name: one for one in book.breweries()}
    brewed = [b for b in book.brews() if book.plan_version(b.plan_id).name == plan]
    last = book.brewery_version(brewed[-1].brewery_id).name if brewed else ""
    latest = sorted(newest.values(), key=lambda one: one.made_at, reverse=True)
    return sorted(latest, key=lambda one: one.name != last)
