"""Lay out what each portion needs beside and after the brew day: teas, dry hops, a second organism, packing.

In:  the `Day`, and when the wort is divided.
Out: teas in minutes from the day's zero; what comes later in minutes from pitching.

Idea: a tea is ready when the portions are filled; days in the fermenter count from pitching, and dry hops
hang as long as the plan says before the beer is packed.  What still lives in a beer goes on in its package.
"""

from __future__ import annotations

import math

import numpy as np

from gylebook.brewery.instruments import Quantity
from gylebook.brewery.plan import Blend, Package, Plan, Portion
from gylebook.gyle.glass import details
from gylebook.gyle.names import Named
from gylebook.gyle.portions import share_blended
from gylebook.gyle.steps import Amount, Day, Step

A_DAY = 1440.0
STEEP_MIN, COOL_MIN = 30.0, 30.0  # a tea steeps or boils, then cools before it is poured
PACK_MIN, SHORT_MIN = 60.0, 10.0
CLEARS_DAYS = 7.0  # from the end of the work to the package, where the plan names no day; common practice
DAYS_A_MONTH = 30.4
WHOLE = 1.0 - 1e-9  # of a portion's beer: nothing is left to pack by itself
PACK_CAUTIONS = {
    "bottles": ("pressure", "carbon dioxide"),
    "keg": ("keg", "carbon dioxide"),
    "stays": ("carbon dioxide",),
}
INTO = {"bottles": "into bottles", "keg": "into a keg", "stays": "into a fermenter to age"}


def teas(day: Day, divide_at: float, boil_ends: float) -> list[Step]:
    """Teas of grain and of hops, each ready when the wort is divided; what boils apart is drawn before."""
    names = {portion.key: portion.name for portion in day.plan.portions}
    out = []
    for tea in day.plan.grain_teas:
        out.append(
            Step(
                key="grain tea" if tea.hot else "cold grain tea",
                start_min=divide_at - STEEP_MIN - COOL_MIN,
                minutes=STEEP_MIN,
                what=names[tea.at],
                amounts=(
                    Amount(what=f"{tea.name} for {names[tea.at]}", amount=tea.mass_kg, dimension="mass"),
                    Amount(what="liquor", amount=tea.water_l, dimension="volume"),
                ),
                cautions=("scald",) if tea.hot else (),
            )
        )
    for hop_tea in day.plan.hop_teas:
        out.append(
            Step(
                key="part boiled apart" if hop_tea.of_wort else "hop tea",
                start_min=boil_ends if hop_tea.of_wort else divide_at - hop_tea.minutes - COOL_MIN,
                minutes=hop_tea.minutes,
                what=names[hop_tea.at],
                amounts=(
                    Amount(
                        what=f"{hop_tea.variety} for {names[hop_tea.at]}",
                        amount=hop_tea.mass_kg,
                        dimension="mass",
                    ),
                    Amount(
                        what="its own wort" if hop_tea.of_wort else "liquor",
                        amount=hop_tea.water_l,
                        dimension="volume",
                    ),
                ),
                cautions=("boil over", "scald"),
            )
        )
    return out


def after_pitching(day: Day) -> list[Step]:
    """Dry hops, second organisms, packing and blending, in the order of their days."""
    out: list[Step] = []
    told = details(day.plan, day.brewery, day.figures, day.course)
    for portion in day.plan.portions:
        out += _dry_hops(day, portion)
        if portion.later is not None:
            later = portion.later
            out.append(
                Step(
                    key="second organism",
                    start_min=later.after_days * A_DAY,
                    minutes=SHORT_MIN,
                    what=f"{later.kind} into {portion.name}",
                    cautions=("clean plastics",),
                )
            )
        if portion.package.kind != "stays" and share_blended(day.plan, portion.key) < WHOLE:
            out.append(_packing(day, portion, told))
    return out + [_blending(day, blend, told) for blend in day.plan.blends]


def _packing(day: Day, portion: Portion, told: Named) -> Step:
    """Pack what is not held back for a blend."""
    (course,) = [c for c in day.course.portions if c.portion.key == portion.key]
    packed = float(np.median(course.packaged_l))
    amounts = [Amount(what=f"{portion.name} to pack", amount=packed, dimension="volume")]
    for blend in day.plan.blends:
        for key, share in blend.parts:
            if key == portion.key:
                litres = share * float(np.median(course.packable_l))
                amounts.append(Amount(what=f"held back for {blend.name}", amount=litres, dimension="volume"))
    read: list[tuple[str, Quantity]] = [(f"portion.{portion.key} end", "gravity")]
    if portion.package.kind == "bottles":
        read.append((f"portion.{portion.key} package", "count"))
    return Step(
        key=portion.package.kind,
        start_min=_packing_day(portion) * A_DAY,
        minutes=PACK_MIN,
        what=portion.name,
        amounts=(*amounts, *_priming(f"portion.{portion.key}", told)),
        read=tuple(read),
        cautions=_pack_cautions(portion.package, _goes_on(portion)),
    )


