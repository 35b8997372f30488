"""Set a keg: its pressure for the gas wanted, and the line in which that pressure is spent.

In:  CO2 wanted [g/L], temperature [°C], the barometer [bar]; flow [mL/s], bore [mm], lift [m].
Out: pressure on the gauge [bar]; fall of pressure in a metre of line [bar/m]; line needed [m]; oxygen left
     after pressing and venting [ppm].

Idea: absolute pressure decides what beer holds, so a gauge is set higher where the air is thinner.  What a
metre of line takes is no property of the hose: it goes as flow to the power of 1.75, so it is worked out for
the pour that is wanted.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import Range
from gylebook.matter.gas import BEER_OF_WATER, pressure_of_co2

STILL_DAYS = (10.0, 14.0)
"""Days in which cold beer comes to rest under still gas; common practice. [d]"""

USUAL_BORE_MM, USUAL_LIFT_M = 4.76, 0.5
USUAL_POUR = 30.0  # mL/s: 0.3 L in ten seconds, as one pours at home; judgement
TAP_BAR = 0.05
"""What a tap takes; judgement. [bar]"""

COLD_BEER_KG_M3, COLD_BEER_PA_S = 1010.0, 1.9e-3  # beer of 4 °C; its viscosity is judgement, ± 15 %
LAMINAR = 2300.0
OXYGEN_OF_AIR = 209_000.0  # ppm
GRAVITY = 9.81
PASCAL_PER_BAR = 1e5

_FLOW = Range("flow_ml_s", "mL/s", 1.0, 200.0, "Blasius's law in a line of beer")
_BORE = Range("bore_mm", "mm", 2.0, 20.0, "Blasius's law in a line of beer", (), 2)
_LIFT = Range("lift_m", "m", -5.0, 10.0, "a tap at home")
_BAROMETER = Range("barometer_bar", "bar", 0.5, 1.1, "the air at a place where one brews", (), 2)
_PRESS = Range("gauge_bar", "bar", 0.1, 9.0, "a keg that may be pressed", (), 2)


class LineFall(NamedTuple):
    """Fall of pressure [bar/m], speed of the beer [m/s], Reynolds's number [-]."""

    bar_per_m: Array
    metres_per_s: Array
    reynolds: Array


def keg_gauge(
    co2_g_per_l: Array | float,
    temp_c: Array | float,
    barometer_bar: Array | float = 1.01325,
    *,
    solubility_share: Array | float = BEER_OF_WATER,
    beer_kg_per_l: float = 1.008,
) -> Array:
    """Pressure to set so that beer at rest holds this CO2. [bar over the air's]

    `pressure_of_co2` less the barometer, 0.5 to 1.1: each 1000 m of height ask for 0.11 bar more.  Below zero
    where beer would hold more under the air's pressure.  `co2_g_per_l` 0 to 60, `temp_c` -2 to 45.

    >>> round(float(keg_gauge(4.94, 4.0)), 2)
    0.8
    """
    held = pressure_of_co2(np.asarray(co2_g_per_l) / beer_kg_per_l, temp_c, solubility_share)
    gauge: Array = held - _BAROMETER.check(barometer_bar)
    return gauge


def line_fall(flow_ml_s: Array | float = USUAL_POUR, bore_mm: Array | float = USUAL_BORE_MM) -> LineFall:
    r"""What a metre of smooth line takes of the pressure, f ρ v²/(2 D).

    f = 0.3164 Re^-0.25 (Blasius), and 64/Re below a Reynolds number of 2300, where the beer runs in layers.

    Parameters
    ----------
    flow_ml_s
        Of the beer, 1 to 200; 63 is a US gallon a minute, as the trade's tables have it. [mL/s]
    bore_mm
        Inside width, 2 to 20; 4.76 is 3/16 in. [mm]

    Notes
    -----
    Of cold beer: 1010 kg/m³ and 1.9 mPa s.  A rough or warm line takes more, a factor of 1.25 either way.
    Raises `OutsideValidity`.

    >>> round(float(line_fall(63.0).bar_per_m), 2), round(float(line_fall(30.0).bar_per_m), 2)
    (0.43, 0.12)
    """
    width = _BORE.check(bore_mm) / 1000.0
    speed = _FLOW.check(flow_ml_s) * 1e-6 / (0.25 * math.pi * width * width)
    reynolds = COLD_BEER_KG_M3 * speed * width / COLD_BEER_PA_S
    friction = np.where(reynolds < LAMINAR, 64.0 / reynolds, 0.3164 * reynolds**-0.25)
    fall = friction * COLD_BEER_KG_M3 * speed * speed / (2.0 * width) / PASCAL_PER_BAR
    return LineFall(fall, speed, reynolds)


def line_length(
    keg_bar: Array | float,
    lift_m: Array | float = USUAL_LIFT_M,
    flow_ml_s: Array | float = USUAL_POUR,
    bore_mm: Array | float = USUAL_BORE_MM,
    tap_bar: float = TAP_BAR,
) -> Array:
    """Line that spends a keg's pressure at this flow, (p - ρ g h - tap)/fall; 0 where too little is left. [m]

    `lift_m` is the tap above the middle of the beer, -5 to 10. [m]

    >>> round(float(line_length(0.83, 0.6, 63.0)), 1), round(float(line_length(0.83, 0.6, 30.0)), 1)
    (1.7, 6.1)
    """
    column = COLD_BEER_KG_M3 * GRAVITY * _LIFT.check(lift_m) / PASCAL_PER_BAR
    spare = np.maximum(np.asarray(keg_bar) - column - tap_bar, 0.0)
    return spare / line_fall(flow_ml_s, bore_mm).bar_per_m


def oxygen_left(gauge_bar: Array | float, cycles: int, barometer_bar: Array | float = 1.01325) -> Array:
    """Oxygen in the gas above beer after pressing with CO2 and venting so often. [ppm]

    209,000 (p_a/(p_a + p_g))^n, with p_g 0.1 to 9 bar.  Each time the gas mixes, which takes a few seconds.

    >>> round(float(oxygen_left(2.0, 5)))
    899
    """
    barometer = _BAROMETER.check(barometer_bar)
    left: Array = OXYGEN_OF_AIR * (barometer / (barometer + _PRESS.check(gauge_bar))) ** cycles
    return left
