"""Work on a plan that is still being written: its fields, a change of some, what it would give.

In:  the text of a plan as it stands in a form, and the text of a brewery.
Out: fields by their path, changed texts, an `Outlook`; what gear and tables offer to choose from.

Idea: a draft is looked at as a kept plan would be, with the same draws and seed, so that what a form shows
while one types is what the book shows afterwards.  Nothing is written here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from gylebook.brewery.plan import Liquor
from gylebook.errors import Problem
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.drafts import Field, fields_of, path_in, with_fields
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.substances import ALKALINE, ALKALIS, acids, salts
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, look_ahead

__all__ = [
    "Choices",
    "Field",
    "Named",
    "Tables",
    "choices_of",
    "draft_fields",
    "draft_with",
    "field_of",
    "look_at_draft",
    "name_in",
    "refuse_unreadable",
]

WHERE = "plan"
KEPT = 6  # outlooks; some ten megabytes each


@dataclass(frozen=True, slots=True)
class Named:
    """Something of a brewery that a plan names by its key; `capacity_l` of a fermenter, else nothing."""

    key: str
    name: str
    capacity_l: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What there is to choose from: the brewery's own things, and the names that the tables know."""

    fermenters: tuple[Named, ...]
    waters: tuple[Named, ...]
    grains: tuple[str, ...]
    hops: tuple[str, ...]
    sugars: tuple[str, ...]
    yeasts: tuple[str, ...]
    salts: tuple[str, ...]
    acids: tuple[str, ...]
    alkalis: tuple[str, ...]
    usual_salts: tuple[str, ...]


def draft_fields(text: str) -> dict[str, Field]:
    """Every field of a plan's text by its path, as typed.  Raises Refused where it is not TOML."""
    return fields_of(text, where=WHERE)


def draft_with(text: str, changes: Mapping[str, Field | None]) -> str:
    """The text with these fields set, or taken out where None; the rest stays letter for letter."""
    return with_fields(text, changes, where=WHERE)


def field_of(problem: Problem) -> str:
    """Path of the field that a problem is about; empty where it names none."""
    return path_in(problem.where)


def name_in(text: str) -> str:
    """The name that a plan's text bears; empty where it bears none."""
    return str(draft_fields(text).get("name", "")).strip()


def refuse_unreadable(text: str, tables: Tables = SHIPPED) -> None:
    """Raises Refused with every fault where a text is no plan."""
    read_plan(text, where=WHERE, tables=tables)


def look_at_draft(
    plan_text: str,
    brewery_text: str,
    tables: Tables = SHIPPED,
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Outlook:
    """Outlook of a plan that is in no book yet; the same texts again are answered from memory.

    Raises Refused and NotConverged as `look_ahead` does.
    """
    return _looked(plan_text, brewery_text, tables, draws, seed)


@lru_cache(maxsize=KEPT)
def _looked(plan_text: str, brewery_text: str, tables: Tables, draws: int, seed: int) -> Outlook:
    plan = read_plan(plan_text, where=WHERE, tables=tables)
    return look_ahead(plan, read_brewery(brewery_text, where="brewery"), draws=draws, seed=seed)


@lru_cache(maxsize=KEPT)
def choices_of(brewery_text: str | None, tables: Tables = SHIPPED) -> Choices:
    """What a plan for this brewery may name; no gear where there is no brewery."""
    brewery = None if brewery_text is None else read_brewery(brewery_text, where="brewery")
    fermenters = brewery.fermenters.values() if brewery else ()
    waters = brewery.waters.values() if brewery else ()
    return Choices(
        fermenters=tuple(Named(vessel.key, vessel.name, vessel.capacity_l) for vessel in fermenters),
        waters=tuple(Named(water.key, water.name) for water in waters),
        grains=tuple(row.name for row in tables.rows("malts")),
        hops=tuple(row.name for row in tables.rows("hops")),
        sugars=tuple(row.name for row in tables.rows("sugars")),
        yeasts=tuple(row.name for row in tables.rows("yeasts")),
        salts=tuple(salt.name for key, salt in salts().items() if key not in ALKALINE),
        acids=tuple(acid.name for acid in acids().values()),
        alkalis=tuple(salts()[key].name for key in ALKALIS),
        usual_salts=tuple(salts()[key].name for key in Liquor().salts),
    )
