"""Look up brewing salts and acids, and how sour a malt is, in the tables that ship.

In:  a name as a brewer writes it: its name, another name, or its key; a grain's key and kind.
Out: `Substance`, with whether it is weighed or poured, or what to ask where a name fits several; the kind of
     malt a grain sours as.

Idea: these tables only name what the chemistry knows, so nobody has rows of his own.  A grain that the table
of malts' acidity lacks is taken to sour as its kind does, which is a judgement: a base malt as pale malt, any
other malt too, a caramel malt by its colour, a roasted one as roasted, flakes and raw grain as unmalted.
"""

from __future__ import annotations

import csv
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal, get_args

from gylebook.brewery.ingredients import GrainKind
from gylebook.brewery.water import DoseKind
from gylebook.exchange.naming import plain
from gylebook.exchange.refusals import nearest

SoursAs = Literal[
    "pilsner", "pale", "vienna", "munich light", "munich dark", "wheat", "rye",
    "unmalted", "toasted", "roasted", "acidulated", "caramel",
]  # fmt: skip
SOURS_AS: tuple[str, ...] = get_args(SoursAs)

CRYSTALS = frozenset({"citric-100"})
"""Acids that are weighed; all others are poured."""
ALKALIS = ("baking-soda", "slaked-lime")
"""Salts that raise the pH of a mash; chalk dissolves too little."""
ALKALINE = (*ALKALIS, "chalk")
"""Salts that no ion is a reason for: the mash would pay for it with its pH."""

_SOURS_AS_ITS_KIND: Mapping[GrainKind, str] = {
    "base": "pale",
    "malted": "pale",
    "caramel": "caramel",
    "roast": "roasted",
    "adjunct": "unmalted",
    "raw": "unmalted",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Substance:
    """A salt or an acid as it is sold."""

    key: str
    name: str
    also: tuple[str, ...]
    kind: DoseKind

    @property
    def poured(self) -> bool:
        """Whether it is measured in mL; what is not is weighed."""
        return self.kind == "acid" and self.key not in CRYSTALS


def salts() -> Mapping[str, Substance]:
    """Every salt by its key."""
    return _substances("salts", "salt")


def acids() -> Mapping[str, Substance]:
    """Every acid by its key."""
    return _substances("acids", "acid")


def found(name: str, among: Iterable[Substance]) -> Substance | None:
    """The one substance of this name; None where there is none, or several."""
    fits = _fitting(name, among)
    return fits[0] if len(fits) == 1 else None


def why_not_found(name: str, among: Collection[Substance], what: str) -> tuple[str, str]:
    """What was understood of a name that is unknown or fits several, and what would be accepted."""
    fits = _fitting(name, among)
    if fits:
        *most, last = (it.name for it in fits)
        return f"“{name}” is sold in {len(fits)} strengths", f"which? {', '.join(most)} or {last}."
    known = [it.name for it in among]
    listed = ", ".join(f"“{other}”" for other in known)
    return f"there is no {what} “{name}”", f"{nearest(name, known)}Known: {listed}."


def _fitting(name: str, among: Iterable[Substance]) -> list[Substance]:
    wanted = plain(name)
    return [it for it in among if wanted in _names(it)]


@cache
def _names(it: Substance) -> frozenset[str]:
    """Every name that it goes by, as names are compared."""
    return frozenset(map(plain, (it.name, it.key, *it.also)))


def substance_name(key: str) -> str:
    """What a salt or an acid is called; anything else goes by its key."""
    known = salts().get(key) or acids().get(key)
    return known.name if known else key


def usually_sours_as(key: str, kind: GrainKind) -> str:
    """The kind of malt whose acid and buffering a grain is taken to have."""
    return _malt_kinds().get(key, _SOURS_AS_ITS_KIND[kind])


@cache
def _substances(table: str, kind: DoseKind) -> Mapping[str, Substance]:
    return {
        row["key"]: Substance(
            key=row["key"],
            name=row["name"],
            also=tuple(name for name in row["also"].split("|") if name),
            kind=kind,
        )
        for row in _rows(table)
    }


@cache
def _malt_kinds() -> Mapping[str, str]:
    return {row["key"]: row["kind"] for row in _rows("malt_ph")}


def _rows(table: str) -> list[dict[str, str]]:
    text = resources.files("gylebook.data").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
