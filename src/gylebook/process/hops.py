"""Turn hops and time into iso-alpha acids.

In:  hop mass, alpha acids, time at the boil, temperature of a stand.
Out: utilisation, milligrams of iso-alpha acids, minutes of boil that a cooler stand is worth.

Idea: the trade's utilisation was fitted at the boil.  A hot stand is never added to it minute for minute; its
minutes are first weighted by how fast alpha acids isomerise at their temperature.  What trub, yeast and
the package take is not here.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range, Slip

_MALOWICKI = "Malowicki & Shellhammer (2005; measured from 90 °C)"
_SG = Range(
    "sg", "SG", 0.998, 1.150, "Tinseth (1997)", (Slip("SG times 1000", lambda value: value / 1000.0),), 3
)
_BOIL = Range("minutes", "min", 0.0, 240.0, "Tinseth (1997)")
_ALPHA = Range("alpha", "kg/kg", 0.0, 0.65, "what hops and their extracts hold", (PER_CENT,), 3)
_WORT = Range("temp_c", "°C", 0.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_START = Range("start_c", "°C", 0.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_AROUND = Range("around_c", "°C", -20.0, 130.0, _MALOWICKI, (FAHRENHEIT,))
_BOIL_K = 373.15
_NODES, _WEIGHTS = (0.5 * part for part in np.polynomial.legendre.leggauss(10))
_NODES = _NODES + 0.5


def utilisation_tinseth1997(sg: Array | float, minutes: Array | float) -> Array:
    r"""Share of the alpha acids found as bitterness in the beer. [0..1]

    .. math:: U = 1.65 \cdot 0.000125^{S - 1} \, (1 - e^{-0.04 t}) / 4.15

    Parameters
    ----------
    sg
        Mean gravity of the boiling wort :math:`S`, 0.998 to 1.150 (tabled from 1.030 to 1.130). [SG]
    minutes
        At the boil :math:`t`, 0 to 240 (tabled to 120, where it has levelled off). [min]

    Notes
    -----
    Brewery to brewery ± 25 %.  Source: G. Tinseth, "Glenn's Hop Utilization Numbers", 1997.
    """
    bigness = 1.65 * np.exp(np.log(0.000125) * (_SG.check(sg) - 1.0))
    used: Array = bigness * -np.expm1(-0.04 * _BOIL.check(minutes)) / 4.15
    return used


def iso_alpha_mg(hop_kg: Array | float, alpha: Array | float, utilisation: Array | float) -> Array:
    """Bitter acids in the whole wort, counted as iso-alpha acids. [mg]

    `alpha` is the share of alpha acids in the hops, 0 to 0.25 [kg/kg], in an extract to 0.65; `utilisation`
    is 0..1.

    >>> round(float(iso_alpha_mg(0.030, 0.10, 0.25)))
    750
    """
    return 1.0e6 * hop_kg * _ALPHA.check(alpha) * utilisation


def isomerisation_rate(temp_c: Array | float) -> Array:
    r"""Rate at which alpha acids become iso-alpha acids. [1/min]

    .. math:: k_1 = 7.9\cdot10^{11}\, e^{-11858/T}

    `temp_c` 0 to 130 °C, measured from 90.  Source: M. G. Malowicki and T. H. Shellhammer, J. Agric. Food
    Chem. 53, 4434 (2005), pH 5.2 buffer; two printed digits, ± 12 %.
    """
    rate: Array = 7.9e11 * np.exp(-11858.0 / (_WORT.check(temp_c) + 273.15))
    return rate


def effective_minutes(minutes: Array | float, temp_c: Array | float) -> Array:
    """Minutes at 100 °C that isomerise as much as `minutes` at `temp_c`, t k1(T)/k1(100 °C). [min]

    `temp_c` 0 to 130 °C.  Source: `isomerisation_rate`.
    """
    return minutes * _speed(_WORT.check(temp_c))


def effective_minutes_cooling(
    minutes: Array | float, start_c: Array | float, around_c: Array | float, time_constant_min: Array | float
) -> Array:
    r"""Minutes at 100 °C that a stand is worth while it cools towards its surroundings. [min]

    .. math:: \int_0^t \frac{k_1(T)}{k_1(100\,°C)}\,dt',\quad T = T_a + (T_0 - T_a)\,e^{-t'/\tau}

    Parameters
    ----------
    minutes
        Length :math:`t`, 0 or more. [min]
    start_c, around_c
        :math:`T_0` and :math:`T_a`, air or coolant, 0 to 130. [°C]
    time_constant_min
        :math:`\tau`, above zero; a covered kettle has hours, a chiller about 8. [min]

    Notes
    -----
    The integral is taken over the temperature fallen through: in u = 1 - exp(-t/τ) by ten Gauss points,
    within 1e-3 min of an adaptive rule for stands up to three time constants, 0.02 min beyond.
    """
    start_c = _START.check(start_c)
    fall_c = start_c - _AROUND.check(around_c)
    fallen = -np.expm1(-minutes / time_constant_min)
    total: Array | float = 0.0
    for node, weight in zip(_NODES.tolist(), _WEIGHTS.tolist(), strict=True):
        share = node * fallen
        total = total + weight / (1.0 - share) * _speed(start_c - fall_c * share)
    return np.asarray(time_constant_min * fallen * total)


def _speed(temp_c: Array) -> Array:
    """k1(T)/k1(100 °C), unchecked."""
    speed: Array = np.exp(11858.0 / _BOIL_K - 11858.0 / (temp_c + 273.15))
    return speed
