"""Hold what is dissolved in a litre, as totals that add and mix by plain arithmetic.

In:  amounts [mmol/L] and alkalinity [mEq/L]; floats or arrays of draws.
Out: a `Solution`; more of something dissolved in it; several of them mixed.

Idea: totals and alkalinity are conserved, pH is not.  Alkalinity is the acid that takes the water to the
carbonic-acid end point, and so takes no notice of an acid that is weak: that is added as a total whose
charge `equilibria` finds.  A strong acid takes its equivalents off, a base adds them:

=====================  ==========================================================
1 mmol of              changes
=====================  ==========================================================
lactic acid            lactate +1          (citric, phosphoric acid: likewise)
hydrochloric acid      chloride +1, alkalinity −1
sulphuric acid         sulphate +1, alkalinity −2
sodium bicarbonate     sodium +1, carbonate +1, alkalinity +1
slaked lime            calcium +1, alkalinity +2
CO2 escaping           carbonate −1
gypsum, any salt       its ions alone
=====================  ==========================================================

Charges need not balance: a report's seldom do, and alkalinity is what sets the pH.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

from gylebook.figures.draws import Value
from gylebook.matter.bounds import Range, Slip
from gylebook.matter.ions import CACO3_MASS, MOLAR_MASS

_WATER = "the model of a water or a weak wort"


def _range(name: str, most: float, molar_mass: float) -> Range:
    """The amounts of one ion that the model takes, and the report's unit as the likely slip."""
    slip = Slip("mg/L", lambda value: value / molar_mass)
    return Range(name, "mmol/L", 0.0, most, _WATER, (slip,), digits=3)


_ALKALINITY = Range(
    "alkalinity",
    "mEq/L",
    -50.0,
    50.0,
    _WATER,
    (Slip("mg/L as CaCO3", lambda value: value * 2.0 / CACO3_MASS),),
    digits=3,
)
_RANGES = {
    "calcium": _range("calcium", 50.0, MOLAR_MASS["calcium"]),
    "magnesium": _range("magnesium", 50.0, MOLAR_MASS["magnesium"]),
    "sodium": _range("sodium", 100.0, MOLAR_MASS["sodium"]),
    "potassium": _range("potassium", 100.0, MOLAR_MASS["potassium"]),
    "chloride": _range("chloride", 100.0, MOLAR_MASS["chloride"]),
    "sulphate": _range("sulphate", 50.0, MOLAR_MASS["sulphate"]),
    "nitrate": _range("nitrate", 20.0, MOLAR_MASS["nitrate"]),
    "carbonate": _range("carbonate", 100.0, MOLAR_MASS["bicarbonate"]),
    "phosphate": _range("phosphate", 50.0, 97.994),
    "lactate": _range("lactate", 50.0, 90.078),
    "citrate": _range("citrate", 50.0, 192.123),
    "alkalinity": _ALKALINITY,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """What is dissolved in a litre, however much of it is paired or protonated.

    Everything is a total [mmol/L] but `alkalinity` [mEq/L]; `carbonate` counts dissolved CO2, bicarbonate and
    carbonate together.  Raises `OutsideValidity`.
    """

    calcium: Value = 0.0
    magnesium: Value = 0.0
    sodium: Value = 0.0
    potassium: Value = 0.0
    chloride: Value = 0.0
    sulphate: Value = 0.0
    nitrate: Value = 0.0
    carbonate: Value = 0.0
    phosphate: Value = 0.0
    lactate: Value = 0.0
    citrate: Value = 0.0
    alkalinity: Value = 0.0

    def __post_init__(self) -> None:
        for name in TOTALS:
            _RANGES[name].check(getattr(self, name))

    def plus(self, **amounts: Value) -> Solution:
        """With more of some totals [mmol/L; alkalinity in mEq/L], less where negative; volume unchanged.

        Raises `OutsideValidity`.
        """
        return replace(self, **{name: getattr(self, name) + amount for name, amount in amounts.items()})


TOTALS = tuple(field.name for field in fields(Solution))
"""The names of a solution's totals, alkalinity the last."""


def mixed(parts: Sequence[tuple[Value, Solution]]) -> Solution:
    """Several solutions, each with its share of the volume [0..1]: Σ share × total for every total.

    The shares must add up to 1, which is left to the caller, as they may be draws.  Raises `OutsideValidity`.
    """
    totals: dict[str, Value] = {}
    for name in TOTALS:
        total: Value = 0.0
        for share, part in parts:
            total = total + share * getattr(part, name)
        totals[name] = total
    return Solution(**totals)
