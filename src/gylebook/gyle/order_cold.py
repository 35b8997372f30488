"""Lay out the day from the boil to the pitching, and the starters before it.

In:  the `Day`, and when the boil starts.
Out: steps in minutes from the day's zero; starters in minutes from pitching.

Idea: whatever goes into the boil is a step of its own at its minute; portions are filled in turns, so that
trub and strength are shared alike.
"""

from __future__ import annotations

import numpy as np

from gylebook.brewery.instruments import Quantity
from gylebook.gyle.pitch import dried_extract_kg, pitches, suspension_l
from gylebook.gyle.steps import Amount, Day, Step, hop_amounts
from gylebook.process.cooling import water_used_l

POUR_MIN, DIVIDE_MIN, PITCH_MIN, STARTER_MIN = 5.0, 20.0, 10.0, 60.0
COIL_IN_MIN = 15.0  # before the end of the boil, so that the steam makes it clean
A_DAY = 1440.0
STEP_DAYS, CRASH_DAYS = 1.5, 2.0  # what each step before the last, and settling cold, take


def boil_and_after(day: Day, start: float) -> list[Step]:
    """Boil with its additions, stand, chill, divide and pitch."""
    plan, kettle = day.plan, day.brewery.kettle
    boil = Step(
        key="boil",
        start_min=start,
        minutes=plan.boil_minutes,
        cautions=("boil over", "steam"),
        heat_source=day.fire.key,
        vessel=kettle,
    )
    steps = [boil, *_boil_additions(day, boil)]
    end = boil.end_min
    finish = tuple(
        Amount(what=a.name, amount=a.mass_kg, dimension="mass")
        for a in plan.additions
        if a.at == "kettle end"
    )
    if plan.liquor.kettle_l:
        liquor = Amount(what="boiled liquor", amount=plan.liquor.kettle_l, dimension="volume")
        finish = (*finish, liquor)
    steps.append(
        Step(
            key="end of the boil",
            start_min=end,
            minutes=POUR_MIN,
            amounts=finish,
            read=(("boil end", "volume"), ("boil end", "gravity")),
            cautions=("scald",),
            vessel=kettle,
        )
    )
    end += POUR_MIN
    if plan.stand is not None:
        warm = Amount(what="stand", amount=plan.stand.temperature_c, dimension="temperature")
        stand = Step(
            key="stand",
            start_min=end,
            minutes=plan.stand.minutes,
            amounts=(warm, *hop_amounts(day.plan, "stand")),
            cautions=("scald",),
            vessel=kettle,
        )
        steps.append(stand)
        end = stand.end_min
    return [*steps, *_chill_divide_pitch(day, end)]


def _boil_additions(day: Day, boil: Step) -> list[Step]:
    plan = day.plan
    at: dict[float, list[Amount]] = {}
    for hop in plan.hops:
        if hop.use == "boil":
            at.setdefault(min(hop.minutes, plan.boil_minutes), []).append(
                Amount(what=hop.variety, amount=hop.mass_kg or 0.0, dimension="mass")
            )
    for addition in plan.additions:
        if addition.at == "boil":
            at.setdefault(min(addition.minutes, plan.boil_minutes), []).append(
                Amount(what=addition.name, amount=addition.mass_kg, dimension="mass")
            )
    earliest = max(at, default=0.0)  # the foam warning goes with the first addition, when it rises
    steps = [
        Step(
            key="add to the boil",
            start_min=boil.end_min - left,
            minutes=0.0,
            amounts=tuple(amounts),
            cautions=("boil over",) if left == earliest else (),
            vessel=boil.vessel,
        )
        for left, amounts in at.items()
    ]
    if day.brewery.chiller.kind == "coil" and plan.boil_minutes >= COIL_IN_MIN:
        coil = Step(
            key="coil in",
            start_min=boil.end_min - COIL_IN_MIN,
            minutes=0.0,
            cautions=("coil",),
            vessel=boil.vessel,
        )
        steps.append(coil)
    return steps


