"""Decide whether bottles may be primed: the odds that any passes its limit, and what to do instead.

In:  a portion's beer in draws, the lots and kegs it is filled into, gas wanted, sugar, scale, store, odds
     that are accepted.
Out: `Packing`: filling, dose as it is weighed, odds by lot and of all, `WayOut`s where they are too high.

Idea: sugar is rounded down to what the scale shows, so a dose never grows by rounding.  A way out is told
with the odds that it leads to, worked out on the same futures, and none is told that does not help.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from gylebook.brewery.packages import BottleKind, Keg, Lot, PrimingWay, SugarAtHand
from gylebook.figures.draws import Array, Summary, summarise
from gylebook.gyle.filling import FilledKeg, FilledLot, Filling, fill
from gylebook.gyle.packing import (
    BeerToPack,
    Dose,
    Futures,
    any_over,
    dose_for,
    keg_extra_co2,
    lot_pressure,
)

DEFAULT_ODDS = 1e-3
VOLUMES_STEP, COOLER_STEP = 0.1, 1.0
LEAST_VOLUMES, COLDEST_C = 1.0, 4.0
CONDITIONED_C = 20.0  # where a primed keg comes to its gas

Deed = Literal["wait", "less sugar", "stronger bottles", "cooler store", "keg"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingAsked:
    """What a portion is to be packed in, and how."""

    lots: tuple[Lot, ...]
    kegs: tuple[Keg, ...]
    volumes: float
    sugar: SugarAtHand
    way: PrimingWay
    store_c: float
    scale_g: float
    prime_kegs: bool = False
    wort_plato: float | None = None
    accepted: float = DEFAULT_ODDS


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LotFound:
    """A lot: sugar for each bottle [g, or L of wort], its warmest day, odds of passing its limit."""

    filled: FilledLot
    each: float
    pressure: Summary
    high_bar: float
    odds: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KegFound:
    """A keg: its own sugar (0 where it is gassed), and what it may stand at, 999 of 1,000 below."""

    filled: FilledKeg
    sugar: float
    high_bar: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """What to do instead, and the odds it leads to: days, volumes, or °C in `amount`, a bottle in `kind`."""

    deed: Deed
    odds: float
    amount: float = 0.0
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Packing:
    """How a portion is packed; `bulk` is the sugar for all bottles, in `bulk_l` of beer."""

    filling: Filling
    dose: Dose
    bulk: float
    bulk_l: float
    lots: tuple[LotFound, ...]
    kegs: tuple[KegFound, ...]
    odds: float
    ways_out: tuple[WayOut, ...]

    def refused(self, accepted: float) -> bool:
        """Whether the odds are above what is accepted."""
        return self.odds > accepted


def pack(
    beer: BeerToPack,
    asked: PackingAsked,
    kinds: Sequence[BottleKind],
    *,
    finished: bool = True,
    wait_days: float = 0.0,
    waited: BeerToPack | None = None,
) -> Packing:
    """Fill, prime and judge; `waited` is the beer as it will be once gravity has stood still.

    No cold store is told for beer that has not `finished`: cold only makes it wait.

    Raises Refused where the beer does not fill what is asked for.
    """
    filling = fill(float(np.median(beer.litres)), asked.lots, asked.kegs)
    futures = Futures(beer, asked.way)
    dose, bulk, bulk_l = _weighed(beer, asked, filling)
    odds = any_over(futures, filling.lots, dose, asked.store_c, _step(asked))
    found = Packing(
        filling=filling,
        dose=dose,
        bulk=bulk,
        bulk_l=bulk_l,
        lots=tuple(_lot(futures, filled, dose, asked) for filled in filling.lots),
        kegs=tuple(_keg(futures, keg, dose, asked) for keg in filling.kegs),
        odds=odds,
        ways_out=(),
    )
    if not found.refused(asked.accepted):
        return found
    ways_out = _ways_out(futures, found, asked, kinds, finished, wait_days, waited)
    return replace(found, ways_out=tuple(ways_out))


def rounded_down(amount: float, step: float) -> float:
    """So much as a scale can show without passing it.

    >>> rounded_down(128.7, 1.0), rounded_down(2.1, 0.1)
    (128.0, 2.1)
    """
    return max(round(math.floor(amount / step + 1e-6) * step, 9), 0.0)


def _weighed(beer: BeerToPack, asked: PackingAsked, filling: Filling) -> tuple[Dose, float, float]:
    """Dose as it is weighed, and all of it for how much beer: what stays in the hose is primed too."""
    meant = dose_for(beer, asked.sugar, asked.volumes, asked.wort_plato)
    if not filling.bottles:
        return meant, 0.0, 0.0
    step = _step(asked)
    if asked.way == "bottle by bottle":
        total = sum(lot.count * rounded_down(meant.per_l * lot.lot.size_l, step) for lot in filling.lots)
        largest = max(
            rounded_down(meant.per_l * lot.lot.size_l, step) / lot.lot.size_l
            for lot in filling.lots
            if lot.count
        )
        return meant.of(largest), total, filling.bottled_l
    litres = filling.bottled_l + filling.lost_l
    total = rounded_down(meant.per_l * litres, step)
    return meant.of(total / litres), total, litres


def _step(asked: PackingAsked) -> float:
    """The last digit of the scale [g], or a hundredth of a litre of wort [L]."""
    return 0.01 if asked.sugar == "fresh wort" else asked.scale_g


def _lot(futures: Futures, filled: FilledLot, dose: Dose, asked: PackingAsked) -> LotFound:
    each = dose.per_l * filled.lot.size_l
    if asked.way == "bottle by bottle":
        each = rounded_down(each, _step(asked))
    pressure = lot_pressure(futures, filled, dose, asked.store_c, _step(asked))
    return LotFound(
        filled=filled,
        each=each,
        pressure=summarise(pressure),
        high_bar=_high(pressure),
        odds=float(np.mean(pressure > filled.lot.kind.limit_bar)) if filled.count else 0.0,
    )


def _keg(futures: Futures, keg: FilledKeg, dose: Dose, asked: PackingAsked) -> KegFound:
    barometer = futures.beer.barometer_bar
    if not asked.prime_kegs or dose.per_l <= 0.0:
        gas = futures.beer_gas(asked.volumes) + keg_extra_co2(keg, asked.volumes, COLDEST_C, barometer)
        return KegFound(filled=keg, sugar=0.0, high_bar=_high(futures.keg(keg, None, gas, asked.store_c)))
    meant = dose_for(futures.beer, asked.sugar, asked.volumes, asked.wort_plato)
    extra = keg_extra_co2(keg, asked.volumes, CONDITIONED_C, barometer)
    per_l = meant.per_l * (1.0 + extra / meant.most_co2)
    sugar = rounded_down(per_l * keg.litres, _step(asked))
    own = meant.of(sugar / keg.litres)
    return KegFound(filled=keg, sugar=sugar, high_bar=_high(futures.keg(keg, own, 0.0, asked.store_c)))


def _high(pressure: Array) -> float:
    """What 999 of 1,000 stay below. [bar]"""
    return float(np.quantile(pressure, 0.999))


def _ways_out(
    futures: Futures,
    found: Packing,
    asked: PackingAsked,
    kinds: Sequence[BottleKind],
    finished: bool,
    wait_days: float,
    waited: BeerToPack | None,
) -> list[WayOut]:
    """What brings the odds below what is accepted, each alone; waiting is told where it only helps too."""
    beer = futures.beer
    out = []
    if waited is not None:
        later = pack_odds(waited, asked, found.filling)
        if later < found.odds:
            out.append(WayOut(deed="wait", odds=later, amount=wait_days))

    def at(volumes: float) -> float:
        dose, _, _ = _weighed(beer, replace(asked, volumes=volumes), found.filling)
        return any_over(futures, found.filling.lots, dose, asked.store_c, _step(asked))

    def stored(store_c: float) -> float:
        return any_over(futures, found.filling.lots, found.dose, store_c, _step(asked))

    less = _first_good(at, asked.volumes, LEAST_VOLUMES, VOLUMES_STEP, asked.accepted)
    if less is not None and found.dose.per_l > 0.0:
        out.append(WayOut(deed="less sugar", odds=less[1], amount=less[0]))
    stronger = _stronger(futures, found, asked, kinds)
    if stronger is not None:
        out.append(stronger)
    cooler = None
    if finished:
        cooler = _first_good(stored, asked.store_c, COLDEST_C, COOLER_STEP, asked.accepted)
    if cooler is not None:
        out.append(WayOut(deed="cooler store", odds=cooler[1], amount=cooler[0]))
    out.append(WayOut(deed="keg", odds=0.0))
    return out


def pack_odds(beer: BeerToPack, asked: PackingAsked, filling: Filling) -> float:
    """Odds that any bottle of a filling passes its limit, of another state of the beer."""
    dose, _, _ = _weighed(beer, asked, filling)
    return any_over(Futures(beer, asked.way), filling.lots, dose, asked.store_c, _step(asked))


def _first_good(
    odds_at: Callable[[float], float], start: float, stop: float, step: float, accepted: float
) -> tuple[float, float] | None:
    """The first value on the way down from `start` at which the odds are accepted; they fall all the way."""
    steps = math.floor((start - stop) / step + 1e-6)
    if steps < 1:
        return None

    def value(number: int) -> float:
        return round(start - step * number, 6)

    low, high = 1, steps
    last = odds_at(value(high))
    if last > accepted:
        return None
    while low < high:
        middle = (low + high) // 2
        there = odds_at(value(middle))
        if there <= accepted:
            high, last = middle, there
        else:
            low = middle + 1
    return value(high), last


def _stronger(
    futures: Futures, found: Packing, asked: PackingAsked, kinds: Sequence[BottleKind]
) -> WayOut | None:
    """The weakest kind that will do in place of every kind that is too weak."""
    weak = [lot.filled.lot.kind.limit_bar for lot in found.lots if lot.filled.count]
    for kind in sorted(kinds, key=lambda kind: kind.limit_bar):
        if kind.limit_bar <= min(weak):
            continue
        lots = [
            replace(lot, lot=replace(lot.lot, kind=kind)) if lot.lot.kind.limit_bar < kind.limit_bar else lot
            for lot in found.filling.lots
        ]
        odds = any_over(futures, lots, found.dose, asked.store_c, _step(asked))
        if odds <= asked.accepted:
            return WayOut(deed="stronger bottles", odds=odds, kind=kind.name)
    return None
