"""Tell alcohol by every published formula side by side, how far extract was fermented, and beer's energy.

In:  original and apparent extract [°P]; or alcohol [% mass] and real extract [°P].
Out: alcohol [% mass or % vol, as named], real attenuation [fraction], energy [kcal, kJ].

Idea: from two gravities alcohol is known to 2.5 %, and the formulas differ by as much, so all are shown.  The
forecast itself uses the balance in `ferment` and takes no side here; what a refractometer saw belongs to
`instruments`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.bounds import Range
from gylebook.matter.extract import (
    AIR_DENSITY,
    density_from_plato,
    density_from_sg,
    plato_from_sg,
    sg_from_plato,
)
from gylebook.matter.spirit import (
    ETHANOL_DENSITY,
    abv_from_mass_percent,
    ethanol_water_density,
    mass_percent_of_ethanol_water,
)
from gylebook.matter.water import DENSITY_AT_20
from gylebook.process.ferment import (
    EXTRACT_PER_ETHANOL,
    alcohol_balling,
    real_extract,
    real_extract_classical,
)

KJ_PER_KCAL = 4.184
KCAL_PER_G_ALCOHOL = 6.9
KCAL_PER_G_EXTRACT = 4.0
ASH = 0.1  # g per 100 g of beer, in the extract but not burnt

LOST_MASS = (EXTRACT_PER_ETHANOL - 1.0) / (100.0 * EXTRACT_PER_ETHANOL)
"""Share of the beer's mass that leaves for each degree fermented, Balling; ASBC has 0.005161. [1/°P]"""

_ETHANOL_SG_60F = 0.794  # as Hall has it
_SPIRIT_WATER = float(ethanol_water_density(0.0, 20.0))  # so that no alcohol changes nothing [kg/m³]
_TABARIE_TURNS = 6  # to 1e-8 °P
_TABARIE_SLOPE = 1.21  # one turn returns 0.21 of an error, with its sign turned

_FALL = Range("original less apparent extract", "°P", 0.0, 40.0, "a fermentation")
_OF_WORT = Range("original", "°P", 0.1, 40.0, "an attenuation")
_REAL = Range("real", "°P", -1.0, 40.0, "an attenuation")
_ALCOHOL = Range("alcohol_mass_percent", "%", 0.0, 30.0, "the energy of beer")
_REAL_LEFT = Range("real", "°P", 0.0, 40.0, "the energy of beer")


class AlcoholSpread(NamedTuple):
    """Alcohol of one beer by each formula. [% vol]"""

    balling: Array
    balling_classical: Array
    cutaia_2009: Array
    tabarie: Array
    hall_1995: Array
    custom: Array

    @property
    def lowest(self) -> Array:
        """The least that any of them says. [% vol]"""
        return reduce(np.minimum, self)

    @property
    def highest(self) -> Array:
        """The most that any of them says. [% vol]"""
        return reduce(np.maximum, self)


class Energy(NamedTuple):
    """What beer gives to the one who drinks it."""

    kcal_per_100_g: Array
    kj_per_100_g: Array
    kcal_per_l: Array
    kj_per_l: Array


