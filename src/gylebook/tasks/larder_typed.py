"""Buy for a plan of a book from what was typed into a form.

In:  a plan's view, the name of a brewery, a row of texts for each thing that the plan weighs in.
Out: `Wanted`, what rows there are; the `LarderView` that comes of them; the weights kept as a version.

Idea: the form is judged by the reader of the larder file, so that both refuse alike and no rule stands twice.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from gylebook.decide.packs import wanted
from gylebook.errors import Problem, Refused
from gylebook.exchange.tables import Tables
from gylebook.exchange.toml_lines import quoted
from gylebook.tasks.drafts import look_at_draft
from gylebook.tasks.larder import LarderView, shopping_of_text
from gylebook.tasks.plan_versions import PlanView, keep_plan

KEPT = 8  # shopping lists
NOTE = "the weights that whole packs give"
PLACE = re.compile(r"packs\[(\d+)\]\.?(\w*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One thing that a plan weighs in: grain, hops, yeast or other; kilograms, of yeast packs."""

    of: str
    kind: str
    amount: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PackTyped:
    """How one thing can be bought, as typed; without a size it is bought nowhere."""

    of: str
    kind: str
    size: str = ""
    price: str = ""
    at_hand: str = ""


def wanted_by(view: PlanView, brewery: str = "") -> tuple[Wanted, ...]:
    """What the plan, as the brewer wrote it last, weighs in on that brewery."""
    outlook = look_at_draft(view.own.text, _gear(view, brewery), view.tables)
    return tuple(Wanted(of=of, kind=kind, amount=amount) for of, kind, amount in wanted(outlook.plan))


def bought_for(view: PlanView, brewery: str, rows: Sequence[PackTyped], currency: str = "") -> LarderView:
    """What to buy, and the plan in weights that packs give.

    Raises Refused with every row that was not understood, NotConverged where the packs hold too little.
    """
    return _bought(view.own.text, _gear(view, brewery), larder_text(rows, currency), view.tables)


def keep_bought(
    location: str, view: PlanView, brewery: str, rows: Sequence[PackTyped], currency: str = ""
) -> int:
    """Keep the plan in weights that packs give as its next version; gives the number."""
    text = bought_for(view, brewery, rows, currency).plan
    kept = keep_plan(location, view.name, text, NOTE)
    return kept.version or view.own.version


def larder_text(rows: Sequence[PackTyped], currency: str = "") -> str:
    """The rows as a larder file."""
    lines = [f"currency = {quoted(currency)}"] if currency else []
    for row in _sold(rows):
        counted = row.kind == "yeast"
        size = row.size or ("" if counted else "1 kg")
        fields = {"of": row.of, "size": "" if counted else size, "price": row.price or "0"}
        fields["packs_at_hand" if counted else "at_hand"] = row.at_hand
        lines += ["", "[[packs]]", *(f"{key} = {quoted(value)}" for key, value in fields.items() if value)]
        if not row.size and not counted:
            lines.append("most = 0")  # it is in the cupboard, and no shop has it
    return "\n".join(lines) + "\n"


def rows_wrong(rows: Sequence[PackTyped], problems: Sequence[Problem]) -> Mapping[tuple[str, str], Problem]:
    """Problems by the name of their row and the field in it; empty texts where they are of no row."""
    sold = _sold(rows)
    out = {}
    for problem in problems:
        found = PLACE.search(problem.where)
        row = sold[int(found[1]) - 1].of if found and 0 < int(found[1]) <= len(sold) else ""
        field = {"packs_at_hand": "at_hand"}.get(found[2], found[2]) if found else ""
        out[row, field] = problem
    return out


def _sold(rows: Sequence[PackTyped]) -> list[PackTyped]:
    return [row for row in rows if row.size or row.at_hand or row.kind == "yeast"]


def _gear(view: PlanView, brewery: str) -> str:
    gear = view.brewery(brewery)
    if gear is None:
        raise Refused((Problem("brewery", "the book has none yet", "keep a brewery in it first"),))
    return gear.text


@lru_cache(maxsize=KEPT)
def _bought(plan: str, brewery: str, larder: str, tables: Tables) -> LarderView:
    return shopping_of_text(look_at_draft(plan, brewery, tables), larder)
