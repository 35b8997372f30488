"""Keep plans and breweries in a book as texts, and look at them again.

In:  a book's location, texts as typed.
Out: versions with their texts; outlooks of texts that are kept nowhere.

Idea: a text is judged as a file would be before it is kept; its own name is the one it is kept under.
"""

from __future__ import annotations

from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.record.events import BreweryVersion, PlanVersion
from gylebook.record.store import open_book
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, look_ahead
from gylebook.tasks.own_tables import book_tables, tables_of

__all__ = [
    "BreweryVersion",
    "PlanVersion",
    "keep_brewery_text",
    "keep_plan_text",
    "kept_brewery",
    "kept_plan",
    "look_ahead_at_texts",
]


def kept_plan(location: str, name: str, version: int | None = None) -> PlanVersion:
    """One version of a plan; the newest where none is named."""
    with open_book(location) as book:
        return book.plan(name, version)


def kept_brewery(location: str, name: str, version: int | None = None) -> BreweryVersion:
    """One version of a brewery, likewise."""
    with open_book(location) as book:
        return book.brewery(name, version)


def keep_plan_text(location: str, text: str, *, note: str = "", named: str | None = None) -> PlanVersion:
    """Keep a plan's text as its next version; with `named` it must be the plan of that name."""
    with open_book(location) as book:
        plan = read_plan(text, where="plan", tables=book_tables(book))
        _refuse_other_name(plan.name, named)
        return book.keep_plan(plan.name, text, note)


def keep_brewery_text(location: str, text: str, *, named: str | None = None) -> BreweryVersion:
    """Keep a brewery's text likewise."""
    brewery = read_brewery(text, where="brewery")
    _refuse_other_name(brewery.name, named)
    with open_book(location) as book:
        return book.keep_brewery(brewery.name, text)


def look_ahead_at_texts(
    location: str, plan_text: str, brewery_text: str, *, draws: int = DRAWS, seed: int = SEED
) -> Outlook:
    """The outlook of a plan on a brewery, both as typed; nothing is kept."""
    plan = read_plan(plan_text, where="plan", tables=tables_of(location))
    brewery = read_brewery(brewery_text, where="brewery")
    return look_ahead(plan, brewery, draws=draws, seed=seed)


def _refuse_other_name(given: str, wanted: str | None) -> None:
    if wanted is not None and given != wanted:
        raise Refused((Problem("name", f"“{given}”", f"the text must be of “{wanted}”"),))
