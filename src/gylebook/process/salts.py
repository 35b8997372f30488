"""Say what a gram of each brewing salt brings to the liquor, and what a scale can weigh of it.

In:  grams in a litre of each salt, the share of the weighed that acts; the step of a scale.
Out: the `Solution` with them; weights as they can be weighed, with cautions as keys; a stock solution's
strength.

Idea: a salt is its formula.  Ions follow from the count of each and the molar mass with its water;
alkalinity is the charge its other ions leave open, so that a neutral salt has none.  Which doses reach a
target is found in `salt_doses`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range
from gylebook.matter.ions import CHARGE, MOLAR_MASS
from gylebook.matter.solution import Solution

CAUSTIC = "caustic"
"""The caution of lime, which burns eyes and skin: a key, for faces to word."""
HEATS = "heats"
"""The caution of calcium chloride without water, which heats what it is put into."""
FINER_SCALE, NOTHING_LEFT = "finer scale", "nothing left"
"""A weight too small for the scale it is weighed on, or rounded away altogether."""
SCALE_G = 0.1
"""Step of a common kitchen scale. [g]"""

_HYDROXIDE, _WATER = 17.007, 18.015  # g/mol
_GRAMS = Range("grams_per_l", "g/L", 0.0, 10.0, "salts in a brewing liquor")
_ACTS = Range("acting", "", 0.0, 1.4, "the share of a salt that acts (above 1: it holds less water)")
_STEP = Range("step_g", "g", 1e-3, 50.0, "a scale")
_STRENGTH = Range("percent", "% w/w", 0.0, 35.0, "the handbook's calcium chloride solutions")


class Salt(NamedTuple):
    """A salt by its formula.

    `acting` is the share of what is weighed that counts as this formula, level and scatter; `soluble` the
    most that dissolves near 20 °C [g/L].
    """

    key: str
    ions: Mapping[str, int]
    water: float = 0.0  # mol in a mole
    hydroxide: int = 0
    acting: tuple[float, float] = (1.0, 0.01)
    soluble: float = 300.0
    caution: str = ""

    @property
    def molar_mass(self) -> float:
        """Mass of a mole, its water included. [g/mol]"""
        dry = sum(count * MOLAR_MASS[ion] for ion, count in self.ions.items())
        return dry + _HYDROXIDE * self.hydroxide + _WATER * self.water


_CARBONATES = ("bicarbonate", "carbonate")

# Solubilities of handbooks, from memory; gypsum from a geochemical program (2.55 g/kg at 20 °C).  What
# acts: calcium chloride takes up water (an opened bag of dihydrate assays 74 ± 4 % where pure it is 75.5),
# chalk in a mash hardly dissolves (Troester 2009, abstract), lime has aged; estimates.
SALTS: Mapping[str, Salt] = MappingProxyType(
    {
        salt.key: salt
        for salt in (
            Salt("gypsum", {"calcium": 1, "sulphate": 1}, water=2, soluble=2.2),
            Salt("gypsum-hemihydrate", {"calcium": 1, "sulphate": 1}, water=0.5, soluble=1.85),
            Salt(
                "calcium-chloride-anhydrous",
                {"calcium": 1, "chloride": 2},
                acting=(0.955, 0.01),
                caution=HEATS,
            ),
            Salt("calcium-chloride", {"calcium": 1, "chloride": 2}, water=2, acting=(0.98, 0.053)),
            Salt("calcium-chloride-hexahydrate", {"calcium": 1, "chloride": 2}, water=6),
            Salt("epsom-salt", {"magnesium": 1, "sulphate": 1}, water=7),
            Salt("magnesium-sulphate-anhydrous", {"magnesium": 1, "sulphate": 1}),
            Salt("magnesium-chloride", {"magnesium": 1, "chloride": 2}, water=6),
            Salt("common-salt", {"sodium": 1, "chloride": 1}),
            Salt("potassium-chloride", {"potassium": 1, "chloride": 1}),
            Salt("baking-soda", {"sodium": 1, "bicarbonate": 1}, acting=(0.97, 0.015), soluble=90.0),
            Salt("chalk", {"calcium": 1, "carbonate": 1}, acting=(0.45, 0.09), soluble=0.5),
            Salt(
                "slaked-lime", {"calcium": 1}, hydroxide=2, acting=(0.85, 0.10), soluble=1.6, caution=CAUSTIC
            ),
            Salt("sodium-sulphate", {"sodium": 2, "sulphate": 1}),
        )
    }
)
"""Salts by key.  `calcium-chloride` and `gypsum` are the hydrates sold as such, two of water each."""


def salt_of(key: str) -> Salt:
    """A salt by its key.  Raises `Refused`, which lists those there are."""
    if key not in SALTS:
        raise Refused([Problem("salt", f"“{key}”", f"no such salt is known; known are {', '.join(SALTS)}")])
    return SALTS[key]


def mg_per_gram(salt: Salt) -> dict[str, float]:
    """Mass of each ion in a gram of the pure salt. [mg/g]

    >>> round(mg_per_gram(SALTS["gypsum"])["calcium"], 1)
    232.8
    """
    return {ion: 1e3 * count * MOLAR_MASS[ion] / salt.molar_mass for ion, count in salt.ions.items()}


def totals_per_mole(salt: Salt) -> dict[str, int]:
    """What a mole adds to the totals of a `Solution`. [mol/mol, alkalinity in eq/mol]

    Its alkalinity is the charge that the ions beside carbonate and hydroxide leave open.
    """
    plain = {ion: count for ion, count in salt.ions.items() if ion not in _CARBONATES}
    carbonate = sum(count for ion, count in salt.ions.items() if ion in _CARBONATES)
    alkalinity = sum(count * CHARGE[ion] for ion, count in plain.items())
    return {**plain, "carbonate": carbonate, "alkalinity": alkalinity}


def with_salts(
    liquor: Solution, grams_per_l: Mapping[str, Value], acting: Mapping[str, Value] | None = None
) -> Solution:
    """The liquor with salts dissolved in it.

    Parameters
    ----------
    grams_per_l
        Weight of each salt by key, 0 to 10 and no more than dissolves. [g/L]
    acting
        Draws of the share of each that acts, 0 to 1.4; its level where none are given.

    Raises
    ------
    Refused
        Where a salt is unknown, or more of it than dissolves.
    OutsideValidity
        Below zero, or above 10 g/L.
    """
    given = acting or {}
    more: dict[str, Value] = {}
    for key, grams in grams_per_l.items():
        salt = salt_of(key)
        amount = replace(_GRAMS, name=f"salt {key}").check(grams)
        hold_to_solubility(salt, float(np.max(amount)))
        acts = replace(_ACTS, name=f"salt {key}, acting").check(given.get(key, salt.acting[0]))
        mmol = amount * acts * (1e3 / salt.molar_mass)
        for total, count in totals_per_mole(salt).items():
            more[total] = more.get(total, 0.0) + count * mmol
    return liquor.plus(**more)


def hold_to_solubility(salt: Salt, grams_per_l: float) -> None:
    """Refuse more of a salt than a litre dissolves. [g/L]  Raises `Refused`."""
    if grams_per_l > salt.soluble:
        accepted = f"no more than {salt.soluble:g} g/L of it dissolves; look at weight, unit and volume"
        raise Refused([Problem(f"salt {salt.key}", f"{grams_per_l:.3g} g in each litre", accepted)])


class Weighed(NamedTuple):
    """A weight as a scale shows it, its most likely miss, and a caution as a key."""

    grams: float
    within: float  # half a step of the scale [g]
    caution: str


def weighed(grams: float, step_g: float = SCALE_G) -> Weighed:
    """The nearest weight that a scale of that step can show, 0.001 to 50 g. [g]

    Below ten steps the miss is above 5 %: `FINER_SCALE`, which means a finer one or a measured stock
    solution.
    """
    step = float(_STEP.check(step_g))
    shown = round(float(grams) / step) * step
    caution = ""
    if grams > 0.0 and shown == 0.0:
        caution = NOTHING_LEFT
    elif 0.0 < grams < 10.0 * step:
        caution = FINER_SCALE
    return Weighed(round(shown, 6), 0.5 * step, caution)


def calcium_chloride_g_per_ml(percent: Value) -> Array:
    """Calcium chloride, as if without water, in a millilitre of stock solution, 0 to 35 % w/w. [g/mL]

    Density at 20 °C of a handbook, from memory, ± 0.003: a hydrometer tells it better than a label.

    >>> round(float(calcium_chloride_g_per_ml(33.0)), 3)
    0.434
    """
    percent = _STRENGTH.check(percent)
    density = np.interp(
        percent, [0.0, 10.0, 20.0, 30.0, 33.0, 35.0], [0.998, 1.0835, 1.177, 1.282, 1.316, 1.338]
    )
    return np.asarray(0.01 * percent * density)
