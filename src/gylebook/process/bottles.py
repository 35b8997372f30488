"""Tell the pressure in a closed bottle or a primed keg, and what its head space takes of the gas.

In:  all CO2 in it for each litre of beer [g/L], temperature [°C], head space over beer, capped on what.
Out: pressure as a gauge would show it [bar]; CO2 in the head space [g/L of beer].

Idea: CO2 parts between beer and head space, and none is lost.  A bottle capped on air keeps its nitrogen,
squeezed as the beer grows warmer, so it stands about 0.8 bar above what a keg table says.  Of two ways to
count what beer dissolves the lower holds, so that the pressure errs on the side of safety.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range
from gylebook.matter.gas import (
    BEER_OF_WATER,
    CO2_MOLAR_MASS,
    co2_in_water,
    fugacity_fall,
    water_vapour_pressure,
)

NITROGEN = 0.79
"""Share of air that stays in a closed bottle: yeast takes the oxygen within days. [-]"""

USUAL_HEAD_SPACE = 0.04
"""Head space over beer in a bottle, 0.03 to 0.06: 12 to 20 mL above 330 mL; common practice. [-]"""

FILLED_AT_C = 20.0  # where head space and air are counted from
BEER_SWELLS = 3e-4  # per kelvin; beer between 10 and 40 °C, a little more than water's mean
GAS_CONSTANT = 8.314e-2  # L bar/(mol K)
SECOND_VIRIAL, VIRIAL_FALL = -0.1279, 1.9  # L/mol of CO2 at 20 °C, and the power by which it falls with T
LEAST_HEAD_SPACE = 0.005  # what is left of it where beer has swollen into it
NEWTON_TURNS = 6

_TEMPERATURE = Range("temp_c", "°C", -2.0, 45.0, "the solubility of CO2 in beer", (FAHRENHEIT,))
_CO2 = Range("co2_g_per_l", "g/L", 0.0, 80.0, "the balance of gas in a bottle")
_HEAD = Range("head_space", "", 0.01, 20.0, "a closed bottle or keg", (PER_CENT,), 2)
_SPREAD = Range("solubility_factor", "", 0.7, 1.3, "what beer dissolves, over its middle", (PER_CENT,), 2)
_BAROMETER = Range("barometer_bar", "bar", 0.5, 1.1, "the air at a place where one brews", (), 2)


def beer_of_water(temp_c: Array | float) -> Array:
    """CO2 that beer dissolves over what water does, for safety sums. [-]

    The lower of 0.95 and 0.937 + 0.0022 (min(t, 25) - 5), a fit to the chart of the trade (30 to 47 °F)
    against pure water.  `temp_c` -2 to 45.

    >>> [round(float(beer_of_water(t)), 3) for t in (4.0, 20.0)]
    [0.935, 0.95]
    """
    t = _TEMPERATURE.check(temp_c)
    return np.minimum(BEER_OF_WATER, 0.937 + 0.0022 * (np.minimum(t, 25.0) - 5.0))


def bottle_pressure(
    co2_g_per_l: Array | float,
    temp_c: Array | float,
    head_space: Array | float = USUAL_HEAD_SPACE,
    *,
    on_air: bool = True,
    solubility_factor: Array | float = 1.0,
    barometer_bar: Array | float = 1.01325,
    beer_kg_per_l: float = 1.0,
) -> Array:
    r"""Pressure in a closed bottle at rest, over the air's. [bar]

    .. math:: m = k(T)\,p\,\varphi(p) + h'\,\frac{44.01\,p}{Z R T},\quad
              p_g = p + p_{N_2} + p_w - p_a

    Parameters
    ----------
    co2_g_per_l
        All CO2 in the bottle for each litre of beer :math:`m`: kept, from sugar, still to come; 0 to 80.
        [g/L]
    temp_c
        Of the bottle, -2 to 45. [°C]
    head_space
        Gas over beer by volume as it was filled at 20 °C, 0.01 to 20; beer swells into it. [-]
    on_air
        Whether it was capped on air; its nitrogen then stays, 0.79 of the barometer where it was filled.
    solubility_factor
        What beer dissolves over `beer_of_water`, for its spread: 0.7 to 1.3. [-]
    barometer_bar
        Of the place, 0.5 to 1.1. [bar]
    beer_kg_per_l
        1 for safety: heavier beer holds as much more and stands under less. [kg/L]

    Notes
    -----
    Derived.  Below zero is a bottle that draws, where it was purged and holds little gas.  Beyond 20 bar the
    fugacity is carried on past its range; no bottle holds that.  Raises `OutsideValidity`.

    >>> [round(float(bottle_pressure(4.94, 20.0, on_air=air)), 1) for air in (True, False)]
    [2.8, 2.0]
    """
    t, held = _TEMPERATURE.check(temp_c), _CO2.check(co2_g_per_l)
    head = _HEAD.check(head_space)
    barometer = _BAROMETER.check(barometer_bar)
    room = np.maximum(head - BEER_SWELLS * (t - FILLED_AT_C), LEAST_HEAD_SPACE)
    dissolved = _SPREAD.check(solubility_factor) * beer_of_water(t) * co2_in_water(t) * beer_kg_per_l
    p = _co2_pressure(held, dissolved, room, t)
    kelvin = t + 273.15
    air = NITROGEN * barometer * (kelvin / (FILLED_AT_C + 273.15)) * (head / room) if on_air else 0.0
    gauge: Array = p + air + water_vapour_pressure(t) - barometer
    return gauge


def head_space_co2(pressure_bar: Array | float, temp_c: Array | float, head_space: Array | float) -> Array:
    """CO2 in the gas above each litre of beer, h · 44.01 p/(Z R T). [g/L of beer]

    `pressure_bar` of the CO2 alone, 0 to 20 and absolute [bar]; `temp_c` -2 to 45 [°C]; `head_space` gas over
    beer, 0.01 to 20 [-].  In a bottle a tenth of a volume; in a keg that is not full it is what its extra
    sugar must make.

    >>> round(float(head_space_co2(3.0, 20.0, 1.0)), 1)
    5.5
    """
    t = _TEMPERATURE.check(temp_c)
    return _HEAD.check(head_space) * _gas_density(np.asarray(pressure_bar, dtype=float), t)


def _gas_density(p: Array, t: Array) -> Array:
    """Density of CO2 gas, with its second virial coefficient. [g/L]"""
    kelvin = t + 273.15
    compressed = np.maximum(1.0 + _virial(kelvin) * p / (GAS_CONSTANT * kelvin), 0.5)
    return CO2_MOLAR_MASS * p / (compressed * GAS_CONSTANT * kelvin)


def _virial(kelvin: Array) -> Array:
    second: Array = SECOND_VIRIAL * (293.15 / kelvin) ** VIRIAL_FALL
    return second


def _co2_pressure(held: Array, dissolved: Array, room: Array, t: Array) -> Array:
    """Pressure of CO2 at which beer and head space hold all of it. [bar, absolute]

    The gas is counted as ideal, which leaves the pressure at most 0.3 % high in a bottle.  What is held bends
    down as pressure grows, so Newton climbs to the answer from below and never past it.
    """
    bend = fugacity_fall(t)
    gas = room * CO2_MOLAR_MASS / (GAS_CONSTANT * (t + 273.15))
    p = held / (dissolved + gas)
    for _ in range(NEWTON_TURNS):
        there = dissolved * p * np.exp(-bend * p)
        p = p + (held - there - gas * p) / (there * (1.0 / np.maximum(p, 1e-9) - bend) + gas)
    found: Array = p
    return found
