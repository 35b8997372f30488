"""Turn extract into alcohol, carbon dioxide and yeast.

In:  wort by mass, how far its extract is fermented.
Out: `Fermented`, whose parts weigh what the wort weighed; real and apparent extract, attenuation of a mix.

Idea: Balling's 2.0665 g of extract become 1 g ethanol, 0.9565 g CO2 and 0.11 g yeast, and since CO2 and
yeast leave, the beer is lighter than its wort: per 100 g of beer about 7 % more extract was fermented than
the difference of the two percentages.  How fast it goes is not here.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import PER_CENT, Range

EXTRACT_PER_ETHANOL = 2.0665  # = 1 + 0.9565 + 0.11, Balling
CO2_PER_ETHANOL = 0.9565
YEAST_PER_ETHANOL = 0.11
QUOTIENT = 0.805  # (OE - RE)/(OE - AE), ± 0.005
QUOTIENT_CLASSICAL = 0.8192
_BALLING = "Balling's balance"
_ORIGINAL = Range("original", "°P", 0.0, 40.0, _BALLING)
_APPARENT = Range("apparent", "°P", -6.0, 40.0, _BALLING)
_FALL = Range(
    "original less real extract", "°P", -1e-6, 40.0, _BALLING
)  # nothing fermented, but for rounding
_YIELD = Range("alcohol_yield", "", 0.7, 1.2, _BALLING, (PER_CENT,), 2)
_LIMIT = Range("real_attenuation", "", 0.0, 1.0, "the definition of real attenuation", (PER_CENT,), 3)


class Fermented(NamedTuple):
    """What a wort has become; the five masses add to the wort's. [kg]"""

    water_kg: Array
    extract_kg: Array
    ethanol_kg: Array
    co2_kg: Array
    yeast_kg: Array


def real_extract(original: Array | float, apparent: Array | float) -> Array:
    """Real extract from original and apparent, RE = 0.195 OE + 0.805 AE. [°P]

    `original` 0 to 40, `apparent` -6 to 40 °P.  Within 0.04 °P of the means of 532 brews (Cutaia, Reid and
    Speers, J. Inst. Brew. 115, 318, 2009); the quotient is known to ± 0.005.
    """
    return (1.0 - QUOTIENT) * _ORIGINAL.check(original) + QUOTIENT * _APPARENT.check(apparent)


def real_extract_classical(original: Array | float, apparent: Array | float) -> Array:
    """The classical pair, RE = 0.1808 OE + 0.8192 AE, to show beside `real_extract`. [°P]

    0.15 °P too low on the same brews.  Ranges as there.
    """
    quotient = QUOTIENT_CLASSICAL
    return (1.0 - quotient) * _ORIGINAL.check(original) + quotient * _APPARENT.check(apparent)


def apparent_extract(original: Array | float, real: Array | float) -> Array:
    """Apparent extract from original and real, the inverse of `real_extract`. [°P]

    Below zero in very dry beer.  `original` 0 to 40 °P.
    """
    return (real - (1.0 - QUOTIENT) * _ORIGINAL.check(original)) / QUOTIENT


def alcohol_balling(original: Array | float, real: Array | float) -> Array:
    """Alcohol of the beer, A = (OE - RE)/(2.0665 - 0.010665 OE). [% mass]

    `original` 0 to 40 °P.  From two gravities ± 2.5 % of the value.  Source: Balling, as a mass balance on
    100 g of beer from 100 + 1.0665 A of wort.
    """
    original = _ORIGINAL.check(original)
    return (original - real) / (2.0665 - 0.010665 * original)


def beer_per_wort(original: Array | float, real: Array | float) -> Array:
    """Beer that one kilogram of wort becomes once CO2 and yeast are gone, 100/(100 + 1.0665 A). [kg/kg]"""
    return 100.0 / (100.0 + 1.0665 * alcohol_balling(original, real))


def ferment(
    water_kg: Array | float,
    extract_kg: Array | float,
    real: Array | float,
    alcohol_yield: Array | float = 1.0,
) -> Fermented:
    """Ferment a wort to a real extract by Balling's balance. [kg]

    `real` is the real extract wanted [°P], at most the wort's own.  `alcohol_yield` is the ethanol formed
    over Balling's, 0.7 to 1.2: what is missing left as carbon dioxide, so that mass holds and the extract
    left is the same.  Yeast is counted as grown and taken out.
    """
    wort_kg = water_kg + extract_kg
    original = 100.0 * extract_kg / wort_kg
    alcohol = _FALL.check(original - real) / (2.0665 - 0.010665 * original)
    balling_kg = wort_kg * alcohol / (100.0 + 1.0665 * alcohol)
    ethanol_kg = _YIELD.check(alcohol_yield) * balling_kg
    yeast_kg = YEAST_PER_ETHANOL * balling_kg
    consumed_kg = EXTRACT_PER_ETHANOL * balling_kg
    return Fermented(
        np.asarray(water_kg),
        extract_kg - consumed_kg,
        ethanol_kg,
        consumed_kg - yeast_kg - ethanol_kg,
        yeast_kg,
    )


def smooth_least(first: Array | float, second: Array | float, sharpness: Array | float) -> Array:
    """The lesser of two, without a kink where they meet. [their unit]

    (a + b - √((a - b)² + 1/s²))/2, s the `sharpness` [1/unit]: 1/(2s) under the least where both are equal,
    1/(4 s² |a - b|) under it far away, never above it.  For yeast's own attenuation and the wort's limit.
    """
    rounding = 1.0 / sharpness
    least: Array = 0.5 * (first + second - np.hypot(first - second, rounding))
    return least


def apparent_of_mixed_extract(
    extract_kg: Sequence[Array | float], real_attenuation: Sequence[Array | float]
) -> Array:
    """Apparent attenuation limit of wort with sugars added, ΣE·RDF/ΣE over 0.805. [fraction]

    Each part's extract [kg] with its real limit [fraction]: sucrose and glucose 1, honey about 0.95, lactose
    0, malt wort 0.805 times its apparent limit.  Above one for sugar alone, whose apparent extract ends below
    zero.
    """
    fermentable: Array | float = 0.0
    total: Array | float = 0.0
    for kg, limit in zip(extract_kg, real_attenuation, strict=True):
        fermentable = fermentable + kg * _LIMIT.check(limit)
        total = total + kg
    return np.asarray(fermentable / (total * QUOTIENT))
