"""Tell what gas beer keeps, what is still to come, and what to add for the gas wanted.

In:  the warmest temperature since gas stopped rising, the barometer, extract left, the sugar at hand.
Out: CO2 [g/L], sugar [g/L] or wort [L/L] to add, alcohol that the addition makes [% vol], yeast [billion].

Idea: carbon dioxide is counted in grams a litre of beer and never lost from the count: what was kept, what
extract left will make, what priming makes.  Pressure in a keg is in `matter.gas`; the odds that a bottle is
overcome, with the air shut in with the beer, are not here.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import PER_CENT, Range, Slip
from gylebook.matter.extract import density_from_plato, plato_from_sg, sg_from_plato
from gylebook.matter.gas import BEER_OF_WATER, CO2_MOLAR_MASS, co2_in_beer
from gylebook.matter.spirit import ETHANOL_DENSITY
from gylebook.process.alcohol import LOST_MASS
from gylebook.process.ferment import (
    CO2_PER_ETHANOL,
    EXTRACT_PER_ETHANOL,
    QUOTIENT,
)


class Spread(NamedTuple):
    """A factor's usual value and its standard deviation."""

    level: float
    scatter: float


class CommonRange(NamedTuple):
    """What the trade does, from and to."""

    low: float
    high: float


PrimingSugar = Literal[
    "sucrose", "glucose", "glucose monohydrate", "fructose", "maltose", "maltose monohydrate"
]

KEPT_FRESH = Spread(1.0, 0.15)
"""CO2 kept over that at rest, in beer packed within weeks, judgement: above for gas that has not risen yet,
below for what racking and dry hopping drove out."""

KEPT_AGED = Spread(0.8, 0.15)
"""The same after months under a lock, where air has thinned the gas above the beer; judgement."""

GAS_YIELD = Spread(0.975, 0.015)
"""CO2 from a priming sugar over stoichiometry: between 0.95 (yeast grows, Balling) and 1; judgement."""

BOTTLING_YEAST = CommonRange(0.5, 1.0)
"""Fresh cells for beer too old to carbonate by itself. [million/mL]  Common practice, no source."""

CO2_PER_EXTRACT = CO2_PER_ETHANOL / EXTRACT_PER_ETHANOL
"""CO2 from each gram of malt extract fermented, Balling. [g/g]"""

_CO2_MOLES: dict[PrimingSugar, tuple[float, int]] = {  # g/mol of the sugar, mol CO2 from each mol
    "sucrose": (342.297, 4),  # takes up one water as it is split
    "glucose": (180.156, 2),
    "glucose monohydrate": (198.171, 2),
    "fructose": (180.156, 2),
    "maltose": (342.297, 4),
    "maltose monohydrate": (360.312, 4),
}

_KEPT = Range("kept", "", 0.3, 1.5, "the CO2 that beer keeps (judgement)", (PER_CENT,), 2)
_DENSITY = Range(
    "beer_kg_per_l", "kg/L", 0.97, 1.16, "beer", (Slip("kg/m³", lambda value: value / 1000.0),), 3
)
_SHARE = Range("fermented_share", "", 0.0, 1.0, "the extract there is", (PER_CENT,), 3)
_SOLIDS = Range("solids", "", 0.7, 1.0, "dried or thick malt extract", (PER_CENT,), 3)
_YIELD = Range("gas_yield", "", 0.9, 1.0, "fermentation in a closed vessel", (PER_CENT,), 3)
_ORIGINAL = Range("original", "°P", 0.0, 40.0, "Balling's balance")
_PER_EXTRACT = Range("co2_per_extract", "g/g", 0.44, 0.52, "what malt extract can make", (PER_CENT,), 3)
_QUOTIENT = Range("quotient", "", 0.78, 0.83, "real over apparent extract fermented")
_CO2 = Range("CO2", "g/L", 0.0, 30.0, "beer that is to be poured")
_PER_GRAM = Range("co2_per_gram", "g/g", 0.05, 0.6, "what a sugar can make", (PER_CENT,), 3)
_SPARE = Range(
    "CO2 made in a litre of the wort, less the CO2 wanted", "g/L", 1e-3, 500.0, "priming with wort"
)
_YEAST = Range("million_per_ml", "million/mL", 0.05, 10.0, "yeast for bottles")


