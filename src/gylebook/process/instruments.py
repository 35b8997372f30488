"""Say what an instrument would show, given the truth, and the truth behind what it shows.

In:  strength, volume, temperature, the scale the instrument was made for, its own factor.
Out: SG on a hydrometer's scale, °Bx on a refractometer, litres on a vessel's marks; and back.

Idea: forward models from first principles (a floating body displaces its own mass; light is bent by each
part in proportion to its mass; wort and vessel both grow).  Errors of reading and the brewer's own biases
are figures, added elsewhere; gas in the sample and a misread meniscus are not corrected.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import FAHRENHEIT, PER_CENT, Range, Slip
from gylebook.matter.extract import (
    AIR_DENSITY,
    density_from_plato,
    plato_from_sg,
    sg_from_plato,
    wort_density,
    wort_expansion,
)
from gylebook.matter.light import brix_from_refractive_index, refractive_index_from_brix
from gylebook.matter.metal import Metal, vessel_expansion
from gylebook.matter.spirit import ethanol_water_density
from gylebook.matter.water import DENSITY_AT_20, water_density
from gylebook.process.ferment import QUOTIENT, alcohol_balling

GLASS_PER_K = 25e-6  # cubic expansion of a glass hydrometer, ISO 1768:1975
REFRACTION_WATER = 0.20606  # specific refraction, (n² - 1)/(n² + 2)/ρ [cm³/g]
REFRACTION_ETHANOL = 0.2775  # in water at 1 to 20 % by mass; pure ethanol's own, 0.2806, predicts too much

_PLAIN_WATER = 998.20123  # kg/m³ on the scale of the ethanol table, so that no alcohol changes nothing

_SAMPLE = Range("temp_c", "°C", 0.0, 105.0, "the floating-body model", (FAHRENHEIT,))
_MADE_FOR = Range("calibrated_c", "°C", 10.0, 25.0, "the scale of a hydrometer", (FAHRENHEIT,))
_READING = Range(
    "reading",
    "SG",
    0.950,
    1.1536,
    "the scale of a hydrometer",
    (
        Slip("SG times 1000", lambda value: value / 1000.0),
        Slip("gravity points", lambda value: 1 + value / 1000.0),
    ),
    4,
)
_FACTOR = Range("factor", "", 0.9, 1.2, "what worts are known to read", (PER_CENT,), 2)
_REAL = Range("real", "°P", 0.0, 32.0, "the mixing of refractions")


def hydrometer_reading(
    plato: Array | float, temp_c: Array | float, calibrated_c: Array | float = 20.0
) -> Array:
    r"""What a glass hydrometer shows in wort. [SG on its own scale]

    .. math:: R = \frac{\rho(P, t)\,[1 + \beta (t - t_c)] - \rho_a}{\rho_w(t_c) - \rho_a}

    Parameters
    ----------
    plato
        Extract, apparent in beer, -2 to 35. [°P]
    temp_c
        Of the sample :math:`t`, 0 to 105. [°C]
    calibrated_c
        Of the scale :math:`t_c`, 10 to 25: 20 for 20/20 °C, 15.56 for 60/60 °F, 15 for 15/15 °C. [°C]

    Notes
    -----
    β = 25e-6/K (ISO 1768:1975), air 1.2 kg/m³.  Within 0.055 °P of the Brix-hydrometer corrections of NBS
    Circular 440 from 10 to 60 °C.
    """
    t, made_for = _SAMPLE.check(temp_c), _MADE_FOR.check(calibrated_c)
    shown = wort_density(plato, t) * (1.0 + GLASS_PER_K * (t - made_for))
    return (shown - AIR_DENSITY) / (water_density(made_for) - AIR_DENSITY)


def sg_from_hydrometer(
    reading: Array | float, temp_c: Array | float, calibrated_c: Array | float = 20.0
) -> Array:
    """Gravity 20/20 at 20 °C of the wort in which the scale showed `reading`. [SG]

    The inverse of `hydrometer_reading`, 0.950 to 1.1536 [SG on its own scale], temperatures as there.  Solved
    by returning to the strength that sets the expansion: each turn divides the error by 45 or more.
    """
    t, made_for = _SAMPLE.check(temp_c), _MADE_FOR.check(calibrated_c)
    shown = _READING.check(reading) * (water_density(made_for) - AIR_DENSITY) + AIR_DENSITY
    density = shown / (1.0 + GLASS_PER_K * (t - made_for))
    plato: Array | float = 10.0
    for _ in range(5):
        cooled = density * wort_expansion(plato, t)
        plato = plato_from_sg((cooled - AIR_DENSITY) / (DENSITY_AT_20 - AIR_DENSITY))
    return sg_from_plato(plato)


def refractometer_reading_wort(plato: Array | float, factor: Array | float = 1.04) -> Array:
    """What a refractometer shows in unfermented wort, f·P. [°Bx]

    `factor` f 0.9 to 1.2, usually 1.04 ± 0.015: starch sugars bend light more than sucrose (1.043 to 1.045
    for glucose syrup, ISO 1743:1973).  Learned from pairs of readings.
    """
    return _FACTOR.check(factor) * plato


def refractometer_reading_beer(
    original: Array | float, real: Array | float, factor: Array | float = 1.04
) -> Array:
    r"""What a refractometer shows in fermenting beer. [°Bx]

    .. math:: \frac{n^2 - 1}{n^2 + 2} = \rho\,[(1 - E - A)\,r_w + E\,r_x + A\,r_e]

    Parameters
    ----------
    original, real
        Original extract OE, 0 to 32, and real extract E, 0 to 32. [°P]
    factor
        Of unfermented wort, as in `refractometer_reading_wort`.

    Notes
    -----
    Alcohol A by Balling, density by Tabarié (extract and alcohol each made up with water), extract's
    refraction :math:`r_x` such that unfermented wort of strength E reads f·E.  Within 3 % of the
    coefficients of Tornøe and Barth.  A reading carries 0.15 °Bx at home.
    """
    e = _REAL.check(real)
    alcohol = alcohol_balling(original, e)
    wort = density_from_plato(e)
    extract_part = _bending(refractive_index_from_brix(refractometer_reading_wort(e, factor))) / wort
    parts = extract_part + 1e-5 * (REFRACTION_ETHANOL - REFRACTION_WATER) * alcohol
    bending = (wort + ethanol_water_density(0.01 * alcohol, 20.0) - _PLAIN_WATER) * parts
    return brix_from_refractive_index(np.sqrt((1.0 + 2.0 * bending) / (1.0 - bending)))


def marks_reading(
    volume_l20: Array | float, plato: Array | float, temp_c: Array | float, metal: Metal
) -> Array:
    """What marks made cold, or a dipstick of the same metal, show in a hot vessel. [L on the marks]

    V20 · (growth of the wort)/(growth of the vessel), `plato` -2 to 35 °P, `temp_c` 0 to 105 °C.  In steel,
    wort from the boil shrinks by 3.76 % on the marks.  Coil, bag and basket must be added first.
    """
    return volume_l20 * (wort_expansion(plato, temp_c) / vessel_expansion(metal, temp_c))


def volume20_from_marks(
    mark_l: Array | float, plato: Array | float, temp_c: Array | float, metal: Metal
) -> Array:
    """Volume at 20 °C of the wort that stands at a mark, the inverse of `marks_reading`. [L at 20 °C]"""
    return mark_l * (vessel_expansion(metal, temp_c) / wort_expansion(plato, temp_c))


def _bending(n: Array) -> Array:
    """(n² - 1)/(n² + 2), the sum of refractions by mass times density."""
    squared = n * n
    return (squared - 1.0) / (squared + 2.0)


def apparent_from_refractometer(
    reading: Array | float, original: Array | float, factor: Array | float = 1.04
) -> Array:
    """Apparent extract of fermenting beer in which a refractometer showed `reading`. [°P]

    The inverse of `refractometer_reading_beer` with RE = 0.195 OE + 0.805 AE, `reading` 0 to 40 [°Bx],
    `original` 0 to 32 [°P].  A reading above that of the wort is taken as unfermented, one below that of
    beer without extract as that.  Halved 40 times, to 1e-11 °P.
    """
    start = np.asarray(original, dtype=np.float64)
    low = np.broadcast_to(
        -(1.0 - QUOTIENT) / QUOTIENT * start, np.broadcast_shapes(np.shape(reading), start.shape)
    )
    high = np.broadcast_to(start, low.shape)
    for _ in range(40):
        middle = 0.5 * (low + high)
        real = np.clip((1.0 - QUOTIENT) * start + QUOTIENT * middle, 0.0, start)
        too_high = refractometer_reading_beer(start, real, factor) > reading
        low, high = np.where(too_high, low, middle), np.where(too_high, middle, high)
    return 0.5 * (low + high)
