"""Find the pH of a mash, and the acid or alkali that brings it to a target.

In:  a `Mash`: the grist's line, litres of liquor on the grain, the liquor as treated, the uncertain figures.
Out: mash pH of a cooled sample; mmol of acid or grams of alkali for a target; buffering [mEq/pH].

Idea: protons taken up by malt and alkalinity are those given by acid, coloured malt, and calcium and
magnesium on the malt's phosphate.  At a given pH the balance is a plain sum, so a dose for a target is a
division; only the pH of a given dose is searched, by Newton's rule on all draws at once.  Ion pairs and
activities are left out and cost 0.01 at most, a tenth of what malts leave open; `mash_ph_with_pairs` has
them.

Source: the proton condition of A. J. deLange, MBAA Tech. Quarterly 52, 3 (2015), abstract; constants as
named.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from gylebook.errors import NotConverged, Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.matter.acids import ACIDS, LN10, protons_given, unpaired
from gylebook.matter.bounds import PER_CENT, Range
from gylebook.matter.dissociation import activity_coefficient, constants
from gylebook.matter.solution import Solution
from gylebook.matter.titration import alkalinity_at
from gylebook.process.malt_ph import PIVOT_PH, Grist
from gylebook.process.salts import SALTS, totals_per_mole

CALCIUM_DIVISOR = (3.5, 0.8)
"""Equivalents of calcium that free one of protons, level and scatter; published figures run from 2 to 5."""
MAGNESIUM_DIVISOR = (7.0, 1.8)
"""The same of magnesium."""
CARBONATE_KEPT = (0.75, 0.17)
"""Share of the liquor's carbonate that is not lost as CO2 before the mash is read; 1 in a closed vessel."""
LEAST_PH = 4.5
"""No dose is given that brings a mash below this; it would hardly run off from 4.7 down."""
ROOM_C = 25.0
"""Temperature of a cooled sample, as the constants here take it. [°C]"""

_STRENGTH = 0.015  # ionic strength of liquor [mol/L]; wort has about 0.05, much else in it being unknown
_K1_UP = 10.0**6.30  # pK of carbonic acid at it, 20 to 25 °C
_CONSTANTS, _GAMMA = constants(ROOM_C), activity_coefficient(_STRENGTH, ROOM_C)
_TURNS = 6  # of Newton's rule; the balance is nearly a straight line, so four are enough
_PAIRED_TURNS = 3  # of the same with pairs, from an answer within 0.01
_START = 5.5
_LOWEST, _HIGHEST = 3.5, 8.5
_TARGET = Range("ph", "", _LOWEST, _HIGHEST, "the proton balance of a mash")
_FOUND = Range("the mash pH that would result", "", _LOWEST, _HIGHEST, "the proton balance of a mash")
_TAP = Range("ph", "", 4.0, 8.5, "alkalinity that is bicarbonate alone")
_KEPT = Range("carbonate_kept", "", 0.0, 1.0, "a share of the carbonate", (PER_CENT,), 2)
_LITRES = Range("litres", "L", 1e-3, 1e5, "a mash")
_DIVISOR = Range("divisor", "", 1.0, 50.0, "calcium's and magnesium's reaction with malt")
_ALKALIS = ("baking-soda", "slaked-lime")


class Mash(NamedTuple):
    """Grain and liquor together.

    `litres` is *all* liquor in contact with the grain; `liquor` as treated, a weak acid by its total and a
    strong one by the alkalinity it took.  The others are draws of `CARBONATE_KEPT`, `CALCIUM_DIVISOR` and
    `MAGNESIUM_DIVISOR`.
    """

    grist: Grist
    litres: Value
    liquor: Solution
    carbonate_kept: Value = CARBONATE_KEPT[0]
    calcium_divisor: Value = CALCIUM_DIVISOR[0]
    magnesium_divisor: Value = MAGNESIUM_DIVISOR[0]


def carbonate_by_ph(alkalinity: Value, ph: Value) -> Array:
    r"""Total carbonate of a tap water, :math:`Alk\,(1 + 10^{6.30 - pH})`. [mmol/L]

    `alkalinity` in mEq/L, `ph` 4 to 8.5, near 20 °C; `matter.equilibria.with_carbonate` has it beyond.

    >>> round(float(carbonate_by_ph(4.6, 7.3)), 2)
    5.06
    """
    return np.asarray(alkalinity * (1.0 + _K1_UP * np.exp(-LN10 * _TAP.check(ph))))


def protons_wanted(mash: Mash, ph: Value) -> Array:
    r"""Acid still wanting for the mash to stand at a pH of 3.5 to 8.5; below zero there is too much. [mEq]

    .. math:: -A + B(5.7 - pH) + V\left[Alk - \frac{f\,C_T}{1 + 10^{6.30 - pH}} - \frac{2Ca}{k_{Ca}}
              - \frac{2Mg}{k_{Mg}} - \sum_a n_a \nu_a(pH)\right]

    with the grist's acid :math:`A` [mEq] and buffering :math:`B` [mEq/pH], :math:`V` litres, alkalinity
    [mEq/L], carbonate :math:`C_T` of which :math:`f` is kept, calcium and magnesium [mmol/L] and weak acids
    :math:`n_a` that give :math:`\nu_a` protons each.  The pH is that of a cooled sample.
    """
    wanted, _ = _balance(_TARGET.check(ph), mash, _fixed(mash), _KEPT.check(mash.carbonate_kept))
    return wanted


def buffering(mash: Mash, ph: Value) -> Array:
    """Acid that moves the mash by one pH near a pH of 3.5 to 8.5. [mEq/pH]"""
    _, slope = _balance(_TARGET.check(ph), mash, 0.0, _KEPT.check(mash.carbonate_kept))
    return slope


