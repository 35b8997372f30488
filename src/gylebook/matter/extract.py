"""Turn strength into density and back, and follow wort and syrup through heat.

In:  extract [°P = g per 100 g], SG 20/20 (apparent, weighed in air), temperature [°C].
Out: SG, °P, true density [kg/m³], expansion [-], specific heat [kJ/(kg K)], boiling-point elevation [K].

Idea: one density scale.  Extract counts as sucrose, as the °P scale does: density at 20 °C follows the
Plato table, and the change with temperature follows the sucrose formula of ICUMSA, as a ratio, so that
the two scales (0.01 °P apart) never meet in one sum.  What an instrument shows belongs to `process`.
"""

from __future__ import annotations

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range, Slip
from gylebook.matter.horner import polynomial
from gylebook.matter.water import DENSITY_AT_20, SPECIFIC_HEAT, water_density

AIR_DENSITY = 1.2
"""Density of room air, in which hydrometers and pycnometers are adjusted. [kg/m³]"""

# S = 1 + P / (A - B P), fitted to the Plato table (1900) as reprinted in NBS Circular 440, tables 113-114.
_A, _B = 258.55214, 0.8750763
_BUOYED_WATER = DENSITY_AT_20 - AIR_DENSITY  # weight of water in air at 20 °C, per volume [kg/m³]

_PLATO_TABLE = "the fit to the Plato table (NBS Circular 440)"
_SG_OF_POINTS = Slip("gravity points", lambda value: _A * value / (1000.0 + _B * value))
_SG_TIMES_1000 = Slip("SG times 1000", lambda value: _A * (value - 1000.0) / (1000.0 + _B * (value - 1000.0)))
_PLATO = Range("plato", "°P", -2.0, 35.0, _PLATO_TABLE, (_SG_OF_POINTS, _SG_TIMES_1000))
_KETTLE_PLATO = Range("plato", "°P", 0.0, 35.0, "the fit to Norrish (1966)", (_SG_OF_POINTS, _SG_TIMES_1000))
# The same range in SG, rounded outwards so that a round trip at its ends is not refused.
_SG = Range(
    "sg",
    "SG",
    0.9923,
    1.1536,
    _PLATO_TABLE,
    (
        Slip("SG times 1000", lambda value: value / 1000.0),
        Slip("°P", lambda value: 1.0 + value / (_A - _B * value)),
        Slip("gravity points", lambda value: 1.0 + value / 1000.0),
    ),
    digits=4,
)
_HOT = Range("temp_c", "°C", 0.0, 105.0, "the sucrose formula of ICUMSA", (FAHRENHEIT,))
_SYRUP = Range("mass_fraction", "kg/kg", 0.0, 0.7, "the sucrose formula of ICUMSA", (PER_CENT,), digits=3)

# Sucrose minus water [kg/m³]: the row of w^i holds the coefficients of θ⁰, θ¹, ..., θ = (t - 20) / 100.
_ICUMSA = (
    (385.1761, -46.2720, 59.7712, -47.2207, 18.3184),
    (135.3705, -7.1720, 7.2491, -21.6977, 12.3081),
    (40.9299, 1.1597, 12.3630, 27.6301),
    (-3.9643, 5.1126, -35.4791),
    (13.4853, 17.5254),
    (-17.2890,),
)
_SUCROSE_AT_20 = (*(row[0] for row in reversed(_ICUMSA)), DENSITY_AT_20)
_ICUMSA_RISE = tuple((*reversed(row[1:]), 0.0) for row in reversed(_ICUMSA[:5]))


def sg_from_plato(plato: Array | float) -> Array:
    """Specific gravity 20/20, apparent in air. [-]

    S = 1 + P / (258.55214 − 0.8750763 P), P = plato [°P], −2 to 35.  Within 2e-5 of the Plato table;
    smooth below zero, where the apparent extract of a very dry beer lies.  Raises `OutsideValidity`.
    >>> round(float(sg_from_plato(12.0)), 4)
    1.0484
    """
    p = _PLATO.check(plato)
    return 1.0 + p / (_A - _B * p)


def plato_from_sg(sg: Array | float) -> Array:
    """Extract of a pure sucrose solution of this gravity: the exact inverse of `sg_from_plato`. [°P]

    P = 258.55214 x / (1 + 0.8750763 x), x = S − 1, S = sg 20/20 [-], 0.9923 to 1.1536.
    Within 0.005 °P of the Plato table.  Raises `OutsideValidity`.
    """
    x = _SG.check(sg) - 1.0
    return _A * x / (1.0 + _B * x)


