"""Look up grain, sugars, yeasts, hops and bottles in the tables that ship, and in a brewer's own.

In:  a name as a brewer writes it; case and accents do not matter, nor whether it is the name or the key.
     The CSV texts of a brewer's own tables, which may hold a few rows only.
Out: `Tables`, whose answers are rows in base units; `read_table` and `with_tables` judge own tables.

Idea: an own row takes the place of the shipped row with its key, and goes by its names too; one with
a new key is added.  `Tables` is the texts alone, so it is a value: nothing is switched over for anybody else,
and what was read once is kept by content.  Which property wins, the table's or the plan's, is decided in
`plan_nouns`.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from typing import get_args

from gylebook.errors import Problem, Refused
from gylebook.exchange.naming import plain
from gylebook.exchange.table_reader import names_of, rows_of, taken
from gylebook.exchange.table_rows import (
    BOTTLES,
    HOPS,
    MALTS,
    SUGARS,
    YEASTS,
    BottleRow,
    GrainRow,
    HopRow,
    Row,
    Sheet,
    SugarRow,
    T,
    TableName,
    YeastRow,
)

TABLE_NAMES: tuple[TableName, ...] = get_args(TableName)
LISTED = 3  # names that a slip is answered with


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """Own tables over those that ship, each the text of a CSV file; `Tables()` is what ships.

    Made by `with_tables`, which has judged the texts.
    """

    malts: str = ""
    sugars: str = ""
    yeasts: str = ""
    hops: str = ""
    bottles: str = ""

    def grain(self, name: str) -> GrainRow | None:
        """The malt or other grain of this name."""
        return _malts(self.malts).get(plain(name))

    def sugar(self, name: str) -> SugarRow | None:
        """The sugar, malt extract or fruit of this name."""
        return _sugars(self.sugars).get(plain(name))

    def yeast(self, name: str) -> YeastRow | None:
        """The kind of yeast, or of souring bacteria, of this name."""
        return _yeasts(self.yeasts).get(plain(name))

    def hop(self, name: str) -> HopRow | None:
        """The hop variety of this name."""
        return _hops(self.hops).get(plain(name))

    def bottle(self, name: str) -> BottleRow | None:
        """The kind of bottle of this name."""
        return _bottles(self.bottles).get(plain(name))

    def close_names(self, table: TableName, name: str) -> tuple[str, ...]:
        """Up to three names of a table that this one may have been meant for, best first."""
        rows = self._rows(table)
        wanted = plain(name)
        close = difflib.get_close_matches(wanted, rows, n=6, cutoff=0.6)
        holding = [written for written in rows if wanted and set(wanted.split()) <= set(written.split())]
        return tuple(dict.fromkeys(rows[written].name for written in [*close, *holding]))[:LISTED]

    def rows(self, table: TableName) -> tuple[Row, ...]:
        """Every row of a table once, in the order of the files."""
        return tuple({row.key: row for row in self._rows(table).values()}.values())

    def _rows(self, table: TableName) -> Mapping[str, Row]:
        match table:
            case "malts":
                return _malts(self.malts)
            case "sugars":
                return _sugars(self.sugars)
            case "yeasts":
                return _yeasts(self.yeasts)
            case "hops":
                return _hops(self.hops)
            case "bottles":
                return _bottles(self.bottles)


SHIPPED = Tables()


def with_tables(texts: Mapping[TableName, str]) -> Tables:
    """The tables that ship with own rows put in their places.

    Raises
    ------
    Refused
        With every fault of every text: line, column, the cell as understood, what would be accepted.
    """
    problems: list[Problem] = []
    for table, text in texts.items():
        try:
            read_table(table, text, where=f"{table}.csv")
        except Refused as refused:
            problems += refused.problems
    if problems:
        raise Refused(problems)
    return Tables(**{str(table): text for table, text in texts.items()})


def read_table(table: TableName, text: str | bytes, *, where: str) -> tuple[Row, ...]:
    """The rows of an own table, judged by themselves and beside the rows that ship.

    Raises
    ------
    Refused
        With every fault: file, line and column, the cell as understood, what would be accepted.
    """
    match table:
        case "malts":
            return _judged(MALTS, text, where)
        case "sugars":
            return _judged(SUGARS, text, where)
        case "yeasts":
            return _judged(YEASTS, text, where)
        case "hops":
            return _judged(HOPS, text, where)
        case "bottles":
            return _judged(BOTTLES, text, where)


@cache
def table_text(table: TableName) -> str:
    """The CSV text of a table as it ships, to be taken as a pattern."""
    return resources.files("gylebook.data").joinpath(f"{table}.csv").read_text(encoding="utf-8")


def _judged(sheet: Sheet[T], text: str | bytes, where: str) -> tuple[T, ...]:
    rows, problems = rows_of(sheet, text, where)
    shipped = SHIPPED._rows(sheet.name)
    for number, row in rows:
        problems += [Problem(f"{where} line {number}, name", *words) for words in taken(row, shipped)]
    if problems:
        raise Refused(problems)
    return tuple(row for _, row in rows)


def _named(sheet: Sheet[T], own: str) -> Mapping[str, T]:
    """Every row under every name it goes by: the shipped rows, then the own ones over them."""
    where = f"{sheet.name}.csv"
    rows, problems = rows_of(sheet, table_text(sheet.name), where)
    if own:
        more, faults = rows_of(sheet, own, where)
        rows, problems = rows + more, problems + faults
    if problems:
        raise Refused(problems)
    latest = {row.key: row for _, row in rows}
    return {name: latest[row.key] for _, row in rows for name in names_of(row)}


# A book and its visitors' plans are a handful; each entry is a few hundred rows.
@lru_cache(maxsize=32)
def _malts(own: str) -> Mapping[str, GrainRow]:
    return _named(MALTS, own)


@lru_cache(maxsize=32)
def _sugars(own: str) -> Mapping[str, SugarRow]:
    return _named(SUGARS, own)


@lru_cache(maxsize=32)
def _yeasts(own: str) -> Mapping[str, YeastRow]:
    return _named(YEASTS, own)


@lru_cache(maxsize=32)
def _hops(own: str) -> Mapping[str, HopRow]:
    return _named(HOPS, own)


@lru_cache(maxsize=32)
def _bottles(own: str) -> Mapping[str, BottleRow]:
    return _named(BOTTLES, own)
