"""Hold what a brewer asks of packing and what a face may show of it, as plain records of numbers.

In:  nothing; `tasks.packing` fills the views.
Out: frozen records in base units: litres, grams, bar over the air's, °C, volumes of CO2.

Idea: amounts of sugar are None wherever a sheet is refused, so that no face can show them by mistake.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.packages import PrimingWay, SugarAtHand
from gylebook.decide.packing import DEFAULT_ODDS, WayOut
from gylebook.figures.draws import Summary
from gylebook.process.stability import Organism
from gylebook.tasks.ferment_views import State

Why = Literal["alive", "runaway", "stuck", "not still", "too much gas"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BottlesWanted:
    """Bottles of a kind by its name; its usual size where none is given, as many as fit where no count is."""

    kind: str
    count: int | None = None
    size_l: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackWanted:
    """How a portion is to be packed.

    `kegs` are by what they hold [L].  `litres` were read at packing, `warmest_c` is the warmest that the beer
    was since its gas stopped rising; both are taken from the brew where None.  `reason` is why it is packed
    against the odds.
    """

    bottles: tuple[BottlesWanted, ...] = ()
    kegs: tuple[float, ...] = ()
    volumes: float | None = None
    sugar: SugarAtHand = "sucrose"
    way: PrimingWay = "in bulk"
    prime_kegs: bool = False
    store_c: float = 25.0
    serve_c: float = 5.0
    scale_g: float = 1.0
    litres: float | None = None
    warmest_c: float | None = None
    wort_sg: float | None = None
    accepted: float = DEFAULT_ODDS
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotView:
    """Bottles of one lot; `high_bar` is what 999 of 1,000 worst bottles stay below on their warmest day.

    `fewest` and `most` are whole bottles in 90 of 100 futures, where their number was left open.
    """

    kind: str
    size_l: float
    count: int
    fewest: int
    most: int
    limit_bar: float
    pressure: Summary
    high_bar: float
    odds: float
    sugar_each: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KegView:
    """A keg: beer in it, pressure to set where it is served, what it may stand at in the warm, line it needs.

    `sugar` is 0 where it is gassed from a cylinder.
    """

    holds_l: float
    litres: float
    serve_bar: float
    high_bar: float
    line_m: float
    still_days: tuple[float, float]
    sugar: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackView:
    """How a portion would be packed, and whether it may be.

    `foretold` is the beer there should be, `yeast_billion` fresh yeast for bottles of old beer (from, to).
    `refused` says that the odds are above the accepted ones and no reason was given; `against` that they are
    and one was.  `points` still to come; `gravity` was read last at `read_at`.
    """

    brew: str
    key: str
    name: str
    wanted: PackWanted
    volumes: float
    gravity: Summary
    read_at: str
    organism: Organism
    state: State
    held: bool
    wait_days: float
    points: Summary
    litres: Summary
    foretold: Summary
    yeast_billion: tuple[float, float] | None
    residual_volumes: float
    warmest_c: float
    abv: Summary
    lots: tuple[LotView, ...]
    kegs: tuple[KegView, ...]
    bulk: float | None
    bulk_l: float
    left_l: float
    lost_l: float
    scale_is_coarse: bool
    odds: float
    draws: int
    refused: bool
    against: str
    why: Why
    ways_out: tuple[WayOut, ...]
    cautions: tuple[str, ...]

    @property
    def bottles(self) -> int:
        """Bottles of all lots."""
        return sum(lot.count for lot in self.lots)


__all__ = [
    "DEFAULT_ODDS",
    "BottlesWanted",
    "KegView",
    "LotView",
    "PackView",
    "PackWanted",
    "WayOut",
    "Why",
]
