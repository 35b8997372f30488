"""Choose what a reach is of: a brewery of a book, and the plan that stands for the rest of the beer.

In:  a book's location, names of a brewery and a plan; either may be empty.
Out: `Ground`: their newest texts, and the names that there are to choose from.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.errors import Problem, Refused
from gylebook.exchange.tables import Tables
from gylebook.record.store import open_book
from gylebook.tasks.own_tables import book_tables
from gylebook.tasks.plan_versions import plans_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A brewery and what is brewed on it; no plan is a plain pale beer, and `plan_text` None then."""

    brewery: str
    brewery_text: str
    plan: str
    plan_text: str | None
    breweries: tuple[str, ...]
    plans: tuple[str, ...]
    tables: Tables


def ground_in(location: str, brewery: str = "", plan: str = "") -> Ground | None:
    """What is asked for, the brewery kept last where none is; None in a book without any.

    Raises Refused where the book has no brewery or plan of that name.
    """
    with open_book(location) as book:
        texts = {one.name: one.text for one in book.breweries()}
        kept = sorted(book.breweries(), key=lambda one: one.made_at)
        tables = book_tables(book)
    if not kept:
        return None
    plans = {one.name: one.text for one in plans_in(location)}
    problems = [
        Problem(field, f"“{name[:80]}” is not in this book", f"there is {', '.join(known) or 'none'}")
        for field, name, known in (("on", brewery, texts), ("of", plan, plans))
        if name and name not in known
    ]
    if problems:
        raise Refused(problems)
    chosen = brewery or kept[-1].name
    return Ground(
        brewery=chosen,
        brewery_text=texts[chosen],
        plan=plan,
        plan_text=plans.get(plan),
        breweries=tuple(texts),
        plans=tuple(plans),
        tables=tables,
    )
