"""Say how much could still come after gravity has stood still, and how long it must.

In:  days and scatter of readings that agree, the time constant of the slowest organism, its temperature.
Out: points of gravity still possible; days that gravity must stand still.

Idea: readings that agree leave a small fall unseen.  If what is left decays with a time constant, that fall
bounds all that follows; for an organism of months three equal days say nothing.  One point is 0.001 SG.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range

Organism = Literal["ordinary", "sluggish", "diastatic", "Brettanomyces"]

TAU_DAYS: dict[Organism, float] = {
    "ordinary": 3.0,
    "sluggish": 10.0,
    "diastatic": 30.0,
    "Brettanomyces": 60.0,
}
"""Time constant of what is left at 20 °C. [d]  Judgement: the tail of a healthy ale, of a sluggish one, of
dextrins being split, of a slow Brettanomyces."""

LEAST_DAYS: dict[Organism, float] = {
    "ordinary": 3.0,
    "sluggish": 3.0,
    "diastatic": 14.0,
    "Brettanomyces": 28.0,
}
"""Days of equal readings that custom asks for whatever the hydrometer; common practice."""

LEAST_AGE_DAYS: dict[Organism, float] = {"Brettanomyces": 84.0}
"""Age of an organism before its beer is packed, whatever its gravity did; common practice. [d]"""

ALLOWED_POINTS = 0.7
"""Points that may still come in a package, 0.36 volumes of gas; judgement."""

SLOWER_PER_10_K = 2.5  # colder than 20 °C; custom says 2 to 3
ONE_SIDED = 1.645  # of a normal: 95 in 100 lie below
_TEMPERATURE = Range("temp_c", "°C", -2.0, 45.0, "beer that is kept", (FAHRENHEIT,))


def time_constant(organism: Organism, temp_c: float) -> float:
    """Time constant of what an organism has left, longer in the cold. [d]

    τ · 2.5^((20 - T)/10) below 20 °C; warmer is not counted as faster.  `temp_c` -2 to 45.
    """
    colder = max(20.0 - float(_TEMPERATURE.check(temp_c)), 0.0)
    return float(TAU_DAYS[organism] * SLOWER_PER_10_K ** (0.1 * colder))


def largest_fall(days: Array, sd_points: Array | float) -> float:
    r"""What readings that agree could have missed over their whole span, 95 in 100. [points]

    .. math:: u = 1.645\,\frac{D}{\sqrt{\sum (t - \bar t)^2 / s^2}}

    `days` of two or more readings, not all at once; `sd_points` s of each.  A line through them by least
    squares; for two alike it is 1.645 s √2.

    >>> round(largest_fall(np.array([0.0, 3.0]), 0.5), 2)
    1.16
    """
    if len(days) < 2 or np.ptp(days) <= 0.0:
        raise ValueError("a fall is seen between two readings, one after the other")
    weight = 1.0 / np.square(np.broadcast_to(np.asarray(sd_points, dtype=float), np.shape(days)))
    apart = days - np.average(days, weights=weight)
    return float(ONE_SIDED * np.ptp(days) / np.sqrt(np.sum(weight * apart * apart)))


def still_to_come(fall: Array | float, days: Array | float, tau_days: Array | float) -> Array:
    """Points that follow a fall of at most `fall` over `days`, u e^(-D/τ)/(1 - e^(-D/τ)). [points]

    >>> round(float(still_to_come(1.163, 3.0, 30.0)), 1)
    11.1
    """
    follows: Array = np.asarray(fall) / np.expm1(np.asarray(days) / tau_days)
    return follows


def days_to_stand_still(
    fall: Array | float, tau_days: Array | float, allowed: float = ALLOWED_POINTS
) -> Array:
    """Days between equal readings until no more than `allowed` points can follow, τ ln(1 + u/allowed). [d]

    >>> round(float(days_to_stand_still(1.163, 30.0)))
    29
    """
    days: Array = np.asarray(tau_days) * np.log1p(np.asarray(fall) / allowed)
    return days
