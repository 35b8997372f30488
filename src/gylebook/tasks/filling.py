"""Propose sets of portions that fill fermenters and packages.

In:  a brewery, kegs and bottles, perhaps the litres wanted; as numbers, or as texts that were typed.
Out: the sets of `decide.fillings`, refused in words where nothing can be meant.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from gylebook.brewery.site import Brewery
from gylebook.decide.fillings import Filling, FillingSet, fillings, usual_plan
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.figures.quantity_text import with_unit
from gylebook.figures.units import Dimension, read
from gylebook.tasks.outlook import refuse_house_figures

MOST_KEGS, MOST_FERMENTERS = 12, 12

BETWEEN = re.compile(r";|,\s+|\band\b|\+")  # what stands between two kegs; “9,5” is one
KEPT = 8  # answers

__all__ = ["Filling", "FillingSet", "fillings_of_text", "litres_of", "typed_fillings", "ways_to_fill"]


def ways_to_fill(
    brewery: Brewery,
    *,
    kegs_l: Sequence[float],
    bottle_l: float | None,
    wanted_l: float | None = None,
    most: int = 5,
) -> tuple[FillingSet, ...]:
    """Sets of portions without orphan litres, best first."""
    if not kegs_l and bottle_l is None:
        raise Refused((Problem("packages", "neither kegs nor bottles", "name kegs, or a bottle"),))
    if len(kegs_l) > MOST_KEGS:
        raise Refused((Problem("kegs", f"{len(kegs_l)} of them", f"up to {MOST_KEGS} can be filled"),))
    if len(brewery.fermenters) > MOST_FERMENTERS:
        understood = f"{len(brewery.fermenters)} of them"
        raise Refused((Problem("fermenters", understood, f"up to {MOST_FERMENTERS} can be compared"),))
    for fermenter in brewery.fermenters.values():
        refuse_house_figures(usual_plan(fermenter, in_keg=True), brewery)
    return fillings(brewery, kegs_l=kegs_l, bottle_l=bottle_l, wanted_l=wanted_l, most=most)


def litres_of(text: str, where: str, unit: str = "") -> float:
    """A volume of gear as typed, a bare number in `unit` where there is one. [L]"""
    value = read(with_unit(text, unit), Dimension.VOLUME, where=where)
    if not 0.1 <= value <= 2000.0:
        raise Refused((Problem(where, f"“{text}”", "take 0.1 to 2000 L"),))
    return value


def typed_fillings(brewery: str, *, kegs: str, bottle: str, wanted: str, unit: str) -> tuple[FillingSet, ...]:
    """The same for a brewery's text and what was typed into a form; all that is wrong is said at once."""
    problems: list[Problem] = []

    def volumes(field: str, text: str) -> tuple[float, ...]:
        found = []
        for one in BETWEEN.split(text):
            if one.strip():
                try:
                    found.append(litres_of(one, field, unit))
                except Refused as refused:
                    problems.extend(refused.problems)
        return tuple(found)

    kegs_l, bottles, litres = volumes("kegs", kegs), volumes("bottle", bottle), volumes("wanted", wanted)
    for field, some in (("bottle", bottles), ("wanted", litres)):
        if len(some) > 1:
            problems.append(Problem(field, f"{len(some)} sizes", "name one"))
    if problems:
        raise Refused(problems)
    return fillings_of_text(brewery, kegs_l, bottles[0] if bottles else None, litres[0] if litres else None)


@lru_cache(maxsize=KEPT)
def fillings_of_text(
    brewery: str, kegs_l: tuple[float, ...], bottle_l: float | None, wanted_l: float | None
) -> tuple[FillingSet, ...]:
    """The same for a brewery's text; answered from memory where it was asked before."""
    gear = read_brewery(brewery, where="brewery")
    return ways_to_fill(gear, kegs_l=kegs_l, bottle_l=bottle_l, wanted_l=wanted_l)
