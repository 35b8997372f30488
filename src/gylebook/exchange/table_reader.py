"""Read the CSV text of a table, and say of every cell that is wrong where it stands and what it may be.

In:  the text or bytes of a table, its `Sheet`, the name to call the file by.
Out: its rows, and every problem at once; no row is made of a line that has one.

Idea: columns may stand in any order, and a column whose cells may be empty may be missing.  A line that
begins with # is a remark.  Which row wins over which is decided in `tables`.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from gylebook.errors import Problem, Refused
from gylebook.exchange.naming import plain, slug
from gylebook.exchange.refusals import nearest
from gylebook.exchange.table_rows import MOST_NAME, NotACell, Row, Sheet, T
from gylebook.exchange.toml_text import decoded


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    cells: list[str]


def rows_of(sheet: Sheet[T], data: str | bytes, where: str) -> tuple[list[tuple[int, T]], list[Problem]]:
    """Every row with the number of its line, and every problem of the table.

    Raises
    ------
    Refused
        If it is too large or not UTF-8.
    """
    heading, lines, problems = _parted(sheet, decoded(data, where), where)
    rows: list[tuple[int, T]] = []
    for line in lines:
        row, faults = _row(sheet, heading, line, f"{where} line {line.number}")
        problems += faults
        if row is not None:
            rows.append((line.number, row))
    return rows, problems + _twice(rows, where)


def cells_of(sheet: Sheet[T], text: str, where: str) -> list[dict[str, str]]:
    """The cells of every line as they are written, by their column; the rows are not judged.

    Raises
    ------
    Refused
        If it is no table with these columns.
    """
    heading, lines, problems = _parted(sheet, decoded(text, where), where)
    for line in lines:
        problems += _width(heading, line, f"{where} line {line.number}")
    if problems:
        raise Refused(problems)
    return [_under(heading, line) for line in lines]


def remarks_of(text: str) -> list[str]:
    """The lines of a table that are remarks."""
    return [line for line in text.removeprefix("\ufeff").splitlines() if line.startswith("#")]


def _parted(sheet: Sheet[T], text: str, where: str) -> tuple[list[str], list[_Line], list[Problem]]:
    """The names of the columns, and the lines under them."""
    try:
        lines = list(_lines(text))
    except csv.Error as error:
        accepted = f"{error}; every quote that opens has to close."
        return [], [], [Problem(where, "not a table in CSV", accepted)]
    if not lines:
        accepted = f"the first line names the columns: {', '.join(sheet.columns)}."
        return [], [], [Problem(where, "empty", accepted)]
    heading = [cell.strip() for cell in lines[0].cells]
    problems = _heading(sheet, heading, f"{where} line {lines[0].number}")
    return heading, [] if problems else lines[1:], problems


def _lines(text: str) -> Iterator[_Line]:
    """Lines with anything on them, by the number of their first one; remarks are left out."""
    bare = ("" if line.startswith("#") else line for line in text.splitlines(keepends=True))
    reader = csv.reader(bare, strict=True)
    number = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield _Line(number, cells)
        number = reader.line_num + 1


def _heading(sheet: Sheet[T], heading: list[str], where: str) -> list[Problem]:
    if len(heading) == 1 and ";" in heading[0]:
        return [Problem(where, "columns parted by semicolons", "save it with commas between the columns.")]
    known = list(sheet.columns)
    problems = [
        Problem(
            f"{where}, {column}",
            "the column is not known here",
            f"{nearest(column, known)}Known are {', '.join(known)}.",
        )
        for column in heading
        if column not in sheet.columns
    ]
    problems += [
        Problem(f"{where}, {column}", "the column stands twice", "leave one of them out.")
        for column in dict.fromkeys(heading)
        if column in sheet.columns and heading.count(column) > 1
    ]
    problems += [
        Problem(f"{where}, {column}", "the column is missing", f"{kind.wanted}.")
        for column, kind in sheet.columns.items()
        if column not in heading and not kind.optional
    ]
    return problems


def _row(sheet: Sheet[T], heading: list[str], line: _Line, where: str) -> tuple[T | None, list[Problem]]:
    problems = _width(heading, line, where)
    if problems:
        return None, problems
    written = _under(heading, line)
    cells: dict[str, Any] = {}
    for column, kind in sheet.columns.items():
        cell = written.get(column, "")
        if not cell and not kind.optional:
            problems.append(Problem(f"{where}, {column}", "empty", f"{kind.wanted}."))
            continue
        try:
            cells[column] = kind.read(cell) if cell else None
        except NotACell as no:
            problems.append(Problem(f"{where}, {column}", _shown(cell), str(no)))
    if not problems:
        problems = _names(cells, where)
    if not problems and (fault := sheet.together(cells)):
        problems = [Problem(f"{where}, {fault[0]}", _shown(written.get(fault[0], "")), fault[1])]
    return (None, problems) if problems else (sheet.make(cells), [])


def _width(heading: list[str], line: _Line, where: str) -> list[Problem]:
    if len(line.cells) == len(heading):
        return []
    understood = f"{len(line.cells)} cells under {len(heading)} columns"
    return [Problem(where, understood, "a cell with a comma in it stands in quotes.")]


def _under(heading: list[str], line: _Line) -> dict[str, str]:
    return {column: cell.strip() for column, cell in zip(heading, line.cells, strict=True)}


def _names(cells: dict[str, Any], where: str) -> list[Problem]:
    """Names and key taken apart; what a plan could not write as a name is refused."""
    cells["also"] = tuple(name.strip() for name in (cells["also"] or "").split("|") if name.strip())
    cells["key"] = cells["key"] or slug(cells["name"])
    problems = [
        Problem(
            f"{where}, {column}",
            _shown(name),
            f"a name has up to {MOST_NAME} characters, letters among them.",
        )
        for column, name in (("name", cells["name"]), *(("also", other) for other in cells["also"]))
        if len(name) > MOST_NAME or not plain(name)
    ]
    if cells["key"] != slug(cells["key"]) or len(cells["key"]) > 60:
        accepted = f"a key has small letters, digits and hyphens, such as {slug(cells['name'])[:60]}."
        problems.append(Problem(f"{where}, key", _shown(cells["key"]), accepted))
    return problems


def names_of(row: Row) -> dict[str, str]:
    """Every name a row goes by, as it is compared and as it is written; its key is one."""
    return {plain(name): name for name in (*row.also, row.key, row.name)}


def _twice(rows: list[tuple[int, T]], where: str) -> list[Problem]:
    """Names that two rows go by."""
    first: dict[str, int] = {}
    problems = []
    for number, row in rows:
        for bare, name in names_of(row).items():
            if bare in first:
                understood = f"“{name}” stands in line {first[bare]} too"
                problems.append(
                    Problem(f"{where} line {number}, name", understood, "each row needs names of its own.")
                )
            first.setdefault(bare, number)
    return problems


def taken(row: Row, others: Mapping[str, Row]) -> Iterator[tuple[str, str]]:
    """Names of a row that rows with another key go by: what was understood, what would be accepted."""
    for bare, name in names_of(row).items():
        other = others.get(bare)
        if other is not None and other.key != row.key:
            understood = f"“{name}” is a name of “{other.name}”"
            yield understood, f"give it the key {other.key} to take its place, or choose another name."


def _shown(cell: str) -> str:
    return f"“{cell if len(cell) <= 60 else cell[:57] + '...'}”"
