"""List the changes that could bear on a limit: of the plan, of the way, of the gear.

In:  a plan as it was asked for, its brewery, and the limit.
Out: `Deed`s, each with what so many steps of it make of plan and brewery.

Idea: a step is of a size that a brewer would take: half a litre, a degree, a pack.  Which limit a change
could bear on at all is a table here; whether it does is found by `fixes`, which runs it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from gylebook.brewery.plan import Plan, Portion, ProcessKind
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.gyle.house import heat_source_of
from gylebook.gyle.limits import Limit

HALF_LITRE, DEGREE, HALF_KILOWATT, A_HUNDREDTH = 0.5, 1.0, 0.5, 0.01
MOST_OF_VOLUME = 0.4  # of the gyle, that may be held back or added later
LARGEST_VESSEL = 2.0  # times the vessel at hand
MOST_PACKS = 6
WARMEST_START, WARMEST_CHILL = 60.0, 35.0  # °C, liquor drawn hot from the tap; what ice can finish
MOST_KILOWATTS = 12.0

DeedName = Literal[
    "hold liquor back",
    "liquor in the fermenters",
    "make less",
    "less of it here",
    "another way",
    "larger vessel",
    "warmer liquor",
    "more power",
    "chill less far",
    "hoist",
    "more packs",
    "ferment at",
]

Pair = tuple[Plan, Brewery]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A kind of change: what so many steps of it make of plan and brewery.

    `amount` tells what the changed thing then is, in base units of `dimension`; `of` names the vessel,
    the portion or the way.
    """

    name: DeedName
    steps: int
    of: str
    dimension: str
    amount: Callable[[int], float]
    make: Callable[[int], Pair]


def deeds(plan: Plan, brewery: Brewery, limit: Limit) -> Iterator[Deed]:
    """Every kind of change that bears on such a limit."""
    name, vessel, portion = limit.name, limit.vessel, limit.portion
    kinds = BEARING.get(name, ())
    volume = plan.aims.volume_l
    if "later liquor" in kinds:
        most = int(MOST_OF_VOLUME * (volume or 20.0) / HALF_LITRE)
        if name != "kettle brim at the end":
            yield _hold_back(plan, brewery, most)
        yield _in_the_fermenters(plan, brewery, most)
    if "way" in kinds:
        yield from _other_ways(plan, brewery)
    if "share" in kinds and portion is not None and len(plan.portions) > 1:
        yield from _less_here(plan, brewery, portion)
    if "less" in kinds and volume is not None and openings(plan).grain:
        yield _make_less(plan, brewery, volume)
    if "vessel" in kinds:
        yield from _larger(plan, brewery, vessel, portion)
    if "heat" in kinds:
        yield _warmer(plan, brewery)
        yield _stronger(plan, brewery, vessel)
    if "chill" in kinds and plan.chill_c < WARMEST_CHILL:
        yield _chill_less(plan, brewery)
    if "hoist" in kinds:
        yield _hoisted(plan, brewery)
    if "packs" in kinds and portion is not None:
        yield _packs(plan, brewery, portion)
    if "warmth" in kinds and portion is not None:
        yield _ferment_at(plan, brewery, portion)


BEARING: Mapping[str, tuple[str, ...]] = {
    "mash brim": ("later liquor", "way", "less", "vessel"),
    "mash thickness": ("way", "less"),
    "rinse vessel brim": ("later liquor", "way", "less", "vessel"),
    "bag weight": ("hoist", "less"),
    "foam room": ("later liquor", "less", "vessel"),
    "kettle brim at the end": ("later liquor", "less", "vessel"),
    "heating the liquor": ("heat", "less"),
    "heating the rinse": ("heat", "less"),
    "heating to the boil": ("later liquor", "heat", "less"),
    "cooling": ("chill", "later liquor", "less"),
    "head room": ("share", "less", "vessel"),
    "yeast count": ("packs", "less"),
    "fermentation temperature": ("warmth",),
}


