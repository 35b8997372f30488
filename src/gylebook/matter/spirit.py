"""Tell the density of ethanol in water, and alcohol by volume from alcohol by mass.

In:  alcohol by mass (fraction or per cent, as named), temperature [°C], SG of the beer.
Out: density [kg/m³], alcohol by volume [% vol at 20 °C] and back.

Idea: the international formula for plain mixtures, and for beer its density as measured or forecast.
How much alcohol a fermentation makes belongs to `process`.
"""

from __future__ import annotations

from math import fsum

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range, Slip
from gylebook.matter.horner import polynomial

_ETHANOL_SG = 0.7907  # the same as SG 20/20, with which gravities are multiplied

_R22 = "OIML R 22"
_MASS_FRACTION = Range("mass_fraction", "kg/kg", 0.0, 1.0, _R22, (PER_CENT,), digits=3)
_COLD = Range("temp_c", "°C", -20.0, 40.0, _R22, (FAHRENHEIT,))
_PER_CENT = (Slip("proof (US)", lambda value: value / 2.0),)
_ABW = Range("alcohol_mass_percent", "%", 0.0, 100.0, _R22)
_BEER_SG = Range(
    "beer_sg",
    "SG",
    0.97,
    1.16,
    "the relation for beer",
    (
        Slip("SG times 1000", lambda value: value / 1000.0),
        Slip("°P", lambda value: 1.0 + value / (258.6 - 0.875 * value)),
    ),
    digits=3,
)
_ABV = Range("abv", "% vol", 0.0, 100.0, _R22, _PER_CENT)

# OIML R 22 (1975), general formula.  Row k holds what multiplies p^k: A, then C for (t - 20)¹, (t - 20)², ...
_OIML = (
    (998.20123,),  # its own powers of (t - 20) are `_OIML_WATER`
    (-192.9769495, 0.1693443461530087, -0.0119301300505701, -0.0006802995733503803,
     4.075376675622027e-6, -2.788074354782409e-8),
    (389.1238958, -10.46914743455169, 0.2517399633803461, 0.01876837790289664,
     -8.763058573471110e-6, 1.345612883493354e-8),
    (-1668.103923, 71.96353469546523, -2.170575700536993, -0.2002561813734156, 6.515031360099368e-6),
    (13522.15441, -704.7478054272792, 13.53034988843029, 1.02299296671922, -1.515784836987210e-6),
    (-88292.78388, 3924.090430035045, -50.29988758547014, -2.895696483903638),
    (306287.4042, -12101.64659068747, 109.635566657757, 4.810060584300675),
    (-613838.1234, 22486.46550400788, -142.2753946421155, -4.672147440794683),
    (747017.2998, -26055.62982188164, 108.043594285623, 2.458043105903461),
    (-547846.1354, 18523.73922069467, -44.14153236817392, -0.5411227621436812),
    (223446.0334, -7420.201433430137, 7.442971530188783),
    (-39032.85426, 1285.617841998974),
)  # fmt: skip
_OIML_WATER = (
    -9.9739231e-11,
    7.169354e-09,
    -3.8957702e-07,
    3.6130013e-05,
    -0.0052682542,
    -0.20618513,
    998.20123,
)
_OIML_BY_TEMPERATURE = tuple(tuple(reversed(row)) for row in reversed(_OIML[1:]))
_OIML_AT_20 = tuple(row[0] for row in reversed(_OIML))
_SLOPE_AT_20 = tuple((12 - place) * a for place, a in enumerate(_OIML_AT_20))  # d(p ρ)/dp

ETHANOL_DENSITY = fsum(_OIML_AT_20)
"""Density of pure ethanol at 20 °C, 789.239 (OIML R 22 at p = 1). [kg/m³]"""


def ethanol_water_density(mass_fraction: Array | float, temp_c: Array | float) -> Array:
    """Density of a mixture of ethanol and water. [kg/m³]

    ρ(p, t) = Σ A p^(k−1) + Σ B (t − 20)^k + Σ C p^k (t − 20)^i, p = mass_fraction of ethanol 0 to 1 [-],
    t = temp_c −20 to 40 [°C, IPTS-68].  Raises `OutsideValidity`.

    Source: OIML R 22 (1975), general formula; as in Council Directive 76/766/EEC.
    >>> round(float(ethanol_water_density(0.04, 20.0)), 1)
    991.0
    """
    p, warmer = _MASS_FRACTION.check(mass_fraction), _COLD.check(temp_c) - 20.0
    of_p = (polynomial(warmer, row) for row in _OIML_BY_TEMPERATURE)
    return polynomial(p, (*of_p, polynomial(warmer, _OIML_WATER)))


def abv_from_mass_percent(alcohol_mass_percent: Array | float, beer_sg: Array | float) -> Array:
    """Alcohol by volume of a beer. [% vol]

    A S / 0.7907, A = alcohol_mass_percent 0 to 100 [%], S = beer_sg 20/20, 0.97 to 1.16 [-], of the beer
    as it is, extract and all.  The 0.794 of older texts is ethanol's at 60/60 °F and would be 0.4 % of the
    value low.  Raises `OutsideValidity`.
    """
    return _ABW.check(alcohol_mass_percent) * _BEER_SG.check(beer_sg) / _ETHANOL_SG


def abv_of_ethanol_water(alcohol_mass_percent: Array | float) -> Array:
    """Alcohol by volume of ethanol in plain water, alcohol_mass_percent 0 to 100 [%]. [% vol]

    A ρ(A) / 789.239, at 20 °C.  Raises `OutsideValidity`.
    >>> round(float(abv_of_ethanol_water(33.30)), 1)
    40.0
    """
    a = _ABW.check(alcohol_mass_percent)
    return a * polynomial(a * 0.01, _OIML_AT_20) / ETHANOL_DENSITY


def mass_percent_of_ethanol_water(abv: Array | float) -> Array:
    """Alcohol by mass of ethanol in plain water: the inverse of `abv_of_ethanol_water`. [%]

    Newton's rule on p ρ(p) = 789.239 abv / 100, abv 0 to 100 [% vol].  Raises `OutsideValidity`.
    """
    kg_per_m3 = _ABV.check(abv) * (ETHANOL_DENSITY / 100.0)
    p = kg_per_m3 / 850.0
    # p ρ(p) rises all the way and is little curved.  Left after each turn: 0.3, 2e-3, 1e-7 % vol, rounding.
    for _ in range(4):
        p = p - (p * polynomial(p, _OIML_AT_20) - kg_per_m3) / polynomial(p, _SLOPE_AT_20)
    mass_percent: Array = 100.0 * np.minimum(p, 1.0)  # rounding must not make more than all of it
    return mass_percent
