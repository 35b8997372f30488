"""Lay a brewery file out as a form, and read the form back as changes of the file.

In:  fields of a brewery file by path; what a form sent.
Out: `Sheet`s of rows and fields; the changes that were meant.

Idea: a form sends every field it shows, so what differs from the version that was seen is what was meant.
What the form does not show (a house figure, a comment) it does not touch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from gylebook.faces.first_run_words import Asked
from gylebook.faces.gear_words import PARTS, TABLES, YES_NO, Part
from gylebook.tasks.gear import Field

GONE, DEED, NEW = "gone", "deed", "new"
MOST_ROWS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One entry of a table, or all fields of a part that has none; `path` is what to take out."""

    path: str
    key: str
    fields: tuple[tuple[Asked, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One part of the form."""

    part: Part
    rows: tuple[Row, ...]


def sheets(fields: Mapping[str, str]) -> tuple[Sheet, ...]:
    """The form that shows these fields."""
    return tuple(Sheet(part=part, rows=tuple(_rows(part, fields))) for part in PARTS)


def shown(typed: Mapping[str, str], seen: Mapping[str, str]) -> dict[str, str]:
    """What the form shows after something was typed: the version seen, with what was typed over it."""
    gone = taken_out(typed)
    there = {path: text for path, text in {**seen, **_paths(typed)}.items() if not _within(path, gone)}
    deed = typed.get(DEED, "")
    if deed.startswith("add."):
        table = deed.removeprefix("add.")
        key = " ".join(typed.get(f"{NEW}.{table}", "").replace(".", " ").split())
        if table in TABLES and key and len(rows_of(table, there)) < MOST_ROWS:
            there.setdefault(f"{table}.{key}.{TABLES[table].fields[1].name}", "")
    return there


def taken_out(typed: Mapping[str, str]) -> tuple[str, ...]:
    """Paths of the rows that were taken out of the form so far."""
    found = [line for line in typed.get(GONE, "").split("\n") if line]
    deed = typed.get(DEED, "")
    if deed.startswith("drop."):
        found.append(deed.removeprefix("drop."))
    return tuple(path for path in dict.fromkeys(found) if path.partition(".")[0] in TABLES)


def changes(typed: Mapping[str, str], seen: Mapping[str, str]) -> dict[str, Field | None]:
    """What the form means to change in the version that was seen."""
    gone = taken_out(typed)
    out: dict[str, Field | None] = {path: None for path in gone if any(_within(p, (path,)) for p in seen)}
    for path, text in _paths(typed).items():
        if _within(path, gone):
            continue
        asked, usual = _asked_at(path)
        if asked is None or text == seen.get(path, usual):
            continue
        out[path] = _meant(asked, path, text)
    return out


def rows_of(table: str, fields: Mapping[str, str]) -> list[str]:
    """Keys of a table's rows, in their order."""
    return list(
        dict.fromkeys(p.split(".")[1] for p in fields if p.startswith(f"{table}.") and p.count(".") > 1)
    )


def _rows(part: Part, fields: Mapping[str, str]) -> Iterator[Row]:
    usual = dict(part.usual)
    keys = rows_of(part.table, fields) if part.table else [""]
    for key in keys:
        before = f"{part.table}.{key}." if part.table else ""
        yield Row(
            path=before.rstrip("."),
            key=key,
            fields=tuple(
                (
                    replace(asked, name=f"{before}{asked.name}"),
                    fields.get(f"{before}{asked.name}", usual.get(asked.name, "")),
                )
                for asked in part.fields
            ),
        )


def _paths(typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed into fields of the file, by path; the form's own fields are left out."""
    return {path: " ".join(text.split()) for path, text in typed.items() if _asked_at(path)[0] is not None}


def _asked_at(path: str) -> tuple[Asked | None, str]:
    """The field at a path, and what it stands at where the file does not state it."""
    table, _, rest = path.partition(".")
    if table in TABLES:
        part, inner = TABLES[table], rest.partition(".")[2]
        usual = dict(part.usual)
        return next((asked for asked in part.fields if asked.name == inner), None), usual.get(inner, "")
    for part in PARTS:
        if not part.table:
            for asked in part.fields:
                if asked.name == path:
                    return asked, dict(part.usual).get(path, "")
    return None, ""


def _meant(asked: Asked, path: str, text: str) -> Field | None:
    if not text:
        return None
    if asked.choices == YES_NO:
        return text == "yes"
    if path.startswith("heat_sources.") and path.endswith(".vessels"):
        return [one.strip() for one in text.split(",") if one.strip()]
    return text


def _within(path: str, rows: tuple[str, ...]) -> bool:
    return any(path.startswith(f"{row}.") for row in rows)
