"""Lay out the day from the boil to the pitching.

In:  the `Day`, and when the boil starts.
Out: steps in minutes from the day's zero.

Idea: whatever goes into the boil is a step of its own at its minute; portions are filled in turns, so that
trub and strength are shared alike.  A tap too warm for the aim cools as far as it goes; ice
does the rest.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.instruments import Quantity
from gylebook.gyle.chill import chill_minutes
from gylebook.gyle.pitch import pitches, suspension_l
from gylebook.gyle.steps import Amount, Day, Step, hop_amounts
from gylebook.matter.extract import wort_specific_heat
from gylebook.process.cooling import ice_kg, water_used_l

POUR_MIN, DIVIDE_MIN, PITCH_MIN = 5.0, 20.0, 10.0
LIQUOR_MIN = 30.0  # to boil what goes in at the end, on whatever fire is free
COIL_IN_MIN = 15.0  # before the end of the boil, so that the steam makes it clean
A_DAY = 1440.0
ABOVE_TAP_K = 3.0  # as near as cooling water brings the wort in good time; common practice
ICE_MIN = 60.0  # in a bath of ice, stirred; common practice


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
    poured = ["extract"] if any(a.extract and a.at == "kettle end" for a in plan.additions) else []
    if plan.liquor.kettle_l:
        poured.append("boiled liquor")
        liquor = Amount(what="boiled liquor", amount=plan.liquor.kettle_l, dimension="volume")
        finish = (*finish, liquor)
        steps.append(_boil_liquor(boil, liquor))
    steps.append(
        Step(
            key="end of the boil",
            start_min=end,
            minutes=POUR_MIN,
            what=" and ".join(poured),
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


def _boil_liquor(boil: Step, liquor: Amount) -> Step:
    """Boil what goes in at the end of the boil beforehand: cold water there would not be clean."""
    minutes = min(LIQUOR_MIN, boil.minutes)
    return Step(
        key="boil the late liquor",
        start_min=boil.start_min + (boil.minutes - minutes),
        minutes=minutes,
        amounts=(liquor,),
        cautions=("scald",),
    )


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
            start_min=boil.start_min + (boil.minutes - left),  # not a hair before the boil
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
    chill = _chill(day, start)
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
        start_min=chill[-1].end_min,
        minutes=DIVIDE_MIN,
        amounts=tuple(fills),
        read=tuple(reads),
        cautions=("carry",),
    )
    pitch = Step(
        key="pitch",
        start_min=divide.end_min,
        minutes=PITCH_MIN,
        what="" if any(portion.yeast.starter for portion in day.plan.portions) else "no starter",
        amounts=_pitched(day),
        cautions=("co2",),
    )
    return [*chill, divide, pitch]


def _chill(day: Day, start: float) -> list[Step]:
    """Chill to pitching temperature; where the tap is too warm for it, as far as it goes, then by ice."""
    aim, minutes, chiller = day.plan.chill_c, day.minutes["chill.minutes"], day.brewery.chiller
    kettle = day.brewery.kettle
    to = Amount(what="pitching temperature", amount=aim, dimension="temperature")
    if chiller.kind == "none":
        return [
            Step(
                key="stand to cool",
                start_min=start,
                minutes=minutes,
                amounts=(to,),
                cautions=("scald",),
                vessel=kettle,
            )
        ]
    near = chiller.tap_c + ABOVE_TAP_K
    ice_needed = minutes >= A_DAY and aim < near
    if ice_needed:
        minutes = _minutes_to(day, near)
    reached = (
        Amount(what="as far as the tap goes", amount=near, dimension="temperature") if ice_needed else to
    )
    water: tuple[Amount, ...] = ()
    if minutes < A_DAY:
        litres = float(water_used_l(chiller.flow_l_per_min, minutes))
        water = (Amount(what="cooling water runs through", amount=litres, dimension="volume"),)
    chill = Step(
        key="chill",
        start_min=start,
        minutes=minutes,
        amounts=(reached, *water),
        cautions=("chill",),
        vessel=kettle,
    )
    return [chill, _ice(day, chill.end_min, near, to)] if ice_needed else [chill]


def _minutes_to(day: Day, to_c: float) -> float:
    """Middling minutes to chill to another temperature than planned."""
    kettle = day.course.kettle
    other = replace(day.plan, chill_c=to_c)
    minutes = chill_minutes(other, day.brewery, day.figures, kettle.end, kettle.boil_c)
    return min(float(np.median(minutes)), A_DAY)


def _ice(day: Day, start: float, from_c: float, to: Amount) -> Step:
    end = day.course.kettle.end
    specific = wort_specific_heat(end.plato, 0.5 * (from_c + to.amount))
    ice = float(np.median(ice_kg(end.mass_kg, specific, from_c, to.amount)))
    return Step(
        key="ice",
        start_min=start,
        minutes=ICE_MIN,
        amounts=(to, Amount(what="ice", amount=ice, dimension="mass")),
        vessel=day.brewery.kettle,
    )


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
