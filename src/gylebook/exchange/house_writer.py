"""Put house figures into the text of a brewery file, and leave the rest of it as it was typed.

In:  the text, the figures by name, and the unit of each.
Out: the text with a [house] table for each; earlier tables of the same figures are gone.

Idea: a brewery file is a brewer's own hand, comments and all, so only whole tables of figures that are
stated anew are taken out, and the new ones stand at the end.  Where the file states such a figure in
another way than by its own table, it is asked about rather than guessed at.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping
from decimal import Decimal

from pydantic import ValidationError

from gylebook.brewery.site import HouseFigure
from gylebook.errors import Problem, Refused
from gylebook.exchange.models_brewery import HouseFigureTable
from gylebook.exchange.toml_text import parse

DIGITS = 4  # of a figure whose spread is a tenth of it, far more than is known
HEADER = re.compile(r"^\s*\[")
HOUSE = re.compile(r"^\s*\[\s*house\s*\.\s*(?:\"([^\"]+)\"|'([^']+)'|([\w-]+))\s*\]")
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def with_house(
    text: str,
    figures: Mapping[str, HouseFigure],
    units: Mapping[str, str],
    *,
    where: str,
    instead_of: Collection[str] = (),
    note: str = "",
) -> str:
    """The text of a brewery with these figures as its house's; tables named in `instead_of` go as well.

    Raises Refused where the file states one of them otherwise than by a table of its own.
    """
    gone = {*figures, *instead_of}
    kept = "".join(_without(text, gone)).rstrip("\n")
    left = sorted(gone & set(parse(kept, where=where).tables.get("house", {})))
    if left:
        accepted = 'state it in a table of its own, [house."NAME"], or take it out of the file'
        raise Refused([Problem(where, f"house figure {name} stands in no table", accepted) for name in left])
    tables = "".join(_table(name, figure, units.get(name, ""), note) for name, figure in figures.items())
    return f"{kept}\n{tables}"


def _without(text: str, gone: Collection[str]) -> list[str]:
    """The lines of the text but for the tables of these house figures."""
    out: list[str] = []
    skipping = False
    for line in text.splitlines(keepends=True):
        if HEADER.match(line):
            found = HOUSE.match(line)
            skipping = found is not None and next(name for name in found.groups() if name) in gone
        # A comment may belong to the table that follows, so none is lost.
        if not skipping or line.lstrip().startswith("#"):
            out.append(line)
    return out


def _table(name: str, figure: HouseFigure, unit: str, note: str) -> str:
    key = name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)
    level, scatter = _texts(figure, unit)
    comment = f"  # {note}" if note else ""
    return f'\n[house.{key}]{comment}\nlevel = "{level}"\nscatter = "{scatter}"\n'


def _texts(figure: HouseFigure, unit: str) -> tuple[str, str]:
    """Level and scatter with their unit where that reads back as the same, else as plain numbers."""
    plain = _decimal(figure.level), _decimal(figure.scatter)
    if unit == "share":
        spelled = f"{_decimal(100.0 * figure.level)} %", f"{_decimal(100.0 * figure.scatter)} %"
    else:
        spelled = f"{plain[0]} {unit}", f"{plain[1]} {unit}"
    try:
        read = HouseFigureTable(level=spelled[0], scatter=spelled[1]).values()
    except ValidationError:
        return plain
    same = all(abs(a - float(b)) <= 1e-9 * abs(a) for a, b in zip(read, plain, strict=True))
    return spelled if same else plain


def _decimal(value: float) -> str:
    """A number to so many digits, without an exponent."""
    return format(Decimal(f"{value:.{DIGITS}g}"), "f")
