"""Lay out what each portion needs beside and after the brew day: teas, dry hops, a second organism, packing.

In:  the `Day`, and when the wort is divided.
Out: teas in minutes from the day's zero; what comes later in minutes from pitching.

Idea: a tea is ready when the portions are filled; days in the fermenter count from pitching, and dry hops
hang as long as the plan says before the beer is packed.
"""

from __future__ import annotations

from gylebook.brewery.plan import Portion
from gylebook.gyle.steps import Amount, Day, Step

A_DAY = 1440.0
STEEP_MIN, COOL_MIN = 30.0, 30.0  # a tea steeps or boils, then cools before it is poured
PACK_MIN, SHORT_MIN = 60.0, 10.0
PACK_CAUTIONS = {"bottles": ("pressure", "carbon dioxide"), "keg": ("keg", "carbon dioxide")}


def teas(day: Day, divide_at: float) -> list[Step]:
    """Teas of grain and of hops, each ready when the wort is divided."""
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
                key="hop tea",
                start_min=divide_at - hop_tea.minutes - COOL_MIN,
                minutes=hop_tea.minutes,
                what=names[hop_tea.at],
                amounts=(
                    Amount(
                        what=f"{hop_tea.variety} for {names[hop_tea.at]}",
                        amount=hop_tea.mass_kg,
                        dimension="mass",
                    ),
                    Amount(what="liquor", amount=hop_tea.water_l, dimension="volume"),
                ),
                cautions=("boil over", "scald"),
            )
        )
    return out


def after_pitching(day: Day) -> list[Step]:
    """Dry hops, second organisms, packing and blending, in the order of their days."""
    out: list[Step] = []
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
        if portion.package.kind != "stays" and portion.package.after_days is not None:
            out.append(
                Step(
                    key=portion.package.kind,
                    start_min=portion.package.after_days * A_DAY,
                    minutes=PACK_MIN,
                    what=portion.name,
                    read=((f"portion.{portion.key} end", "gravity"),),
                    cautions=PACK_CAUTIONS[portion.package.kind],
                )
            )
    return out


def _dry_hops(day: Day, portion: Portion) -> list[Step]:
    packed = portion.package.after_days
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
