"""Change single fields of a plan or brewery file and leave the rest of its text as it was typed.

In:  a TOML text; fields by their path, such as `aims.fermenters` or `grist.0.share`, as a form sends them.
Out: every field of a text by its path; a text with some of them changed, its comments kept.

Idea: a form is another pen for the same file.  Values stay the text that was typed, unit and all, so what is
understood and what is refused is said by the reader of the file and nowhere else.  Paths count lists from 0.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array

from gylebook.errors import Problem, Refused
from gylebook.exchange.toml_text import parse

Field = str | bool | list[str]
MOST_PARTS, LONGEST_PART, MOST_IN_A_LIST = 6, 60, 100


def fields_of(text: str, *, where: str) -> dict[str, Field]:
    """Every field of a text, in its order.

    Raises
    ------
    Refused
        If it is not TOML.
    """
    parsed = parse(text, where=where)
    if parsed.faults:
        raise Refused(parsed.faults)
    return dict(_flat(parsed.tables, ""))


def with_fields(text: str, changes: Mapping[str, Field | None], *, where: str) -> str:
    """The text with these fields set, or taken out where they are None.

    A path that is not there yet is made; one that names a whole entry of a list, such as `grist.2`, can be
    taken out; a table that has nothing left in it goes, too.

    Raises
    ------
    Refused
        If the text is not TOML, or a path leads through something that is no table.
    """
    parsed = parse(text, where=where)
    if parsed.faults:
        raise Refused(parsed.faults)
    document = tomlkit.parse(parsed.place.text)
    for path, value in changes.items():
        if value is not None:
            _set(document, _parts(path), value, path)
    # From the end of each list, so that what is still to go keeps its number.
    for path in sorted((p for p, v in changes.items() if v is None), key=_last_first, reverse=True):
        _take_out(document, _parts(path), path)
    return tomlkit.dumps(document)


def path_in(where: str) -> str:
    """The path of the field that a problem is about, from where it says it is; empty where it names none.

    >>> path_in("plan line 14, grist[2].share")
    'grist.1.share'
    """
    named = where.rpartition(", ")[2] if ", " in where else ""
    return re.sub(r"\[(\d+)\]", lambda found: f".{int(found[1]) - 1}", named)


def _flat(value: Any, path: str) -> Iterator[tuple[str, Field]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _flat(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and any(isinstance(inner, dict | list) for inner in value):
        for number, inner in enumerate(value):
            yield from _flat(inner, f"{path}.{number}")
    else:
        yield path, _as_field(value)


def _as_field(value: Any) -> Field:
    """A value as a form holds it: a plain number is text there, too."""
    if isinstance(value, list):
        return [str(inner) for inner in value]
    return value if isinstance(value, bool) else str(value)


def _parts(path: str) -> list[str]:
    parts = path.split(".")
    if not (1 <= len(parts) <= MOST_PARTS and all(0 < len(part) <= LONGEST_PART for part in parts)):
        raise Refused([Problem("field", f"“{path[:80]}” is no path", "write it like grist.0.share")])
    return parts


def _last_first(path: str) -> tuple[tuple[int, str], ...]:
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in path.split("."))


def _set(document: Any, parts: list[str], value: Field, path: str) -> None:
    here = document
    for part, following in pairwise(parts):
        here = _into(here, part, following, path)
    last = parts[-1]
    if not isinstance(here, dict):
        raise _no_way(path)
    if last not in here or _as_field(here[last]) != value:
        here[last] = value


def _into(here: Any, part: str, following: str, path: str) -> Any:
    """The table or list under `part`, made where there is none; `following` tells which."""
    if isinstance(here, list):
        if not part.isdecimal() or int(part) > len(here) or int(part) >= MOST_IN_A_LIST:
            raise _no_way(path)
        if int(part) == len(here):
            here.append(tomlkit.inline_table() if isinstance(here, Array) else tomlkit.table())
        return here[int(part)]
    if not isinstance(here, dict):
        raise _no_way(path)
    if part not in here:
        here[part] = tomlkit.aot() if following.isdecimal() else tomlkit.table()
    return here[part]


def _take_out(document: Any, parts: list[str], path: str) -> None:
    """Remove what the path names; what is not there is gone already."""
    way = [document]
    for part in parts[:-1]:
        inner = _at(way[-1], part)
        if inner is None:
            return
        if not isinstance(inner, dict | list):
            raise _no_way(path)
        way.append(inner)
    for here, part in zip(reversed(way), reversed(parts), strict=True):
        if _at(here, part) is None:
            return
        del here[int(part) if isinstance(here, list) else part]
        if len(here) or isinstance(here, AoT):
            return


def _at(here: Any, part: str) -> Any:
    if isinstance(here, list):
        return here[int(part)] if part.isdecimal() and int(part) < len(here) else None
    return here.get(part)


def _no_way(path: str) -> Refused:
    return Refused([Problem("field", f"“{path[:80]}” leads nowhere", "no such field is in this file")])