def abw_balling(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by Balling's balance, real extract by 0.195/0.805. [% mass]

    `original` 0 to 40, `apparent` -6 to 40 °P, at most the original.  1.1 % high to 2.4 % low on the means of
    five sets of brews (Cutaia, Reid and Speers, J. Inst. Brew. 115, 318, 2009).

    >>> round(float(abw_balling(12.0, 2.5)), 2)
    3.95
    """
    _fall(original, apparent)
    return _not_below_zero(alcohol_balling(original, real_extract(original, apparent)))


def abw_balling_classical(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by Balling's balance with his own real extract, 0.1808/0.8192. [% mass]

    Ranges as in `abw_balling`.  2.8 % high to 0.6 % low on the same means: its real extract is 0.15 °P too
    low there, and that cancels a part of the balance's own error.
    """
    _fall(original, apparent)
    return _not_below_zero(alcohol_balling(original, real_extract_classical(original, apparent)))


def abw_cutaia_2009(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by regression on 532 brews, A = (0.372 + 0.00357 OE)(OE - AE). [% mass]

    `original` 0 to 35 °P, `apparent` at most the original; the brews end at 18 °P.  Standard error 2.4 % of
    the value.  Source: A. J. Cutaia, A.-J. Reid and R. A. Speers, J. Inst. Brew. 115, 318 (2009).
    """
    return (0.372 + 0.00357 * original) * _fall(original, apparent)


def abw_cutaia_2009_from_real(original: Array | float, real: Array | float) -> Array:
    """The same authors' alcohol from real extract, A = (0.459 + 0.00469 OE)(OE - RE). [% mass]

    `original` 0 to 40 °P.  Standard error 3 % of the value.
    """
    return (0.459 + 0.00469 * original) * _fall(original, real)


def real_extract_tabarie(original: Array | float, apparent: Array | float) -> Array:
    r"""Real extract at which Balling's alcohol gives the beer the density it has. [°P]

    .. math:: \rho = \rho_x + \rho_e - \rho_w

    with extract and alcohol each made up with water to the volume of the beer: :math:`\rho_x` the density of
    wort with as much extract in a litre, :math:`\rho_e` of spirit with as much alcohol in a litre.

    Parameters
    ----------
    original, apparent
        0 to 35 and -2 to 35, at most the original. [°P]

    Notes
    -----
    Neglects that sugar and ethanol feel each other, below 0.0003 SG in beer of ordinary strength.  (OE - RE)/
    (OE - AE) comes out between 0.799 and 0.809 from 8 to 18 °P.

    Sources: P. Tabarié (1830), from memory; OIML R 22 (1975).
    """
    _fall(original, apparent)
    beer = density_from_plato(apparent)
    real = real_extract(original, apparent)
    for _ in range(_TABARIE_TURNS):
        alcohol = _not_below_zero(alcohol_balling(original, real))
        spirit = ethanol_water_density(
            0.01 * mass_percent_of_ethanol_water(alcohol * beer / ETHANOL_DENSITY), 20.0
        )
        wort = beer - spirit + _SPIRIT_WATER
        strength = plato_from_sg((wort - AIR_DENSITY) / (DENSITY_AT_20 - AIR_DENSITY))
        real = real + (strength * wort / beer - real) / _TABARIE_SLOPE
    return real


def abw_tabarie(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by Balling's balance at the real extract of `real_extract_tabarie`. [% mass]"""
    return _not_below_zero(alcohol_balling(original, real_extract_tabarie(original, apparent)))


def abv_hall_1995(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by Hall, 76.08 (OG - FG)/(1.775 - OG) · FG/0.794, OG and FG the gravities. [% vol]

    `original` 0 to 35, `apparent` -2 to 35 °P, at most the original.  Above 18 °P it runs 6 to 9 % over the
    others.  Source: M. L. Hall, Zymurgy, summer 1995, formula second-hand.
    """
    _fall(original, apparent)
    before, after = sg_from_plato(original), sg_from_plato(apparent)
    return 76.08 * (before - after) / (1.775 - before) * (after / _ETHANOL_SG_60F)


def abv_by_custom(original: Array | float, apparent: Array | float) -> Array:
    """Alcohol by the custom of the trade, 131.25 (OG - FG). [% vol]  Ranges as in `abv_hall_1995`."""
    _fall(original, apparent)
    return 131.25 * (sg_from_plato(original) - sg_from_plato(apparent))


def alcohol_spread(original: Array | float, apparent: Array | float) -> AlcoholSpread:
    """Alcohol by every formula, all by volume. [% vol]

    `original` 0 to 35, `apparent` -2 to 35 °P, at most the original.  From 8 to 18 °P all but the last two
    lie within 3.2 % of each other, little more than the 2.5 % to which alcohol is known.
    """
    gravity = sg_from_plato(apparent)

    def by_volume(formula: Callable[[Array | float, Array | float], Array]) -> Array:
        return abv_from_mass_percent(formula(original, apparent), gravity)

    return AlcoholSpread(
        balling=by_volume(abw_balling),
        balling_classical=by_volume(abw_balling_classical),
        cutaia_2009=by_volume(abw_cutaia_2009),
        tabarie=by_volume(abw_tabarie),
        hall_1995=abv_hall_1995(original, apparent),
        custom=abv_by_custom(original, apparent),
    )


def real_attenuation(original: Array | float, real: Array | float) -> Array:
    """Real attenuation as the plain quotient (OE - RE)/OE. [fraction]

    `original` 0.1 to 40, `real` -1 to 40 °P.
    """
    original = _OF_WORT.check(original)
    return (original - _REAL.check(real)) / original


def real_attenuation_asbc(original: Array | float, real: Array | float) -> Array:
    """Share of the wort's extract, by mass, that was fermented: RDF of the ASBC. [fraction]

    (OE - RE)/[OE (1 - 0.005161 RE)], `original` 0.1 to 40, `real` -1 to 40 °P; 1 to 2 points above the plain
    quotient, since carbon dioxide and yeast leave and less beer holds what is left.  The factor is Balling's,
    1.0665/206.65.  Source: ASBC Methods of Analysis, Beer-6, from memory.

    >>> round(float(real_attenuation_asbc(12.0, 4.3)), 3)
    0.656
    """
    return real_attenuation(original, real) / (1.0 - LOST_MASS * np.asarray(real))


def energy(alcohol_mass_percent: Array | float, real: Array | float, beer_sg: Array | float) -> Energy:
    """Food energy of beer, 6.9 A + 4 (RE - 0.1) kcal per 100 g, and by its density a litre. [kcal, kJ]

    Alcohol 0 to 30 % mass, `real` 0 to 40 °P, `beer_sg` 20/20; 0.1 is the ash.  1 kcal = 4.184 kJ.
    Source: ASBC Methods of Analysis, Beer-33, second-hand.
    """
    burnt = np.maximum(_REAL_LEFT.check(real) - ASH, 0.0)
    kcal = KCAL_PER_G_ALCOHOL * _ALCOHOL.check(alcohol_mass_percent) + KCAL_PER_G_EXTRACT * burnt
    kcal_per_l = kcal * (0.01 * density_from_sg(beer_sg))  # 10 times 100 g in a kilogram
    return Energy(kcal, kcal * KJ_PER_KCAL, kcal_per_l, kcal_per_l * KJ_PER_KCAL)


def _fall(original: Array | float, left: Array | float) -> Array:
    """The difference, refused where there is more extract left than there was."""
    return _FALL.check(np.asarray(original) - left)


def _not_below_zero(alcohol: Array) -> Array:
    """Where nothing is fermented yet, rounding must not make it less than nothing."""
    held: Array = np.maximum(alcohol, 0.0)
    return held
