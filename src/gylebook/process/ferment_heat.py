"""Follow a fermentation's gravity through time, and the heat that it gives off.

In:  start and end of apparent extract [°P], rate [1/h], midpoint [h]; a wort's mass; how a vessel sheds heat.
Out: apparent extract at an hour, when it is nearly done; heat [kJ], power [W], warmth over the room [K].

Idea: four numbers draw the curve, and everything said of it follows from them.  Warmth only makes the clock
run faster or slower.  What the four numbers are for a yeast, and what readings make of them, is not here.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range
from gylebook.process.alcohol import LOST_MASS, real_attenuation_asbc
from gylebook.process.ferment import QUOTIENT, real_extract

HEAT_PER_EXTRACT = 587.0
"""Heat from extract fermented, ± 80. [kJ/kg]  From memory (brewing engineering), a trade figure agrees; heats
of combustion give 555 for glucose.  1217, met with, is close to the free energy and is not heat."""

HEAT_SPREAD = 80.0
"""Standard deviation of `HEAT_PER_EXTRACT`. [kJ/kg]"""

Q10 = 2.2
"""How much faster yeast works 10 K warmer, ± 0.4, within its range. [-]  Common practice, no source."""

_SPEERS = "the curve of Speers, Rogers and Smith (2003)"
_FALL = Range("start less end", "°P", 0.0, 40.0, _SPEERS)
_RATE = Range("rate", "1/h", 1e-4, 2.0, _SPEERS)
_WITHIN = Range("within", "°P", 1e-3, 40.0, _SPEERS)
_HEAT = Range("kj_per_kg", "kJ/kg", 390.0, 800.0, "the heat of fermentation (587 ± 80)")
_FALLING = Range("fall_per_hour", "°P/h", 0.0, 20.0, "a fermentation")
_ORIGINAL = Range("original", "°P", 0.0, 40.0, "Balling's balance")
_UA = Range("ua_w_per_k", "W/K", 0.001, 1000.0, "a vessel that sheds heat")
_TEMPERATURE = Range("temp_c", "°C", 0.0, 45.0, "yeast at work", (FAHRENHEIT,))
_Q10 = Range("q10", "", 1.0, 5.0, "yeast at work")


def apparent_extract_at(
    hours: Array | float,
    start: Array | float,
    end: Array | float,
    rate: Array | float,
    midpoint: Array | float,
) -> Array:
    r"""Apparent extract of a fermenting wort. [°P]

    .. math:: AE(t) = P_e + \frac{P_0 - P_e}{1 + e^{B (t - M)}}

    Parameters
    ----------
    hours
        Since pitching :math:`t`. [h]
    start, end
        :math:`P_0` and :math:`P_e`, at most 40 apart. [°P]
    rate
        :math:`B`, 1e-4 to 2; about 0.08 in ale at 19 °C, 0.03 in lager at 11 °C. [1/h]
    midpoint
        :math:`M`, when half the fall is done. [h]

    Notes
    -----
    At pitching it stands a little below :math:`P_0`: a measured original extract is a reading of AE(0).
    Raises `OutsideValidity`.

    Source: R. A. Speers, P. Rogers and B. Smith, J. Inst. Brew. 109, 229 (2003); ASBC Yeast-14.

    >>> round(float(apparent_extract_at(40.0, 12.6, 2.8, 0.085, 40.0)), 2)
    7.7
    """
    return end + _FALL.check(np.asarray(start) - end) * _unfermented(hours, rate, midpoint)


def fall_per_hour_at(
    hours: Array | float,
    start: Array | float,
    end: Array | float,
    rate: Array | float,
    midpoint: Array | float,
) -> Array:
    """How fast apparent extract falls at an hour: the slope of `apparent_extract_at`, as positive. [°P/h]"""
    left = _unfermented(hours, rate, midpoint)
    return _FALL.check(np.asarray(start) - end) * (rate * left * (1.0 - left))


def steepest_fall(start: Array | float, end: Array | float, rate: Array | float) -> Array:
    """The fastest fall of apparent extract, B (P0 - Pe)/4, at the midpoint. [°P/h]"""
    return 0.25 * _RATE.check(rate) * _FALL.check(np.asarray(start) - end)


def hours_until_within(
    within: Array | float,
    start: Array | float,
    end: Array | float,
    rate: Array | float,
    midpoint: Array | float,
) -> Array:
    """When apparent extract is `within` of its end, M + ln[(P0 - Pe - δ)/δ]/B. [h since pitching]

    δ = `within` 0.001 to 40 [°P]; the rest as in `apparent_extract_at`.  None where it is so at pitching.
    """
    near = _WITHIN.check(within)
    # What lies within from the beginning gets a logarithm far below zero, and so no hours.
    above = np.maximum(_FALL.check(np.asarray(start) - end) / near - 1.0, 1e-300)
    hours: Array = np.maximum(midpoint + np.log(above) / _RATE.check(rate), 0.0)
    return hours


def hours_until_share(share: float, rate: Array | float, midpoint: Array | float) -> Array:
    """When a share of the fall, above 0 and below 1, is done: M + ln[s/(1 - s)]/B. [h since pitching]"""
    if not 0.0 < share < 1.0:
        raise ValueError(f"share is {share:g}; it lies above 0 and below 1")
    hours: Array = np.maximum(midpoint + np.log(share / (1.0 - share)) / _RATE.check(rate), 0.0)
    return hours


def heat_evolved(
    wort_kg: Array | float,
    original: Array | float,
    real: Array | float,
    kj_per_kg: Array | float = HEAT_PER_EXTRACT,
) -> Array:
    """Heat of fermenting a wort to a real extract, 587 kJ for each kg of extract that went. [kJ]

    `wort_kg` as pitched; `original` 0.1 to 40, `real` -1 to 40 °P; heat 390 to 800 kJ/kg, 587 ± 80.
    Over the wort's heat capacity it is the rise of a wort that sheds none.
    """
    fermented_kg = 0.01 * wort_kg * original * real_attenuation_asbc(original, real)
    return fermented_kg * _HEAT.check(kj_per_kg)


def heat_power(
    wort_kg: Array | float,
    original: Array | float,
    apparent: Array | float,
    fall_per_hour: Array | float,
    kj_per_kg: Array | float = HEAT_PER_EXTRACT,
) -> Array:
    r"""Heat given off while apparent extract falls: the slope of `heat_evolved` in time. [W]

    .. math:: \frac{m}{100}\,\frac{1 - k\,OE}{(1 - k\,RE)^2}\,0.805\,\dot{AE}\cdot\frac{587}{3.6},\quad
              k = 0.005161

    Parameters
    ----------
    wort_kg
        As pitched :math:`m`. [kg]
    original, apparent
        0 to 40, and what is left now, -6 to 40. [°P]
    fall_per_hour
        Of apparent extract, 0 to 20: `fall_per_hour_at`, `steepest_fall`. [°P/h]
    kj_per_kg
        390 to 800; 587 ± 80. [kJ/kg]

    Notes
    -----
    The factor of k is the weight that leaves as gas and yeast.  Raises `OutsideValidity`.

    >>> round(float(heat_power(20.0, 12.6, 7.7, 0.21)), 1)
    5.6
    """
    lighter = 1.0 - LOST_MASS * real_extract(original, apparent)
    fermented = QUOTIENT * _FALLING.check(fall_per_hour) * (1.0 - LOST_MASS * _ORIGINAL.check(original))
    return wort_kg * fermented / (lighter * lighter) * (_HEAT.check(kj_per_kg) / 360.0)


def warmest_excess(power_w: Array | float, ua_w_per_k: Array | float) -> Array:
    """How far beer stands above the air while it gives off power, P/UA. [K]

    UA 0.001 to 1000 W/K: for 20 L in glass or plastic 1.5 to 3.5, in a draught 5, in a water bath 15 to 30
    (common practice and judgement; a brewer's own is better).  At the greatest power it is an upper bound:
    warming the beer itself takes time, and where it sheds heat no faster than its yeast works (C/UA = 1/B, as
    20 L of ale at 2 W/K) the peak is 13 % less.
    """
    return power_w / _UA.check(ua_w_per_k)


def speed_at(temp_c: Array | float, q10: Array | float = Q10, reference_c: Array | float = 20.0) -> Array:
    """How fast yeast works against the reference temperature, Q10^((T - Tr)/10). [-]

    `temp_c` and `reference_c` 0 to 45 °C, q10 1 to 5, 2.2 ± 0.4; within the yeast's own range, above which it
    slows again.  Multiplies the rate of `apparent_extract_at` and divides its midpoint.

    >>> round(float(speed_at(30.0)), 1)
    2.2
    """
    warmer = _TEMPERATURE.check(temp_c) - _TEMPERATURE.check(reference_c)
    speed: Array = _Q10.check(q10) ** (0.1 * warmer)
    return speed


def hours_at_reference(
    hours: Array, temp_c: Array, q10: Array | float = Q10, reference_c: Array | float = 20.0
) -> Array:
    """Hours at the reference temperature that a history is worth, ∫ Q10^((T - Tr)/10) dt, at each time. [h]

    `hours` has shape (times,), `temp_c` the same, or (times, draws), or (times, 1) where q10 alone is drawn;
    between two times temperature changes in a straight line, for which the integral is exact.  The first is
    zero.  Ranges as in `speed_at`; times that run back are a slip of the program (`ValueError`).
    """
    lengths = np.diff(hours).reshape(-1, *(1,) * (temp_c.ndim - 1))
    if lengths.size and np.minimum.reduce(lengths, axis=None) < 0.0:
        raise ValueError("the times of a history must not run back")
    bend = 0.1 * np.log(_Q10.check(q10)) * np.diff(_TEMPERATURE.check(temp_c), axis=0)
    first = speed_at(temp_c, q10, reference_c)[:-1]
    # The mean of e^x over a straight line from 0 to x is (e^x - 1)/x, one where x is nothing.
    flat = np.abs(bend) < 1e-9
    mean = np.where(flat, 1.0, np.expm1(bend) / np.where(flat, 1.0, bend))
    worth = np.cumsum(lengths * first * mean, axis=0)
    return np.concatenate((np.zeros((1, *worth.shape[1:])), worth))


def _unfermented(hours: Array | float, rate: Array | float, midpoint: Array | float) -> Array:
    """1/(1 + e^(B (t - M))), written so that no time however late overflows."""
    left: Array = 0.5 - 0.5 * np.tanh(0.5 * _RATE.check(rate) * (hours - np.asarray(midpoint)))
    return left
