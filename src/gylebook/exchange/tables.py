"""Look up grain, hops, sugars and yeasts in the tables that ship with the program.

In:  a name as a brewer writes it; case and accents do not matter, nor whether it is the name or the key.
Out: the row as a frozen record in base units, or None; `close_*` names what it may have been.

Idea: tables are read once, when first asked.  Every file names its source on the first line and every
row its own.  Which property wins, the table's or the plan's, is decided in `plan_nouns`.
"""

from __future__ import annotations

import csv
import difflib
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import Literal, TypeVar, cast

from gylebook.brewery.ingredients import GrainKind

TableName = Literal["malts", "sugars", "yeasts", "hops"]
Row = Mapping[str, str]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class GrainRow:
    """One kind of grain; shares 0..1 of dry (extract) or whole (moisture) grain."""

    key: str
    name: str
    kind: GrainKind
    extract_dry: float
    extract_scatter: float
    moisture: float
    colour_ebc: float
    holds_more_l_per_kg: float
    source: str


@dataclass(frozen=True, slots=True)
class SugarRow:
    """One sugar, syrup or malt extract; `extract` as weighed, `fermentable` of the extract."""

    key: str
    name: str
    extract: float
    fermentable: float
    colour_ebc: float
    source: str


@dataclass(frozen=True, slots=True)
class YeastRow:
    """One kind of yeast; `attenuation` is apparent."""

    key: str
    name: str
    attenuation: float
    attenuation_scatter: float
    pitch_million_per_ml_plato: float
    low_c: float
    high_c: float
    days: float
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class HopRow:
    """One hop variety; `alpha_scatter` is a quarter of its range."""

    key: str
    name: str
    alpha: float
    alpha_scatter: float
    source: str


def grain_named(name: str) -> GrainRow | None:
    """The malt or other grain of this name."""
    return _grains().get(plain(name))


def sugar_named(name: str) -> SugarRow | None:
    """The sugar, syrup or extract of this name."""
    return _sugars().get(plain(name))


def yeast_named(name: str) -> YeastRow | None:
    """The kind of yeast of this name."""
    return _yeasts().get(plain(name))


def hop_named(name: str) -> HopRow | None:
    """The hop variety of this name."""
    return _hops().get(plain(name))


def close_names(table: TableName, name: str) -> tuple[str, ...]:
    """Up to three names of a table that this one may have been meant for, best first."""
    rows: Mapping[str, GrainRow | SugarRow | YeastRow | HopRow] = _TABLES[table]()
    wanted = plain(name)
    close = difflib.get_close_matches(wanted, rows, n=6, cutoff=0.6)
    holding = [written for written in rows if wanted and set(wanted.split()) <= set(written.split())]
    return tuple(dict.fromkeys(rows[written].name for written in [*close, *holding]))[:3]


def plain(name: str) -> str:
    """A name as it is compared: no case, accents, commas or double blanks; a key reads like its name."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return " ".join(bare.casefold().replace(",", " ").replace("-", " ").split())


def slug(name: str) -> str:
    """A key made of a name: `Munich malt, light` becomes `munich-malt-light`."""
    kept = "".join(c if c.isalnum() else " " for c in plain(name).replace("'", ""))
    return "-".join(kept.split()) or "unnamed"


def _rows(table: TableName) -> list[dict[str, str]]:
    text = resources.files("gylebook.data").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def _named(table: TableName, make: Callable[[Row], T]) -> dict[str, T]:
    """Every row under its name, its key and its other names."""
    named: dict[str, T] = {}
    for row in _rows(table):
        made = make(row)
        for name in (row["name"], row["key"], *filter(None, row["also"].split("|"))):
            named[plain(name)] = made
    return named


def _share(row: Row, column: str) -> float:
    return float(Decimal(row[column]).scaleb(-2))


def _grain(row: Row) -> GrainRow:
    return GrainRow(
        key=row["key"],
        name=row["name"],
        kind=cast(GrainKind, row["kind"]),
        extract_dry=_share(row, "extract_dry_pct"),
        extract_scatter=_share(row, "extract_scatter_pct"),
        moisture=_share(row, "moisture_pct"),
        colour_ebc=float(row["colour_ebc"]),
        holds_more_l_per_kg=float(row["holds_more_l_per_kg"]),
        source=row["source"],
    )


def _sugar(row: Row) -> SugarRow:
    return SugarRow(
        key=row["key"],
        name=row["name"],
        extract=_share(row, "extract_pct"),
        fermentable=_share(row, "fermentable_pct"),
        colour_ebc=float(row["colour_ebc"]),
        source=row["source"],
    )


def _yeast(row: Row) -> YeastRow:
    return YeastRow(
        key=row["key"],
        name=row["name"],
        attenuation=_share(row, "attenuation_pct"),
        attenuation_scatter=_share(row, "attenuation_scatter_pct"),
        pitch_million_per_ml_plato=float(row["pitch_million_per_ml_plato"]),
        low_c=float(row["low_c"]),
        high_c=float(row["high_c"]),
        days=float(row["days"]),
        note=row["note"],
        source=row["source"],
    )


def _hop(row: Row) -> HopRow:
    low, high = _share(row, "alpha_low_pct"), _share(row, "alpha_high_pct")
    return HopRow(
        key=row["key"],
        name=row["name"],
        alpha=_share(row, "alpha_pct"),
        alpha_scatter=(high - low) / 4,
        source=row["source"],
    )


@cache
def _grains() -> Mapping[str, GrainRow]:
    return _named("malts", _grain)


@cache
def _sugars() -> Mapping[str, SugarRow]:
    return _named("sugars", _sugar)


@cache
def _yeasts() -> Mapping[str, YeastRow]:
    return _named("yeasts", _yeast)


@cache
def _hops() -> Mapping[str, HopRow]:
    return _named("hops", _hop)


_TABLES: Mapping[TableName, Callable[[], Mapping[str, GrainRow | SugarRow | YeastRow | HopRow]]] = {
    "malts": _grains,
    "sugars": _sugars,
    "yeasts": _yeasts,
    "hops": _hops,
}
