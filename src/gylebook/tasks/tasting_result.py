"""Tell what the answers of a blind test show, and what a panel would notice before it tastes.

In:  a test as it stands in the book; or a number of tasters.
Out: `Result`; `Promise`, what each kind of test would notice.

Idea: with few tasters the answer is a range and not a verdict.  Beside how often luck alone does as well
stands how far apart the beers may be, and what such a panel could have noticed at all.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gylebook.brewery.tasting import Tasting, TestKind
from gylebook.decide.tasting import Offer as Offer
from gylebook.decide.tasting import offers
from gylebook.process.guessing import able_interval, likeness, luck, luck_either_way, odds_of_each
from gylebook.process.perceiving import (
    CHANCE,
    Way,
    answers_needed,
    distance_interval,
    odds_of_noticing_again,
    share_right,
)
from gylebook.process.ranking import (
    friedman,
    least_difference,
    luck_of_order,
    luck_of_pair,
    rank_sums,
)
from gylebook.tasks.tasting import TastingInBook

SIZES: dict[str, float] = {"small": 1.0, "middling": 1.5, "large": 2.0}
"""Distances d′ by the words used for them."""

USUAL_LIKENESS = 0.2  # of two answers of one taster, to look ahead with; judgement
MOST_ANSWERS = 120
Interval = tuple[float, float, float]  # low, middle or likeliest, high; infinite where nothing bounds it


@dataclass(frozen=True, slots=True, kw_only=True)
class OfTaster:
    """How one taster did; `who` is the name given with the last answer."""

    taster: int
    who: str
    right: int
    answers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PairOfRanks:
    """Two ranked beers, the more first: how far their sums part, and how often luck parts two so far."""

    more: int
    less: int
    apart: int
    luck: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What the answers show.  `right` of a pair counts those who named `named`.

    `luck` is the p-value, `by_luck` the right answers to expect when all guess, `by_chance` the odds of every
    number of them; `noticed` the odds with which so many answers notice each of `SIZES`.  Of a ranking
    `sums` are its rank sums, the least the most.
    """

    kind: TestKind
    answers: int
    missing: int
    right: int
    by_luck: float
    luck: float
    exact: bool
    either_way: bool
    named: int | None
    distance: Interval | None
    able: Interval | None
    alike: float
    noticed: dict[str, float]
    tasters: tuple[OfTaster, ...]
    by_chance: tuple[float, ...] = ()
    sums: tuple[int, ...] = ()
    statistic: float = 0.0
    least_apart: float = 0.0
    pairs: tuple[PairOfRanks, ...] = ()

    @property
    def early(self) -> bool:
        """Whether answers are still to come."""
        return self.missing > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What tasters would notice, before anything is poured: `needed` answers for each of `SIZES`."""

    tasters: int
    offers: tuple[Offer, ...]
    needed: dict[TestKind, dict[str, int | None]]
    pair_named: dict[str, float]


def result_of(found: TastingInBook) -> Result | None:
    """What the answers so far show; None before the first."""
    if not found.answers:
        return None
    if found.tasting.kind == "ranking":
        return _of_ranking(found)
    return _of_choices(found, found.tasting.kind)


def promise(tasters: int, *, trait: bool = False, either_way: bool = False, rounds: int = 3) -> Promise:
    """What so many tasters notice by a pair, where a trait is named, or by tetrad and triangle."""
    kinds: tuple[TestKind, ...] = ("paired",) if trait else ("tetrad", "triangle")

    def odds(kind: TestKind, many: int) -> tuple[float, ...]:
        return tuple(noticed(kind, tasters, many, either_way=either_way).values())

    return Promise(
        tasters=tasters,
        offers=offers(tasters, kinds, tuple(range(1, rounds + 1)), odds),
        needed={kind: _needed(kind, either_way) for kind in kinds},
        pair_named={size: float(share_right("paired", distance)) for size, distance in SIZES.items()},
    )


def noticed(kind: TestKind, tasters: int, rounds: int, *, either_way: bool = False) -> dict[str, float]:
    """Odds of noticing each of `SIZES`; tasters who taste again are taken to differ as people do."""
    if kind == "ranking":
        return {}
    return {
        size: odds_of_noticing_again(kind, tasters, rounds, distance, USUAL_LIKENESS, either_way=either_way)
        for size, distance in SIZES.items()
    }


def _needed(kind: TestKind, either_way: bool) -> dict[str, int | None]:
    if kind == "ranking":
        return {}
    return {
        size: answers_needed(kind, distance, either_way=either_way, most=MOST_ANSWERS)
        for size, distance in SIZES.items()
    }


def _of_choices(found: TastingInBook, way: Way) -> Result:
    tasting = found.tasting
    beers = [
        _beers_picked(tasting, one.answer.taster, one.answer.round, one.answer.picked)
        for one in found.answers
    ]
    named, either_way = None, False
    if way == "paired":
        counts = [sum(picked == (beer,) for picked in beers) for beer in (0, 1)]
        either_way = tasting.foretold is None
        named = int(counts[1] > counts[0]) if tasting.foretold is None else tasting.foretold
        hits = [picked == (named,) for picked in beers]
    else:
        hits = [
            _is_right(tasting, one.answer.taster, one.answer.round, picked)
            for one, picked in zip(found.answers, beers, strict=True)
        ]
    right, answers = sum(hits), len(hits)
    tasters = _by_taster(found, hits)
    alike = likeness(np.array([t.right for t in tasters]), np.array([t.answers for t in tasters]))
    # Answers of one taster that are alike count for less than answers of as many tasters.
    weight = 1.0 / (1.0 + (answers / len(tasters) - 1.0) * alike)
    judged = len(tasters), max(round(answers / len(tasters)), 1)
    return Result(
        kind=way,
        answers=answers,
        missing=found.missing,
        right=right,
        by_luck=answers * CHANCE[way],
        luck=luck_either_way(right, answers) if either_way else luck(right, answers, CHANCE[way]),
        exact=True,
        either_way=either_way,
        named=named,
        distance=distance_interval(way, right * weight, answers * weight),
        able=None if way == "paired" else able_interval(right * weight, answers * weight, CHANCE[way]),
        alike=alike,
        noticed=noticed(way, *judged, either_way=either_way),
        tasters=tasters,
        by_chance=tuple(float(odds) for odds in odds_of_each(answers, CHANCE[way])),
    )


def _beers_picked(tasting: Tasting, taster: int, round: int, picked: tuple[str, ...]) -> tuple[int, ...]:
    (of,) = [one for one in tasting.sets if (one.taster, one.round) == (taster, round)]
    return tuple(of.beers[of.codes.index(code)] for code in picked)


def _is_right(tasting: Tasting, taster: int, round: int, picked: tuple[int, ...]) -> bool:
    """Whether the odd glass was picked, or two glasses of one beer grouped."""
    if tasting.kind == "tetrad":
        return picked[0] == picked[1]
    (of,) = [one for one in tasting.sets if (one.taster, one.round) == (taster, round)]
    return of.beers.count(picked[0]) == 1


def _by_taster(found: TastingInBook, hits: list[bool]) -> tuple[OfTaster, ...]:
    counts: dict[int, list[bool]] = {}
    names: dict[int, str] = {}
    for one, hit in zip(found.answers, hits, strict=True):
        counts.setdefault(one.answer.taster, []).append(hit)
        names[one.answer.taster] = one.event.who or names.get(one.answer.taster, "")
    return tuple(
        OfTaster(taster=taster, who=names[taster], right=sum(mine), answers=len(mine))
        for taster, mine in sorted(counts.items())
    )


def _of_ranking(found: TastingInBook) -> Result:
    tasting, beers = found.tasting, len(found.tasting.poured)
    orders = [
        _beers_picked(tasting, one.answer.taster, one.answer.round, one.answer.picked)
        for one in found.answers
    ]
    ranks = np.array([[order.index(beer) + 1 for beer in range(beers)] for order in orders])
    sums, tasters = rank_sums(ranks), len(orders)
    odds, exact = luck_of_order(sums, tasters)
    by_sum = sorted(range(beers), key=lambda beer: (sums[beer], beer))
    pairs = [
        PairOfRanks(
            more=more,
            less=less,
            apart=int(sums[less] - sums[more]),
            luck=luck_of_pair(int(sums[less] - sums[more]), beers, tasters),
        )
        for place, more in enumerate(by_sum)
        for less in by_sum[place + 1 :]
    ]
    return Result(
        kind="ranking",
        answers=tasters,
        missing=found.missing,
        right=0,
        by_luck=tasters * (beers + 1) / 2.0,
        luck=odds,
        exact=exact,
        either_way=True,
        named=None,
        distance=None,
        able=None,
        alike=0.0,
        noticed={},
        tasters=_by_taster(found, [False] * tasters),
        sums=tuple(int(one) for one in sums),
        statistic=friedman(sums, tasters),
        least_apart=least_difference(beers, tasters),
        pairs=tuple(pairs),
    )