def mash_ph(mash: Mash) -> Array:
    """pH of the mash, cooled: where `protons_wanted` is nothing. []

    Before own readings it is known to 0.15, with every figure drawn by its scatter and the malts' shift.

    Raises
    ------
    OutsideValidity
        Where it would lie outside 3.5 to 8.5.
    """
    fixed, kept = _fixed(mash), _KEPT.check(mash.carbonate_kept)
    ph = step = np.asarray(_START)
    for _ in range(_TURNS):
        wanted, slope = _balance(ph, mash, fixed, kept)
        step = wanted / slope
        ph = np.minimum(np.maximum(ph + step, _LOWEST), _HIGHEST)
    return _found(ph, step)


def mash_ph_with_pairs(mash: Mash, temp_c: float = 20.0) -> Array:
    """`mash_ph` with the ion pairs and activities of `matter.equilibria` in the liquor. []

    `temp_c` of the cooled sample, 0 to 80 °C.  At most 0.01 higher, and many times slower.
    """
    fixed = _fixed(mash)
    liquor = replace(mash.liquor, carbonate=mash.carbonate_kept * mash.liquor.carbonate)
    ph = mash_ph(mash)
    slope, step = buffering(mash, ph), ph
    for _ in range(_PAIRED_TURNS):
        wanted = fixed - mash.grist.buffer * ph - mash.litres * alkalinity_at(liquor, ph, temp_c)
        step = wanted / slope
        ph = np.minimum(np.maximum(ph + step, _LOWEST), _HIGHEST)
    return _found(ph, step)


def acid_for_mash(mash: Mash, ph: Value, kind: str) -> Array:
    """Acid that brings the mash to a pH of 3.5 to 8.5, on top of what its liquor has. [mmol]

    `kind` as in `matter.acids.protons_given`.  Below zero the mash is more sour already: `alkali_for_mash`.
    Of what is found, give 70 to 80 %, read, and then the rest.
    """
    return np.asarray(protons_wanted(mash, ph) / protons_given(kind, ph, ROOM_C, _STRENGTH))


def alkali_for_mash(mash: Mash, ph: Value, salt: str, acting: Value | None = None) -> Array:
    """Baking soda or slaked lime that raises the mash to a pH; below zero it is too alkaline already. [g]

    `acting` is the share of the weighed that acts, its level where none is given.  Soda keeps part of what it
    gives as bicarbonate, and lime's calcium takes back part of its own.  Chalk dissolves too little to be
    offered.  Raises `Refused` of another salt.
    """
    if salt not in _ALKALIS:
        accepted = f"a mash is raised with {' or '.join(_ALKALIS)}"
        raise Refused([Problem("alkali", f"“{salt}”", accepted)])
    per_mole = totals_per_mole(SALTS[salt])
    bicarbonate = 1.0 / (1.0 + _K1_UP * np.exp(-LN10 * _TARGET.check(ph)))
    kept = mash.carbonate_kept * per_mole["carbonate"] * bicarbonate
    freed = 2.0 * per_mole.get("calcium", 0) / mash.calcium_divisor
    taken_up = per_mole["alkalinity"] - kept - freed  # mEq for each mmol
    share = SALTS[salt].acting[0] if acting is None else acting
    return np.asarray(-protons_wanted(mash, ph) * SALTS[salt].molar_mass / (1e3 * share * taken_up))


def hold_above_least(ph: Value, what: str = "mash") -> None:
    """Refuse a dose whose mash, or rinse liquor, would come below `LEAST_PH` in the middle of its draws.

    Raises `Refused`.
    """
    middle = float(np.median(ph))
    if not middle >= LEAST_PH:
        accepted = f"no dose is given that brings it below {LEAST_PH:g}; look at strength and volume"
        raise Refused([Problem(f"{what} pH", f"{middle:.2f}", accepted)])


def _fixed(mash: Mash) -> Value:
    """All of the balance that does not depend on pH. [mEq]"""
    calcium = mash.liquor.calcium / _DIVISOR.check(mash.calcium_divisor)
    magnesium = mash.liquor.magnesium / _DIVISOR.check(mash.magnesium_divisor)
    alkalinity = mash.liquor.alkalinity - 2.0 * (calcium + magnesium)
    return mash.grist.buffer * PIVOT_PH - mash.grist.acidity + _LITRES.check(mash.litres) * alkalinity


def _balance(ph: Array, mash: Mash, fixed: Value, kept: Array) -> tuple[Array, Array]:
    """The balance [mEq] and how fast it falls with pH [mEq/pH]."""
    h = np.exp(-LN10 * ph)
    bicarbonate = 1.0 / (1.0 + _K1_UP * h)
    charge = kept * mash.liquor.carbonate * bicarbonate
    slope = charge * (1.0 - bicarbonate)
    at = unpaired(h, _GAMMA)
    for name, acid in ACIDS.items():
        amount = getattr(mash.liquor, name)
        if np.any(amount):
            share = acid(_CONSTANTS, at, amount)
            charge, slope = charge + share.charge, slope + share.slope
    wanted = fixed - mash.grist.buffer * ph - mash.litres * charge
    return wanted, mash.grist.buffer + mash.litres * LN10 * slope


def _found(ph: Array, step: Array) -> Array:
    """The pH, if the last step to it was none.  Raises `OutsideValidity`, or `NotConverged`."""
    left = float(np.max(np.abs(step)))
    if left < 1e-6:
        return ph
    _FOUND.check(ph + np.where(np.abs(step) > 1e-6, step, 0.0))
    raise NotConverged(f"the mash pH still moves by {left:.2g} after the last turn; nothing is told.")
