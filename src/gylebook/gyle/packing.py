"""Tell what gas stands in a portion's packages: kept, from sugar, and still to come.

In:  a portion's beer as draws (gravity, points still to come), its warmth, what it is primed with.
Out: dose for each litre; draws of the pressure in every lot of bottles and in kegs.

Idea: every draw is one future of the whole batch, so a batch that is bad is bad in every bottle; of the
bottles of a lot, the one that got most of an unevenly stirred dose counts.  What may still ferment has one
side only, and all sums of gas are taken where they err high: each sugar makes all that it can, and beer
dissolves the less of what two models say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gylebook.brewery.packages import PrimingWay, SugarAtHand
from gylebook.figures.draws import Array
from gylebook.gyle.filling import FilledKeg, FilledLot
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.matter.gas import co2_of_volumes, water_vapour_pressure
from gylebook.process import carbonation
from gylebook.process.bottles import bottle_pressure, head_space_co2
from gylebook.process.draught import keg_gauge
from gylebook.process.ferment_curve import LOWEST_ATTENUATION, lowest_end
from gylebook.process.stability import ONE_SIDED, Organism

TIMES = 25  # each draw of the beer meets so many of what is not known of its bottles
STREAM = 8_117  # keeps these random numbers apart from others of the same seed

FLOOR_POINTS: dict[Organism, float] = {
    "ordinary": 0.3,
    "sluggish": 0.5,
    "diastatic": 0.5,
    "Brettanomyces": 0.5,
}
"""Spread of what may come though gravity stood still for as long as it should; judgement. [points]"""

DOUBTFUL_POINTS = carbonation.Spread(1.0, 0.7)
"""Points that may come where it did not stand still for so long, of a clean yeast; judgement."""

FURTHEST = {
    "diastatic": carbonation.Spread(0.93, 0.05),
    "Brettanomyces": carbonation.Spread(0.92, 0.06),
}
"""Apparent attenuation that these can reach, where they were not waited for; judgement."""

SAFE_QUOTIENT, SAFE_CO2_PER_EXTRACT = 0.8192, 0.514  # the sides on which more gas comes
STORE_SD_K = 3.0  # how far the warmest day may miss what was said of it; judgement
SOLUBILITY_SD = 0.03  # of what beer dissolves; judgement
WEIGH_CV, VOLUME_CV = 0.01, 0.03  # of sugar on a scale, of beer by the marks of a bucket; judgement
MIX_CV: dict[PrimingWay, float] = {"in bulk": 0.05, "bottle by bottle": 0.02}
"""From bottle to bottle: beer run onto syrup and gently stirred; a dose weighed for each; judgement."""

MALT_SHARE, MALT_SHARE_MOST, MALT_SHARE_ALIVE = 0.65, 0.70, 0.85
"""Real share of malt extract that ferments: usual, at most, and where something goes on past the yeast."""

SOLIDS = 0.96  # of dried malt extract
HOTTEST_C = 45.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BeerToPack:
    """A portion's beer: litres, original and present extract [°P] and points still to come, draw by draw.

    `warmest_c` is the highest temperature since gas stopped rising; `alive` says that something goes on past
    the yeast's own end; `measured` that litres were read and are not foretold.
    """

    litres: Array
    original: Array
    apparent: Array
    left_points: Array
    warmest_c: float
    aged: bool
    alive: bool
    measured: bool
    barometer_bar: float
    seed: int

    @property
    def residual(self) -> float:
        """CO2 that it keeps, in the middle. [g/L]"""
        kept = carbonation.KEPT_AGED if self.aged else carbonation.KEPT_FRESH
        return float(carbonation.residual_co2(self.warmest_c, self.barometer_bar, kept.level))

    @property
    def to_come(self) -> Array:
        """CO2 that its own extract may still make, at most. [g/L]"""
        end = plato_from_sg(sg_from_plato(self.apparent) - 1e-3 * self.left_points)
        return carbonation.co2_still_to_come(
            self.original, self.apparent, end, SAFE_QUOTIENT, SAFE_CO2_PER_EXTRACT
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """What primes a litre: grams of sugar, or litres of wort in it; `most_co2` is all that can come of it."""

    per_l: float
    most_co2: float

    def of(self, per_l: float) -> Dose:
        """The same sugar, so much of it."""
        share = per_l / self.per_l if self.per_l > 0.0 else 0.0
        return Dose(per_l=per_l, most_co2=share * self.most_co2)


def points_left(
    by_curve: Array,
    apparent: Array,
    original: Array,
    organism: Organism,
    *,
    unseen: float | None,
    held: bool,
    seed: int,
) -> Array:
    """Points of gravity still to come, draw by draw, never below zero and one-sided. [points]

    The largest of what the curve leaves, of what equal readings leave unseen (`unseen`, 95 in 100), and of
    what is to be feared anyway: little where gravity `held` still for as long as the slowest organism asks,
    a point or so of a clean yeast that it did not, and all that dextrins hold of one that takes them.
    """
    rows = len(by_curve)
    tail, fear = np.random.default_rng((seed, STREAM, 1)).standard_normal((2, rows))
    left = np.maximum(by_curve, 0.0)
    if unseen is not None:
        left = np.maximum(left, unseen / ONE_SIDED * np.abs(tail))
    if held:
        left = np.maximum(left, FLOOR_POINTS[organism] * np.abs(fear))
    elif organism in FURTHEST:
        reach = FURTHEST[organism]
        attenuation = np.minimum(reach.level + reach.scatter * fear, LOWEST_ATTENUATION)
        left = np.maximum(left, _points_to(apparent, original * (1.0 - attenuation)))
    else:
        left = np.maximum(left, DOUBTFUL_POINTS.level + DOUBTFUL_POINTS.scatter * fear)
    return np.minimum(left, np.maximum(_points_to(apparent, lowest_end(original)), 0.0))


def dose_for(beer: BeerToPack, sugar: SugarAtHand, volumes: float, wort_plato: float | None = None) -> Dose:
    """What brings a litre to so many volumes; what the beer keeps and will middlingly make is counted."""
    there = min(beer.residual + float(np.median(beer.to_come)), 30.0)
    wanted = float(co2_of_volumes(volumes))
    share = MALT_SHARE_ALIVE if beer.alive else MALT_SHARE
    most = MALT_SHARE_ALIVE if beer.alive else MALT_SHARE_MOST
    if sugar == "fresh wort":
        plato = 12.0 if wort_plato is None else wort_plato
        ratio = float(carbonation.fresh_wort_dose(there, wanted, plato, share))
        part = ratio / (1.0 + ratio)
        return Dose(per_l=part, most_co2=part * float(carbonation.co2_in_wort_to_come(plato, most)))
    if sugar == "dry malt extract":
        usual, highest = (float(carbonation.co2_per_gram_of_malt_extract(s, SOLIDS)) for s in (share, most))
        per_l = float(carbonation.priming_dose(there, wanted, usual))
        return Dose(per_l=per_l, most_co2=per_l * highest)
    per_gram = carbonation.co2_per_gram(sugar)
    per_l = float(carbonation.priming_dose(there, wanted, per_gram, carbonation.GAS_YIELD.level))
    return Dose(per_l=per_l, most_co2=per_l * per_gram)


class Futures:
    """What is not known of a portion's packages, drawn once: every question meets the same futures."""

    def __init__(self, beer: BeerToPack, way: PrimingWay) -> None:
        self.beer, self.way = beer, way
        self._rng = np.random.default_rng((beer.seed, STREAM))
        rows = TIMES * len(beer.apparent)
        self._kept, self._dissolves, self._weighed, self._volume, self._store = self._rng.standard_normal(
            (5, rows)
        )
        self._uneven = self._rng.random(rows)

    @cached_property
    def kept(self) -> Array:
        """CO2 that the beer keeps. [g/L]"""
        spread = carbonation.KEPT_AGED if self.beer.aged else carbonation.KEPT_FRESH
        factor = np.clip(spread.level + spread.scatter * self._kept, 0.3, 1.5)
        return carbonation.residual_co2(self.beer.warmest_c, self.beer.barometer_bar, factor)

    @cached_property
    def to_come(self) -> Array:
        """CO2 from what may still ferment. [g/L]"""
        return np.tile(self.beer.to_come, TIMES)

    @cached_property
    def _given(self) -> Array:
        """Sugar in a litre over what was meant, but for the stirring."""
        short = 1.0 + VOLUME_CV * self._volume
        if not self.beer.measured:
            short = short * np.tile(self.beer.litres / np.median(self.beer.litres), TIMES)
        given: Array = (1.0 + WEIGH_CV * self._weighed) / np.maximum(short, 0.3)
        return given

    def beer_gas(self, volumes: float) -> float:
        """CO2 of so many volumes, or what the beer keeps where that is more. [g/L]"""
        return max(float(co2_of_volumes(volumes)), self.beer.residual)

    def worst_stirred(self, bottles: int, scatter: float = 0.0) -> Array:
        """What the sweetest of so many bottles gets over the mean; `scatter` is more of the same kind."""
        from scipy.special import ndtri  # slow to load, and wanted by no face before it packs

        largest = ndtri(self._uneven ** (1.0 / max(bottles, 1)))
        uneven: Array = 1.0 + np.hypot(MIX_CV[self.way], scatter) * np.maximum(largest, 0.0)
        return uneven

    def warmth(self, store_c: float) -> Array:
        """The warmest that it will be. [°C]"""
        warm: Array = np.clip(store_c + STORE_SD_K * self._store, -2.0, HOTTEST_C)
        return warm

    def bottle(
        self, dose: Dose, store_c: float, bottles: int, head_space: float, scatter: float = 0.0
    ) -> Array:
        """Pressure in the worst of so many bottles on their warmest day. [bar over the air's]"""
        primed = dose.most_co2 * self._given * self.worst_stirred(bottles, scatter)
        return self._pressure(primed, store_c, head_space, on_air=True)

    def keg(self, keg: FilledKeg, dose: Dose | None, gas: float, store_c: float) -> Array:
        """Pressure in a keg on its warmest day: primed, or brought to `gas` [g/L] from a cylinder. [bar]"""
        head = max(keg.head_space, 0.01)
        if dose is None:
            all_gas = np.minimum(gas + self.to_come, 80.0)
            return self._standing(all_gas, store_c, head, on_air=False)
        return self._pressure(dose.most_co2 * self._given, store_c, head, on_air=True)

    def _pressure(self, primed: Array, store_c: float, head_space: float, *, on_air: bool) -> Array:
        held = np.minimum(self.kept + primed + self.to_come, 80.0)
        return self._standing(held, store_c, head_space, on_air=on_air)

    def _standing(self, held: Array, store_c: float, head_space: float, *, on_air: bool) -> Array:
        return bottle_pressure(
            held,
            self.warmth(store_c),
            head_space,
            on_air=on_air,
            solubility_factor=np.clip(np.exp(SOLUBILITY_SD * self._dissolves), 0.7, 1.3),
            barometer_bar=self.beer.barometer_bar,
        )