def _hold_back(plan: Plan, brewery: Brewery, most: int) -> Deed:
    def amount(steps: int) -> float:
        return plan.liquor.kettle_l + steps * HALF_LITRE

    def make(steps: int) -> Pair:
        return replace(plan, liquor=replace(plan.liquor, kettle_l=amount(steps))), brewery

    return Deed(name="hold liquor back", steps=most, of="", dimension="volume", amount=amount, make=make)


def _in_the_fermenters(plan: Plan, brewery: Brewery, most: int) -> Deed:
    """Liquor to every portion by its share, or alike where shares are not given."""
    whole = sum(portion.share or 0.0 for portion in plan.portions)

    def part(portion: Portion) -> float:
        return (portion.share or 0.0) / whole if whole else 1.0 / len(plan.portions)

    def poured(portion: Portion, steps: int) -> float:
        return round(portion.top_up_l + part(portion) * steps * HALF_LITRE, 2)

    def make(steps: int) -> Pair:
        portions = tuple(replace(p, top_up_l=poured(p, steps)) for p in plan.portions)
        return replace(plan, portions=portions), brewery

    return Deed(
        name="liquor in the fermenters",
        steps=most,
        of="",
        dimension="volume",
        amount=lambda steps: sum(poured(portion, steps) for portion in plan.portions),
        make=make,
    )


def _make_less(plan: Plan, brewery: Brewery, volume: float) -> Deed:
    def amount(steps: int) -> float:
        return volume - steps * HALF_LITRE

    def make(steps: int) -> Pair:
        return replace(plan, aims=replace(plan.aims, volume_l=amount(steps))), brewery

    most = int(0.8 * volume / HALF_LITRE)
    return Deed(name="make less", steps=most, of="", dimension="volume", amount=amount, make=make)


def _less_here(plan: Plan, brewery: Brewery, key: str) -> Iterator[Deed]:
    """A smaller share of the wort for one portion; the others take what it gives up, by their own shares."""
    shares = {portion.key: portion.share for portion in plan.portions}
    own = shares[key]
    others = sum(share or 0.0 for other, share in shares.items() if other != key)
    if own is None or others <= 0.0 or any(share is None for share in shares.values()):
        return

    def left(steps: int) -> float:
        return round(own - steps * A_HUNDREDTH, 3)

    def make(steps: int) -> Pair:
        grown = (own + others - left(steps)) / others
        portions = tuple(
            replace(p, share=left(steps) if p.key == key else round((p.share or 0.0) * grown, 3))
            for p in plan.portions
        )
        return replace(plan, portions=portions), brewery

    most = int(own / A_HUNDREDTH) - 1
    if most > 0:
        yield Deed(name="less of it here", steps=most, of=key, dimension="share", amount=left, make=make)


def _other_ways(plan: Plan, brewery: Brewery) -> Iterator[Deed]:
    """The same beer rinsed otherwise, where its liquor is open."""
    wanted = openings(plan)
    if not (wanted.grain and wanted.mash_liquor):
        return
    kinds: tuple[ProcessKind, ...] = ("dunk rinse", "poured rinse")
    for kind in kinds:
        if kind == plan.process.kind or (kind == "dunk rinse" and brewery.rinse is None):
            continue
        if plan.process.kind not in ("full volume", *kinds):
            continue
        changed = replace(plan, process=replace(plan.process, kind=kind))
        yield Deed(
            name="another way",
            steps=1,
            of=kind,
            dimension="",
            amount=lambda steps: 0.0,
            make=lambda steps, changed=changed: (changed, brewery),  # type: ignore[misc]
        )


def _larger(plan: Plan, brewery: Brewery, name: str, portion: str | None) -> Iterator[Deed]:
    if portion is not None:
        key = next(p.fermenter for p in plan.portions if p.key == portion)
        fermenter = brewery.fermenters[key]

        def make_fermenter(steps: int) -> Pair:
            larger = replace(fermenter, capacity_l=fermenter.capacity_l + steps * HALF_LITRE)
            return plan, replace(brewery, fermenters={**brewery.fermenters, key: larger})

        yield _vessel_deed(fermenter.name, fermenter.capacity_l, make_fermenter)
        return
    found = next(((k, v) for k, v in brewery.vessels.items() if v.name == name), None)
    if found is None:
        return
    vessel_key, vessel = found

    def make(steps: int) -> Pair:
        larger = replace(vessel, capacity_l=vessel.capacity_l + steps * HALF_LITRE)
        return plan, replace(brewery, vessels={**brewery.vessels, vessel_key: larger})

    yield _vessel_deed(vessel.name, vessel.capacity_l, make)