def residual_co2(
    warmest_c: Array | float,
    barometer_bar: Array | float = 1.01325,
    kept: Array | float = KEPT_FRESH.level,
    *,
    beer_kg_per_l: Array | float = 1.008,
    solubility_share: Array | float = BEER_OF_WATER,
) -> Array:
    """CO2 left in beer that fermented under the air's pressure. [g/L]

    kept · ρ · `co2_in_beer`(barometer, warmest), for beer at rest under its own gas.

    Parameters
    ----------
    warmest_c
        The highest temperature since gas stopped rising, -2 to 45: warming drives gas out, and cooling brings
        none back, as none is being made.  If it still rose when the beer was cooled, the lower one. [°C]
    barometer_bar
        Pressure of the air at the place, not reduced to the sea: 0.85 at 1500 m. [bar]
    kept
        Over what beer at rest holds, 0.3 to 1.5: `KEPT_FRESH`, `KEPT_AGED`. [-]
    beer_kg_per_l
        Density of the beer, 0.97 to 1.16. [kg/L]
    solubility_share
        As in `co2_in_beer`. [-]

    Notes
    -----
    Derived.  The quadratic of the trade is the solubility of pure water, 5 to 8 % more, and turns upward
    above 35 °C.  Raises `OutsideValidity`.

    >>> round(float(residual_co2(20.0)), 2)
    1.6
    """
    held = co2_in_beer(barometer_bar, warmest_c, solubility_share)
    return held * (_KEPT.check(kept) * _DENSITY.check(beer_kg_per_l))


def co2_per_gram(sugar: PrimingSugar) -> float:
    """CO2 that a gram of a sugar, water of crystals included, makes when all of it ferments. [g/g]

    C6H12O6 -> 2 C2H5OH + 2 CO2.  "Dextrose" without more may be either glucose: 10 % apart.

    >>> round(co2_per_gram("sucrose"), 4)
    0.5143
    """
    molar_mass, moles = _CO2_MOLES[sugar]
    return moles * CO2_MOLAR_MASS / molar_mass


def co2_per_gram_of_malt_extract(fermented_share: Array | float, solids: Array | float = 0.96) -> Array:
    """CO2 that a gram of malt extract makes, 0.4629 · solids · share, by Balling. [g/g]

    Of its `solids`, 0.7 to 1 (dried 0.94 to 0.98), yeast takes the share, 0 to 1: 0.60 to 0.70 for malt.
    Yeast's growth is in Balling's figure, so the gas yield is 1.
    """
    return CO2_PER_EXTRACT * _SOLIDS.check(solids) * _SHARE.check(fermented_share)


def priming_dose(
    residual: Array | float,
    wanted: Array | float,
    co2_per_gram: Array | float,
    gas_yield: Array | float = 1.0,
) -> Array:
    """Sugar for each litre of beer that is bottled, (wanted - residual)/(yield · CO2 per gram). [g/L]

    `residual` and `wanted` 0 to 30 g CO2 a litre; none where the beer holds enough.  `gas_yield` 0.9 to 1 is
    `GAS_YIELD` for the dose that hits the mean, 1 for safety.  The beer is what was racked, not the brew.

    >>> round(float(priming_dose(1.63, 4.94, co2_per_gram("sucrose"))), 1)
    6.4
    """
    missing = np.maximum(_CO2.check(wanted) - _CO2.check(residual), 0.0)
    return missing / (_PER_GRAM.check(co2_per_gram) * _YIELD.check(gas_yield))


def co2_from_priming(
    grams_per_l: Array | float, co2_per_gram: Array | float, gas_yield: Array | float = 1.0
) -> Array:
    """CO2 that so much sugar makes in a litre of beer: what `priming_dose` undoes. [g/L]"""
    return grams_per_l * (_PER_GRAM.check(co2_per_gram) * _YIELD.check(gas_yield))


def co2_in_wort_to_come(wort_plato: Array | float, fermented_share: Array | float) -> Array:
    """CO2 that a litre of unfermented wort will make, ρ P/100 · share · 0.4629. [g/L of wort]

    `wort_plato` -2 to 35 °P; the share, 0 to 1, is of extract by mass (`alcohol.real_attenuation_asbc`).
    """
    extract_g_per_l = 0.01 * wort_plato * density_from_plato(wort_plato)
    return CO2_PER_EXTRACT * extract_g_per_l * _SHARE.check(fermented_share)