def density_from_sg(sg: Array | float) -> Array:
    """True density at 20 °C of a liquid with this apparent SG 20/20. [kg/m³]

    ρ = S (ρw − ρa) + ρa, with S = sg [-], water ρw = 998.204 and air ρa = 1.2 kg/m³:
    the definition of a gravity found by weighing or floating in air.  Raises `OutsideValidity`.
    """
    return _BUOYED_WATER * _SG.check(sg) + AIR_DENSITY


def density_from_plato(plato: Array | float) -> Array:
    """True density of wort at 20 °C, plato −2 to 35 [°P]: `density_from_sg` of `sg_from_plato`. [kg/m³]

    Raises `OutsideValidity`.
    >>> round(float(density_from_plato(12.0)), 1)
    1046.4
    """
    p = _PLATO.check(plato)
    return DENSITY_AT_20 + p * _BUOYED_WATER / (_A - _B * p)


def wort_density(plato: Array | float, temp_c: Array | float) -> Array:
    """Density of wort of plato −2 to 35 [°P] at temp_c 0 to 105 [°C]. [kg/m³]

    ρ(P, t) = ρ20(P) / `wort_expansion`(P, t).  Raises `OutsideValidity`.
    """
    return density_from_plato(plato) / wort_expansion(plato, temp_c)


def wort_expansion(plato: Array | float, temp_c: Array | float) -> Array:
    """Volume of wort at a temperature over the volume of the same wort at 20 °C. [-]

    ρs(w, 20) / ρs(w, t), ρs after ICUMSA, w = plato / 100, plato −2 to 35 [°P], t = temp_c 0 to 105 [°C].
    Good to 0.02 % to 60 °C and 0.1 % at the boil: the formula was made for up to 80 °C, and wort is not
    sucrose; the water in it, which is most of the effect, stays exact.  Raises `OutsideValidity`.

    Source: ICUMSA SPS-4; Bubník et al., Sugar Technologists Manual (1995).
    >>> round(float(wort_expansion(12.0, 100.0)), 4)
    1.0416
    """
    w = _PLATO.check(plato) * 0.01
    # All that temperature does is folded into five coefficients before the draws of strength are touched.
    cold = polynomial(w, _SUCROSE_AT_20)
    return cold / (cold + polynomial(w, _rise_from_20(temp_c)))


def sugar_density(mass_fraction: Array | float, temp_c: Array | float) -> Array:
    """Density of a sucrose solution, up to syrups. [kg/m³]

    ρs(w, t) = ρw(t) + Σj θ^j Σi c[j][i] w^i, θ = (t − 20) / 100, w = mass_fraction 0 to 0.7 [-],
    t = temp_c 0 to 105 [°C], extrapolated above 80.  Raises `OutsideValidity`.

    Source: ICUMSA SPS-4 (Emmerich, Zuckerindustrie 119, 120, 1994).
    """
    w = _SYRUP.check(mass_fraction)
    return polynomial(w, _SUCROSE_AT_20) + polynomial(w, _rise_from_20(temp_c))


def wort_specific_heat(plato: Array | float, temp_c: Array | float) -> Array:
    """Specific heat of wort of plato −2 to 35 [°P] at temp_c 0 to 105 [°C]. [kJ/(kg K)]

    4.184 − 0.02511 P + 7.5e-5 P t; carry 1.5 % (1σ).  Raises `OutsideValidity`.
    Source: the sugar industry's formula at purity 100 (Bubník et al., Sugar Technologists Manual, 1995).
    """
    p, t = _PLATO.check(plato), _HOT.check(temp_c)
    return SPECIFIC_HEAT - p * (0.02511 - 7.5e-5 * t)


def boiling_point_elevation(plato: Array | float) -> Array:
    """How far above water a wort boils, plato 0 to 35 [°P]. [K]

    0.0131 P + 0.00035 P², a fit to the water activity of Norrish, J. Food Technol. 1, 25 (1966), at
    101.325 kPa, within 0.01 K to 30 °P and 0.04 K low at 35; at 80 kPa it is up to 0.025 K too high.
    Wort's mean molar mass is not sucrose's: carry 25 % (1σ).  Raises `OutsideValidity`.
    """
    p = _KETTLE_PLATO.check(plato)
    return p * (0.0131 + 0.00035 * p)


def _rise_from_20(temp_c: Array | float) -> tuple[Array, ...]:
    """Coefficients in w, highest power first, of ρs(w, t) − ρs(w, 20). [kg/m³]"""
    t = _HOT.check(temp_c)
    theta = (t - 20.0) * 0.01
    of_w = (polynomial(theta, row) for row in _ICUMSA_RISE)
    return (*of_w, water_density(t) - DENSITY_AT_20)