def _vessel_deed(name: str, capacity_l: float, make: Callable[[int], Pair]) -> Deed:
    return Deed(
        name="larger vessel",
        steps=int((LARGEST_VESSEL - 1.0) * capacity_l / HALF_LITRE),
        of=name,
        dimension="volume",
        amount=lambda steps: capacity_l + steps * HALF_LITRE,
        make=make,
    )


def _warmer(plan: Plan, brewery: Brewery) -> Deed:
    def amount(steps: int) -> float:
        return brewery.liquor_c + steps * DEGREE

    most = max(int(WARMEST_START - brewery.liquor_c), 1)
    return Deed(
        name="warmer liquor",
        steps=most,
        of="",
        dimension="temperature",
        amount=amount,
        make=lambda steps: (plan, replace(brewery, liquor_c=amount(steps))),
    )


def _stronger(plan: Plan, brewery: Brewery, vessel: str) -> Deed:
    key = next((k for k, v in brewery.vessels.items() if v.name == vessel), brewery.kettle)
    fire = heat_source_of(brewery, key)

    def amount(steps: int) -> float:
        return fire.power_kw + steps * HALF_KILOWATT

    def make(steps: int) -> Pair:
        sources = tuple(
            replace(s, power_kw=amount(steps)) if s.key == fire.key else s for s in brewery.heat_sources
        )
        return plan, replace(brewery, heat_sources=sources)

    most = max(int((MOST_KILOWATTS - fire.power_kw) / HALF_KILOWATT), 1)
    return Deed(name="more power", steps=most, of=fire.name, dimension="power", amount=amount, make=make)


def _chill_less(plan: Plan, brewery: Brewery) -> Deed:
    def amount(steps: int) -> float:
        return plan.chill_c + steps * DEGREE

    return Deed(
        name="chill less far",
        steps=max(int(WARMEST_CHILL - plan.chill_c), 1),
        of="",
        dimension="temperature",
        amount=amount,
        make=lambda steps: (replace(plan, chill_c=amount(steps)), brewery),
    )


def _hoisted(plan: Plan, brewery: Brewery) -> Deed:
    """A hoist rated for so many kilograms, in steps of ten."""
    start = brewery.bag.hoist_kg or 0.0

    def amount(steps: int) -> float:
        return start + 10.0 * steps

    return Deed(
        name="hoist",
        steps=30,
        of="",
        dimension="mass",
        amount=amount,
        make=lambda steps: (plan, replace(brewery, bag=replace(brewery.bag, hoist_kg=amount(steps)))),
    )


def _packs(plan: Plan, brewery: Brewery, key: str) -> Deed:
    packs = math.ceil(next(p.yeast.packs for p in plan.portions if p.key == key))

    def with_yeast(portion: Portion, steps: int) -> Portion:
        return replace(portion, yeast=replace(portion.yeast, packs=float(packs + steps)))

    def make(steps: int) -> Pair:
        portions = tuple(with_yeast(p, steps) if p.key == key else p for p in plan.portions)
        return replace(plan, portions=portions), brewery

    return Deed(
        name="more packs",
        steps=MOST_PACKS,
        of=key,
        dimension="count",
        amount=lambda steps: packs + steps,
        make=make,
    )


def _ferment_at(plan: Plan, brewery: Brewery, key: str) -> Deed:
    """The nearest warmth at which this yeast is at home."""
    portion = next(p for p in plan.portions if p.key == key)
    at_c = min(max(portion.ferment_c, portion.yeast.low_c), portion.yeast.high_c)
    portions = tuple(replace(p, ferment_c=at_c) if p.key == key else p for p in plan.portions)
    return Deed(
        name="ferment at",
        steps=1,
        of=key,
        dimension="temperature",
        amount=lambda steps: at_c,
        make=lambda steps: (replace(plan, portions=portions), brewery),
    )