def _blending(day: Day, blend: Blend, told: Named) -> Step:
    """Pour finished portions together, and pack the blend."""
    by_key = {course.portion.key: course for course in day.course.portions}
    parts = [(by_key[key], share) for key, share in blend.parts]
    alive = [_goes_on(course.portion) for course, _ in parts]
    cautions = _pack_cautions(blend.package, any(alive))
    if any(alive) and len(parts) > 1:
        cautions = (*cautions, "live in a blend")
    return Step(
        key="blend",
        start_min=_blending_day(day.plan, blend) * A_DAY,
        minutes=PACK_MIN,
        what=f"{blend.name}, {INTO[blend.package.kind]}",
        amounts=(
            *(
                Amount(
                    what=f"{course.portion.name} into {blend.name}",
                    amount=share * float(np.median(course.packable_l)),
                    dimension="volume",
                )
                for course, share in parts
            ),
            *_priming(f"blend.{blend.key}", told),
        ),
        read=tuple((f"portion.{course.portion.key} end", "gravity") for course, _ in parts),
        cautions=cautions,
    )


def _priming(stem: str, told: Named) -> tuple[Amount, ...]:
    """Sugar to have at hand, where bottles want gas; how much goes in, packing tells with its odds."""
    grams = told.get(f"{stem}.prime.sucrose_g")
    if grams is None:
        return ()
    return (
        Amount(
            what="sucrose to have ready for priming",
            amount=float(np.median(grams)) / 1000.0,
            dimension="mass",
        ),
    )


def _goes_on(portion: Portion) -> bool:
    """Whether something in this beer works on for months, and would do so in its package."""
    return portion.later is not None or portion.yeast.diastatic


def _pack_cautions(package: Package, goes_on: bool) -> tuple[str, ...]:
    usual = PACK_CAUTIONS[package.kind]
    return (*usual, "live in glass") if goes_on and package.kind == "bottles" else usual


def _packing_day(portion: Portion) -> float:
    """Days from pitching to the package: as planned, else a week after all organisms have had their time."""
    if portion.package.after_days is not None:
        return portion.package.after_days
    return _worked_days(portion) + CLEARS_DAYS


def _worked_days(portion: Portion) -> float:
    later = portion.later
    days = max(portion.yeast.days, later.after_days + DAYS_A_MONTH * later.months if later else 0.0)
    return math.ceil(days)  # nobody packs at three in the morning


def _blending_day(plan: Plan, blend: Blend) -> float:
    """Days from pitching to a blend: as planned, else when the last of its parts is ready."""
    if blend.package.after_days is not None:
        return blend.package.after_days
    parts = {key for key, _ in blend.parts}
    return max(
        _worked_days(p) if p.package.after_days is None else p.package.after_days
        for p in plan.portions
        if p.key in parts
    )


def _drawn_off_day(plan: Plan, portion: Portion) -> float | None:
    """Days from pitching to when a portion's beer first leaves its fermenter; None if it never does."""
    days = [_blending_day(plan, b) for b in plan.blends if portion.key in {key for key, _ in b.parts}]
    if portion.package.kind != "stays" and share_blended(plan, portion.key) < WHOLE:
        days.append(_packing_day(portion))
    elif portion.package.after_days is not None:
        days.append(portion.package.after_days)
    return min(days, default=None)


def _dry_hops(day: Day, portion: Portion) -> list[Step]:
    packed = _drawn_off_day(day.plan, portion)
    out = []
    for hop in day.plan.hops:
        if hop.use == "dry" and hop.portion == portion.key:
            days = portion.yeast.days if packed is None else max(packed - hop.minutes, 0.0)
            out.append(
                Step(
                    key="dry hop",
                    start_min=days * A_DAY,
                    minutes=SHORT_MIN,
                    what=portion.name,
                    amounts=(
                        Amount(
                            what=f"{hop.variety} into {portion.name}",
                            amount=hop.mass_kg or 0.0,
                            dimension="mass",
                        ),
                    ),
                    cautions=("dry hop",),
                )
            )
    return out
