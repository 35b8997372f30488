"""Divide from a book: what there is to choose from, what was found, and what is kept.

In:  a book's location, a wish as text, the name of a brewery of the book.
Out: `Offered`, `Divided`, `BecomingOf`; a solution kept as a plan.

Idea: what follows from the texts of a wish and a brewery is kept by those texts, so that keeping the second
of four solutions does not search for all four again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.plan_writer import write_plan
from gylebook.exchange.table_rows import YeastRow
from gylebook.exchange.tables import Tables
from gylebook.exchange.wish_file import read_wish
from gylebook.record.store import open_book
from gylebook.tasks.becoming import what_it_becomes
from gylebook.tasks.dividing import Divided, chosen_plan, divided
from gylebook.tasks.division_views import BecomingView
from gylebook.tasks.drafts import Named, choices_of, look_at_draft
from gylebook.tasks.own_tables import tables_of
from gylebook.tasks.plan_versions import PlanView
from gylebook.tasks.shelf import newest_of_each

KEPT = 8  # divisions; each is a few hundred kilobytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What a form may offer: breweries, the one that is chosen and what it and the tables have.

    `yeasts` ferment a wort, `later` work on beer that is done; `rinses` tells whether there is a second pot.
    """

    breweries: tuple[str, ...]
    brewery: str
    rinses: bool
    fermenters: tuple[Named, ...]
    grains: tuple[str, ...]
    hops: tuple[str, ...]
    yeasts: tuple[str, ...]
    later: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BecomingOf:
    """What the wort of a plan could become, for one of its portions; `portions` are key and name of all."""

    plan: str
    brewery: str
    portion: str
    portions: tuple[tuple[str, str], ...]
    found: tuple[BecomingView, ...]


def offered_by(location: str, brewery: str = "") -> Offered | None:
    """What there is to choose from on a brewery, the newest if not named; None where the book has none."""
    with open_book(location) as book:
        latest = newest_of_each(book.breweries())
    if not latest:
        return None
    chosen = next((one for one in latest if one.name == brewery), latest[0])
    tables = tables_of(location)
    named = choices_of(chosen.text, tables)
    rows = [row for row in tables.rows("yeasts") if isinstance(row, YeastRow)]
    later = tuple(row.name for row in rows if "secondary" in row.name or row.attenuation is None)
    return Offered(
        breweries=tuple(one.name for one in latest),
        brewery=chosen.name,
        rinses=read_brewery(chosen.text, where=f"brewery “{chosen.name}”").rinse is not None,
        fermenters=named.fermenters,
        grains=named.grains,
        hops=named.hops,
        yeasts=tuple(name for name in named.yeasts if name not in later),
        later=later,
    )


def divided_of(location: str, wish: str, brewery: str) -> Divided:
    """What comes of a wish's text on a brewery of the book."""
    with open_book(location) as book:
        gear = book.brewery(brewery).text
    return _divided(wish, gear, tables_of(location))


def divided_of_texts(location: str, wish: str, brewery: str) -> Divided:
    """The same on a brewery that is a text itself."""
    return _divided(wish, brewery, tables_of(location))


@lru_cache(maxsize=KEPT)
def _divided(wish: str, brewery: str, tables: Tables) -> Divided:
    return divided(read_wish(wish, where="wish", tables=tables), read_brewery(brewery, where="brewery"))


def keep_solution(location: str, wish: str, brewery: str, number: int) -> str:
    """Keep a numbered solution as a plan of the book; the name it is kept under.

    Where the book has a plan of that name the new one gets a number of its own.
    """
    found = divided_of(location, wish, brewery)
    text = chosen_plan(found, number)
    with open_book(location) as book, book.all_or_nothing():
        taken = {plan.name for plan in book.plans()}
        name, count = found.name, 1
        while name in taken:
            count += 1
            name = f"{found.name}, {count}"
        plan = replace(read_plan(text, where="plan"), name=name)
        book.keep_plan(name, write_plan(plan), note=f"divided for {brewery}, solution {number}")
    return name


def becoming_of(view: PlanView, portion: str = "", brewery: str = "") -> BecomingOf:
    """What else the wort of a plan could become, as the brewer wrote it last, on a brewery of the book."""
    gear = view.brewery(brewery)
    if gear is None:
        raise Refused((Problem("brewery", "the book has none yet", "keep a brewery in it first"),))
    outlook = look_at_draft(view.own.text, gear.text, view.tables)
    portions = outlook.plan.portions
    chosen = portion if any(one.key == portion for one in portions) else portions[0].key
    return BecomingOf(
        plan=view.name,
        brewery=gear.name,
        portion=chosen,
        portions=tuple((one.key, one.name) for one in portions),
        found=_becomings(view.own.text, gear.text, chosen, view.tables),
    )


@lru_cache(maxsize=KEPT)
def _becomings(plan: str, brewery: str, portion: str, tables: Tables) -> tuple[BecomingView, ...]:
    return what_it_becomes(look_at_draft(plan, brewery, tables), portion, tables=tables)
