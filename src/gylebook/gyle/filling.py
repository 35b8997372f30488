"""Part a portion's beer into whole bottles and kegs.

In:  litres that may be filled, lots of bottles and kegs in the order in which they are filled.
Out: `Filling`: bottles of each lot, litres of each keg, what is left over and what stays in hoses.

Idea: bottles come first, as only whole ones are filled and only their beer is primed; kegs take the rest.
Every litre is in one place, and none is below zero.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gylebook.brewery.packages import Keg, Lot
from gylebook.errors import Problem, Refused

LOST_L = 0.3  # to dregs and hose where bottles are filled; judgement
KEG_FILLED = 0.97  # of what a keg holds: the gas tube must stay above the beer
KEG_LEAST = 0.1  # of what it holds: less beer is not worth its gas
NEXT_TO_NOTHING = 1e-9  # of a bottle: rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledLot:
    """A lot with the bottles that were filled."""

    lot: Lot
    count: int

    @property
    def litres(self) -> float:
        """Beer in all of them."""
        return self.count * self.lot.size_l


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledKeg:
    """A keg with the beer in it."""

    keg: Keg
    litres: float

    @property
    def head_space(self) -> float:
        """Gas over beer."""
        return self.keg.holds_l / self.litres - 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """Where every litre goes; `left_l` is not packed, `lost_l` stays in vessel and hose."""

    lots: tuple[FilledLot, ...]
    kegs: tuple[FilledKeg, ...]
    left_l: float
    lost_l: float

    @property
    def bottled_l(self) -> float:
        """Beer in all bottles."""
        return sum(lot.litres for lot in self.lots)

    @property
    def bottles(self) -> int:
        """Bottles of all lots."""
        return sum(lot.count for lot in self.lots)


def fill(litres: float, lots: Sequence[Lot], kegs: Sequence[Keg]) -> Filling:
    """Fill bottles, those that are counted first, then kegs, in their order.

    Raises Refused where more bottles are asked for than there is beer, where two lots both ask for all
    there is, or where there is nothing to fill.
    """
    if litres <= 0.0 or not (lots or kegs):
        raise Refused((Problem("packages", "", "name bottles or a keg, and have beer to fill them"),))
    if sum(lot.count is None for lot in lots) > 1:
        raise Refused((Problem("bottles", "“all” twice", "only one kind can take all that is left"),))
    lost = min(LOST_L, litres) if lots else 0.0
    left = litres - lost
    counts: dict[int, int] = {}
    for place in sorted(range(len(lots)), key=lambda place: lots[place].count is None):
        lot = lots[place]
        fit = max(math.floor(left / lot.size_l + NEXT_TO_NOTHING), 0)
        if lot.count is not None and lot.count > fit:
            said = f"{lot.count} of {lot.kind.name}"
            raise Refused((Problem("bottles", said, f"the beer that is left fills {fit} of them"),))
        counts[place] = fit if lot.count is None else lot.count
        left = max(left - counts[place] * lot.size_l, 0.0)
    filled = []
    for keg in kegs:
        into = min(KEG_FILLED * keg.holds_l, left)
        if into >= KEG_LEAST * keg.holds_l:
            filled.append(FilledKeg(keg=keg, litres=into))
            left -= into
    return Filling(
        lots=tuple(FilledLot(lot=lot, count=counts[place]) for place, lot in enumerate(lots)),
        kegs=tuple(filled),
        left_l=left,
        lost_l=lost,
    )
