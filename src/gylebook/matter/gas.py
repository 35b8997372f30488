"""Dissolve carbon dioxide in water and beer, and tell the pressure that keeps it there.

In:  pressure [bar, absolute], temperature [°C], CO2 held [g/kg or g/L].
Out: CO2 held [g/kg], the pressure of beer at rest under pure CO2 [bar, absolute], volumes of CO2.

Idea: Henry's law for water, a fugacity for the gas and the vapour taken off; beer holds a fixed share of what
water holds.  A bottle's trapped air and its head space are a balance, and belong to `process`; so does what
a fermentation leaves behind.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range, Slip

CO2_MOLAR_MASS = 44.0095
"""Molar mass of carbon dioxide. [g/mol]"""

CO2_PER_VOLUME = 1.9768
"""One volume of CO2, a litre of the real gas at 0 °C and 1 atm. [g/L]  An ideal gas would weigh 1.9635."""

BEER_OF_WATER = 0.95
"""CO2 that beer dissolves over what water does, ± 0.015. [-]  The trade's chart, of a strong beer: 0.94."""

BEER_OF_WATER_SAFE = 0.92
"""The same share for safety sums: beer that dissolves little stands under more pressure. [-]"""

_PER_KG_AND_BAR = CO2_MOLAR_MASS / 1.01325  # Weiss's mol/(kg atm) in g/(kg bar)

_WEISS = "the solubility of Weiss (1974; -1 to 40 °C)"
_TEMPERATURE = Range("temp_c", "°C", -2.0, 45.0, _WEISS, (FAHRENHEIT,))
_PRESSURE = Range(
    "pressure_bar_abs",
    "bar",
    0.3,
    20.0,
    "the fugacity of CO2 fitted here",
    (Slip("kPa", lambda value: value / 100.0), Slip("psi", lambda value: value * 0.06894757)),
    digits=2,
)
# Flat beer holds no CO2 and stands under its vapour alone, which is no error.
_PRESSURE_FOUND = Range("the pressure of CO2 and vapour", "bar", 0.0, 20.0, "the fugacity of CO2 fitted here")
_HELD = Range("co2_g_per_kg", "g/kg", 0.0, 60.0, "the solubility of CO2 in beer up to 20 bar")
_GRAMS = Range("co2_g_per_l", "g/L", 0.0, 60.0, "the solubility of CO2 in beer up to 20 bar")
_VOLUMES = Range("volumes", "volumes", 0.0, 30.0, "the solubility of CO2 in beer up to 20 bar")
_SHARE = Range(
    "solubility_share", "", 0.8, 1.1, "what beer dissolves of what water does", (PER_CENT,), digits=2
)


def co2_in_water(temp_c: Array | float) -> Array:
    r"""CO2 that a kilogram of water dissolves for each bar of fugacity. [g/(kg bar)]

    .. math:: \ln K_0 = -60.2409 + 93.4517\,\frac{100}{T} + 23.3585\,\ln\frac{T}{100}

    with K0 in mol/(kg atm), temp_c −2 to 45 [°C], measured from −1 to 40.  Within 1.3 % of Wilhelm, Battino
    and Wilcock (1977).  Raises `OutsideValidity`.

    Source: R. F. Weiss, Marine Chemistry 2, 203 (1974), at no salinity.
    >>> round(float(co2_in_water(20.0)), 2)
    1.7
    """
    hundreds = (_TEMPERATURE.check(temp_c) + 273.15) * 0.01
    solubility: Array = _PER_KG_AND_BAR * np.exp(-60.2409 + 93.4517 / hundreds + 23.3585 * np.log(hundreds))
    return solubility


def fugacity_coefficient(pressure_bar_abs: Array | float, temp_c: Array | float) -> Array:
    """Fugacity of CO2 over its pressure. [-]

    φ = exp[−(0.00665 − 0.00007 t) p], p = pressure_bar_abs 0.3 to 20 [bar], t = temp_c −2 to 45 [°C]: a fit
    to Span and Wagner, J. Phys. Chem. Ref. Data 25, 1509 (1996), within 0.35 % to 6 bar, 0.9 % high at 15 and
    1.3 % at 20.  Raises `OutsideValidity`.
    """
    coefficient: Array = np.exp(-_bend(_TEMPERATURE.check(temp_c)) * _PRESSURE.check(pressure_bar_abs))
    return coefficient


def fugacity_fall(temp_c: Array | float) -> Array:
    """Fall of ln φ for each bar, 0.00665 − 0.00007 t: the slope in `fugacity_coefficient`. [1/bar]

    temp_c −2 to 45 [°C].  For balances that solve for the pressure themselves.  Raises `OutsideValidity`.
    """
    return _bend(_TEMPERATURE.check(temp_c))


