"""Tell what charge an acid has let go at a pH, and which cations its anions hold.

In:  the `Surroundings` of an acid (proton activity, activity coefficients, free cations) and its total.
Out: a `Share` of the water's balances; the protons that a mole of a bought acid gives up.

Idea: an acid that can lose n protons is a short sum of weights, 1 with all of them on; an anion that forms
pairs weighs more by what it holds.  Mean and variance of the number lost are charge and its slope with pH.
Which pH makes the balances close is found in `equilibria`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.bounds import Range
from gylebook.matter.dissociation import Constants, activity_coefficient, constants

LN10 = float(np.log(10.0))

PH = Range("ph", "on the pH scale", 0.0, 14.0, "water")


class Surroundings(NamedTuple):
    """What an acid finds round it, as activities: what an ion's concentration is worth. [mol/L]"""

    h: Value
    per_h: Value  # 1 / h
    thin1: Value  # 1/γ of one charge, which makes a concentration of an activity
    thin2: Value  # of two charges, thin1^4
    calcium: Value
    magnesium: Value
    sodium: Value
    potassium: Value


class Share(NamedTuple):
    """What one acid adds to the balances of a water. [mol/L]"""

    charge: Value
    """Protons let go, counted from the form that alkalinity takes no notice of."""
    slope: Value
    """Rise of that charge with −ln h."""
    strength: Value
    """Σ m z² of its ions and pairs; a pair with sodium or potassium is counted with the metal."""
    on_calcium: Value = 0.0
    """What it holds of calcium, for each unit of calcium's activity. [-]"""
    on_magnesium: Value = 0.0
    on_sodium: Value = 0.0
    on_potassium: Value = 0.0


class Carbonate(NamedTuple):
    """The share of carbonic acid, and its species, ions as activities. [mol/L]"""

    share: Share
    co2: Value
    bicarbonate: Value
    carbonate: Value
    total: Value


def carbonic(k: Constants, at: Surroundings, total: Value | None, gas: Value = 0.0) -> Carbonate:
    """Carbonic acid of a total, or (total None) where a gas keeps the dissolved CO2 at `gas`."""
    once = k.carbonic1 * at.per_h
    twice = once * (k.carbonic2 * at.per_h)
    thin_sodium = at.thin1 * at.sodium
    charged = 1.0 + k.calcium_bicarbonate * at.calcium + k.magnesium_bicarbonate * at.magnesium
    charged = charged * at.thin1
    weight1 = once * (charged + k.sodium_bicarbonate * at.sodium)
    paired = k.calcium_carbonate * at.calcium + k.magnesium_carbonate * at.magnesium
    weight2 = twice * (at.thin2 + paired + k.sodium_carbonate * thin_sodium)
    both = weight1 + weight2
    lost = both + weight2
    if total is None:
        co2 = gas
        total = co2 + co2 * both
        charge = co2 * lost
        slope = charge + 2.0 * (co2 * weight2)
    else:
        in_all = 1.0 + both
        co2 = total / in_all
        charge = co2 * lost
        slope = charge + 2.0 * (co2 * weight2) - charge * (lost / in_all)
    bicarbonate, carbonate = co2 * once, co2 * twice
    thin_bicarbonate = at.thin1 * bicarbonate
    share = Share(
        charge,
        slope,
        bicarbonate * charged + 4.0 * (at.thin2 * carbonate),
        k.calcium_bicarbonate * thin_bicarbonate + k.calcium_carbonate * carbonate,
        k.magnesium_bicarbonate * thin_bicarbonate + k.magnesium_carbonate * carbonate,
        k.sodium_bicarbonate * bicarbonate + k.sodium_carbonate * (at.thin1 * carbonate),
    )
    return Carbonate(share, co2, bicarbonate, carbonate, total)


def sulphuric(k: Constants, at: Surroundings, total: Value) -> Share:
    """Sulphuric acid, counted from sulphate: what takes a proton back counts below nothing."""
    singly = at.h / k.hydrogen_sulphate
    alkali = k.sodium_sulphate * at.sodium + k.potassium_sulphate * at.potassium
    paired = k.calcium_sulphate * at.calcium + k.magnesium_sulphate * at.magnesium
    sulphate = total / (at.thin2 + paired + at.thin1 * (singly + alkali))
    thin_sulphate = at.thin1 * sulphate
    protonated = thin_sulphate * singly
    return Share(
        -protonated,
        protonated,  # less where most is protonated, below pH 2
        protonated + 4.0 * (at.thin2 * sulphate),
        k.calcium_sulphate * sulphate,
        k.magnesium_sulphate * sulphate,
        k.sodium_sulphate * thin_sulphate,
        k.potassium_sulphate * thin_sulphate,
    )


