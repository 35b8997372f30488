"""Let the rules of a model look names up, and say what an unknown one may have meant.

In:  the `ValidationInfo` that pydantic hands to a rule; its context holds the tables the plan is read with.
Out: the `Tables`; a name that is not in them as a refusal with its nearest.
"""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import ValidationInfo

from gylebook.exchange.table_rows import TableName
from gylebook.exchange.tables import SHIPPED, Tables


def tables_in(info: ValidationInfo) -> Tables:
    """The tables this plan is read with; those that ship where none were given."""
    return info.context if isinstance(info.context, Tables) else SHIPPED


def not_in_table(tables: Tables, table: TableName, name: str, instead: str) -> tuple[str, str]:
    """What was understood and what would be accepted of a name that a table does not have."""
    close = tables.close_names(table, name)
    hint = f"Did you mean {' or '.join(f'“{other}”' for other in close)}? " if close else ""
    return f"“{name}” is not in the table of {table}", f"{hint}{instead}"


def or_give(lacking: Sequence[str]) -> str:
    """The figures a name that is in no table has to bring along."""
    return f"Or give its {', '.join(lacking)}."
