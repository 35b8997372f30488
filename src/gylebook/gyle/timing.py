"""Work out how long heating and cooling take on this gear.

In:  plan, brewery, course and figures.
Out: minutes by name: to strike temperature, to warm the rinse, to the boil, to pitching temperature.

Idea: power and losses set the pace, so a pot that fits may still never boil.  What would take more than a
day counts as a day: the odds of a limit then say all there is to say.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from gylebook.brewery.gear import HeatSource, Vessel
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value, given
from gylebook.gyle.chill import A_DAY, chill_minutes
from gylebook.gyle.course import Course
from gylebook.gyle.house import heat_source_of
from gylebook.gyle.mash import WATER_20, vessel_heat
from gylebook.gyle.names import Named
from gylebook.matter.extract import wort_specific_heat
from gylebook.matter.water import SPECIFIC_HEAT
from gylebook.process import heat

NAMES = ("heat.strike_min", "heat.rinse_min", "heat.boil_min", "chill.minutes")
LID_OFF_BELOW_BOIL_K = 2.0  # the lid comes off before the boil; up to there it is on
HEIGHT_OF_WIDTH = 1.15  # of a pot whose width nobody stated


def timings(plan: Plan, brewery: Brewery, course: Course, figures: Mapping[str, Array]) -> Named:
    """Minutes of every heating and cooling that this process has."""
    out: Named = {}
    if course.mash is not None:
        out["heat.strike_min"] = heating_in(
            brewery,
            figures,
            brewery.vessels[brewery.kettle],
            heat_source_of(brewery, brewery.kettle),
            given(plan.liquor.mash_l) * WATER_20 * SPECIFIC_HEAT,
            brewery.liquor_c,
            course.mash.aimed_strike_c,
        )
    if np.any(given(plan.liquor.rinse_l)) and course.mash is not None:
        vessel, source = rinse_heating(brewery)
        out["heat.rinse_min"] = heating_in(
            brewery,
            figures,
            vessel,
            source,
            given(plan.liquor.rinse_l) * WATER_20 * SPECIFIC_HEAT,
            brewery.liquor_c,
            plan.process.rinse_c,
        )
    full = course.kettle.full
    from_c = plan.mash[-1].temperature_c if course.mash is not None else brewery.liquor_c
    out["heat.boil_min"] = heating_in(
        brewery,
        figures,
        brewery.vessels[brewery.kettle],
        heat_source_of(brewery, brewery.kettle),
        full.mass_kg * wort_specific_heat(full.plato, 0.5 * (from_c + course.kettle.boil_c)),
        from_c,
        course.kettle.boil_c - LID_OFF_BELOW_BOIL_K,
    )
    out["chill.minutes"] = chill_minutes(plan, brewery, figures, course.kettle.end, course.kettle.boil_c)
    return {name: np.minimum(minutes, A_DAY) for name, minutes in out.items()}


def rinse_heating(brewery: Brewery) -> tuple[Vessel, HeatSource]:
    """Where and by what the rinse liquor is heated.

    In the second vessel by a source the kettle does not need, else by the kettle's own; where nothing
    heats the second vessel, in the kettle, to be poured over.
    """
    kettle_source = heat_source_of(brewery, brewery.kettle)
    able = [s for s in brewery.heat_sources if brewery.rinse in s.vessels]
    if brewery.rinse is None or not able:
        return brewery.vessels[brewery.kettle], kettle_source
    spare = [s for s in able if s.key != kettle_source.key]
    return brewery.vessels[brewery.rinse], max(spare or able, key=lambda s: s.power_kw)


def own_fire_beside(brewery: Brewery) -> tuple[Vessel, HeatSource] | None:
    """The second vessel and a fire that the kettle does not need; None where it has none."""
    vessel, source = rinse_heating(brewery)
    own = source.key != heat_source_of(brewery, brewery.kettle).key
    return (vessel, source) if own and vessel.key == brewery.rinse else None


def rest_heating_min(
    plan: Plan, brewery: Brewery, course: Course, figures: Mapping[str, Array], rest: int
) -> float:
    """Middling minutes to bring the mash from one rest to the next; none where the next is no warmer."""
    before, after = plan.mash[rest - 1].temperature_c, plan.mash[rest].temperature_c
    if after <= before or course.mash is None:
        return 0.0
    liquid = (plan.liquor.mash_l or 0.0) * WATER_20 * SPECIFIC_HEAT + 1.7 * course.mash.grain_kg
    minutes = heating_in(
        brewery,
        figures,
        brewery.vessels[brewery.kettle],
        heat_source_of(brewery, brewery.kettle),
        liquid,
        before,
        after,
    )
    return float(np.minimum(np.median(minutes), A_DAY))


def heating_in(
    brewery: Brewery,
    figures: Mapping[str, Array],
    vessel: Vessel,
    source: HeatSource,
    liquid_kj_per_k: Value,
    from_c: Value,
    to_c: Value,
) -> Value:
    """Minutes to bring a vessel and what is in it to a temperature, lid on."""
    net_kw = source.power_kw * figures[f"heat.{source.key}.net_share"]
    wall_m2, top_m2 = pot_areas(vessel)
    factor = figures["heat.loss_factor"]

    def loss(temp_c: Value) -> Value:
        return factor * heat.vessel_loss(
            wall_m2, top_m2, temp_c, brewery.room_c, insulated=vessel.insulated, lid=True
        )

    return heat.heating_minutes(liquid_kj_per_k + vessel_heat(vessel), from_c, to_c, net_kw, loss)


def pot_areas(vessel: Vessel) -> tuple[float, float]:
    """Wall and top of a vessel taken as a cylinder. [m²]"""
    if vessel.diameter_cm is not None:
        width = vessel.diameter_cm / 100.0
    else:
        width = (vessel.capacity_l / 1000.0 * 4.0 / (math.pi * HEIGHT_OF_WIDTH)) ** (1.0 / 3.0)
    top = math.pi * width**2 / 4.0
    return math.pi * width * (vessel.capacity_l / 1000.0 / top), top