def fresh_wort_dose(
    residual: Array | float,
    wanted: Array | float,
    wort_plato: Array | float,
    fermented_share: Array | float,
    wort_co2: Array | float = 0.0,
) -> Array:
    """Wort for each litre of beer, (wanted - residual)/(g + wort's own CO2 - wanted). [L/L]

    g is `co2_in_wort_to_come`.  Stored wort holds no CO2; wort in full ferment holds about the residual, and
    what is left in it counts, not its original extract.  `residual`, `wanted`, `wort_co2` 0 to 30 g/L; none
    where the beer holds enough.  Yeast in the beer that goes further than the wort's own makes more: then the
    share is 0.80 to 0.85.  Refused where the wort makes no more gas than is wanted.
    """
    missing = np.maximum(_CO2.check(wanted) - _CO2.check(residual), 0.0)
    brought = co2_in_wort_to_come(wort_plato, fermented_share) + _CO2.check(wort_co2)
    return missing / _SPARE.check(brought - wanted)


def co2_still_to_come(
    original: Array | float,
    apparent: Array | float,
    end: Array | float,
    quotient: Array | float = QUOTIENT,
    co2_per_extract: Array | float = CO2_PER_EXTRACT,
) -> Array:
    r"""CO2 that a litre of beer will make before it stands at its end. [g/L]

    .. math:: 0.4629\,\frac{Q\,(AE - AE_e)}{1 - 0.005161\,RE_e}\cdot\frac{\rho(AE)}{100},
              \quad RE_e = OE - Q\,(OE - AE_e)

    Parameters
    ----------
    original
        Extract of the wort OE, 0 to 40. [°P]
    apparent, end
        Apparent extract now and at the end, -2 to 35; none to come where it stands below its end. [°P]
    quotient
        Real over apparent fall Q, 0.78 to 0.83: 0.805, and 0.8192 on the side of safety. [-]
    co2_per_extract
        0.4629 by Balling, 0.44 to 0.52; without growth of yeast 0.489 of glucose, 0.514 of maltose. [g/g]

    Notes
    -----
    Balling's balance for a kilogram of the beer as it is now, exact.  CO2 as 0.9565 g for each gram that
    alcohol rises in 100 g of beer, often seen, forgets that the beer itself gets lighter: 3 % too much at
    10 °P, 8 % at 20.  Raises `OutsideValidity`.

    >>> round(float(co2_still_to_come(12.4, 2.56, 1.56)), 1)
    3.8
    """
    q = _QUOTIENT.check(quotient)
    real_end = _ORIGINAL.check(original) - q * (original - np.asarray(end))
    real_fall = q * np.maximum(np.asarray(apparent) - end, 0.0)
    fermented = real_fall / (1.0 - LOST_MASS * real_end)  # g of extract per 100 g of the beer now
    return _PER_EXTRACT.check(co2_per_extract) * fermented * (0.01 * density_from_plato(apparent))


def co2_per_gravity_point(
    original: Array | float,
    apparent: Array | float,
    quotient: Array | float = QUOTIENT,
    co2_per_extract: Array | float = CO2_PER_EXTRACT,
) -> Array:
    """CO2 that the next 0.001 of gravity makes: about 1.0 g/L, half a volume. [g/L]

    All as in `co2_still_to_come`.
    """
    end = plato_from_sg(sg_from_plato(apparent) - 0.001)
    return co2_still_to_come(original, apparent, end, quotient, co2_per_extract)


def alcohol_from_priming(co2_g_per_l: Array | float) -> Array:
    """Alcohol that comes with CO2 made in the bottle, CO2/0.9565 over ethanol's density. [% vol]

    `co2_g_per_l` 0 to 30, that from priming alone.  Balling's ratio; stoichiometry differs by 0.1 %.

    >>> round(float(alcohol_from_priming(3.1)), 1)
    0.4
    """
    return _CO2.check(co2_g_per_l) * (100.0 / (CO2_PER_ETHANOL * ETHANOL_DENSITY))


def bottling_yeast(volume_l: Array | float, million_per_ml: Array | float = BOTTLING_YEAST.high) -> Array:
    """Viable cells for the bottles of beer aged for months. [billion]

    Volume times dose, 0.05 to 10 million/mL.  `BOTTLING_YEAST` 0.5 to 1 is common practice; the yeast must
    bear the beer's alcohol and acid.

    >>> float(bottling_yeast(20.0))
    20.0
    """
    return volume_l * _YEAST.check(million_per_ml)
