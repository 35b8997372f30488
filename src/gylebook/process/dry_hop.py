"""Steep hops in beer, and hop tea for beer.

In:  grams of hops per litre, what the beer held, what the hops hold.
Out: iso-alpha acids left, humulinones and alpha acids gained, pH, beer kept back, gas from gravity creep; the
iso-alpha acids that a hop tea brings.

Idea: dry hops take the bitter from a bitter beer and give another kind back; each effect stands alone with
its source, since few are known to better than a third.  Pairs are (level, scatter).  What a laboratory
reads and a mouth tastes of it is in `bitterness`; what a tea's own boil makes is in `isomerisation`.
"""

from __future__ import annotations

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import PER_CENT, Range
from gylebook.process.ferment import CO2_PER_ETHANOL, QUOTIENT, alcohol_balling

ADSORBED_PER_G = (0.02, 0.007)  # of the iso-alpha acids a g/L; common practice, ± 0.05 on what is left
ADSORBED_MOST = 0.30
SPARED_MG_PER_L = 20.0  # little is lost below: Parkin & Shellhammer (2017), Maye & Smith (2016)
HUMULINONE_IN_HOPS = (0.0035, 0.001)  # kg/kg; 0.2 to 0.5 %, Algazzali & Shellhammer (2016)
HUMULINONE_EXTRACTED = (0.90, 0.05)
ALPHA_DISSOLVED_MG_PER_L = (13.0, 2.0)  # from memory: 10 to 16
PH_PER_G = 0.14 / 3.87  # 0.14 a pound a barrel, a trade measurement
PH_LINEAR_TO_G_PER_L = 7.74  # two pounds a barrel
BEER_KEPT_L_PER_KG = {"pellets": (5.5, 0.9), "whole": (10.0, 1.2)}  # common practice: 4 to 7, 8 to 12
CREEP_PLATO = (0.75, 0.3)  # apparent, from memory: 0.3 to 1.2 in one to three weeks
TEA_KEPT = (0.70, 0.15)  # judgement: what falls out as the tea meets wort at pH 5

_DOSE = Range("hops_g_per_l", "g/L", 0.0, 30.0, "dry hopping as it is done")
_DOSE_PH = Range("hops_g_per_l", "g/L", 0.0, 7.75, "the rise of pH (linear to two pounds a barrel)")
_ISO = Range("iso_mg_per_l", "mg/L", 0.0, 500.0, "iso-alpha acids in beer")
_HUMULINONE = Range("humulinone", "kg/kg", 0.0, 0.02, "what hops hold", (PER_CENT,), 4)
_ALPHA = Range("alpha", "kg/kg", 0.0, 0.25, "what hops hold", (PER_CENT,), 3)
_CREEP = Range("creep", "°P", 0.0, 3.0, "gravity creep seen in dry-hopped beer")
_SHARE = Range("a share", "", 0.0, 1.0, "a part of the whole", (PER_CENT,), 2)


def iso_after_dry_hop(
    iso_mg_per_l: Value, hops_g_per_l: Value, adsorbed_per_g: Value = ADSORBED_PER_G[0]
) -> Array:
    """Iso-alpha acids that dry hops leave in the beer. [mg/L]

    `iso_mg_per_l` 0 to 500; `hops_g_per_l` 0 to 30.  Each gram a litre adsorbs 2 % of them, 30 % at most, and
    nothing is taken below 20 mg/L.  The direction and the threshold are confirmed (J. P. Maye and R. Smith,
    MBAA TQ 53(3), 2016; E. J. Parkin and T. H. Shellhammer, J. ASBC 75, 363, 2017), the slope is common
    practice, ± 0.05 on the share left.
    """
    iso = _ISO.check(iso_mg_per_l)
    left = iso * (1.0 - np.minimum(adsorbed_per_g * _DOSE.check(hops_g_per_l), ADSORBED_MOST))
    return np.asarray(np.maximum(left, np.minimum(iso, SPARED_MG_PER_L)))


