"""Pour finished portions together.

In:  the plan's blends and the portions' courses.
Out: `BlendCourse` for each blend.

Idea: masses of water, alcohol, extract and bitterness add; beers of like strength mix without shrinking, so
litres add too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Blend, Plan
from gylebook.figures.draws import Value
from gylebook.gyle.portions import PortionCourse
from gylebook.matter.spirit import abv_from_mass_percent

A_DROP_L = 5e-5  # so that a blend of portions of which nothing can be drawn off still has a strength


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BlendCourse:
    """One blend, as joint draws."""

    blend: Blend
    volume_l: Value
    fg: Value
    abv: Value
    ibu: Value
    srm: Value


def run_blends(plan: Plan, portions: Sequence[PortionCourse]) -> tuple[BlendCourse, ...]:
    """Every blend of the plan."""
    by_key = {course.portion.key: course for course in portions}
    return tuple(_run(blend, by_key) for blend in plan.blends)


def _run(blend: Blend, portions: dict[str, PortionCourse]) -> BlendCourse:
    litres: Value = 0.0
    gravity: Value = 0.0
    bitter: Value = 0.0
    colour: Value = 0.0
    beer_kg: Value = 0.0
    ethanol_kg: Value = 0.0
    for key, share in blend.parts:
        course = portions[key]
        poured = share * np.maximum(course.packable_l, A_DROP_L)
        part = poured / course.beer_l
        made = course.made
        litres = litres + poured
        gravity = gravity + poured * course.fg
        bitter = bitter + poured * course.ibu
        colour = colour + poured * course.srm
        beer_kg = beer_kg + part * (made.water_kg + made.extract_kg + made.ethanol_kg)
        ethanol_kg = ethanol_kg + part * made.ethanol_kg
    fg = gravity / litres
    return BlendCourse(
        blend=blend,
        volume_l=litres,
        fg=fg,
        abv=abv_from_mass_percent(100.0 * ethanol_kg / beer_kg, fg),
        ibu=bitter / litres,
        srm=colour / litres,
    )
