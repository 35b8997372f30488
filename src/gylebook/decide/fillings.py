"""Propose sets of portions that fill fermenters and packages without orphan litres.

In:  a brewery, the kegs and the bottle at hand, and perhaps the litres wanted in all.
Out: `FillingSet`s, best first: which fermenters hold how much, and into which packages each goes.

Idea: what a fermenter gives up is linear in what it holds, so each set of full packages asks for one filling,
found on the forward run of a portion.  A fermenter is filled for whole kegs, for whole bottles, or for a keg
and the rest in bottles; sets are put together one fermenter at a time and only the best are kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from gylebook.brewery.gear import Fermenter
from gylebook.brewery.ingredients import Yeast
from gylebook.brewery.plan import Aims, Liquor, Package, Plan, Portion, Process
from gylebook.brewery.site import Brewery
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import HEAD_ROOM
from gylebook.gyle.portions import run_portion
from gylebook.gyle.wort import Measured

PLATO, LIMIT = 12.5, 0.78  # of a usual beer; what a fermenter keeps back hardly depends on it
LEAST_FULL = 0.7  # of what a fermenter takes below its head room; emptier, it holds too much air
NEAR = 0.025  # of the wanted litres, what counts as them
KEPT = 400  # sets carried on from fermenter to fermenter
VESSEL, PART_BOTTLED, AIR = 0.5, 0.3, 1.0  # what costs: a vessel more, two ways to pack one beer, empty room
KEG_FILLED = 0.6  # what it is worth that a keg at hand is filled: some twenty bottles need no washing
OFF_TARGET = 20.0  # relative miss of the wanted litres
MOST_KEGS_OF_A_PORTION = 3
BOTTLE_COUNTS = 12  # tried of each fermenter


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """One fermenter: wort in it, beer that can be drawn off, and where that goes. [L]

    `kegs_l` are filled to the brim of what they hold, `bottles` are whole ones, and `orphan_l` fits nowhere.
    """

    fermenter: str
    name: str
    wort_l: float
    beer_l: float
    kegs_l: tuple[float, ...]
    bottles: int
    orphan_l: float
    full: float  # of what it takes below its head room


@dataclass(frozen=True, slots=True, kw_only=True)
class FillingSet:
    """A set of portions; `wort_l` is what they ask of the kettle."""

    fillings: tuple[Filling, ...]
    wort_l: float
    beer_l: float
    orphan_l: float
    cost: float


def fillings(
    brewery: Brewery,
    *,
    kegs_l: Sequence[float],
    bottle_l: float | None,
    wanted_l: float | None = None,
    most: int = 5,
) -> tuple[FillingSet, ...]:
    """Sets of portions that fill what there is, best first; each set of fermenters once.

    With `wanted_l` only sets of about as much wort are proposed.
    """
    kept: list[tuple[Filling, ...]] = [()]
    for fermenter in brewery.fermenters.values():
        ways = list(_ways(brewery, fermenter, kegs_l, bottle_l))
        grown = list(kept)
        for done in kept:
            left = _left(kegs_l, done)
            grown += [(*done, way) for way in ways if _has(left, way.kegs_l)]
        kept = _best(grown, wanted_l)
    room_l = sum(f.capacity_l for f in brewery.fermenters.values()) / (1.0 + HEAD_ROOM)
    made = [_set(done, room_l if wanted_l is None else wanted_l) for done in kept if done]
    if wanted_l is not None:
        made = [one for one in made if abs(one.wort_l / wanted_l - 1.0) <= NEAR]
    out: dict[tuple[object, ...], FillingSet] = {}
    for one in sorted(made, key=lambda one: one.cost):
        out.setdefault(_kinds(brewery, one), one)
    return tuple(out.values())[:most]


def _kinds(brewery: Brewery, one: FillingSet) -> tuple[object, ...]:
    """What sets are told apart by: two like fermenters that change places make no other set."""
    return tuple(
        sorted((brewery.fermenters[f.fermenter].capacity_l, f.kegs_l, bool(f.bottles)) for f in one.fillings)
    )


def _ways(
    brewery: Brewery, fermenter: Fermenter, kegs_l: Sequence[float], bottle_l: float | None
) -> Iterator[Filling]:
    """Every sensible filling of one fermenter."""
    most_l = fermenter.capacity_l / (1.0 + HEAD_ROOM)
    yields = _Yield(brewery, fermenter)
    sets = {
        tuple(sorted(some, reverse=True))
        for count in range(min(len(kegs_l), MOST_KEGS_OF_A_PORTION) + 1)
        for some in combinations(kegs_l, count)
    }
    for kegs in sorted(sets):
        in_kegs = sum(kegs)
        exact = yields.wort_for(in_kegs, in_keg=True)
        if kegs and LEAST_FULL * most_l <= exact <= most_l + 1e-9:
            yield _filling(fermenter, exact, in_kegs, kegs, 0, 0.0, most_l)
        spare = yields.beer_from(most_l, in_keg=bool(kegs)) - in_kegs
        if bottle_l and spare >= bottle_l:
            for bottles in _counts(math.floor(spare / bottle_l + 1e-9)):
                beer = in_kegs + bottles * bottle_l
                wort = yields.wort_for(beer, in_keg=bool(kegs))
                if wort >= LEAST_FULL * most_l:
                    yield _filling(fermenter, wort, beer, kegs, bottles, 0.0, most_l)
        elif kegs and not bottle_l and spare > 0.0:
            yield _filling(fermenter, most_l, in_kegs + spare, kegs, 0, spare, most_l)


def _counts(most: int) -> list[int]:
    """Numbers of bottles worth trying: as many as there is beer for, and fewer in even strides."""
    stride = max(most // BOTTLE_COUNTS, 1)
    return list(range(most, 0, -stride))


def _filling(
    fermenter: Fermenter,
    wort_l: float,
    beer_l: float,
    kegs: tuple[float, ...],
    bottles: int,
    orphan_l: float,
    most_l: float,
) -> Filling:
    return Filling(
        fermenter=fermenter.key,
        name=fermenter.name,
        wort_l=wort_l,
        beer_l=beer_l,
        kegs_l=kegs,
        bottles=bottles,
        orphan_l=orphan_l,
        full=wort_l / most_l,
    )


class _Yield:
    """Beer that can be drawn off one fermenter, by the wort in it; two runs tell a straight line."""

    def __init__(self, brewery: Brewery, fermenter: Fermenter) -> None:
        self.lines = {}
        for in_keg in (True, False):
            low, high = 0.5 * fermenter.capacity_l, 0.8 * fermenter.capacity_l
            beers = [_packed(brewery, fermenter, litres, in_keg) for litres in (low, high)]
            slope = (beers[1] - beers[0]) / (high - low)
            self.lines[in_keg] = slope, beers[0] - slope * low

    def beer_from(self, wort_l: float, *, in_keg: bool) -> float:
        slope, start = self.lines[in_keg]
        return max(start + slope * wort_l, 0.0)

    def wort_for(self, beer_l: float, *, in_keg: bool) -> float:
        slope, start = self.lines[in_keg]
        return (beer_l - start) / slope


def _packed(brewery: Brewery, fermenter: Fermenter, litres: float, in_keg: bool) -> float:
    """What a usual beer in this fermenter gives to its packages, at the middle of every figure. [L]"""
    plan = usual_plan(fermenter, in_keg=in_keg)
    model = Model(plan, brewery)
    figures = model.draw(np.zeros((1, len(model.figures)), order="F"))
    wort = Measured.as_strong_as(np.full(1, PLATO), litres).wort()
    course, _ = run_portion(plan, brewery, figures, plan.portions[0], wort, np.full(1, LIMIT))
    return float(np.ravel(course.packable_l)[0])


def usual_plan(fermenter: Fermenter, *, in_keg: bool) -> Plan:
    """A usual beer in this fermenter alone."""
    portion = Portion(
        key="any",
        name="any",
        fermenter=fermenter.key,
        share=1.0,
        yeast=_USUAL,
        package=Package(kind="keg" if in_keg else "bottles"),
    )
    return Plan(
        name="any",
        aims=Aims(),
        process=Process(kind="extract only"),
        liquor=Liquor(),
        grist=(),
        mash=(),
        boil_minutes=60.0,
        portions=(portion,),
    )


_USUAL = Yeast(
    kind="any",
    attenuation=0.77,
    attenuation_scatter=0.02,
    pitch_million_per_ml_plato=0.75,
    low_c=16.0,
    high_c=22.0,
    days=6.0,
)


def _left(kegs_l: Sequence[float], done: Sequence[Filling]) -> list[float]:
    """Kegs that are still empty."""
    left = sorted(kegs_l)
    for filling in done:
        for keg in filling.kegs_l:
            left.remove(keg)
    return left


def _has(left: Sequence[float], kegs: Sequence[float]) -> bool:
    return all(kegs.count(keg) <= left.count(keg) for keg in set(kegs))


def _best(grown: Sequence[tuple[Filling, ...]], wanted_l: float | None) -> list[tuple[Filling, ...]]:
    """The sets worth carrying on: none beyond the wanted litres, the cheapest of each size."""
    fit = [done for done in grown if wanted_l is None or sum(f.wort_l for f in done) <= wanted_l * (1 + NEAR)]
    by_size: dict[int, list[tuple[Filling, ...]]] = {}
    for done in fit:
        by_size.setdefault(round(sum(f.wort_l for f in done)), []).append(done)
    out = []
    for some in by_size.values():
        out += sorted(some, key=lambda done: _set(done, None).cost)[: max(KEPT // len(by_size), 3)]
    return out


def _set(done: tuple[Filling, ...], wanted_l: float | None) -> FillingSet:
    wort = sum(f.wort_l for f in done)
    orphan = sum(f.orphan_l for f in done)
    cost = orphan + VESSEL * len(done)
    cost += sum(AIR * max(1.0 - f.full, 0.0) + PART_BOTTLED * bool(f.kegs_l and f.bottles) for f in done)
    cost -= KEG_FILLED * sum(len(f.kegs_l) for f in done)
    if wanted_l is not None:
        cost += OFF_TARGET * abs(wort / wanted_l - 1.0)
    return FillingSet(
        fillings=done, wort_l=wort, beer_l=sum(f.beer_l for f in done), orphan_l=orphan, cost=cost
    )