def phosphoric(k: Constants, at: Surroundings, total: Value) -> Share:
    """Phosphoric acid, counted from H3PO4, with the pairs of all its anions."""
    once = k.phosphoric1 * at.per_h
    twice = once * (k.phosphoric2 * at.per_h)
    thrice = twice * (k.phosphoric3 * at.per_h)
    thin3 = at.thin2 * at.thin2 * at.thin1
    single = at.thin1 * (1.0 + k.calcium_phosphate1 * at.calcium + k.magnesium_phosphate1 * at.magnesium)
    paired = k.calcium_phosphate2 * at.calcium + k.magnesium_phosphate2 * at.magnesium
    alkali = at.thin1 * (k.alkali_phosphate2 * (at.sodium + at.potassium))
    triple = at.thin1 * (k.calcium_phosphate3 * at.calcium + k.magnesium_phosphate3 * at.magnesium)
    weights = once * single, twice * (at.thin2 + paired + alkali), thrice * (thin3 + triple)
    charge, slope, whole = _let_go(total, weights)
    one, two, three = at.thin1 * (whole * once), whole * twice, whole * thrice
    thin_three = at.thin1 * three
    on_alkali = k.alkali_phosphate2 * (at.thin1 * two)
    return Share(
        charge,
        slope,
        whole * weights[0] + 4.0 * (at.thin2 * two) + three * (9.0 * thin3 + triple),
        k.calcium_phosphate1 * one + k.calcium_phosphate2 * two + k.calcium_phosphate3 * thin_three,
        k.magnesium_phosphate1 * one + k.magnesium_phosphate2 * two + k.magnesium_phosphate3 * thin_three,
        on_alkali,
        on_alkali,
    )


def lactic(k: Constants, at: Surroundings, total: Value) -> Share:
    """Lactic acid, unpaired."""
    charge, slope, _ = _let_go(total, (k.lactic * (at.thin1 * at.per_h),))
    return Share(charge, slope, charge)


def citric(k: Constants, at: Surroundings, total: Value) -> Share:
    """Citric acid, unpaired."""
    once = k.citric1 * at.per_h
    twice = once * (k.citric2 * at.per_h)
    thrice = twice * (k.citric3 * at.per_h)
    weights = at.thin1 * once, at.thin2 * twice, at.thin2 * at.thin2 * at.thin1 * thrice
    charge, slope, whole = _let_go(total, weights)
    return Share(charge, slope, whole * (weights[0] + 4.0 * weights[1] + 9.0 * weights[2]))


ACIDS: Mapping[str, Callable[[Constants, Surroundings, Value], Share]] = MappingProxyType(
    {"phosphate": phosphoric, "lactate": lactic, "citrate": citric}
)
"""The weak acids that may be added, by the total of a solution that they add to."""


def _let_go(total: Value, weights: tuple[Value, ...]) -> tuple[Value, Value, Value]:
    """Charge, its slope, and what keeps all protons; weights of one, two, ... lost. [mol/L]"""
    # Σ w, Σ n w and Σ n² w from what has lost at least n: fewer operations than one by one.
    at_least = weights[-1]
    lost = at_least
    squared = (2 * len(weights) - 1) * at_least
    for count in range(len(weights) - 1, 0, -1):
        at_least = at_least + weights[count - 1]
        lost = lost + at_least
        squared = squared + (2 * count - 1) * at_least
    in_all = 1.0 + at_least
    whole = total / in_all
    charge = whole * lost
    return charge, whole * squared - charge * (lost / in_all), whole


def unpaired(h: Array, gamma1: Array) -> Surroundings:
    """Surroundings of a proton activity h with no cation to pair with."""
    thin1 = 1.0 / gamma1
    return Surroundings(h, 1.0 / h, thin1, thin1**4, 0.0, 0.0, 0.0, 0.0)


def protons_given(
    acid: str, ph: Array | float, temp_c: Array | float = 20.0, ionic_strength: Array | float = 0.015
) -> Array:
    """Protons that a mole of a bought acid has given up at a pH: its mEq for each mmol. [mol/mol]

    acid one of lactic, phosphoric, citric, hydrochloric, sulphuric; ph 0 to 14, temp_c 0 to 80 [°C],
    ionic_strength 0 to 0.2 [mol/L].  Without pairs with calcium, which raise that of phosphoric acid
    above pH 6.  Raises `OutsideValidity`.

    >>> round(float(protons_given("lactic", 5.4, 25.0)), 3)
    0.975
    """
    h = np.exp(-LN10 * PH.check(ph))
    at = unpaired(h, activity_coefficient(ionic_strength, temp_c))
    given = _GIVEN[acid](constants(temp_c), at)
    return np.asarray(given, dtype=np.float64)


_GIVEN: Mapping[str, Callable[[Constants, Surroundings], Value]] = {
    "lactic": lambda k, at: lactic(k, at, 1.0).charge,
    "phosphoric": lambda k, at: phosphoric(k, at, 1.0).charge,
    "citric": lambda k, at: citric(k, at, 1.0).charge,
    "hydrochloric": lambda k, at: np.ones_like(at.h),
    "sulphuric": lambda k, at: 2.0 + sulphuric(k, at, 1.0).charge,
}
