"""Tell how dense water is, where it boils and what boiling it away costs.

In:  temperature [°C], pressure [kPa], altitude [m]; floats or arrays of draws.
Out: density [kg/m³], boiling point [°C], latent heat [kJ/kg].

Idea: short published forms, each held against the IAPWS formulation by its tests.  What dissolved
sugar changes is told in `extract`, what alcohol changes in `spirit`.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, Range, Slip
from gylebook.matter.horner import polynomial

SPECIFIC_HEAT = 4.184
"""Specific heat of water. [kJ/(kg K)]  IAPWS-95 has 4.179 to 4.196 from 10 to 80 °C and 4.216 at the boil."""

STANDARD_PRESSURE = 101.325
"""Standard atmosphere. [kPa]"""

_LIQUID = Range("temp_c", "°C", 0.0, 150.0, "Kell (1975)", (FAHRENHEIT,))
_ALTITUDE = Range(
    "altitude_m",
    "m",
    -500.0,
    4200.0,
    "the standard atmosphere (ISO 2533), as far as the boiling point is known here,",
    (Slip("feet", lambda value: value * 0.3048),),
    digits=0,
)
_PRESSURE = Range(
    "pressure_kpa",
    "kPa",
    60.0,
    108.0,
    "the boiling curve fitted to IAPWS-95",
    (
        Slip("bar", lambda value: value * 100.0),
        Slip("hPa or mbar", lambda value: value / 10.0),
        Slip("psi", lambda value: value * 6.894757),
        Slip("inches of mercury", lambda value: value * 3.386389),
    ),
)
_EVAPORATING = Range("temp_c", "°C", 8.0, 103.0, "the latent heat fitted to IAPWS-95", (FAHRENHEIT,))

_KELL_NUMERATOR = (-280.54253e-12, 105.56302e-9, -46.170461e-6, -7.9870401e-3, 16.945176, 999.83952)


def water_density(temp_c: Array | float) -> Array:
    """Density ρ of air-free water at 101.325 kPa. [kg/m³]

    ρ = (999.83952 + 16.945176 t − ... − 280.54253e-12 t⁵) / (1 + 16.879850e-3 t), t = temp_c [°C], 0 to 150.
    Within 0.02 kg/m³ of IAPWS-95 up to 105 °C.  Raises `OutsideValidity`.

    Source: G. S. Kell, J. Chem. Eng. Data 20, 97 (1975).  A reprint has 16.897850 below the line, two
    digits swapped, which makes water at 20 °C 0.27 kg/m³ too light.
    >>> round(float(water_density(20.0)), 3)
    998.204
    """
    t = _LIQUID.check(temp_c)
    return polynomial(t, _KELL_NUMERATOR) / (1.0 + 16.879850e-3 * t)


DENSITY_AT_20 = float(water_density(20.0))
"""Density of water at 20 °C, 998.204, the base of specific gravity 20/20. [kg/m³]"""


def pressure_at_altitude(altitude_m: Array | float) -> Array:
    """Air pressure p at an altitude h in the standard atmosphere. [kPa]

    p = 101.325 (1 − 2.25577e-5 h)^5.25588, h = altitude_m [m], −500 to 4200.  The weather adds ±3 kPa.
    Raises `OutsideValidity`.  Source: ISO 2533, from memory.
    >>> round(float(pressure_at_altitude(1000.0)), 1)
    89.9
    """
    h = _ALTITUDE.check(altitude_m)
    pressure: Array = STANDARD_PRESSURE * (1.0 - 2.25577e-5 * h) ** 5.25588
    return pressure


def boiling_point(pressure_kpa: Array | float) -> Array:
    """Boiling point of water. [°C]

    99.9743 + 28.0165 L + 2.4054 L² + 0.1976 L³, L = ln(p / 101.325 kPa), p = pressure_kpa [kPa], 60 to 108:
    a fit to the saturation curve of IAPWS-95.  Water boils at 99.97 °C, not 100.00, at standard pressure.
    Raises `OutsideValidity`.
    """
    p = _PRESSURE.check(pressure_kpa)
    return polynomial(np.log(p / STANDARD_PRESSURE), (0.1976, 2.4054, 28.0165, 99.9743))


def latent_heat(temp_c: Array | float) -> Array:
    """Heat that turns water into steam at the same temperature. [kJ/kg]

    2499.93 − 2.2818 t − 0.0015084 t², t = temp_c [°C], 8 to 103: a fit to IAPWS-95, good to 0.5 kJ/kg.
    Raises `OutsideValidity`.
    >>> round(float(latent_heat(100.0)))
    2257
    """
    t = _EVAPORATING.check(temp_c)
    return polynomial(t, (-0.0015084, -2.2818, 2499.93))
