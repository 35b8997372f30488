"""Read what a brewer types about packing: bottles, kegs, gas, warmth, sugar, scale.

In:  texts as they were typed in a form or on the command line.
Out: a `PackWanted` in base units; every text that is not understood is refused at once, with all others.

Idea: both faces hand over the same texts, so that they are read, and refused, alike.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from gylebook.brewery.packages import PrimingWay, SugarAtHand
from gylebook.errors import Problem, Refused
from gylebook.figures.units import Dimension, read
from gylebook.tasks.pack_views import DEFAULT_ODDS, BottlesWanted, PackWanted

SUGARS: tuple[SugarAtHand, ...] = get_args(SugarAtHand)
WAYS: tuple[PrimingWay, ...] = get_args(PrimingWay)
WRITE_BOTTLES = (
    "write a number or “all”, then the kind, then its size if it is another: 24 beer bottle, 0.33 L"
)
ONE_IN = re.compile(r"1 in ([0-9][0-9,\u202f ]*)", re.IGNORECASE)
LOT = re.compile(
    r"(?P<count>[0-9]+|all)(?:\s*[x×]\s+|\s+)(?P<kind>[^,]+)(?:,\s*(?P<size>.+))?", re.IGNORECASE
)
PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackTyped:
    """What was typed, field by field; empty where nothing was."""

    bottles: tuple[str, ...] = ()
    kegs: tuple[str, ...] = ()
    volumes: str = ""
    sugar: str = "sucrose"
    way: str = "in bulk"
    prime_kegs: bool = False
    store: str = ""
    serve: str = ""
    scale: str = ""
    litres: str = ""
    warmest: str = ""
    wort: str = ""
    accepted: str = ""
    reason: str = ""


def read_wanted(typed: PackTyped) -> PackWanted:
    """What is meant by it.  Raises Refused with everything that was not understood."""
    problems: list[Problem] = []

    def taken(where: str, text: str, reader: Callable[[str, str], Any]) -> Any:
        if not text.strip():
            return None
        try:
            return reader(text.strip(), where)
        except Refused as refused:
            problems.extend(refused.problems)
            return None

    bottles = [taken("bottles", text, _lot) for text in typed.bottles]
    kegs = [taken("kegs", text, _of(Dimension.VOLUME)) for text in typed.kegs]
    given: dict[str, Any] = {
        "volumes": taken("volumes", typed.volumes, _volumes),
        "store_c": taken("store", typed.store, _of(Dimension.TEMPERATURE)),
        "serve_c": taken("serve", typed.serve, _of(Dimension.TEMPERATURE)),
        "scale_g": taken("scale", typed.scale, _grams),
        "litres": taken("litres", typed.litres, _of(Dimension.VOLUME)),
        "warmest_c": taken("warmest", typed.warmest, _of(Dimension.TEMPERATURE)),
        "wort_sg": taken("wort", typed.wort, _sg),
        "accepted": taken("accepted odds", typed.accepted, _odds),
    }
    sugar: SugarAtHand = taken("sugar", typed.sugar, _one_of(SUGARS)) or "sucrose"
    way: PrimingWay = taken("way", typed.way, _one_of(WAYS)) or "in bulk"
    if sugar == "fresh wort" and given["wort_sg"] is None and not typed.wort.strip():
        problems.append(Problem("wort", "is missing", "say its gravity, like 1.050"))
    if problems:
        raise Refused(problems)
    return PackWanted(
        bottles=tuple(one for one in bottles if one is not None),
        kegs=tuple(one for one in kegs if one is not None),
        sugar=sugar,
        way=way,
        prime_kegs=typed.prime_kegs,
        reason=typed.reason.strip(),
        **{name: value for name, value in given.items() if value is not None},
    )


def lines(text: str) -> tuple[str, ...]:
    """What stands on the lines of a field, without empty ones."""
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _lot(text: str, where: str) -> BottlesWanted:
    found = LOT.fullmatch(text)
    if found is None:
        raise Refused((Problem(where, f"“{text}”", WRITE_BOTTLES),))
    count = found["count"].lower()
    return BottlesWanted(
        kind=found["kind"].strip(),
        count=None if count == "all" else int(count[:9]),
        size_l=read(found["size"], Dimension.VOLUME, where=where) if found["size"] else None,
    )


def _of(dimension: Dimension) -> Callable[[str, str], float]:
    def reader(text: str, where: str) -> float:
        return read(text, dimension, where=where)

    return reader


def _grams(text: str, where: str) -> float:
    return 1000.0 * read(text, Dimension.MASS, where=where)


def _sg(text: str, where: str) -> float:
    plain = text.replace(",", ".")
    if PLAIN.fullmatch(plain) and 1.0 <= float(plain) <= 1.2:
        return float(plain)
    raise Refused((Problem(where, f"“{text}”", "write its gravity like 1.050"),))


def _volumes(text: str, where: str) -> float:
    bare = re.sub(r"\s*vol(?:umes?)?\.?$", "", text, flags=re.IGNORECASE).replace(",", ".")
    if not PLAIN.fullmatch(bare):
        raise Refused((Problem(where, f"“{text}”", "write volumes of CO2, like 2.4"),))
    return float(bare)


def _odds(text: str, where: str) -> float:
    found = ONE_IN.fullmatch(text)
    whole = re.sub(r"[^0-9]", "", found[1]) if found else ""
    if not whole or int(whole[:12]) == 0:
        raise Refused((Problem(where, f"“{text}”", "write them like 1 in 1,000"),))
    return 1.0 / int(whole[:12])


def _one_of(known: Sequence[str]) -> Callable[[str, str], str]:
    def reader(text: str, where: str) -> str:
        if text.lower() not in known:
            raise Refused((Problem(where, f"“{text}”", f"one of {', '.join(known)}"),))
        return text.lower()

    return reader


__all__ = ["DEFAULT_ODDS", "SUGARS", "WAYS", "PackTyped", "lines", "read_wanted"]
