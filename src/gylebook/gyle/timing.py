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
from gylebook.figures.draws import Array, Value
from gylebook.gyle.course import Course
from gylebook.gyle.house import heat_source_of
from gylebook.gyle.mash import WATER_20, vessel_heat
from gylebook.gyle.names import Named
from gylebook.matter.extract import wort_specific_heat
from gylebook.matter.water import SPECIFIC_HEAT
from gylebook.process import cooling, heat

NAMES = ("heat.strike_min", "heat.rinse_min", "heat.boil_min", "chill.minutes")
A_DAY = 1440.0
LID_OFF_BELOW_BOIL_K = 2.0  # the lid comes off before the boil; up to there it is on
HEIGHT_OF_WIDTH = 1.15  # of a pot whose width nobody stated
USUAL_COIL_M2 = 0.45  # 15 m of 9.5 mm tube, where nobody stated the area; common practice


def timings(plan: Plan, brewery: Brewery, course: Course, figures: Mapping[str, Array]) -> Named:
    """Minutes of every heating and cooling that this process has."""
    out: Named = {}
    if course.mash is not None:
        out["heat.strike_min"] = _heating(
            brewery,
            figures,
            brewery.vessels[brewery.kettle],
            heat_source_of(brewery, brewery.kettle),
            (plan.liquor.mash_l or 0.0) * WATER_20 * SPECIFIC_HEAT,
            brewery.liquor_c,
            np.median(course.mash.strike_c),
        )
    if plan.liquor.rinse_l and course.mash is not None:
        vessel, source = rinse_heating(brewery)
        out["heat.rinse_min"] = _heating(
            brewery,
            figures,
            vessel,
            source,
            plan.liquor.rinse_l * WATER_20 * SPECIFIC_HEAT,
            brewery.liquor_c,
            plan.process.rinse_c,
        )
    full = course.kettle.full
    from_c = plan.mash[-1].temperature_c if course.mash is not None else brewery.liquor_c
    out["heat.boil_min"] = _heating(
        brewery,
        figures,
        brewery.vessels[brewery.kettle],
        heat_source_of(brewery, brewery.kettle),
        full.mass_kg * wort_specific_heat(full.plato, 0.5 * (from_c + course.kettle.boil_c)),
        from_c,
        course.kettle.boil_c - LID_OFF_BELOW_BOIL_K,
    )
    out["chill.minutes"] = _chilling(plan, brewery, figures, course)
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


def rest_heating_min(
    plan: Plan, brewery: Brewery, course: Course, figures: Mapping[str, Array], rest: int
) -> float:
    """Middling minutes to bring the mash from one rest to the next; none where the next is no warmer."""
    before, after = plan.mash[rest - 1].temperature_c, plan.mash[rest].temperature_c
    if after <= before or course.mash is None:
        return 0.0
    liquid = (plan.liquor.mash_l or 0.0) * WATER_20 * SPECIFIC_HEAT + 1.7 * course.mash.grain_kg
    minutes = _heating(
        brewery,
        figures,
        brewery.vessels[brewery.kettle],
        heat_source_of(brewery, brewery.kettle),
        liquid,
        before,
        after,
    )
    return float(np.minimum(np.median(minutes), A_DAY))


def _heating(
    brewery: Brewery,
    figures: Mapping[str, Array],
    vessel: Vessel,
    source: HeatSource,
    liquid_kj_per_k: Value,
    from_c: Value,
    to_c: Value,
) -> Value:
    net_kw = source.power_kw * figures[f"heat.{source.key}.net_share"]
    wall_m2, top_m2 = _areas(vessel)
    factor = figures["heat.loss_factor"]

    def loss(temp_c: Value) -> Value:
        return factor * heat.vessel_loss(
            wall_m2, top_m2, temp_c, brewery.room_c, insulated=vessel.insulated, lid=True
        )

    return heat.heating_minutes(liquid_kj_per_k + vessel_heat(vessel), from_c, to_c, net_kw, loss)


def _areas(vessel: Vessel) -> tuple[float, float]:
    """Wall and top of a vessel taken as a cylinder. [m²]"""
    if vessel.diameter_cm is not None:
        width = vessel.diameter_cm / 100.0
    else:
        width = (vessel.capacity_l / 1000.0 * 4.0 / (math.pi * HEIGHT_OF_WIDTH)) ** (1.0 / 3.0)
    top = math.pi * width**2 / 4.0
    return math.pi * width * (vessel.capacity_l / 1000.0 / top), top


def _chilling(plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course) -> Value:
    """Minutes from the boil, or from the stand, to pitching temperature."""
    chiller, end = brewery.chiller, course.kettle.end
    if chiller.kind == "none":
        return np.full_like(end.plato, A_DAY)
    hot_c = course.kettle.boil_c if plan.stand is None else plan.stand.temperature_c
    specific = wort_specific_heat(end.plato, 0.5 * (hot_c + plan.chill_c))
    if chiller.known is not None:
        known = chiller.known
        ua: Value = cooling.coil_ua_from_known_time(
            known.volume_l,  # kilograms, near enough for a time the brewer read off a clock
            float(np.median(specific)),
            known.minutes,
            chiller.flow_l_per_min,
            chiller.tap_c,
            course.kettle.boil_c,
            known.to_c,
        )
    else:
        ua = cooling.coil_ua(chiller.area_m2 or USUAL_COIL_M2, figures["chill.u_w_per_m2_k"])
    if chiller.kind == "counterflow":
        minutes = _counterflow_minutes(plan, brewery, ua, specific, end.mass_kg, hot_c)
    else:
        minutes = cooling.coil_minutes(
            end.mass_kg, specific, ua, chiller.flow_l_per_min, chiller.tap_c, hot_c, plan.chill_c
        )
    return minutes * figures["chill.time_factor"] if chiller.known is not None else minutes


def _counterflow_minutes(
    plan: Plan, brewery: Brewery, ua: Value, specific: Value, mass_kg: Value, hot_c: float
) -> Value:
    """Time to run the kettle through, as fast as the outlet stays at pitching temperature."""
    chiller = brewery.chiller
    if plan.chill_c <= chiller.tap_c:
        return np.full_like(mass_kg, A_DAY)
    flow = cooling.counterflow_wort_flow(
        ua, specific, chiller.flow_l_per_min, chiller.tap_c, hot_c, plan.chill_c
    )
    return mass_kg / np.maximum(flow, 1e-3)
