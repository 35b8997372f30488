"""State what a portion is filled into: kinds of bottles with what they bear, lots of them, kegs.

In:  nothing.  Out: frozen records in base units.

Idea: a limit is a pressure that a sound bottle of the kind may stand under for a year, over the air's and at
the warmest it will ever be.  It is never the pressure that a maker proves a new one at for a minute.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SugarAtHand = Literal["sucrose", "glucose", "glucose monohydrate", "dry malt extract", "fresh wort"]
PrimingWay = Literal["in bulk", "bottle by bottle"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BottleKind:
    """A kind of bottle: usual size, working limit over the air's pressure, gas over beer once filled."""

    key: str
    name: str
    size_l: float
    limit_bar: float
    head_space: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Bottles of one kind and size; `count` None stands for as many as the beer fills."""

    kind: BottleKind
    size_l: float
    count: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Keg:
    """A keg by what it holds to the brim."""

    holds_l: float
