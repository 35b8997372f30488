"""Tell what acid a water takes to reach a pH, and what alkalinity a titration found.

In:  a `Solution`, a pH or an alkalinity to be left, the acid by name; floats or arrays of draws.
Out: mmol/L of acid; pH; alkalinity [mEq/L].

Idea: at a given pH the balance of charges is linear in what is added, so that a dose needs no search.  The
vessel is closed: acid poured in, stirred, and read before CO2 leaves.  How an acid is sold, and what a mash
adds, belong to `process`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.acids import PH
from gylebook.matter.bounds import Range
from gylebook.matter.equilibria import ph_of, settle, with_carbonate
from gylebook.matter.solution import Solution

WEAK_ACIDS: Mapping[str, str] = MappingProxyType(
    {"lactic": "lactate", "phosphoric": "phosphate", "citric": "citrate"}
)
"""The total of a solution to which each weak acid adds."""

STRONG_ACIDS: Mapping[str, tuple[str, int]] = MappingProxyType(
    {"hydrochloric": ("chloride", 1), "sulphuric": ("sulphate", 2)}
)
"""The total to which each strong acid adds, and the alkalinity that a mole takes off."""

_END_POINT = Range("titrated_to", "on the pH scale", 3.5, 5.5, "a titration of total alkalinity")
_TAP = Range("ph", "on the pH scale", 5.0, 10.5, "a tap water")
_PASSES = 4  # each leaves a few per cent of the correction, itself at most 4 % of the alkalinity


def with_acid(solution: Solution, acid: str, mmol_per_l: Value) -> Solution:
    """The solution with an acid of `WEAK_ACIDS` or `STRONG_ACIDS` added [mmol/L].

    Negative takes out what had been added.  Raises `OutsideValidity`.
    """
    if acid in WEAK_ACIDS:
        return solution.plus(**{WEAK_ACIDS[acid]: mmol_per_l})
    anion, protons = STRONG_ACIDS[acid]
    return solution.plus(**{anion: mmol_per_l, "alkalinity": -protons * mmol_per_l})


def acid_to_reach(solution: Solution, ph: Array | float, acid: str, temp_c: Array | float) -> Array:
    """Acid that brings the water to a pH in a closed vessel, beside what is in it already. [mmol/L]

    ph 0 to 14, temp_c 0 to 80 [°C], acid as for `with_acid`.  Negative where the water is more acid than
    that: the same equivalents of a base would do it.  PHREEQC finds that pH within 0.01.
    Raises `OutsideValidity`.
    """
    target = PH.check(ph)
    if acid in WEAK_ACIDS:
        total = WEAK_ACIDS[acid]
        needed = 1000.0 * settle(solution, temp_c, ph=target, wanted=total).wanted
        return np.asarray(needed - getattr(solution, total))
    protons = STRONG_ACIDS[acid][1]
    dose = (solution.alkalinity - alkalinity_at(solution, target, temp_c)) / protons
    # The anion that came along pairs a little and raises the ionic strength: once more, with it.
    with_anion = with_acid(solution, acid, np.maximum(dose, 0.0))
    return np.asarray((solution.alkalinity - alkalinity_at(with_anion, target, temp_c)) / protons)


def alkalinity_at(solution: Solution, ph: Array | float, temp_c: Array | float) -> Array:
    """Alkalinity that goes with a pH and the solution's total carbonate in a closed vessel. [mEq/L]

    ph 0 to 14, temp_c 0 to 80 [°C]; the solution's own `alkalinity` is not looked at.
    Raises `OutsideValidity`.
    """
    return np.asarray(1000.0 * settle(solution, temp_c, ph=PH.check(ph)).charge)


def ph_with_alkalinity_left(solution: Solution, left: Array | float, temp_c: Array | float) -> Array:
    """pH at which an acid has left so much alkalinity, whichever acid it was, in a closed vessel. [-]

    left in mEq/L, −50 to 50; temp_c 0 to 80 [°C].  0.5 mEq/L is 25 mg/L as CaCO3.  The solution is the water
    before any acid.  Raises `OutsideValidity`.
    """
    anion = np.maximum(np.asarray(solution.alkalinity) - left, 0.0)  # for the ionic strength alone
    return ph_of(replace(solution, alkalinity=left, chloride=solution.chloride + anion), temp_c)


def alkalinity_from_titration(
    solution: Solution,
    acid_meq: Array | float,
    ph: Array | float,
    titrated_to: Array | float = 4.5,
    temp_c: Array | float = 25.0,
) -> Array:
    """True alkalinity of a water, from the strong acid that took it to a fixed end point. [mEq/L]

    acid_meq [mEq/L] is what a report gives as alkalinity, ph 5 to 10.5 the water's own, titrated_to 3.5 to
    5.5, temp_c 0 to 80 [°C] of the titration; the solution's `alkalinity` and `carbonate` are not looked at.
    A fixed end point of 4.5 reads 1.5 mg/L as CaCO3 too much in a very soft water and 6 too little at 500.
    Raises `OutsideValidity`.
    """
    end, tap = _END_POINT.check(titrated_to), _TAP.check(ph)
    true: Value = acid_meq
    for _ in range(_PASSES):
        water = with_carbonate(replace(solution, alkalinity=true), tap, temp_c)
        true = acid_meq + alkalinity_at(water, end, temp_c)
    return np.asarray(true)
