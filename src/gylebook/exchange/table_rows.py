"""State what the tables of grain, sugars, yeasts, hops and bottles hold, column by column.

In:  the cells of one line, already read as text, number or choice.
Out: the line as a frozen record in base units; `MALTS`, `SUGARS`, `YEASTS`, `HOPS`, `BOTTLES`, one
     `Sheet` each, and `SHEETS` by their names.

Idea: a column is declared once, with its range and whether a cell may be empty; the record is made of it
and the reader in `table_text` judges by it.  Per cent stands in the columns that end in `_pct`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Generic, Literal, TypeVar, get_args

from gylebook.brewery.ingredients import GrainKind

TableName = Literal["malts", "sugars", "yeasts", "hops", "bottles"]
SugarKind = Literal["sugar", "malt extract", "fruit"]
Cells = Mapping[str, Any]

MOST_NAME = 120  # characters, as in a plan
A_YEAR_OF_PROOF = 0.44  # of what wet glass bears for a minute: it tires as stress to the power of 16; derived
_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a table; `also` are its other names."""

    key: str
    name: str
    also: tuple[str, ...] = ()
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GrainRow(Row):
    """One kind of grain; shares 0..1 of dry (extract) or whole (moisture) grain."""

    kind: GrainKind
    extract_dry: float
    extract_scatter: float
    moisture: float
    colour_ebc: float
    holds_more_l_per_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SugarRow(Row):
    """One sugar, malt extract or fruit; `extract` as weighed, `fermentable` the real share of the extract."""

    kind: SugarKind
    extract: float
    fermentable: float
    colour_ebc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class YeastRow(Row):
    """One kind of yeast; `attenuation` is apparent, None for bacteria, which hardly move the gravity.

    What is `diastatic` goes past the limit that the mash sets.
    """

    attenuation: float | None
    attenuation_scatter: float
    pitch_million_per_ml_plato: float | None
    low_c: float
    high_c: float
    days: float
    diastatic: bool
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HopRow(Row):
    """One hop variety; `alpha_scatter` is a quarter of its range, `half_year_loss` None where unknown."""

    alpha: float
    alpha_scatter: float
    half_year_loss: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BottleRow(Row):
    """One kind of bottle; `limit_bar` is what it may stand under for a year, `proof_bar` a new one's test.

    `head_space` is gas over beer once it is filled.
    """

    size_l: float
    limit_bar: float
    proof_bar: float | None
    head_space: float
    note: str


T = TypeVar("T", bound=Row)


class NotACell(Exception):
    """A cell that its column does not take; the words say what it does."""


@dataclass(frozen=True, slots=True)
class Words:
    """Text of one line; `wanted` says what it is for."""

    wanted: str
    optional: bool = False

    def read(self, cell: str) -> str:
        if len(cell) > 10 * MOST_NAME or any(ord(c) < 32 for c in cell):
            raise NotACell("one line of plain text is wanted.")
        return cell


@dataclass(frozen=True, slots=True)
class Number:
    """A number with a decimal point; `per_cent` ones become shares.  An optional one is None if empty."""

    low: float
    high: float
    example: str
    per_cent: bool = False
    optional: bool = False

    @property
    def wanted(self) -> str:
        unit = " per cent" if self.per_cent else ""
        return f"a number from {self.low:g} to {self.high:g}{unit}, such as {self.example}"

    def read(self, cell: str) -> float:
        if not _NUMBER.fullmatch(cell) or not self.low <= float(cell) <= self.high:
            raise NotACell(f"{self.wanted}, is wanted; the decimal sign is a point.")
        return float(Decimal(cell).scaleb(-2)) if self.per_cent else float(cell)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    of: tuple[str, ...]
    optional: bool = False

    @property
    def wanted(self) -> str:
        return f"one of {', '.join(self.of)}"

    def read(self, cell: str) -> str:
        if cell not in self.of:
            raise NotACell(f"{self.wanted} is wanted.")
        return cell


Column = Words | Number | Choice


@dataclass(frozen=True, slots=True)
class Sheet(Generic[T]):
    """One table: its columns in order, how a row is made, and what its cells must fulfil together.

    `together` answers with the column that is wrong and what would be accepted, or None.
    """

    name: TableName
    columns: Mapping[str, Column]
    make: Callable[[Cells], T]
    together: Callable[[Cells], tuple[str, str] | None] = lambda cells: None


def named(**columns: Column) -> dict[str, Column]:
    """The columns that every table has, with its own between them."""
    return {
        "key": Words("a short name for files; made from the name if empty", optional=True),
        "name": Words("the name that plans use"),
        "also": Words("other names, parted by |", optional=True),
        **columns,
        "source": Words("where the figures are from, if only “the sack” or “from memory”"),
    }


def _base(cells: Cells) -> dict[str, Any]:
    return {column: cells[column] for column in ("key", "name", "also", "source")}


def _grain(cells: Cells) -> GrainRow:
    return GrainRow(
        **_base(cells),
        kind=cells["kind"],
        extract_dry=cells["extract_dry_pct"],
        extract_scatter=cells["extract_scatter_pct"],
        moisture=cells["moisture_pct"],
        colour_ebc=cells["colour_ebc"],
        holds_more_l_per_kg=cells["holds_more_l_per_kg"] or 0.0,
    )


