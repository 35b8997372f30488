"""Count the ions of a water: in mg/L, in mmol/L, in charges, as calcium carbonate.

In:  the name of an ion in `MOLAR_MASS`, and how much of it there is; floats or arrays of draws.
Out: mmol/L [mol/m³], mEq/L [charges], mg/L; hardness; both sides of the charge balance; ionic strength.

Idea: a litre holds so many of each ion, and charges must add up to nothing; all other ways of writing a
water down are this one, multiplied.  What dissolves or reacts is told in `equilibria`; which way a report
was written, and what to make of one that does not balance, belongs to `process`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range, Slip

MOLAR_MASS: Mapping[str, float] = MappingProxyType(
    {
        "calcium": 40.078,
        "magnesium": 24.305,
        "sodium": 22.990,
        "potassium": 39.098,
        "ammonium": 18.039,
        "chloride": 35.45,
        "sulphate": 96.056,
        "nitrate": 62.004,
        "bicarbonate": 61.016,
        "carbonate": 60.008,
        "fluoride": 18.998,
    }
)
"""Molar mass of each ion, from the abridged atomic weights of IUPAC. [g/mol]"""

CHARGE: Mapping[str, int] = MappingProxyType(
    {
        "calcium": 2,
        "magnesium": 2,
        "sodium": 1,
        "potassium": 1,
        "ammonium": 1,
        "chloride": -1,
        "sulphate": -2,
        "nitrate": -1,
        "bicarbonate": -1,
        "carbonate": -2,
        "fluoride": -1,
    }
)
"""Charge of each ion. [elementary charges]"""

CACO3_MASS = 100.086
"""Molar mass of calcium carbonate, as which hardness and alkalinity are reported. [g/mol]"""

_WATER = "a water that can be drunk or diluted, not a brine,"
_MG_PER_L = Range(
    "mg_per_l", "mg/L", 0.0, 20000.0, _WATER, (Slip("µg/L", lambda value: value / 1000.0),), digits=2
)
_MMOL_PER_L = Range(
    "mmol_per_l", "mmol/L", 0.0, 500.0, _WATER, (Slip("µmol/L", lambda value: value / 1000.0),), digits=3
)
_MEQ_PER_L = Range(
    "meq_per_l", "mEq/L", -500.0, 500.0, _WATER, (Slip("mg/L as CaCO3", lambda v: v / 50.043),)
)
_AS_CACO3 = Range("mg_caco3_per_l", "mg/L as CaCO3", -25000.0, 25000.0, _WATER)


def mmol_from_mg(ion: str, mg_per_l: Array | float) -> Array:
    """Amount of an ion, mg_per_l / molar mass, of 0 to 20000 mg/L. [mmol/L]  Raises `OutsideValidity`.

    >>> round(float(mmol_from_mg("calcium", 100.0)), 3)
    2.495
    """
    return _MG_PER_L.check(mg_per_l) / MOLAR_MASS[ion]


def mg_from_mmol(ion: str, mmol_per_l: Array | float) -> Array:
    """Mass of an ion, the inverse of `mmol_from_mg`, of 0 to 500 mmol/L. [mg/L]  Raises `OutsideValidity`."""
    return _MMOL_PER_L.check(mmol_per_l) * MOLAR_MASS[ion]


def meq_from_mg(ion: str, mg_per_l: Array | float) -> Array:
    """Charges that an ion carries, never negative, of 0 to 20000 mg/L. [mEq/L]  Raises `OutsideValidity`.

    >>> round(float(meq_from_mg("sulphate", 100.0)), 3)
    2.082
    """
    return _MG_PER_L.check(mg_per_l) * (abs(CHARGE[ion]) / MOLAR_MASS[ion])


def mg_from_meq(ion: str, meq_per_l: Array | float) -> Array:
    """Mass of an ion that carries so many charges, the inverse of `meq_from_mg`. [mg/L]

    Raises `OutsideValidity`.
    """
    return _MEQ_PER_L.check(meq_per_l) * (MOLAR_MASS[ion] / abs(CHARGE[ion]))


def meq_from_caco3(mg_caco3_per_l: Array | float) -> Array:
    """Charges in a hardness or alkalinity reported as calcium carbonate, 50.043 mg for each. [mEq/L]

    An alkalinity may be below nothing: a water acidified past its end point.  Raises `OutsideValidity`.
    >>> round(float(meq_from_caco3(100.0)), 3)
    1.998
    """
    return _AS_CACO3.check(mg_caco3_per_l) * (2.0 / CACO3_MASS)


def caco3_from_meq(meq_per_l: Array | float) -> Array:
    """Hardness or alkalinity as calcium carbonate: the inverse of `meq_from_caco3`. [mg/L as CaCO3]

    Raises `OutsideValidity`.
    """
    return _MEQ_PER_L.check(meq_per_l) * (CACO3_MASS / 2.0)


def hardness(calcium: Array | float, magnesium: Array | float) -> Array:
    """Total hardness, both in mmol/L of 0 to 500: 100.086 (Ca + Mg). [mg/L as CaCO3]

    Raises `OutsideValidity`.
    """
    return CACO3_MASS * (_MMOL_PER_L.check(calcium) + _MMOL_PER_L.check(magnesium))


def charges(mmol_per_l: Mapping[str, Value], alkalinity: Array | float) -> tuple[Array, Array]:
    """Charges of the cations and of the anions, alkalinity among these. [mEq/L, mEq/L]

    Σ z m over the cations and Σ |z| m over the anions of mmol_per_l [mmol/L]; alkalinity [mEq/L] stands for
    bicarbonate, carbonate and hydroxide together, so that neither may be given beside it (`ValueError`).
    H+ counts only below pH 5, where alkalinity has it.  Raises `OutsideValidity`.
    """
    twice = {"bicarbonate", "carbonate"} & mmol_per_l.keys()
    if twice:
        raise ValueError(f"counted in the alkalinity already: {', '.join(sorted(twice))}")
    cations, anions = _MMOL_PER_L.check(0.0), _MEQ_PER_L.check(alkalinity)
    for ion, amount in mmol_per_l.items():
        meq = _MMOL_PER_L.check(amount) * abs(CHARGE[ion])
        if CHARGE[ion] > 0:
            cations = cations + meq
        else:
            anions = anions + meq
    return cations, anions


def imbalance(cations: Array | float, anions: Array | float) -> Array:
    """How far the charges miss each other, 100 (C − A)/(C + A) of `charges` [mEq/L]. [%]

    Positive where anions are missing.  Of two sums that are not both nothing.  Raises `OutsideValidity`.
    """
    c, a = _MEQ_PER_L.check(cations), _MEQ_PER_L.check(anions)
    percent: Array = 100.0 * (c - a) / (c + a)
    return percent


def ionic_strength(mmol_per_l: Mapping[str, Value]) -> Array:
    """Ionic strength with every ion free, ½ Σ m z², bicarbonate and carbonate among them. [mol/L]

    Ion pairs lower it: by 2 % in an ordinary water, 15 % in a gypseous one.  Raises `OutsideValidity`.
    """
    strength = _MMOL_PER_L.check(0.0)
    for ion, amount in mmol_per_l.items():
        strength = strength + (0.0005 * CHARGE[ion] ** 2) * _MMOL_PER_L.check(amount)
    return strength
