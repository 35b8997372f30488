"""Lay out the day from the scales to the boil.

In:  the `Day`.
Out: steps from its morning on, in minutes from zero.

Idea: a fire heats one vessel at a time.  Rinse liquor gets a fire of its own while the mash rests; where
there is only one it is heated first and kept under a lid.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.instruments import Quantity
from gylebook.gyle.house import mash_vessel_of
from gylebook.gyle.mash import MashCourse
from gylebook.gyle.order_liquor import (
    finishing,
    kettle_cautions,
    kettle_doses,
    liquor_amounts,
    liquor_cautions,
    treating,
)
from gylebook.gyle.steps import Amount, Day, Step, hop_amounts
from gylebook.gyle.timing import rest_heating_min, rinse_heating

WEIGH_MIN, MASH_IN_MIN, POUR_MIN, DUNK_MIN = 30.0, 10.0, 5.0, 10.0
DRAIN_MIN = {"pressed": 15.0, "hung": 15.0, "briefly hung": 3.0, "tun": 45.0}


def before_the_boil(day: Day) -> list[Step]:
    """Weigh, heat, mash, lift, rinse, and bring to the boil."""
    plan, kettle = day.plan, day.brewery.kettle
    what = "" if plan.grist else "no grain"
    steps = [
        Step(
            key="weigh",
            start_min=0.0,
            minutes=WEIGH_MIN,
            what=what,
            amounts=_weighed(day),
            cautions=liquor_cautions(day),
        ),
        *treating(day, WEIGH_MIN),
    ]
    if day.course.mash is None:
        return [*steps, _liquor_to_the_boil(day, WEIGH_MIN)]
    ready = WEIGH_MIN
    rinse = _rinse_heating(day)
    if rinse is not None and rinse.heat_source == day.fire.key:
        steps.append(replace(rinse, start_min=ready))
        ready += rinse.minutes
        rinse = None
    strike_c = float(np.median(day.course.mash.strike_c))
    heat = Step(
        key="heat mash liquor",
        start_min=ready,
        minutes=day.minutes["heat.strike_min"],
        amounts=(
            Amount(what="mash liquor", amount=plan.liquor.mash_l or 0.0, dimension="volume"),
            Amount(what="strike temperature", amount=strike_c, dimension="temperature"),
        ),
        cautions=(day.fire_caution,),
        heat_source=day.fire.key,
        vessel=kettle,
    )
    mash_in = Step(
        key="mash in",
        start_min=heat.end_min,
        minutes=MASH_IN_MIN,
        what=_way(day),
        amounts=(Amount(what="grist", amount=float(day.course.mash.grain_kg), dimension="mass"),),
        read=(("mash", "temperature"),),
        cautions=("scald",),
        vessel=_mashed_in(day),
    )
    steps += [heat, mash_in]
    end = mash_in.end_min
    for number, rest in enumerate(plan.mash):
        end = _add_rest(day, steps, number, rest.temperature_c, rest.minutes, end)
    lift_at = end
    if rinse is not None:
        start = max(lift_at - rinse.minutes, 0.0)
        steps.append(replace(rinse, start_min=start))
        lift_at = max(lift_at, start + rinse.minutes)
    return [*steps, *_lift_and_rinse(day, day.course.mash, lift_at)]


def _add_rest(day: Day, steps: list[Step], number: int, to_c: float, minutes: float, start: float) -> float:
    warm = Amount(what="mash temperature", amount=to_c, dimension="temperature")
    if number:
        rise = rest_heating_min(day.plan, day.brewery, day.course, day.figures, number)
        if rise > 0.0:
            steps.append(
                Step(
                    key="heat the mash",
                    start_min=start,
                    minutes=rise,
                    what=_way(day),
                    amounts=(warm,),
                    cautions=("scorch",),
                    heat_source=day.fire.key,
                    vessel=_mashed_in(day),
                )
            )
            start += rise
    last = number == len(day.plan.mash) - 1
    read: tuple[tuple[str, Quantity], ...] = (("mash", "gravity"),) if last else ()
    if number == 0:
        read = (("mash", "ph"), *read)
        finish = finishing(day, start, minutes)
        steps += [] if finish is None else [finish]
    steps.append(
        Step(
            key="rest",
            start_min=start,
            minutes=minutes,
            amounts=(warm,),
            read=read,
            vessel=_mashed_in(day),
        )
    )
    return start + minutes


def _rinse_heating(day: Day) -> Step | None:
    if not day.plan.liquor.rinse_l:
        return None
    vessel, source = rinse_heating(day.brewery)
    poured = vessel.key == day.brewery.kettle
    nowhere = "no second vessel" if day.brewery.rinse is None else ""
    return Step(
        key="heat rinse liquor in the kettle" if poured else "heat rinse liquor",
        start_min=0.0,
        minutes=day.minutes["heat.rinse_min"] + (POUR_MIN if poured else 0.0),
        what=nowhere if poured else _way(day),
        amounts=(
            Amount(what="rinse liquor", amount=day.plan.liquor.rinse_l, dimension="volume"),
            Amount(what="rinse temperature", amount=day.plan.process.rinse_c, dimension="temperature"),
        ),
        cautions=("scald",),
        heat_source=source.key,
        vessel=vessel.key,
    )


def _lift_and_rinse(day: Day, mash: MashCourse, start: float) -> list[Step]:
    process = day.plan.process
    in_tun = process.drain == "tun"
    lift = Step(
        key="run off" if in_tun else "lift and drain",
        start_min=start,
        minutes=DRAIN_MIN[process.drain],
        what=process.drain,
        amounts=(
            Amount(
                what="on the hoist as the bag comes up",
                amount=float(np.median(mash.lift_kg)),
                dimension="load",
            ),
        ),
        read=() if in_tun else (("lift", "mass"),),
        cautions=("scald",) if in_tun else ("lift", "scald"),
        vessel=_mashed_in(day),
    )
    if in_tun:
        lift = replace(lift, amounts=())
    steps = [lift]
    done = lift.end_min
    if day.plan.liquor.rinse_l:
        dunk = process.kind == "dunk rinse"
        rinse = Step(
            key=process.kind,
            start_min=done,
            minutes=DUNK_MIN + DRAIN_MIN[process.drain] if dunk else DRAIN_MIN[process.drain],
            what=_way(day),
            amounts=(Amount(what="rinse liquor", amount=day.plan.liquor.rinse_l, dimension="volume"),),
            read=(("rinse", "gravity"),),
            cautions=("dunk", "scald") if dunk else ("scald",),
            vessel=_mashed_in(day) if in_tun else day.brewery.rinse or day.brewery.kettle,
        )
        steps.append(rinse)
        done = rinse.end_min + POUR_MIN
    steps.append(_to_the_boil(day, lift.end_min, done))
    return steps


def _mashed_in(day: Day) -> str:
    return mash_vessel_of(day.plan, day.brewery).key


def _way(day: Day) -> str:
    """What holds the grain, where a step is done otherwise for it."""
    return "tun" if day.plan.process.drain == "tun" else ""


def _liquor_to_the_boil(day: Day, start: float) -> Step:
    """Without a mash there is only water in the kettle: nothing to weigh with a hydrometer yet."""
    liquor = Amount(what="kettle liquor", amount=day.plan.liquor.mash_l or 0.0, dimension="volume")
    return Step(
        key="heat the liquor to the boil",
        start_min=start,
        minutes=day.minutes["heat.boil_min"],
        amounts=(liquor, *hop_amounts(day.plan, "first wort"), *kettle_doses(day)),
        read=(("preboil", "volume"),),
        cautions=("scald", day.fire_caution, *kettle_cautions(day)),
        heat_source=day.fire.key,
        vessel=day.brewery.kettle,
    )


def _to_the_boil(day: Day, start: float, not_before: float) -> Step:
    """The kettle heats from the moment the bag is out; the rinse joins it on the way."""
    minutes = max(day.minutes["heat.boil_min"], not_before - start)
    first_wort = tuple(hop_amounts(day.plan, "first wort"))
    return Step(
        key="heat to the boil",
        start_min=start,
        minutes=minutes,
        amounts=(*first_wort, *kettle_doses(day)),
        read=(("preboil", "volume"), ("preboil", "gravity")),
        cautions=("boil over", day.fire_caution, *kettle_cautions(day)),
        heat_source=day.fire.key,
        vessel=day.brewery.kettle,
    )


def _weighed(day: Day) -> tuple[Amount, ...]:
    grist = [
        Amount(what=grain.name, amount=grain.mass_kg or 0.0, dimension="mass") for grain in day.plan.grist
    ]
    hops = [
        Amount(what=hop.variety, amount=hop.mass_kg or 0.0, dimension="mass", note=hop.use)
        for hop in day.plan.hops
    ]
    other = [Amount(what=a.name, amount=a.mass_kg, dimension="mass") for a in day.plan.additions]
    return (*grist, *hops, *other, *liquor_amounts(day))