def water_vapour_pressure(temp_c: Array | float) -> Array:
    """Pressure of the vapour over water, and nearly over beer, temp_c −2 to 45 [°C]. [bar]

    0.0061094 exp[17.625 t/(t + 243.04)], within 0.4 % of IAPWS-95.  Raises `OutsideValidity`.

    Source: O. A. Alduchov and R. E. Eskridge, J. Appl. Meteorol. 35, 601 (1996), from memory.
    """
    return _vapour(_TEMPERATURE.check(temp_c))


def co2_in_beer(
    pressure_bar_abs: Array | float, temp_c: Array | float, solubility_share: Array | float = BEER_OF_WATER
) -> Array:
    r"""CO2 that beer holds at rest under CO2 and its own vapour. [g/kg]

    .. math:: c = k\,K_0(T)\,\varphi\,(p - p_w)

    Parameters
    ----------
    pressure_bar_abs
        All of the gas above the beer :math:`p`, 0.3 to 20: what a gauge shows and the barometer. [bar]
    temp_c
        Of the beer, −2 to 45. [°C]
    solubility_share
        Beer over water :math:`k`, 0.8 to 1.1; 0.95 ± 0.015. [-]

    Notes
    -----
    Within 3 % of the trade's chart (30 to 47 °F), and of Rammert and Pahl, Brauwelt 131, 488 (1991), within
    3.5 % from 0 to 25 °C.  Alcohol and extract shift the share (R. A. Speers and A. J. MacIntosh, J. Am. Soc.
    Brew. Chem. 71, 242, 2013).  Raises `OutsideValidity`.

    >>> round(float(co2_in_beer(2.01325, 4.0)), 2)
    5.43
    """
    t, p = _TEMPERATURE.check(temp_c), _PRESSURE.check(pressure_bar_abs)
    held: Array = _SHARE.check(solubility_share) * co2_in_water(t)
    return held * (p - _vapour(t)) * np.exp(-_bend(t) * p)


def pressure_of_co2(
    co2_g_per_kg: Array | float, temp_c: Array | float, solubility_share: Array | float = BEER_OF_WATER
) -> Array:
    """Pressure under which beer holds this CO2, the inverse of `co2_in_beer` to rounding. [bar, absolute]

    co2_g_per_kg 0 to 60 [g/kg], at most what 20 bar hold; the others as there.  With `BEER_OF_WATER_SAFE` the
    pressure comes out on the safe side.  It is that of CO2 and vapour alone: a bottle capped on air stands
    about 0.8 bar higher.  Raises `OutsideValidity`.
    """
    t = _TEMPERATURE.check(temp_c)
    bend, vapour = _bend(t), _vapour(t)
    ideal = _HELD.check(co2_g_per_kg) / (_SHARE.check(solubility_share) * co2_in_water(t))
    # x = p − pw solves x = a e^(bend x).  Its first two terms start Newton within 1 bar up to 20 bar, and
    # three turns leave rounding; an answer beyond 20 bar stays beyond, and is refused below.
    a = ideal * np.exp(bend * vapour)
    x = np.minimum(a * (1.0 + bend * a), 25.0)
    for _ in range(3):
        grown = a * np.exp(bend * x)
        x = x + (grown - x) / (1.0 - bend * grown)
    return _PRESSURE_FOUND.check(x + vapour)


def volumes_of_co2(co2_g_per_l: Array | float) -> Array:
    """Volumes of CO2 in a litre of beer that holds co2_g_per_l 0 to 60 [g/L]: c/1.9768. [volumes]

    Raises `OutsideValidity`.
    >>> round(float(volumes_of_co2(4.942)), 2)
    2.5
    """
    return _GRAMS.check(co2_g_per_l) / CO2_PER_VOLUME


def co2_of_volumes(volumes: Array | float) -> Array:
    """CO2 in a litre of beer of so many volumes, 0 to 30: the inverse of `volumes_of_co2`. [g/L]

    Raises `OutsideValidity`.
    """
    return _VOLUMES.check(volumes) * CO2_PER_VOLUME


def _bend(t: Array) -> Array:
    """Fall of ln φ with pressure. [1/bar]"""
    return 0.00665 - 0.00007 * t


def _vapour(t: Array) -> Array:
    """Vapour pressure of water, unchecked. [bar]"""
    pressure: Array = 0.0061094 * np.exp(17.625 * t / (t + 243.04))
    return pressure
