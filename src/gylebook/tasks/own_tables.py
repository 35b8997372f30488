"""Keep a brewer's own tables of malts, sugars, yeasts, hops and bottles: look, write out, take in.

In:  a book's location, the name of a table, the path of a CSV file.
Out: `TableView`, the table as it stands; `book_tables`, what a plan's names are looked up in.

Idea: the newest version of an own table counts when a plan is read for a new brew.  A brew pins its solved
plan with every figure in it, so a table that changes later changes no brew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from gylebook.exchange.table_rows import Row, TableName
from gylebook.exchange.table_writer import whole_table
from gylebook.exchange.tables import SHIPPED, TABLE_NAMES, Tables, read_table, with_tables
from gylebook.record.book import Book
from gylebook.record.events import TableVersion
from gylebook.record.store import open_book
from gylebook.tasks.texts import text_of, write_new

__all__ = [
    "TABLE_NAMES",
    "RowView",
    "TableName",
    "TableView",
    "book_tables",
    "look_at_table",
    "take_in_table",
    "write_out_table",
]

Cell = float | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RowView:
    """One row; `own` where it is not as it ships. `figures` by their names, shares 0..1, colour in EBC."""

    key: str
    name: str
    also: tuple[str, ...]
    own: bool
    figures: Mapping[str, Cell]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TableView:
    """A table as it stands; `version` of the own table, 0 where there is none and only shipped rows count."""

    name: TableName
    version: int
    rows: tuple[RowView, ...]


def book_tables(book: Book) -> Tables:
    """The shipped tables with the newest own ones of a book over them."""
    return with_tables({name: kept.text for name, kept in _newest(book).items()})


def tables_of(location: str) -> Tables:
    """The tables that names are looked up in for a book, by its location."""
    with open_book(location) as book:
        return book_tables(book)


def look_at_table(location: str, name: TableName) -> TableView:
    """A table of a book as it stands."""
    with open_book(location) as book:
        return _view(book, name)


def write_out_table(location: str, name: TableName, path: str | Path) -> None:
    """Write the whole table as it stands to a new file, to be edited and taken in again."""
    with open_book(location) as book:
        kept = _newest(book).get(name)
    own = "" if kept is None else kept.text
    write_new(path, whole_table(name, own, where=f"{name}.csv"))


def take_in_table(location: str, name: TableName, path: str | Path) -> TableView:
    """Judge the table in a file and keep it as typed, as the next version of the book's own one."""
    typed = text_of(path)
    read_table(name, typed, where=str(path))
    with open_book(location) as book:
        book.keep_table(name, typed.decode())
        return _view(book, name)


def _newest(book: Book) -> dict[TableName, TableVersion]:
    """The newest version of each own table."""
    kept = {table.name: table for table in book.tables()}  # oldest first, so the newest stays
    return {name: kept[name] for name in TABLE_NAMES if name in kept}


def _view(book: Book, name: TableName) -> TableView:
    kept = _newest(book).get(name)
    shipped = {row.key: row for row in SHIPPED.rows(name)}
    tables = SHIPPED if kept is None else with_tables({name: kept.text})
    rows = tuple(_row(row, own=shipped.get(row.key) != row) for row in tables.rows(name))
    return TableView(name=name, version=0 if kept is None else kept.version, rows=rows)


def _row(row: Row, *, own: bool) -> RowView:
    named = ("key", "name", "also", "source")
    figures = {column: cell for column, cell in asdict(row).items() if column not in named}
    return RowView(key=row.key, name=row.name, also=row.also, own=own, figures=figures, source=row.source)
