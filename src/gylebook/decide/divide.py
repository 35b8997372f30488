"""Divide: from the beers wanted to one wort, and what each beer gets of its own.

In:  a wish, a brewery, how many futures to draw and their seed.
Out: `Division`: several distinct solutions, best first, each a plan with all amounts solved and the odds that
     every beer lies within its aims; and what stands between beers that no one wort serves.

Idea: the search on small tables proposes; the forward run of the whole plan on all draws disposes.  Other
solutions are asked for by taking out of play, one after the other, what the first one leans on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.plan import Aims, Plan
from gylebook.brewery.site import Brewery
from gylebook.brewery.wish import Wish
from gylebook.decide.bench import Bench, Outcome
from gylebook.decide.conflicts import Conflict, Unmade, conflicts, unmade
from gylebook.decide.nearness import RISK, Nearness, nearness, odds_of_all
from gylebook.decide.solve import solve
from gylebook.decide.wished import Choice, grist_of, plan_of, wort_l
from gylebook.decide.wort_search import Banned, Wort, WortSearch
from gylebook.errors import NotConverged, OutsideValidity, Refused
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits
from gylebook.gyle.names import Named
from gylebook.gyle.pitch import pitches

MOST_SOLUTIONS, TRIED = 4, 6
LEAST_HOPPED = 0.5  # IBU; less is no reason to weigh hops
PRICES = (0.0, 0.02, 0.05, 0.1, 0.2, 0.4, 0.8)  # of a litre of wort, until what the gear makes is enough
LEAST_FILLED = 0.3  # of the fermenters; gear that makes less is no gear for them
LIMIT_LOST = 4.0  # what a limit that is not kept costs, in squared steps
WORSE_BY = 25.0  # a solution that costs this much more than the best is none
PITCHED_ENOUGH = 0.85  # of the usual count, below which another pack is opened
COLOUR_CLOSE = 0.02  # relative, what counts as met
COLOUR_TRIES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class BeerMade:
    """One beer of a solution: what it gets, how near it lies, and the odds of all of that at once."""

    choice: Choice
    nearness: tuple[Nearness, ...]
    odds_all: float

    @property
    def missed(self) -> tuple[Nearness, ...]:
        """What lies outside its span at the middle of the forecast."""
        return tuple(near for near in self.nearness if near.steps != 0.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """One wort and what becomes of it: the plan as asked for and as solved, and its forecast."""

    asked: Plan
    plan: Plan
    beers: tuple[BeerMade, ...]
    limits: tuple[Limit, ...]
    numbers: Named
    cost: float

    @property
    def served(self) -> bool:
        """Whether every beer lies within its aims at the middle of the forecast."""
        return not any(beer.missed for beer in self.beers)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Division:
    """What came of a wish: solutions, best first.

    Where the best does not serve every beer, `conflicts` and `unmade` tell what stands in the way.
    """

    solutions: tuple[Solution, ...]
    conflicts: tuple[Conflict, ...] = ()
    unmade: tuple[Unmade, ...] = ()


def divide(wish: Wish, brewery: Brewery, *, draws: int, seed: int, most: int = MOST_SOLUTIONS) -> Division:
    """Several ways to make the beers of a wish from one wort.

    Raises NotConverged where no grain and liquor make any wort for them with this process and gear.
    """
    search, price = _fitting(wish, brewery)
    found = _different(search, price)
    made = []
    for wort in found[:TRIED]:
        if wort.cost > found[0].cost + WORSE_BY:
            break
        try:
            made.append(_made(search, wort, brewery, draws, seed))
        except (NotConverged, OutsideValidity, Refused) as stuck:
            reason = stuck
    if not made:
        raise NotConverged(f"No wort for these beers comes of this process and gear. {reason}")
    solutions = _ranked(made)[:most]
    if solutions[0].served:
        return Division(solutions=solutions)
    return Division(solutions=solutions, conflicts=conflicts(search), unmade=unmade(search))


def _fitting(wish: Wish, brewery: Brewery) -> tuple[WortSearch, float]:
    """The search whose wort the gear can make, and the price of a litre at which it asks for no more.

    A stronger wort, let down in the fermenters, is asked for first; then fermenters that were to be filled
    are filled less.  Where volumes were asked for, the limits tell what cannot be kept.
    """
    search = WortSearch(Bench(wish, brewery))
    wort = search.best(Banned())
    for price in PRICES:
        wort = search.best(Banned(price=price))
        if _drawn(search, wort) <= search.bench.most_l(wort.plato):
            return search, price
    if all(beer.volume_l is not None for beer in wish.beers):
        return search, 0.0
    filled = max(search.bench.most_l(wort.plato) / _drawn(search, wort), LEAST_FILLED)
    return WortSearch(Bench(wish, brewery, filled=filled)), PRICES[1]


def _drawn(search: WortSearch, wort: Wort) -> float:
    return sum(wort_l(search.wish, choice) for choice in wort.choices)


def _different(search: WortSearch, price: float) -> list[Wort]:
    """The best wort, and the best without each thing that it leans on; each set of work once, best first."""
    best = search.best(Banned(price=price))
    found = {_work(best): best}
    for banned in _leanings(best, price):
        try:
            other = search.best(banned)
        except NotConverged:
            continue
        found.setdefault(_work(other), other)
    return sorted(found.values(), key=lambda wort: wort.cost)


def _leanings(best: Wort, price: float) -> Iterator[Banned]:
    used = {(c.beer.key, t) for c in best.choices for t in c.treatments}
    kinds = {t for _, t in used}
    for treatment in sorted(kinds):
        yield Banned(treatments=frozenset({("", treatment)}), price=price)
    for one in sorted(used):
        yield Banned(treatments=frozenset({one}), price=price)
    if used:
        yield Banned(treatments=frozenset(("", t) for t in kinds))
    for dearer in PRICES:
        if dearer > price:
            yield Banned(price=dearer)
    for choice in best.choices:
        yield Banned(yeasts=frozenset({(choice.beer.key, choice.way.yeast.kind)}), price=price)


def _work(wort: Wort) -> tuple[tuple[str, ...], ...]:
    """What is done for each beer: two worts for which that is the same are one solution."""
    return tuple(choice.treatments for choice in wort.choices)


def _made(search: WortSearch, wort: Wort, brewery: Brewery, draws: int, seed: int) -> Solution:
    """The wort as a plan, solved and forecast on all draws."""
    asked = _plan(search, wort, brewery)
    latents = standard_normal_latents(draws, len(Model(asked, brewery).figures), seed)
    plan = solve(asked, brewery, latents)
    asked = _at_the_middle(_with_packs(asked, plan, brewery), plan, brewery, latents)
    plan = solve(asked, brewery, latents)
    model = Model(plan, brewery)
    numbers, course = model.forecast(latents), model.course(latents)
    judged = limits(plan, brewery, model.draw(latents), course)
    beers = tuple(
        BeerMade(
            choice=choice,
            nearness=nearness(choice.beer.aims, numbers, choice.beer.key),
            odds_all=odds_of_all(choice.beer.aims, numbers, choice.beer.key),
        )
        for choice in wort.choices
    )
    lost = sum(limit.odds_kept < plan.aims.odds for limit in judged)
    missed = sum(near.steps**2 for beer in beers for near in beer.missed)
    missed += RISK * sum(1.0 - near.odds_inside for beer in beers for near in beer.nearness)
    trouble = sum(search.trouble_of(choice) for choice in wort.choices)
    return Solution(
        asked=asked,
        plan=plan,
        beers=beers,
        limits=judged,
        numbers=numbers,
        cost=missed + trouble + LIMIT_LOST * lost,
    )


def _plan(search: WortSearch, wort: Wort, brewery: Brewery) -> Plan:
    """The plan whose grain, liquor and hops make this wort; its grist is found by its colour."""
    wish, bench = search.wish, search.bench
    outcomes = [bench.outcome(choice, np.array([wort.plato]), wort.ibu, wort.srm) for choice in wort.choices]
    litres = sum(float(o.volume_l[0]) for o in outcomes)
    kilograms = sum(float(o.mass_kg[0]) for o in outcomes)
    kettle_mg = sum(wort.ibu * wort_l(wish, choice) for choice in wort.choices)
    hopped = kettle_mg / litres >= LEAST_HOPPED
    plan = plan_of(wish, wort.choices)
    plan = replace(
        plan,
        aims=Aims(
            volume_l=litres,
            plato=sum(float(o.plato[0] * o.mass_kg[0]) for o in outcomes) / kilograms,
            bitterness_ibu=round(kettle_mg / litres, 1) if hopped else None,
            mash_ph=wish.base.aims.mash_ph,
            odds=wish.base.aims.odds,
        ),
        hops=tuple(hop for hop in plan.hops if hopped or hop.portion is not None),
    )
    return _with_grist(wish, plan, brewery, _darkness(outcomes) / litres)


def _darkness(outcomes: Sequence[Outcome]) -> float:
    return sum(float(o.srm[0] * o.volume_l[0]) for o in outcomes)


def _with_grist(wish: Wish, plan: Plan, brewery: Brewery, srm: float) -> Plan:
    """The plan with as much colour grain as makes its beers so dark on the whole."""

    bare = replace(
        plan,
        aims=replace(plan.aims, bitterness_ibu=None, mash_ph=None, odds=0.5),
        hops=tuple(hop for hop in plan.hops if hop.portion is not None),
    )

    def off(part: float) -> float:
        trial = replace(bare, grist=grist_of(wish, part))
        middle = np.zeros((1, len(Model(trial, brewery).figures)), order="F")
        numbers = Model(solve(trial, brewery, middle), brewery).forecast(middle)
        return math.log(float(np.median(numbers["colour_srm"])) / srm)

    if not wish.colour_grains:
        return replace(plan, grist=grist_of(wish, 0.0))
    (low, below), (high, above) = (0.0, off(0.0)), (1.0, off(1.0))
    part = 0.0 if below >= 0.0 else 1.0
    for _ in range(COLOUR_TRIES if below < 0.0 < above else 0):
        part = low + (high - low) * float(np.clip(-below / (above - below), 0.1, 0.9))
        missed = off(part)
        if abs(missed) < COLOUR_CLOSE:
            break
        if missed < 0.0:
            low, below = part, missed
        else:
            high, above = part, missed
    return replace(plan, grist=grist_of(wish, part))


def _with_packs(asked: Plan, solved: Plan, brewery: Brewery) -> Plan:
    """The plan with as many whole packs as the count of each portion wants."""
    model = Model(solved, brewery)
    middle = np.zeros((1, len(model.figures)), order="F")
    portions = []
    for portion, pitch in zip(
        asked.portions, pitches(solved, model.draw(middle), model.course(middle).portions), strict=True
    ):
        each = float(np.median(pitch.given)) / portion.yeast.packs
        packs = max(math.ceil(PITCHED_ENOUGH * float(np.median(pitch.needed)) / each), 1)
        portions.append(replace(portion, yeast=replace(portion.yeast, packs=float(packs))))
    return replace(asked, portions=tuple(portions))


def _at_the_middle(asked: Plan, solved: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan whose fermenters hold at the middle what they were to hold, be the odds what they may."""
    aimed = asked.aims.volume_l or 0.0
    middle = float(np.median(Model(solved, brewery).forecast(latents)["fermenters.volume_l"]))
    return replace(asked, aims=replace(asked.aims, volume_l=round(aimed * aimed / middle, 1)))


def _ranked(made: Sequence[Solution]) -> tuple[Solution, ...]:
    """Best first; what is far worse than the best is no solution."""
    out = sorted(made, key=lambda solution: solution.cost)
    return tuple(one for one in out if one.cost <= out[0].cost + WORSE_BY)