def humulinone_gained(
    hops_g_per_l: Value,
    humulinone: Value = HUMULINONE_IN_HOPS[0],
    extracted: Value = HUMULINONE_EXTRACTED[0],
) -> Array:
    """Humulinones, oxidised alpha acids, that dry hops give the beer. [mg/L]

    `humulinone` is their share in the hops, 0.002 to 0.005 in pellets, more in old hops [kg/kg].  Source:
    A. Algazzali and T. Shellhammer, J. ASBC 74, 36 (2016).

    >>> round(float(humulinone_gained(5.0, 0.003)), 1)
    13.5
    """
    return np.asarray(
        1000.0 * _DOSE.check(hops_g_per_l) * _HUMULINONE.check(humulinone) * _SHARE.check(extracted)
    )


def alpha_dissolved(
    hops_g_per_l: Value, alpha: Value, at_most_mg_per_l: Value = ALPHA_DISSOLVED_MG_PER_L[0]
) -> Array:
    """Alpha acids that dry hops give the beer: all they have, until it holds no more. [mg/L]

    `alpha` 0 to 0.25 [kg/kg].  Dry-hopped beers hold 10 to 16 mg/L (from memory).
    """
    return np.asarray(np.minimum(1000.0 * _DOSE.check(hops_g_per_l) * _ALPHA.check(alpha), at_most_mg_per_l))


def ph_rise(hops_g_per_l: Value, per_g: Value = PH_PER_G) -> Array:
    """Rise of the beer's pH, 0.036 a g/L. [pH]

    `hops_g_per_l` 0 to 7.75: seen to be linear so far; a heavier dose is refused, and raises it at least as
    much as `PH_LINEAR_TO_G_PER_L` does.  Source: a trade measurement, 0.14 a pound a barrel.
    """
    return np.asarray(per_g * _DOSE_PH.check(hops_g_per_l))


def beer_kept_l(hops_kg: Value, l_per_kg: Value) -> Array:
    """Beer that stays behind in the spent hops, see `BEER_KEPT_L_PER_KG`. [L]"""
    return np.asarray(hops_kg * l_per_kg)


def creep_co2_g_per_l(original: Value, apparent: Value, creep: Value) -> Array:
    r"""Carbon dioxide from dextrins that the enzymes of dry hops set free. [g/L]

    .. math:: \Delta A = \frac{0.805\,\Delta}{2.0665 - 0.010665\,OE},\quad c = 9.565\,\rho\,\Delta A

    Parameters
    ----------
    original, apparent
        Of the beer before dry hopping, 0 to 40 and -6 to 40. [°P]
    creep
        Fall of the apparent extract :math:`\Delta`, 0 to 3; see `CREEP_PLATO`. [°P]

    Notes
    -----
    In a closed bottle it adds to the priming: 0.3 °P is 0.6 volumes, 1.2 °P is 2.5.  Source: Balling's
    balance; the density of beer by 1 + 0.004 AE, within 0.2 %.
    """
    fall = QUOTIENT * _CREEP.check(creep)
    alcohol = alcohol_balling(original, 0.0) - alcohol_balling(original, fall)
    return np.asarray(10.0 * CO2_PER_ETHANOL * alcohol * (1.0 + 0.004 * apparent))


def hop_tea_iso_mg(hop_kg: Value, alpha: Value, iso_share: Value, kept: Value = TEA_KEPT[0]) -> Array:
    """Iso-alpha acids that a hop tea, boiled in water or thin wort, adds to the beer. [mg]

    `iso_share` is what the tea's own history makes of its alpha acids (`isomerisation.isomerised`); water at
    pH 6 to 7 dissolves more than stays at the beer's pH: `kept` 0.7 ± 0.15 (judgement).  Boil it in 1 to 2 °P
    wort at pH 5.0 to 5.3 to be predictable.
    """
    made = 1e6 * hop_kg * _ALPHA.check(alpha) * _SHARE.check(iso_share)
    return np.asarray(made * _SHARE.check(kept))