def _sugar(cells: Cells) -> SugarRow:
    return SugarRow(
        **_base(cells),
        kind=cells["kind"],
        extract=cells["extract_pct"],
        fermentable=cells["fermentable_pct"],
        colour_ebc=cells["colour_ebc"],
    )


def _yeast(cells: Cells) -> YeastRow:
    return YeastRow(
        **_base(cells),
        attenuation=cells["attenuation_pct"],
        attenuation_scatter=cells["attenuation_scatter_pct"] or 0.0,
        pitch_million_per_ml_plato=cells["pitch_million_per_ml_plato"],
        low_c=cells["low_c"],
        high_c=cells["high_c"],
        days=cells["days"],
        diastatic=cells["diastatic"] == "yes",
        note=cells["note"] or "",
    )


def _yeast_together(cells: Cells) -> tuple[str, str] | None:
    if cells["low_c"] >= cells["high_c"]:
        return "high_c", "the highest temperature is above low_c."
    if cells["attenuation_pct"] is not None and cells["pitch_million_per_ml_plato"] is None:
        return "pitch_million_per_ml_plato", "a yeast wants a pitch; only bacteria go without, as 0.75."
    return None


def _hop(cells: Cells) -> HopRow:
    return HopRow(
        **_base(cells),
        alpha=cells["alpha_pct"],
        alpha_scatter=(cells["alpha_high_pct"] - cells["alpha_low_pct"]) / 4,
        half_year_loss=cells["keeps_pct"],
    )


def _hop_together(cells: Cells) -> tuple[str, str] | None:
    if not cells["alpha_low_pct"] <= cells["alpha_pct"] <= cells["alpha_high_pct"]:
        return "alpha_pct", "it lies between alpha_low_pct and alpha_high_pct."
    return None


def _bottle(cells: Cells) -> BottleRow:
    return BottleRow(
        **_base(cells),
        size_l=cells["size_l"],
        limit_bar=cells["limit_bar"],
        proof_bar=cells["proof_bar"],
        head_space=cells["head_space_pct"],
        note=cells["note"] or "",
    )


def _bottle_together(cells: Cells) -> tuple[str, str] | None:
    proof = cells["proof_bar"]
    if proof is not None and cells["limit_bar"] > A_YEAR_OF_PROOF * proof:
        most = f"{A_YEAR_OF_PROOF * proof:.1f}"
        return "limit_bar", f"a proof is for a minute, so a limit is at most 0.44 of it: {most} here."
    return None


MALTS = Sheet(
    "malts",
    named(
        kind=Choice(get_args(GrainKind)),
        extract_dry_pct=Number(30, 100, "80.5", per_cent=True),
        extract_scatter_pct=Number(0, 20, "1.0", per_cent=True),
        moisture_pct=Number(0, 20, "4.5", per_cent=True),
        colour_ebc=Number(0, 2500, "3.5"),
        holds_more_l_per_kg=Number(0, 2, "0.15", optional=True),
    ),
    _grain,
)
SUGARS = Sheet(
    "sugars",
    named(
        kind=Choice(get_args(SugarKind)),
        extract_pct=Number(0, 100, "96", per_cent=True),
        fermentable_pct=Number(0, 100, "64", per_cent=True),
        colour_ebc=Number(0, 2500, "10"),
    ),
    _sugar,
)
YEASTS = Sheet(
    "yeasts",
    named(
        species=Words("the species", optional=True),
        attenuation_pct=Number(5, 100, "77", per_cent=True, optional=True),
        attenuation_scatter_pct=Number(0, 30, "2.25", per_cent=True, optional=True),
        pitch_million_per_ml_plato=Number(0, 10, "0.75", optional=True),
        low_c=Number(0, 45, "16"),
        high_c=Number(0, 45, "22"),
        days=Number(0, 1500, "5.5"),
        diastatic=Choice(("yes", "no"), optional=True),
        note=Words("a remark", optional=True),
    ),
    _yeast,
    _yeast_together,
)
HOPS = Sheet(
    "hops",
    named(
        alpha_pct=Number(0.1, 30, "4.7", per_cent=True),
        alpha_low_pct=Number(0, 30, "2.8", per_cent=True),
        alpha_high_pct=Number(0, 30, "6.6", per_cent=True),
        keeps_pct=Number(0, 90, "25", per_cent=True, optional=True),
    ),
    _hop,
    _hop_together,
)
BOTTLES = Sheet(
    "bottles",
    named(
        size_l=Number(0.05, 30, "0.5"),
        limit_bar=Number(0, 12, "4.5"),
        proof_bar=Number(0.1, 60, "12", optional=True),
        head_space_pct=Number(1, 30, "4", per_cent=True),
        note=Words("a remark", optional=True),
    ),
    _bottle,
    _bottle_together,
)
SHEETS: Mapping[TableName, Sheet[Any]] = {
    sheet.name: sheet for sheet in (MALTS, SUGARS, YEASTS, HOPS, BOTTLES)
}
