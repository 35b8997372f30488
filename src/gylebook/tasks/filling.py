"""Propose sets of portions that fill fermenters and packages.

In:  a brewery, kegs and bottles, perhaps the litres wanted.
Out: the sets of `decide.fillings`, refused in words where nothing can be meant.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.brewery.site import Brewery
from gylebook.decide.fillings import Filling, FillingSet, fillings
from gylebook.errors import Problem, Refused

MOST_KEGS, MOST_FERMENTERS = 12, 12

__all__ = ["Filling", "FillingSet", "ways_to_fill"]


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
        raise Refused((Problem("packages", "neither kegs nor bottles", "give --keg or --bottle"),))
    if len(kegs_l) > MOST_KEGS:
        raise Refused((Problem("--keg", f"{len(kegs_l)} kegs", f"give up to {MOST_KEGS}"),))
    if len(brewery.fermenters) > MOST_FERMENTERS:
        understood = f"{len(brewery.fermenters)} of them"
        raise Refused((Problem("fermenters", understood, f"up to {MOST_FERMENTERS} can be compared"),))
    return fillings(brewery, kegs_l=kegs_l, bottle_l=bottle_l, wanted_l=wanted_l, most=most)
