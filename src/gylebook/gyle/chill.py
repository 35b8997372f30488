"""Work out how long the wort takes to cool, and along which temperatures.

In:  plan, brewery, figures, and the wort at the end of the boil.
Out: minutes to pitching temperature; the temperatures that hops feel on the way.

Idea: one model of the chiller serves the clock, the limit and the hops.  What the tap cannot reach takes a
day at least.  A coil cools all the wort at once; through a counterflow cooler it goes bit by bit, and what
still waits in the kettle stays hot.
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
from gylebook.process import isomerisation as kinetics

A_DAY = 1440.0
USUAL_COIL_M2 = 0.45  # 15 m of 9.5 mm tube, where nobody stated the area; common practice
STANDING_MIN = 180.0  # time constant of a covered kettle left to stand; common practice
LEAST_ABOVE_TAP_K = 1.0
TIME_CONSTANTS_MIN = (0.05, 1e4)  # far beyond any chiller's
COLD_C = 40.0  # below it nothing isomerises


def chill_minutes(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], end: Measured, boil_c: float
) -> Value:
    """Minutes from the boil, or from the stand, to pitching temperature."""
    return _minutes_to(plan, brewery, figures, end, boil_c, plan.chill_c)


def hottest_c(plan: Plan, boil_c: float) -> float:
    """Where chilling starts. [°C]"""
    return boil_c if plan.stand is None else min(plan.stand.temperature_c, boil_c)


def chill_history(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], end: Measured, boil_c: float
) -> kinetics.History:
    """Temperatures of the wort from the end of the boil or stand until hops do no more in it. [min, °C]

    Half the time that a counterflow cooler takes is what a litre waits on average.
    """
    start, chiller = hottest_c(plan, boil_c), brewery.chiller
    if start <= COLD_C:
        return kinetics.History((), ())
    if chiller.kind == "none":
        return kinetics.chilled(start, min(brewery.room_c, COLD_C - LEAST_ABOVE_TAP_K), STANDING_MIN, COLD_C)
    tap = min(chiller.tap_c, COLD_C - LEAST_ABOVE_TAP_K)
    if chiller.kind == "counterflow":
        to_c = max(plan.chill_c, tap + LEAST_ABOVE_TAP_K)
        waits = 0.5 * _minutes_to(plan, brewery, figures, end, boil_c, to_c)
        return kinetics.held(np.minimum(waits, A_DAY), start)
    minutes = _minutes_to(plan, brewery, figures, end, boil_c, COLD_C)
    time_constant = minutes / np.log((start - tap) / (COLD_C - tap))
    return kinetics.chilled(start, tap, np.clip(time_constant, *TIME_CONSTANTS_MIN), COLD_C)


def _minutes_to(
    plan: Plan,
    brewery: Brewery,
    figures: Mapping[str, Array],
    end: Measured,
    boil_c: float,
    to_c: float,
) -> Value:
    start = hottest_c(plan, boil_c)
    return cooling_minutes(
        brewery,
        figures,
        end.mass_kg,
        wort_specific_heat(end.plato, 0.5 * (start + to_c)),
        boil_c=boil_c,
        tap_c=brewery.chiller.tap_c,
        from_c=start,
        to_c=to_c,
    )


def cooling_minutes(
    brewery: Brewery,
    figures: Mapping[str, Array],
    mass_kg: Value,
    specific: Value,
    *,
    boil_c: float,
    tap_c: Value,
    from_c: Value,
    to_c: Value,
) -> Value:
    """Minutes that the brewery's chiller takes, with cooling water of `tap_c`. [min, kg, kJ/(kg K), °C]

    A time that the brewer stated counts as read at the tap of the brewery file, from `boil_c`.
    """
    chiller = brewery.chiller
    if chiller.kind == "none":
        return np.full_like(mass_kg, A_DAY)
    if chiller.known is not None:
        known = chiller.known
        seen = (
            cooling.counterflow_ua_from_known_time
            if chiller.kind == "counterflow"
            else cooling.coil_ua_from_known_time
        )
        ua: Value = seen(
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
        flow = cooling.counterflow_wort_flow(ua, specific, chiller.flow_l_per_min, tap_c, from_c, to_c)
        minutes = np.where(to_c > tap_c, mass_kg / np.maximum(flow, 1e-3), A_DAY)
    else:
        minutes = cooling.coil_minutes(mass_kg, specific, ua, chiller.flow_l_per_min, tap_c, from_c, to_c)
    return minutes * figures["chill.time_factor"] if chiller.known is not None else minutes
