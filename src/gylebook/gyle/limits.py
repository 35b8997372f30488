"""Test a course against everything that must not be exceeded.

In:  plan, brewery, figures and the course.
Out: `Limit`, one for each inequality: its margin in its own unit (below zero: exceeded), as joint draws, and
     the odds that it is kept.

Idea: a limit is a margin, nothing more; whether its odds suffice is the brewer's to say, and a plan that
does not fit is an answer, never an error.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value, given, odds
from gylebook.gyle.chill import A_DAY
from gylebook.gyle.course import Course
from gylebook.gyle.house import mash_vessel_of
from gylebook.gyle.mash import MashCourse
from gylebook.gyle.pitch import pitches
from gylebook.gyle.timing import timings

LEAST_LIQUOR = 2.5  # kg of liquor a kg of grain in a bag, below which it cannot be stirred; common practice
AS_WEIGHED = 0.002  # kg/kg: liquor and grain are weighed no closer, and a solver lands on the limit itself
HOIST_SAFETY = 2.0  # a hoist's rating over the peak load; common practice
HEAD_ROOM = 0.20  # of the wort's own volume, above it while it ferments; common practice
ENOUGH_YEAST = 0.6  # of the usual count; a fermentation succeeds in a wide band; common practice


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Limit:
    """Something that must not be exceeded: `margin` is what is to spare, in `unit`.

    `portion` is the key of the portion that it concerns, where it is one portion's own; what is not `sized`
    is the same however much is made.
    """

    name: str
    vessel: str
    margin: Value
    unit: str
    portion: str | None = None
    sized: bool = True

    @property
    def odds_kept(self) -> float:
        """Share of the draws in which it is kept."""
        return odds(np.asarray(self.margin) >= 0.0)


def limits(plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course) -> tuple[Limit, ...]:
    """Every limit that this process has, in the order of the day."""
    out: list[Limit] = []
    if course.mash is not None:
        out.extend(_mash_limits(plan, brewery, course.mash))
    out.extend(_kettle_limits(brewery, course))
    out.extend(_time_limits(plan, brewery, figures, course))
    out.extend(_portion_limits(plan, brewery, figures, course))
    return tuple(out)


def _mash_limits(plan: Plan, brewery: Brewery, mash: MashCourse) -> Iterator[Limit]:
    mashed_in = mash_vessel_of(plan, brewery)
    yield Limit(
        name="mash brim",
        vessel=mashed_in.name,
        margin=mashed_in.capacity_l * (1.0 - brewery.stir_room) - mash.level_l,
        unit="L",
    )
    yield Limit(
        name="mash thickness",
        vessel=mashed_in.name,
        margin=given(plan.liquor.mash_l) / mash.grain_kg - LEAST_LIQUOR + AS_WEIGHED,
        unit="L/kg",
    )
    hoist = brewery.bag.hoist_kg
    if plan.process.drain != "tun":
        yield Limit(
            name="bag weight",
            vessel="hoist" if hoist is not None else "arms",
            margin=brewery.bag.person_kg - mash.lift_kg
            if hoist is None
            else hoist / HOIST_SAFETY - mash.lift_kg,
            unit="kg",
        )
    if mash.rinse_level_l is not None and brewery.rinse is not None:
        pot = brewery.vessels[brewery.rinse]
        yield Limit(
            name="rinse vessel brim",
            vessel=pot.name,
            margin=pot.capacity_l * (1.0 - brewery.stir_room) - mash.rinse_level_l,
            unit="L",
        )


def _kettle_limits(brewery: Brewery, course: Course) -> Iterator[Limit]:
    kettle = brewery.vessels[brewery.kettle]
    yield Limit(
        name="foam room",
        vessel=kettle.name,
        margin=kettle.capacity_l * (1.0 - brewery.foam_room) - course.kettle.boil_level_l,
        unit="L",
    )
    yield Limit(
        name="kettle brim at the end",
        vessel=kettle.name,
        margin=kettle.capacity_l - course.kettle.end_level_l - brewery.chiller.displaces_l,
        unit="L",
    )


def _time_limits(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course
) -> Iterator[Limit]:
    kettle = brewery.vessels[brewery.kettle].name
    timed = timings(plan, brewery, course, figures)
    names = {
        "heat.strike_min": ("heating the liquor", kettle, brewery.patience_heat_min),
        "heat.rinse_min": ("heating the rinse", "", brewery.patience_heat_min),
        "heat.boil_min": ("heating to the boil", kettle, brewery.patience_heat_min),
        "chill.minutes": ("cooling", kettle, brewery.patience_cool_min),
    }
    for key, minutes in timed.items():
        name, vessel, patience = names[key]
        if key == "heat.rinse_min" and brewery.rinse is not None:
            vessel = brewery.vessels[brewery.rinse].name
        ends = bool(np.any(np.asarray(minutes) < A_DAY))  # what never ends does so at any volume
        yield Limit(name=name, vessel=vessel, margin=patience - minutes, unit="min", sized=ends)


def _portion_limits(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course
) -> Iterator[Limit]:
    for portion, pitch in zip(course.portions, pitches(plan, figures, course.portions), strict=True):
        vessel = brewery.fermenters[portion.portion.fermenter]
        room = HEAD_ROOM if portion.portion.head_room is None else portion.portion.head_room
        yield Limit(
            name="head room",
            vessel=vessel.name,
            margin=vessel.capacity_l / (1.0 + room) - portion.pitched.volume_l,
            unit="L",
            portion=portion.portion.key,
        )
        yield Limit(
            name="yeast count",
            vessel=vessel.name,
            margin=pitch.given - ENOUGH_YEAST * pitch.needed,
            unit="billion cells",
            portion=portion.portion.key,
        )
        yeast, at_c = portion.portion.yeast, portion.portion.ferment_c
        inside_k = min(at_c - yeast.low_c, yeast.high_c - at_c)
        if inside_k < 0.0:  # nothing here is uncertain, so it is told only where it is wrong
            yield Limit(
                name="fermentation temperature",
                vessel=vessel.name,
                margin=np.full_like(portion.pitched.volume_l, inside_k),
                unit="K",
                portion=portion.portion.key,
                sized=False,
            )