def any_over(futures: Futures, lots: Sequence[FilledLot], dose: Dose, store_c: float, step: float) -> float:
    """How often any bottle of these lots passes its limit; `step` is the last digit of the scale. [g]"""
    over = np.zeros(TIMES * len(futures.beer.apparent), dtype=bool)
    for filled in lots:
        if filled.count:
            pressure = lot_pressure(futures, filled, dose, store_c, step)
            over |= pressure > filled.lot.kind.limit_bar
    return float(np.mean(over))


def lot_pressure(futures: Futures, filled: FilledLot, dose: Dose, store_c: float, step: float) -> Array:
    """Pressure in the worst bottle of a lot on its warmest day. [bar over the air's]"""
    scatter = 0.0
    if futures.way == "bottle by bottle" and dose.per_l > 0.0:
        scatter = step / 12.0**0.5 / (dose.per_l * filled.lot.size_l)
    return futures.bottle(dose, store_c, filled.count, filled.lot.kind.head_space, scatter)


def keg_extra_co2(keg: FilledKeg, volumes: float, at_c: float, barometer_bar: float) -> float:
    """CO2 that fills the gas space of a keg at this warmth, for each litre of its beer. [g/L]"""
    gauge = float(keg_gauge(co2_of_volumes(volumes), at_c, barometer_bar))
    alone = max(gauge + barometer_bar - float(water_vapour_pressure(at_c)), 0.0)
    return float(head_space_co2(alone, at_c, max(keg.head_space, 0.01)))


def _points_to(apparent: Array, end: Array) -> Array:
    """Points from one apparent extract down to another."""
    points: Array = 1000.0 * (sg_from_plato(apparent) - sg_from_plato(end))
    return points
