"""Turn millilitres of acid into protons, and refuse a dose that nobody can mean.

In:  an acid by key, its strength as on the label, mL (or g of a solid), the pH where it ends up.
Out: mmol of acid, protons a mole gives at that pH, mEq, and back; a caution as a key.

Idea: a weak acid is counted whole in mmol, and gives as many protons as the pH it ends at takes from it; so a
dose for a target is a division, not a search.  How many those are is chemistry (`matter.acids`); what is sold
under which name, and what nobody can mean, is told here.  What a caution says is told by the faces.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.matter.acids import protons_given
from gylebook.matter.bounds import Range

STRENGTH = {"lactic": (0.96, 0.03), "other": (1.0, 0.01)}
"""What an acid holds of its label, level and scatter.

Lactic acid above 30 % is partly bound to itself (Vu et al. 2005) and comes free only slowly; an estimate.
"""
ACID = "acid"
"""The caution of an acid that burns skin or eyes as it is sold: a key, for faces to word."""
MOST_MEQ_PER_L = 25.0
"""More acid than any water takes: 1250 mg/L of alkalinity as CaCO3, or a pale grist at 3 L/kg to pH 3.8."""

_PER_CENT_W_W = Range("percent", "% w/w", 0.1, 100.0, "a strength by mass")


class Acid(NamedTuple):
    """An acid as it is sold.

    `kind` is its name in `matter.acids` and `matter.titration`.  `density` is of the solution at 20 °C
    [g/mL], 1 for a solid, whose grams take the place of millilitres.  `danger_percent` is where its caution
    begins.
    """

    key: str
    kind: str
    percent: float  # w/w
    density: float
    molar_mass: float  # g/mol
    danger_percent: float

    @property
    def mol_per_l(self) -> float:
        """Strength by volume, or mol in a kilogram of a solid. [mol/L]"""
        return 10.0 * self.percent * self.density / self.molar_mass

    @property
    def caution(self) -> str:
        """`ACID` where it burns as it is sold, else empty."""
        return ACID if self.percent >= self.danger_percent else ""


class _Kind(NamedTuple):
    name: str
    molar_mass: float
    danger_percent: float


_LACTIC = _Kind("lactic", 90.078, 20.0)
_PHOSPHORIC = _Kind("phosphoric", 97.994, 25.0)
_HYDROCHLORIC = _Kind("hydrochloric", 36.458, 15.0)
_SULPHURIC = _Kind("sulphuric", 98.072, 15.0)
_CITRIC = _Kind("citric", 192.123, 101.0)


def _sold(kind: _Kind, percent: float, density: float) -> Acid:
    return Acid(
        f"{kind.name}-{percent:g}",
        kind.name,
        percent,
        density,
        kind.molar_mass,
        kind.danger_percent,
    )


# Densities at 20 °C of handbooks, from memory; those of lactic 88 %, phosphoric 75 and 85 % confirmed by
# makers' sheets.  Danger after the labels of their classes (skin and eyes), from memory.
ACIDS: Mapping[str, Acid] = MappingProxyType(
    {
        acid.key: acid
        for acid in (
            _sold(_LACTIC, 80.0, 1.187),
            _sold(_LACTIC, 88.0, 1.206),
            _sold(_PHOSPHORIC, 10.0, 1.053),
            _sold(_PHOSPHORIC, 75.0, 1.579),
            _sold(_PHOSPHORIC, 85.0, 1.689),
            _sold(_HYDROCHLORIC, 10.0, 1.0474),
            _sold(_HYDROCHLORIC, 31.45, 1.157),
            _sold(_HYDROCHLORIC, 37.0, 1.184),
            _sold(_SULPHURIC, 10.0, 1.0661),
            _sold(_SULPHURIC, 96.0, 1.836),
            _sold(_CITRIC, 50.0, 1.24),
            _sold(_CITRIC, 100.0, 1.0),
        )
    }
)


def acid_of(key: str) -> Acid:
    """An acid by its key.  Raises `Refused`, which lists those there are."""
    if key not in ACIDS:
        raise Refused([Problem("acid", f"“{key}”", f"no such acid is known; known are {', '.join(ACIDS)}")])
    return ACIDS[key]


def as_labelled(acid: Acid, percent: float, density: float) -> Acid:
    """The same acid in another strength. [% w/w, g/mL at 20 °C]  Raises `OutsideValidity`."""
    _PER_CENT_W_W.check(percent)
    Range("density", "g/mL", 0.95, 1.9, "an acid in water").check(density)
    return acid._replace(key=f"{acid.kind}-{percent:g}", percent=percent, density=density)


def millimoles(acid: Acid, ml: Value, strength: Value = 1.0) -> Array:
    """Acid in so many mL, or g of a solid. [mmol]

    `strength` is what it holds of its label; see `STRENGTH`.

    >>> round(float(millimoles(ACIDS["lactic-88"], 10.0)), 1)
    117.8
    """
    return np.asarray(acid.mol_per_l * ml * strength)


def millilitres(acid: Acid, mmol: Value, strength: Value = 1.0) -> Array:
    """Volume that holds so much acid, the inverse of `millimoles`. [mL, or g of a solid]"""
    return np.asarray(mmol / (acid.mol_per_l * strength))


def hold_to_reason(acid: Acid, ml: Value, litres: Value) -> None:
    """Refuse a dose below zero, or one that no liquor is given.

    Raises
    ------
    Refused
        With the dose as understood, in mEq for each litre, and what it may be.
    """
    dose = np.asarray(ml, dtype=np.float64)
    per_l = protons_given(acid.kind, 5.4) * millimoles(acid, dose) / litres
    least, most = float(np.min(dose)), float(np.max(per_l))
    if least >= 0.0 and most <= MOST_MEQ_PER_L:  # NaN is not
        return
    unit = "g" if acid.percent == 100.0 else "mL"
    worst = least if least < 0.0 else float(np.max(dose))
    understood = f"{worst:g} {unit} of {acid.kind} acid {acid.percent:g} %, {most:.3g} mEq for each litre"
    accepted = f"a liquor is given 0 to {MOST_MEQ_PER_L:g} mEq/L; look at strength, unit and volume"
    raise Refused([Problem(f"acid {acid.key}", understood, accepted)])
