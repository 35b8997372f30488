"""Set up a blind test: which kind suits a panel, in which order each taster gets the glasses, and the codes.

In:  a kind of test, how many taste how often, a seed; how well each kind would notice.
Out: sets of glasses; kinds in the order of their worth; the beer that is needed.

Idea: an order that comes more often than another lets the place of a glass pass for its taste.  So every
order comes equally often, as near as the number of sets allows, and luck only deals out who gets which.
The same seed gives the same sheet.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import TypeVar

from gylebook.brewery.tasting import FOAM, GLASS_ML, GLASSES, GlassSet, TestKind

ORDERS: dict[TestKind, tuple[str, ...]] = {
    "triangle": ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB"),
    "tetrad": ("AABB", "ABAB", "ABBA", "BBAA", "BABA", "BAAB"),
    "paired": ("AB", "BA"),
}
T = TypeVar("T")

_UPSIDE_DOWN = str.maketrans("01689", "01986")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One way to taste: the odds that it notices, at each distance asked about."""

    kind: TestKind
    rounds: int
    odds: tuple[float, ...]
    glasses: int
    beer_ml: float


def serving(kind: TestKind, beers: int, tasters: int, rounds: int, seed: int) -> tuple[GlassSet, ...]:
    """Every taster's sets, in the order of tasters and rounds."""
    luck = random.Random(seed)
    orders = _dealt(orders_of(kind, beers), tasters * rounds, luck)
    codes = _codes(luck)
    sets = []
    for taster in range(1, tasters + 1):
        in_hand: list[str] = []
        for round in range(1, rounds + 1):
            order = next(orders)
            mine = tuple(_next_code(codes, in_hand) for _ in order)
            sets.append(GlassSet(taster=taster, round=round, beers=order, codes=mine))
    return tuple(sets)


def orders_of(kind: TestKind, beers: int) -> list[tuple[int, ...]]:
    """Every order in which a set is poured; of a ranking those in which each beer stands in each place and
    follows each other equally often."""
    if kind != "ranking":
        return [tuple("AB".index(beer) for beer in order) for order in ORDERS[kind]]
    if beers <= 3:
        return list(permutations(range(beers)))
    # A Latin square after Williams; an odd number of beers wants its mirror image too.
    first = [0]
    for step in range(1, beers):
        first.append((step + 1) // 2 if step % 2 else beers - step // 2)
    square = [tuple((place + row) % beers for place in first) for row in range(beers)]
    return square if beers % 2 == 0 else square + [order[::-1] for order in square]


def beer_needed(kind: TestKind, beers: int, sets: int, glass_ml: float = GLASS_ML) -> float:
    """Of each beer, with what is lost to foam. [mL]"""
    return glasses_needed(kind, beers, sets) / beers * glass_ml * (1.0 + FOAM)


def glasses_needed(kind: TestKind, beers: int, sets: int) -> int:
    """Of all beers, for so many sets."""
    return GLASSES.get(kind, beers) * sets


def offers(
    tasters: int,
    kinds: tuple[TestKind, ...],
    rounds: tuple[int, ...],
    odds: Callable[[TestKind, int], tuple[float, ...]],
) -> tuple[Offer, ...]:
    """Every way to taste with these tasters, best first; `odds` of a kind in so many rounds.

    What is as good with fewer glasses stands before what asks for more.
    """
    found = [
        Offer(
            kind=kind,
            rounds=many,
            odds=odds(kind, many),
            glasses=glasses_needed(kind, 2, tasters * many),
            beer_ml=beer_needed(kind, 2, tasters * many),
        )
        for kind in kinds
        for many in rounds
    ]
    return tuple(sorted(found, key=lambda offer: (-round(sum(offer.odds), 2), offer.glasses)))


def _dealt(orders: list[tuple[int, ...]], sets: int, luck: random.Random) -> Iterator[tuple[int, ...]]:
    """Each order once, shuffled, then each once more; of what is left over no order twice.

    With two beers an order is followed by the one with the beers changed over: neither is poured more.
    """
    halves = [order for order in orders if order[0] == 0] if max(map(max, orders)) == 1 else []
    for _ in range(-(-sets // len(orders))):
        if not halves:
            yield from _shuffled(orders, luck)
        for order in _shuffled(halves, luck):
            yield from _shuffled([order, tuple(1 - beer for beer in order)], luck)


def _codes(luck: random.Random) -> list[str]:
    """Every code of three digits that is not one digit thrice, shuffled."""
    return _shuffled([f"{n}" for n in range(100, 1000) if len(set(f"{n}")) > 1], luck)


def _next_code(codes: list[str], in_hand: list[str]) -> str:
    """The next code that none in a taster's hand can be taken for."""
    place = next(n for n, code in enumerate(codes) if not any(_alike(code, other) for other in in_hand))
    code = codes.pop(place)
    in_hand.append(code)
    return code


def _alike(one: str, other: str) -> bool:
    """Whether two codes share two places or all their digits, or are one another upside down."""
    same = sum(a == b for a, b in zip(one, other, strict=True))
    return same > 1 or sorted(one) == sorted(other) or one.translate(_UPSIDE_DOWN)[::-1] == other


def _shuffled(things: Sequence[T], luck: random.Random) -> list[T]:
    """A new list in an order that depends on nothing but the seed, whatever Python runs it."""
    out = list(things)
    for last in range(len(out) - 1, 0, -1):
        other = int(luck.random() * (last + 1))
        out[last], out[other] = out[other], out[last]
    return out
