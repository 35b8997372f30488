"""Cool the wort with tap water.

In:  mass of wort, coil or counterflow, flow and temperature of the tap.
Out: minutes, litres of water, temperature at the outlet; the coil behind a known cooling time; ice for the
     rest.

Idea: water that passes once through a coil takes up the share 1 - exp(-UA/C) of what it could, so the wort
falls exponentially towards the tap and never reaches it.  Half the flow saves water, not time.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range

WATER_KJ_PER_KG_K = 4.18
STIRRED_W_PER_M2_K = (700.0, 150.0)  # level and scatter, copper or thin steel; 400 to 850 after Perry
MELTING_KJ_PER_KG, MELTED_KJ_PER_KG_K = 334.0, 4.19  # to melt ice, then to warm it
UNSTIRRED_W_PER_M2_K = (280.0, 80.0)  # 200 to 400; the top lags further still

_FLOW = Range("flow_l_per_min", "L/min", 0.01, 1000.0, "a flow of cooling water")
_TAP = Range("tap_c", "°C", 0.0, 45.0, "cooling with tap water", (FAHRENHEIT,))
_FROM = Range("from_c", "°C", 0.0, 105.0, "cooling wort", (FAHRENHEIT,))
_TO = Range("to_c", "°C", 0.0, 105.0, "cooling wort", (FAHRENHEIT,))
_MINUTES = Range("minutes", "min", 0.1, 2880.0, "a known cooling time")
_TAKEN_UP = Range("the share of heat taken up", "", 0.0, 0.999, "water that passes once through a coil")


def coil_area_m2(length_m: Array | float, diameter_m: Array | float) -> Array:
    """Outer surface of a coil, π d L. [m²]"""
    return np.asarray(np.pi * diameter_m * length_m)


def coil_ua(area_m2: Array | float, u_w_per_m2_k: Array | float) -> Array:
    """Conductance of a coil, U A: U about 700 ± 150 stirred, 280 ± 80 not. [W/K]"""
    return np.asarray(area_m2 * u_w_per_m2_k)


def coil_effectiveness(ua_w_per_k: Array | float, flow_l_per_min: Array | float) -> Array:
    r"""Share of the heat it could take up that the water does take up. [0..1]

    .. math:: \varepsilon = 1 - e^{-UA/(\dot m c_w)}

    `flow_l_per_min` 0.01 to 1000, taken as 1 kg/L and 4.18 kJ/(kg K).  Source: D. Q. Kern, Process Heat
    Transfer, coil in a batch with a medium that warms.
    """
    effective: Array = -np.expm1(-ua_w_per_k / _water_w_per_k(flow_l_per_min))
    return effective


def coil_minutes(
    mass_kg: Array | float,
    heat_kj_per_kg_k: Array | float,
    ua_w_per_k: Array | float,
    flow_l_per_min: Array | float,
    tap_c: Array | float,
    from_c: Array | float,
    to_c: Array | float,
) -> Array:
    r"""Time to cool a batch with a coil. [min]

    .. math:: t = \frac{M c_p}{\varepsilon \dot m c_w} \ln\frac{T_0 - T_c}{T_1 - T_c}

    Parameters
    ----------
    mass_kg, heat_kj_per_kg_k
        Wort :math:`M` [kg] and its specific heat :math:`c_p` [kJ/(kg K)].
    ua_w_per_k, flow_l_per_min, tap_c
        Conductance [W/K], cooling water [L/min] and its temperature :math:`T_c`, 0 to 45. [°C]
    from_c, to_c
        :math:`T_0` and :math:`T_1`, 0 to 105; none to spend where it is cold enough already. [°C]

    Notes
    -----
    Infinite at or below the tap's temperature.  The wort is taken as stirred; if it is not, a low UA stands
    for that.  Source as in `coil_effectiveness`.
    """
    conductance = coil_effectiveness(ua_w_per_k, flow_l_per_min) * _water_w_per_k(flow_l_per_min)
    heat = 1000.0 / 60.0 * mass_kg * heat_kj_per_kg_k
    return heat / conductance * _logarithm(tap_c, from_c, to_c)


def coil_ua_from_known_time(
    mass_kg: Array | float,
    heat_kj_per_kg_k: Array | float,
    minutes: Array | float,
    flow_l_per_min: Array | float,
    tap_c: Array | float,
    from_c: Array | float,
    to_c: Array | float,
) -> Array:
    """Conductance of a coil that was seen to cool so fast, the inverse of `coil_minutes`. [W/K]

    `minutes` 0.1 to 2880; UA = -C ln(1 - g/C), g = M cp/t · ln((T0 - Tc)/(T1 - Tc)) and C the water's [W/K].
    Refused where the water cannot have taken up so much: time, flow or tap is then not as told.
    """
    water = _water_w_per_k(flow_l_per_min)
    seconds = 60.0 * _MINUTES.check(minutes)
    taken = 1000.0 * mass_kg * heat_kj_per_kg_k / seconds * _logarithm(tap_c, from_c, to_c)
    ua: Array = -water * np.log1p(-_TAKEN_UP.check(taken / water))
    return ua


def water_used_l(flow_l_per_min: Array | float, minutes: Array | float) -> Array:
    """Cooling water that runs through in that time. [L]"""
    return _FLOW.check(flow_l_per_min) * minutes


def ice_kg(
    mass_kg: Array | float, heat_kj_per_kg_k: Array | float, from_c: Array | float, to_c: Array | float
) -> Array:
    r"""Ice that takes the heat out of wort, in a bath around it or clean in it. [kg]

    .. math:: m = \frac{M c_p (T_0 - T_1)}{334 + 4.19\,T_1}

    Parameters
    ----------
    mass_kg, heat_kj_per_kg_k
        Wort :math:`M` [kg] and its specific heat :math:`c_p` [kJ/(kg K)].
    from_c, to_c
        :math:`T_0` and :math:`T_1`, 0 to 105; none is needed where it is cold enough already. [°C]

    Notes
    -----
    Derived: heat of melting, 334 kJ/kg, and what warms the melted water up to :math:`T_1`.  Ice at 0 °C; a
    bath whose water is poured off colder than the wort, or that the room warms, takes more.
    """
    start, end = _FROM.check(from_c), _TO.check(to_c)
    fall = np.maximum(start - end, 0.0)
    ice: Array = mass_kg * heat_kj_per_kg_k * fall / (MELTING_KJ_PER_KG + MELTED_KJ_PER_KG_K * end)
    return ice


def counterflow_outlet(
    ua_w_per_k: Array | float,
    wort_kg_per_min: Array | float,
    heat_kj_per_kg_k: Array | float,
    water_l_per_min: Array | float,
    tap_c: Array | float,
    from_c: Array | float,
) -> Array:
    r"""Temperature of the wort that leaves a counterflow cooler. [°C]

    .. math:: \varepsilon = \frac{1 - e^{-N(1 - C_r)}}{1 - C_r e^{-N(1 - C_r)}},\quad
              T = T_0 - \varepsilon \frac{C_{min}}{C_{wort}} (T_0 - T_c)

    Parameters
    ----------
    ua_w_per_k
        Conductance; :math:`N = UA/C_{min}`. [W/K]
    wort_kg_per_min, heat_kj_per_kg_k
        Wort's flow [kg/min] and specific heat [kJ/(kg K)].
    water_l_per_min, tap_c, from_c
        Water [L/min], its temperature :math:`T_c` and the wort's :math:`T_0`. [°C]

    Notes
    -----
    Heat-transfer handbooks; N/(1 + N) where both flows weigh alike.  Wort waits hot in the kettle meanwhile,
    and hops go on working.
    """
    hot = 1000.0 / 60.0 * wort_kg_per_min * heat_kj_per_kg_k
    cold = _water_w_per_k(water_l_per_min)
    least = np.minimum(hot, cold)
    ratio = least / np.maximum(hot, cold)
    units = ua_w_per_k / least
    unlike = np.maximum(1.0 - ratio, 1e-9)  # at 1e-9 the limit N/(1 + N) is met to eight digits
    gone = -np.expm1(-units * unlike)
    tap, start = _TAP.check(tap_c), _FROM.check(from_c)
    outlet: Array = start - gone / (unlike + ratio * gone) * least / hot * (start - tap)
    return outlet


def counterflow_wort_flow(
    ua_w_per_k: Array | float,
    heat_kj_per_kg_k: Array | float,
    water_l_per_min: Array | float,
    tap_c: Array | float,
    from_c: Array | float,
    to_c: Array | float,
) -> Array:
    r"""Fastest flow of wort that still leaves at a temperature, the inverse of `counterflow_outlet`. [kg/min]

    .. math:: r\,\frac{\ln(1 + k (1 - r))}{1 - r} = \frac{UA}{C_{water}},\quad
              r = \frac{C_{wort}}{C_{water}},\quad k = \frac{T_0 - T_1}{T_1 - T_c}

    Parameters as there; `to_c` is :math:`T_1` [°C].  Nothing may flow where the tap is as warm as that;
    where the wort is cold enough already any flow will do, and it is infinite.  Newton's rule from above,
    where the left side is convex; the outlet then meets its aim within 1e-6 °C.
    """
    cold = _water_w_per_k(water_l_per_min)
    tap, start, end = _TAP.check(tap_c), _FROM.check(from_c), _TO.check(to_c)
    possible = (end > tap) & (start > end)
    k = np.where(possible, start - end, 1.0) / np.where(possible, end - tap, 1.0)
    units, most = ua_w_per_k / cold, 1.0 + 1.0 / k  # at `most` the water leaves as hot as the wort comes
    # Both bounds lie above the root: the tangent at no flow, and what is left where wort is plenty.
    r = np.minimum(units / np.log1p(k), most - np.exp(-units / (1.0 + k)) / k)
    for _ in range(8):
        u = 1.0 - r
        u = np.where(np.abs(u) < 1e-7, 1e-7, u)
        slope_of_log = np.log1p(k * u) / u
        steepness = slope_of_log + r * (slope_of_log - k / (1.0 + k * u)) / u
        r = r - (r * slope_of_log - units) / steepness
    flow = 0.06 * r * cold / heat_kj_per_kg_k
    return np.where(possible, flow, np.where(end >= start, np.inf, 0.0))


def counterflow_ua_from_known_time(
    mass_kg: Array | float,
    heat_kj_per_kg_k: Array | float,
    minutes: Array | float,
    water_l_per_min: Array | float,
    tap_c: Array | float,
    from_c: Array | float,
    to_c: Array | float,
) -> Array:
    r"""Conductance of a counterflow cooler that was seen to empty a kettle so fast. [W/K]

    `minutes` 0.1 to 2880, `to_c` above the tap; :math:`UA = C\,r \ln(1 + k (1 - r))/(1 - r)`, symbols as in
    `counterflow_wort_flow`.  Refused where the water cannot have taken up so much.
    """
    cold = _water_w_per_k(water_l_per_min)
    tap, start, end = _TAP.check(tap_c), _FROM.check(from_c), _TO.check(to_c)
    k = (start - end) / (end - tap)
    r = 1000.0 / 60.0 * mass_kg / _MINUTES.check(minutes) * heat_kj_per_kg_k / cold
    _TAKEN_UP.check(r * k / (1.0 + k))
    u = 1.0 - r
    u = np.where(np.abs(u) < 1e-7, 1e-7, u)
    return np.asarray(cold * r * np.log1p(k * u) / u)


def _water_w_per_k(flow_l_per_min: Array | float) -> Array:
    return _FLOW.check(flow_l_per_min) * (1000.0 / 60.0 * WATER_KJ_PER_KG_K)


def _logarithm(tap_c: Array | float, from_c: Array | float, to_c: Array | float) -> Array:
    """ln((T0 - Tc)/(T1 - Tc)), zero where it is cold enough, infinite where the tap is too warm."""
    tap, start, end = _TAP.check(tap_c), _FROM.check(from_c), _TO.check(to_c)
    possible = np.where(end > tap, end - tap, 1.0)
    fall = np.log(np.maximum((start - tap) / possible, 1.0))
    return np.where(end >= start, 0.0, np.where(end > tap, fall, np.inf))
