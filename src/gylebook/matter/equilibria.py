"""Find the pH of a water, and what its carbonate, its acids and its ions have become at it.

In:  a `Solution` (totals and alkalinity), temperature 0 to 80 [°C]; floats or arrays of draws.
Out: a `Speciation`: pH, ionic strength, the free species [mmol/L], the alkalinity left [mEq/L].

Idea: the charge that all acids have let go rises with pH and must equal the alkalinity.  One loop does
everything at once: activities after Davies, the cations that pairing leaves free, and one step of Newton on
the pH, or on the one total that was asked for.  It runs a fixed number of turns on all draws together.

Nothing precipitates here, and the vessel is closed unless asked otherwise.  Pairs of calcium or magnesium
with lactate or citrate are left out: with lactate near the alkalinity's end point they would take up to
0.03 off the pH of a gypseous water, and more with citrate.  How much acid that takes is told in `titration`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from gylebook.figures.draws import Array, Value
from gylebook.matter.acids import ACIDS, LN10, PH, Carbonate, Share, Surroundings, carbonic, sulphuric
from gylebook.matter.bounds import Range, Slip
from gylebook.matter.dissociation import Constants, constants, davies, debye_huckel
from gylebook.matter.solution import TOTALS, Solution

TURNS = 7
"""Turns of the loop; how little is left after them is held by a test."""

_HALVINGS = 6  # before the loop, of pH 1.5 to 12.5, so that Newton starts within 0.1 of the root
_LOWEST, _HIGHEST = 1.5, 12.5
_LONGEST_STEP = 2.5  # of ln h, about one pH, in a turn


_PH_FOUND = Range("the pH that would result", "on the pH scale", 2.0, 12.0, "the model of a water")
_STRENGTH_FOUND = Range("the ionic strength", "mol/L", 0.0, 0.2, "the equation of Davies, good to 0.1,")
_TOTAL_FOUND = Range(
    "the total carbonate that alkalinity and pH call for", "mmol/L", -0.05, 100.0, "the model of a water"
)
_LOG_PCO2 = Range(
    "log_pco2",
    "",
    -6.0,
    0.5,
    "the solubility of CO2, as log10 of its pressure in atm,",
    (Slip("ppm of the air", lambda value: float(np.log10(value * 1e-6)) if value > 0.0 else np.nan),),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Speciation:
    """A water at rest at one temperature; each of the shape of the draws."""

    ph: Array
    ionic_strength: Array  # [mol/L]
    co2: Array  # dissolved CO2 [mmol/L]
    bicarbonate: Array  # free HCO3- [mmol/L]
    carbonate: Array  # free CO3 2- [mmol/L]
    total_carbonate: Array  # these three and their pairs [mmol/L]
    calcium: Array  # free Ca 2+ [mmol/L]
    magnesium: Array  # free Mg 2+ [mmol/L]
    alkalinity_left: Array  # what the weak acids added have not used [mEq/L]
    calcite_saturation: Array  # log10 of ion product over solubility; above 0 chalk may fall out [-]


def speciate(solution: Solution, temp_c: Array | float) -> Speciation:
    """The water in a closed vessel: its pH from alkalinity and total carbonate, at temp_c 0 to 80 [°C].

    Within 0.01 of PHREEQC below pH 8 and 0.02 above.  Raises `OutsideValidity`, also of what would end
    below pH 2, above 12, or with an ionic strength beyond 0.2 mol/L.
    """
    return _species(settle(solution, temp_c), temp_c)


def speciate_open(solution: Solution, temp_c: Array | float, log_pco2: Array | float = -3.4) -> Speciation:
    """The water come to rest with a gas: CO2 left or came, the alkalinity stayed.

    log_pco2 is log10 of the pressure of CO2 in atm, −6 to 0.5, of air −3.4; the solution's `carbonate` is
    not looked at; temp_c 0 to 80 [°C].  Raises `OutsideValidity` as `speciate` does.
    """
    return _species(settle(solution, temp_c, log_pco2=_LOG_PCO2.check(log_pco2)), temp_c)


def ph_of(solution: Solution, temp_c: Array | float) -> Array:
    """pH of the water in a closed vessel, as `speciate` has it. [-]  Raises `OutsideValidity`."""
    return speciate(solution, temp_c).ph


def with_carbonate(solution: Solution, ph: Array | float, temp_c: Array | float) -> Solution:
    """The solution with the total carbonate that its alkalinity and the pH measured at temp_c call for.

    ph 0 to 14, temp_c 0 to 80 [°C].  Where they call for less than none by no more than a meter's slip in a
    very soft water (0.05 mmol/L), there is none; beyond that raises `OutsideValidity`.
    """
    found = settle(solution, temp_c, ph=PH.check(ph), wanted="carbonate").wanted
    return replace(solution, carbonate=np.maximum(_TOTAL_FOUND.check(1000.0 * found), 0.0))


class Settled(NamedTuple):
    """Where the loop ended. [mol/L]"""

    at: Surroundings
    carbonate: Carbonate
    charge: Value  # all that the acids have let go: the alkalinity that goes with this pH
    added: Value  # what of it the weak acids added have let go
    strength: Value
    wanted: Value  # the total asked for


def settle(
    solution: Solution,
    temp_c: Array | float,
    *,
    ph: Array | None = None,
    wanted: str = "",
    log_pco2: Array | None = None,
    turns: int = TURNS,
) -> Settled:
    """Turn the loop: for the pH, or at a given `ph` for the `wanted` total (carbonate or one of `ACIDS`).

    With `ph` and nothing wanted, `charge` is the answer: the alkalinity that a strong acid would leave at it.
    ph unchecked.  Raises `OutsideValidity` of a temperature outside 0 to 80 °C.
    """
    k = constants(temp_c)
    thinning = LN10 * debye_huckel(temp_c)
    totals: dict[str, Value] = {name: 0.001 * np.asarray(getattr(solution, name)) for name in TOTALS}
    acids = [name for name in ACIDS if name == wanted or np.any(totals[name])]
    gas = None if log_pco2 is None else k.henry * np.exp(LN10 * log_pco2)
    if wanted:
        totals[wanted] = 0.001  # any start will do, as charge grows in proportion
    h = _start(k, totals, acids, gas) if ph is None else np.exp(-LN10 * ph)
    calcium, magnesium = totals["calcium"], totals["magnesium"]
    sodium, potassium = totals["sodium"], totals["potassium"]
    singles = 0.5 * (sodium + potassium + totals["chloride"] + totals["nitrate"])
    strength = singles + 2.0 * (calcium + magnesium + totals["sulphate"]) + 0.5 * np.abs(totals["alkalinity"])
    for _ in range(turns):
        thin1 = davies(np.asarray(strength), thinning)
        thin2 = (thin1 * thin1) ** 2
        at = Surroundings(h, 1.0 / h, thin1, thin2, calcium, magnesium, sodium, potassium)
        carbonate, shares = _shares(k, at, totals, acids, gas)
        charge, slope, ions, on_ca, on_mg, on_na, on_k = (_sum(c) for c in zip(*shares.values(), strict=True))
        if wanted:
            short = (totals["alkalinity"] - charge) / shares[wanted].charge
            totals[wanted] = totals[wanted] * (1.0 + short)
        elif ph is None:
            step = (totals["alkalinity"] - charge) / slope
            h = h * np.exp(np.minimum(np.maximum(-step, -_LONGEST_STEP), _LONGEST_STEP))
        calcium = totals["calcium"] / (thin2 + on_ca)
        magnesium = totals["magnesium"] / (thin2 + on_mg)
        sodium = totals["sodium"] / (thin1 + on_na)
        potassium = totals["potassium"] / (thin1 + on_k)
        strength = singles + 0.5 * ions + 2.0 * (thin2 * (calcium + magnesium))
    added = _sum([shares[name].charge for name in acids])
    return Settled(at, carbonate, charge, added, strength, totals.get(wanted, 0.0))


def _shares(
    k: Constants, at: Surroundings, totals: Mapping[str, Value], acids: Sequence[str], gas: Array | None
) -> tuple[Carbonate, dict[str, Share]]:
    """What everything that can take or lose a proton adds to the balances; carbonate by its species too."""
    carbonate = carbonic(k, at, totals["carbonate"]) if gas is None else carbonic(k, at, None, gas)
    shares = {
        "water": _water(k, at),
        "carbonate": carbonate.share,
        "sulphate": sulphuric(k, at, totals["sulphate"]),
    }
    for name in acids:
        shares[name] = ACIDS[name](k, at, totals[name])
    return carbonate, shares


def _water(k: Constants, at: Surroundings) -> Share:
    """Water itself, and the hydroxide that lime and magnesia keep."""
    thin_base = at.thin1 * at.per_h
    on_calcium, on_magnesium = k.calcium_hydroxide * thin_base, k.magnesium_hydroxide * thin_base
    acid = at.thin1 * at.h
    base = k.water * thin_base + on_calcium * at.calcium + on_magnesium * at.magnesium
    ions = acid + base
    return Share(base - acid, ions, ions, on_calcium, on_magnesium)


def _start(k: Constants, totals: Mapping[str, Value], acids: Sequence[str], gas: Array | None) -> Array:
    """Activity of H+ within a tenth of a pH or so, found by halving, with no pairs and no activities."""
    middle, quarter = 0.5 * (_LOWEST + _HIGHEST), 0.25 * (_HIGHEST - _LOWEST)
    h = np.asarray(10.0**-middle)
    for _ in range(_HALVINGS):
        per_h = 1.0 / h
        once = k.carbonic1 * per_h
        twice = once * (k.carbonic2 * per_h)
        co2 = totals["carbonate"] / (1.0 + once + twice) if gas is None else gas
        charge = co2 * (once + 2.0 * twice) + (k.water * per_h - h)
        if acids:
            at = Surroundings(h, per_h, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0)
            charge = charge + _sum([ACIDS[name](k, at, totals[name]).charge for name in acids])
        h = h * np.where(charge < totals["alkalinity"], 10.0**-quarter, 10.0**quarter)
        quarter *= 0.5
    return h


def _sum(terms: Sequence[Value]) -> Value:
    """The sum, without an operation on draws for what is nothing."""
    total: Value = 0.0
    for term in terms:
        if not isinstance(term, float) or term:
            total = total + term
    return total


def _species(settled: Settled, temp_c: Array | float) -> Speciation:
    """Check what came out, and tell it in the units of the world outside."""
    at, acid, k = settled.at, settled.carbonate, constants(temp_c)
    product = at.calcium * acid.carbonate / k.calcite
    with np.errstate(divide="ignore"):  # a water without calcium is infinitely far from chalk
        saturation = np.log10(product)
    return Speciation(
        ph=_PH_FOUND.check(-np.log10(at.h)),
        ionic_strength=_STRENGTH_FOUND.check(settled.strength),
        co2=np.asarray(1000.0 * acid.co2),
        bicarbonate=np.asarray(1000.0 * (at.thin1 * acid.bicarbonate)),
        carbonate=np.asarray(1000.0 * (at.thin2 * acid.carbonate)),
        total_carbonate=np.asarray(1000.0 * acid.total),
        calcium=np.asarray(1000.0 * (at.thin2 * at.calcium)),
        magnesium=np.asarray(1000.0 * (at.thin2 * at.magnesium)),
        alkalinity_left=np.asarray(1000.0 * (settled.charge - settled.added)),
        calcite_saturation=np.asarray(saturation),
    )