def _chill_divide_pitch(day: Day, start: float) -> list[Step]:
    plan = day.plan
    chill = Step(
        key="chill" if day.brewery.chiller.kind != "none" else "stand to cool",
        start_min=start,
        minutes=day.minutes["chill.minutes"],
        amounts=_chill_amounts(day),
        cautions=("scald",) if day.brewery.chiller.kind == "none" else ("chill",),
        vessel=day.brewery.kettle,
    )
    fills: list[Amount] = []
    reads: list[tuple[str, Quantity]] = [("fermenters", "gravity")]
    for course in day.course.portions:
        litres = float(np.median(course.drawn.volume_l))
        fills.append(Amount(what=course.portion.name, amount=litres, dimension="volume"))
        if course.portion.top_up_l:
            fills.append(
                Amount(
                    what=f"boiled, cooled liquor into {course.portion.name}",
                    amount=course.portion.top_up_l,
                    dimension="volume",
                )
            )
        reads.append((f"portion.{course.portion.key}", "volume"))
    for addition in plan.additions:
        named = {p.key: p.name for p in plan.portions}
        if addition.at in named:
            what = f"{addition.name} into {named[addition.at]}"
            fills.append(Amount(what=what, amount=addition.mass_kg, dimension="mass"))
    divide = Step(
        key="divide",
        start_min=chill.end_min,
        minutes=DIVIDE_MIN,
        amounts=tuple(fills),
        read=tuple(reads),
        cautions=("carry",),
    )
    pitch = Step(
        key="pitch", start_min=divide.end_min, minutes=PITCH_MIN, amounts=_pitched(day), cautions=("co2",)
    )
    return [chill, divide, pitch]


def _chill_amounts(day: Day) -> tuple[Amount, ...]:
    """Where to, and how much cooling water that takes where the tap does it in a day."""
    to = Amount(what="pitching temperature", amount=day.plan.chill_c, dimension="temperature")
    minutes, chiller = day.minutes["chill.minutes"], day.brewery.chiller
    if chiller.kind == "none" or minutes >= A_DAY:
        return (to,)
    litres = float(water_used_l(chiller.flow_l_per_min, minutes))
    return to, Amount(what="cooling water runs through", amount=litres, dimension="volume")


def starters(day: Day) -> list[Step]:
    """Each starter, days before."""
    out = []
    for starter in day.plan.starters:
        if starter.kind == "none":
            continue
        drinkers = [p for p in day.plan.portions if p.yeast.starter == starter.key]
        last = starter.volume_l or 0.0
        steps_l = (*starter.first_steps_l, last)
        worts = tuple(
            Amount(what="starter wort", amount=litres, dimension="volume", note=starter.kind)
            for litres in steps_l
        )
        extract = Amount(what="dried malt extract", amount=dried_extract_kg(starter), dimension="mass")
        days = starter.days_before + STEP_DAYS * len(starter.first_steps_l) + CRASH_DAYS * starter.cold_crash
        out.append(
            Step(
                key="starter",
                start_min=-days * A_DAY,
                minutes=STARTER_MIN,
                what=", ".join(dict.fromkeys(p.yeast.kind for p in drinkers)),
                amounts=(*worts, extract),
                cautions=("starter",),
            )
        )
        if starter.cold_crash:
            out.append(Step(key="settle the starter", start_min=-CRASH_DAYS * A_DAY, minutes=0.0))
    return out


def _pitched(day: Day) -> tuple[Amount, ...]:
    out = []
    for pitch in pitches(day.plan, day.figures, day.course.portions):
        portion = next(p for p in day.plan.portions if p.key == pitch.key)
        if pitch.starter is None:
            what = f"{portion.yeast.kind} into {portion.name}"
            out.append(Amount(what=what, amount=float(np.median(pitch.given)), dimension="cells"))
            continue
        what = f"of starter {pitch.starter} into {portion.name}"
        share = float(np.median(pitch.share))
        whole = suspension_l(next(s for s in day.plan.starters if s.key == pitch.starter))
        if whole is None:  # packs pooled without growing: there is nothing to measure but the share
            out.append(Amount(what=what, amount=share, dimension="share"))
        else:
            out.append(Amount(what=what, amount=share * whole, dimension="volume"))
    return tuple(out)
