"""Read a plan file.

In:  the text or bytes of a TOML plan, and the name to call the file by.
Out: `Plan`; `plan_schema`, the JSON Schema of such a file.

Idea: writing, keys, quantities and rules are checked in that order, and as many faults as can be
judged are told at once.  What needs the brewery as well is asked in `together`.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from gylebook.brewery.plan import Plan
from gylebook.errors import Problem, Refused
from gylebook.exchange.lines import Path, Place
from gylebook.exchange.models_plan import PlanTable
from gylebook.exchange.plan_nouns import plan_of
from gylebook.exchange.plan_writer import write_plan
from gylebook.exchange.references import plan_references, unknown
from gylebook.exchange.refusals import judge
from gylebook.exchange.schema import schema_of
from gylebook.exchange.tables import SHIPPED, Tables
from gylebook.exchange.toml_text import parse

__all__ = ["plan_schema", "read_plan", "write_plan"]

MOST_KEY = 60  # characters; what is longer was refused as no key


def read_plan(text: str | bytes, *, where: str, tables: Tables | None = None) -> Plan:
    """The plan that a TOML text states, its names looked up in `tables`, else in those that ship.

    Raises
    ------
    Refused
        With every fault found: file, line and key, the value as understood, what would be accepted.
    """
    parsed = parse(text, where=where)
    table, problems = judge(PlanTable, parsed, context=tables)
    if not parsed.faults:  # a blanked line may be the very one that names the process
        problems += _stages(parsed.tables, parsed.place)
    if table is None and not parsed.faults:
        problems += _starters(parsed.tables, parsed.place)
    if table is None or problems:
        raise Refused(problems)
    problems += _twice(table, parsed.place)
    plan = plan_of(table, tables or SHIPPED)
    problems += [Problem(parsed.place.at(path), *words) for path, *words in plan_references(plan)]
    if problems:
        raise Refused(problems)
    return plan


def plan_schema() -> dict[str, Any]:
    """JSON Schema of a plan file, with a description of each key."""
    return schema_of(PlanTable, "gylebook plan")


def _stages(tables: dict[str, Any], place: Place) -> list[Problem]:
    """What a process needs; asked of the bare tables, so that it is told along with every other fault."""
    process = tables.get("process")
    kind = process.get("kind") if isinstance(process, dict) else None
    if kind == "extract only":
        return [
            Problem(place.at((stage,)), "kind = “extract only” has no mash", f"leave out [[{stage}]].")
            for stage in ("grist", "mash")
            if tables.get(stage)
        ]
    return [
        Problem(place.at((stage,)), "missing", f"every process but “extract only” needs a [[{stage}]].")
        for stage in ("grist", "mash")
        if not tables.get(stage)
    ]


def _starters(tables: dict[str, Any], place: Place) -> list[Problem]:
    """Starters that are not there; asked of the bare tables, to be told along with what no table knows."""
    starters, portions = tables.get("starters", {}), tables.get("portions")
    if not isinstance(starters, dict) or not isinstance(portions, dict):
        return []
    problems = []
    for key, portion in portions.items():
        yeast = portion.get("yeast") if isinstance(portion, dict) else None
        wanted = yeast.get("starter") if isinstance(yeast, dict) else None
        if isinstance(wanted, str) and 0 < len(wanted) <= MOST_KEY and wanted not in starters:
            path: Path = ("portions", key, "yeast", "starter")
            problems.append(Problem(place.at(path), *unknown(wanted, list(starters), "starter")))
    return problems


def _twice(table: PlanTable, place: Place) -> list[Problem]:
    """Keys that two things were given."""
    problems = []
    lists: dict[str, list[str | None]] = {
        "grist": [line.key for line in table.grist],
        "hops": [hop.key for hop in table.hops],
        "additions": [addition.key for addition in table.additions],
        "grain_teas": [tea.key for tea in table.grain_teas],
        "hop_teas": [tea.key for tea in table.hop_teas],
    }
    for name, keys in lists.items():
        counts = Counter(key for key in keys if key is not None)
        for index, key in enumerate(keys):
            if key is not None and counts[key] > 1:
                path: Path = (name, index, "key")
                problems.append(
                    Problem(place.at(path), f"“{key}” stands twice", "each needs a key of its own.")
                )
    return problems
