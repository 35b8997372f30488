"""Adapt the plans of a book to the breweries of a book, and keep what came of it.

In:  a book's location, names of a plan and of breweries.
Out: outlooks, breweries, and a new version of a plan.

Idea: a plan is taken as it was typed last; one that a solver or a remedy wrote is taken only where nobody
typed any.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.plan_writer import write_plan
from gylebook.record.book import Book
from gylebook.record.store import open_book
from gylebook.tasks.adapt import Adapted
from gylebook.tasks.adapt_view import adapted_text
from gylebook.tasks.outlook import Outlook, look_ahead
from gylebook.tasks.own_tables import book_tables

MOST_NAME = 120  # characters, as in a plan file


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """The breweries of a book by name, and where a plan was brewed last, if it was."""

    names: tuple[str, ...]
    last: str


def gear_in(location: str, plan: str = "") -> Gear:
    """The breweries of a book, and the one that this plan went through last."""
    with open_book(location) as book:
        names = tuple(dict.fromkeys(kept.name for kept in book.breweries()))
        of_plan = {kept.id for kept in book.plans() if kept.name == plan}
        homes = {kept.id: kept.name for kept in book.breweries()}
        brewed = [homes[brew.brewery_id] for brew in book.brews() if brew.plan_id in of_plan]
    return Gear(names=names, last=brewed[-1] if brewed else next(iter(names), ""))


def plan_outlook(location: str, plan: str, brewery: str) -> Outlook:
    """A plan of a book on a brewery of it."""
    with open_book(location) as book:
        return look_ahead(_plan(book, plan), _brewery(book, brewery))


def brewery_of(location: str, name: str) -> Brewery:
    """A brewery of a book as it stands."""
    with open_book(location) as book:
        return _brewery(book, name)


def keep_adapted(location: str, adapted: Adapted, name: str) -> str:
    """Keep the plan for the other brewery under a name of its own; the name as it is kept.

    Raises Refused for a name that is none or that a plan has already.
    """
    called = " ".join(name.split())
    if not called or len(called) > MOST_NAME or not called.isprintable():
        accepted = f"a name of 1 to {MOST_NAME} characters is wanted"
        raise Refused((Problem("name", f"“{called[:MOST_NAME]}”", accepted),))
    onto = adapted.outlook.brewery.name
    solved = read_plan(adapted_text(adapted), where="plan")
    with open_book(location) as book:
        if any(kept.name == called for kept in book.plans()):
            raise Refused((Problem("name", f"“{called}” is a plan already", "choose another name"),))
        book.keep_plan(called, write_plan(replace(solved, name=called)), note=f"adapted to {onto}")
    return called


def _plan(book: Book, name: str) -> Plan:
    versions = [kept for kept in book.plans() if kept.name == name]
    typed = [kept for kept in versions if not kept.note]
    kept = (typed or versions)[-1] if versions else book.plan(name)  # which refuses an unknown name
    return read_plan(kept.text, where=f"plan “{kept.name}” version {kept.version}", tables=book_tables(book))


def _brewery(book: Book, name: str) -> Brewery:
    kept = book.brewery(name)
    return read_brewery(kept.text, where=f"brewery “{kept.name}” version {kept.version}")
