"""Work out how long the wort takes to cool, and along which temperatures.

In:  plan, brewery, figures, and the wort at the end of the boil.
Out: minutes to pitching temperature; the time constant that hops feel on the way.

Idea: one model of the chiller serves the clock, the limit and the hops.  What the tap cannot reach takes a
day at least.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array, Value
from gylebook.gyle.wort import Measured
from gylebook.matter.extract import wort_specific_heat
from gylebook.process import cooling

A_DAY = 1440.0
USUAL_COIL_M2 = 0.45  # 15 m of 9.5 mm tube, where nobody stated the area; common practice
STANDING_MIN = 180.0  # time constant of a covered kettle left to stand; common practice
LEAST_ABOVE_TAP_K = 1.0


def chill_minutes(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], end: Measured, boil_c: float
) -> Value:
    """Minutes from the boil, or from the stand, to pitching temperature."""
    return _minutes_to(plan, brewery, figures, end, boil_c, plan.chill_c)


def hottest_c(plan: Plan, boil_c: float) -> float:
    """Where chilling starts. [°C]"""
    return boil_c if plan.stand is None else min(plan.stand.temperature_c, boil_c)


def chill_time_constant(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], end: Measured, boil_c: float
) -> tuple[Value, float]:
    """Time constant of the chill [min] and the temperature it tends to [°C]."""
    if brewery.chiller.kind == "none":
        return STANDING_MIN, brewery.room_c
    start, tap = hottest_c(plan, boil_c), brewery.chiller.tap_c
    to_c = max(plan.chill_c, tap + LEAST_ABOVE_TAP_K)
    minutes = _minutes_to(plan, brewery, figures, end, boil_c, to_c)
    return minutes / np.log((start - tap) / (to_c - tap)), tap


def _minutes_to(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    end: Measured,
    boil_c: float,
    to_c: float,
) -> Value:
    chiller, start = brewery.chiller, hottest_c(plan, boil_c)
    if chiller.kind == "none":
        return np.full_like(end.plato, A_DAY)
    specific = wort_specific_heat(end.plato, 0.5 * (start + to_c))
    if chiller.known is not None:
        known = chiller.known
        ua: Value = cooling.coil_ua_from_known_time(
            known.volume_l,  # kilograms, near enough for a time the brewer read off a clock
            float(np.median(specific)),
            known.minutes,
            chiller.flow_l_per_min,
            chiller.tap_c,
            boil_c,
            known.to_c,
        )
    else:
        ua = cooling.coil_ua(chiller.area_m2 or USUAL_COIL_M2, figures["chill.u_w_per_m2_k"])
    if chiller.kind == "counterflow":
        minutes = _counterflow_minutes(brewery, ua, specific, end.mass_kg, start, to_c)
    else:
        minutes = cooling.coil_minutes(
            end.mass_kg, specific, ua, chiller.flow_l_per_min, chiller.tap_c, start, to_c
        )
    return minutes * figures["chill.time_factor"] if chiller.known is not None else minutes


def _counterflow_minutes(
    brewery: Brewery, ua: Value, specific: Value, mass_kg: Value, start_c: float, to_c: float
) -> Value:
    """Time to run the kettle through, as fast as the outlet stays at the temperature wanted."""
    chiller = brewery.chiller
    if to_c <= chiller.tap_c:
        return np.full_like(mass_kg, A_DAY)
    flow = cooling.counterflow_wort_flow(ua, specific, chiller.flow_l_per_min, chiller.tap_c, start_c, to_c)
    return mass_kg / np.maximum(flow, 1e-3)
