"""Divide from a book: what there is to choose from, what was found, and what is kept.

In:  a book's location, a wish as text, the name of a brewery of the book.
Out: `Choices`, `Divided`, `BecomingOf`; a solution kept as a plan.

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
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.own_tables import tables_of

KEPT = 8  # divisions; each is a few hundred kilobytes
FEW = 1000  # draws behind the wort that is asked what it could become


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What a form may offer: fermenters of a brewery as key, name and litres, and names of tables."""

    breweries: tuple[str, ...]
    brewery: str
    rinses: bool
    fermenters: tuple[tuple[str, str, float], ...]
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


def choices(location: str, brewery: str | None = None) -> Choices | None:
    """What there is to choose from; None where the book has no brewery yet."""
    with open_book(location) as book:
        names = tuple(dict.fromkeys(one.name for one in book.breweries()))
        if not names:
            return None
        kept = book.brewery(brewery if brewery in names else names[-1])
    gear = read_brewery(kept.text, where=f"brewery “{kept.name}”")
    tables = tables_of(location)
    yeasts = [row for row in tables.rows("yeasts") if isinstance(row, YeastRow)]
    secondary = [row for row in yeasts if "secondary" in row.name or row.attenuation is None]
    return Choices(
        breweries=names,
        brewery=kept.name,
        rinses=gear.rinse is not None,
        fermenters=tuple((f.key, f.name, f.capacity_l) for f in gear.fermenters.values()),
        grains=tuple(row.name for row in tables.rows("malts")),
        hops=tuple(row.name for row in tables.rows("hops")),
        yeasts=tuple(row.name for row in yeasts if row not in secondary),
        later=tuple(row.name for row in secondary),
    )


def divided_of(location: str, wish: str, brewery: str) -> Divided:
    """What comes of a wish's text on a brewery of the book."""
    with open_book(location) as book:
        gear = book.brewery(brewery).text
    return _divided(wish, gear, tables_of(location))


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


def becoming_of(
    location: str, plan: str, portion: str | None = None, brewery: str | None = None
) -> BecomingOf:
    """What else the wort of a plan of the book could become on a brewery of the book, else on its newest."""
    with open_book(location) as book:
        kept = book.plan(plan)
        names = [one.name for one in book.breweries()]
        if not names:
            raise Refused((Problem("brewery", "the book has none yet", "keep a brewery in it first"),))
        gear = book.brewery(brewery if brewery in names else names[-1])
    asked = read_plan(kept.text, where=f"plan “{plan}”", tables=tables_of(location))
    keys = [one.key for one in asked.portions]
    chosen = portion if portion in keys else keys[0]
    return BecomingOf(
        plan=plan,
        brewery=gear.name,
        portion=chosen,
        portions=tuple((one.key, one.name) for one in asked.portions),
        found=_becomings(kept.text, gear.text, chosen, tables_of(location)),
    )


@lru_cache(maxsize=KEPT)
def _becomings(plan: str, brewery: str, portion: str, tables: Tables) -> tuple[BecomingView, ...]:
    asked = read_plan(plan, where="plan", tables=tables)
    outlook = look_ahead(asked, read_brewery(brewery, where="brewery"), draws=FEW)
    return what_it_becomes(outlook, portion, tables=tables)
