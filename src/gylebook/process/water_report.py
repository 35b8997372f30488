"""Read a water report however it was written, and say whether its charges balance.

In:  entries of a report, each with its unit: alkalinity or bicarbonate, hardness, ions, pH.
Out: a `Report`: ions [mmol/L], alkalinity [mEq/L], pH, what was inferred; or every fault of it at once.

Idea: every way of writing a figure is a factor to charges or to moles, so reading is a table.  What could
mean two things (alkalinity in plain mg/L) is refused, not guessed; what a report leaves out is inferred only
where it follows from the rest, and is named.  Whether charges balance, and who spoils it, is found in
`charge_balance`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from gylebook.errors import Problem, Refused
from gylebook.figures.concentration import ALKALINITY_MEQ
from gylebook.figures.draws import Array, Value
from gylebook.matter.equilibria import with_carbonate
from gylebook.matter.ions import CACO3_MASS, CHARGE, MOLAR_MASS
from gylebook.matter.solution import TOTALS, Solution

MEASURED_AT_C = 20.0
"""Temperature at which a report's pH is taken to be read, where it does not say. [°C]"""
USUAL_PH = 7.5
"""pH of a water whose report has none: it tells how alkalinity divides, and hardly moves a mash."""
MOST_MEQ_PER_L = 100.0
"""More charge of one kind than any drinking or mineral water has; the sea has 600. [mEq/L]"""
AGREE = 0.10
"""How far two figures of one thing may lie apart: samples of different days.  Common practice."""

CALCIUM_OF_HARDNESS = 0.8
"""Share of the hardness that is taken for calcium where nothing tells: 4 charges to 1.  Common practice."""

_HALF = CACO3_MASS / 2.0
# Charges in one of each unit, whatever ion or alkalinity it tells. [mEq/L]
_AS_CHARGES = {unit: ALKALINITY_MEQ[unit] for unit in ("mEq/L", "mg/L CaCO3", "°dH", "°f", "°e", "gpg")}
_HARDNESS_UNITS = {**_AS_CHARGES, "mmol/L": 2.0, "mg/L Ca": ALKALINITY_MEQ["mg/L Ca"]}
_ELEMENT = {"sulphate": ("mg/L S", 32.06), "nitrate": ("mg/L N", 14.007), "ammonium": ("mg/L N", 14.007)}


def _ion_units(ion: str) -> dict[str, float]:
    """Charges in one of each unit that this ion is told in. [mEq/L]"""
    charge = abs(CHARGE[ion])
    units = {"mg/L": charge / MOLAR_MASS[ion], "mmol/L": float(charge), "mEq/L": 1.0}
    if ion in ("calcium", "magnesium", "bicarbonate", "carbonate"):
        units |= _AS_CHARGES
    if ion in _ELEMENT:
        unit, mass = _ELEMENT[ion]
        units[unit] = charge / mass
    return units


UNITS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        **{ion: MappingProxyType(_ion_units(ion)) for ion in CHARGE},
        "alkalinity": MappingProxyType(ALKALINITY_MEQ),
        "hardness": MappingProxyType(_HARDNESS_UNITS),
        "calcium hardness": MappingProxyType(_HARDNESS_UNITS),
        "magnesium hardness": MappingProxyType(_HARDNESS_UNITS),
        "carbonate hardness": MappingProxyType(_HARDNESS_UNITS),
    }
)
"""What a report may tell, beside its pH, in which units, and the charges in one of each. [mEq/L]"""


_ALKALINITY_BY = (("alkalinity",), ("bicarbonate", "carbonate"), ("carbonate hardness",))  # best first


class Entry(NamedTuple):
    """One line of a report: a key of `UNITS`, or "ph" without a unit."""

    what: str
    value: Value
    unit: str = ""


class Report(NamedTuple):
    """A water as it was reported, draws where its entries were."""

    mmol_per_l: Mapping[str, Value]  # ions that were told or follow, none of them carbonate
    alkalinity: Value  # mEq/L
    ph: Value
    told: tuple[Entry, ...]  # as it was written
    inferred: tuple[str, ...]  # what was not measured: ions by difference, a pH taken as usual
    doubts: tuple[str, ...]
    """Keys: "capped" (carbonate hardness as alkalinity), "carbonate" (pH above 8.3), "no calcium" (nor any
    hardness to find it by)."""

    def alkalinity_told(self) -> tuple[Entry, ...]:
        """The entries that the alkalinity was read from."""
        told = {entry.what: entry for entry in self.told}
        parts = next(parts for parts in _ALKALINITY_BY if any(name in told for name in parts))
        return tuple(told[name] for name in parts if name in told)

    def solution(self, temp_c: Value = MEASURED_AT_C) -> Solution:
        """The water as the chemistry takes it: total carbonate from alkalinity and pH.

        Ammonium and fluoride, which no treatment here touches, are left out.  Raises `OutsideValidity`.
        """
        totals = {ion: amount for ion, amount in self.mmol_per_l.items() if ion in TOTALS}
        return with_carbonate(Solution(**totals, alkalinity=self.alkalinity), self.ph, temp_c)


def read_report(entries: Sequence[Entry]) -> Report:
    """The water that these entries tell.

    Alkalinity comes from "alkalinity", else from bicarbonate and carbonate, else from carbonate hardness;
    calcium and magnesium from themselves, else from their hardness, else by difference from the total; both
    from the total alone at `CALCIUM_OF_HARDNESS`.

    Raises
    ------
    Refused
        With every fault: an unknown entry or unit, twice the same, below nothing, beyond any water, a pH
        outside 0 to 14, no alkalinity, parts that exceed their whole, two figures of one thing that differ.
    """
    problems = [problem for entry in entries for problem in _faults(entry)]
    names = [entry.what for entry in entries]
    problems += [
        Problem(name, "given twice", "one figure each")
        for name in sorted(set(names))
        if names.count(name) > 1
    ]
    if problems:
        raise Refused(problems)
    ph = next((entry.value for entry in entries if entry.what == "ph"), None)
    told = {
        entry.what: np.asarray(entry.value, dtype=np.float64) * UNITS[entry.what][entry.unit]
        for entry in entries
        if entry.what != "ph"
    }
    inferred: list[str] = [] if ph is not None else ["ph"]
    alkalinity, doubts = _alkalinity(told, problems)
    _fill_hardness(told, inferred, problems)
    if "calcium" not in told:
        doubts.append("no calcium")
    if ph is not None:
        if np.mean(ph) > 8.3 and not np.any(told.get("carbonate", 0.0)) and "alkalinity" not in told:
            doubts.append("carbonate")
        if np.mean(ph) < 4.2 and np.mean(alkalinity) > 0.1:
            accepted = "no alkalinity is left below pH 4.2; one of the two is something else"
            problems.append(Problem("ph", f"{np.mean(ph):.2f} with {_mg(alkalinity)}", accepted))
    if problems:
        raise Refused(problems)
    ions: dict[str, Value] = {
        ion: told[ion] / abs(charge)
        for ion, charge in CHARGE.items()
        if ion in told and ion not in ("bicarbonate", "carbonate")
    }
    return Report(
        ions, alkalinity, USUAL_PH if ph is None else ph, tuple(entries), tuple(inferred), tuple(doubts)
    )


def _faults(entry: Entry) -> list[Problem]:
    """What is wrong with an entry by itself."""
    value = np.asarray(entry.value, dtype=np.float64)
    least, most = float(np.min(value)), float(np.max(value))
    if entry.what == "ph":
        if entry.unit:
            return [Problem("ph", f"{most:g} {entry.unit}", "a pH has no unit")]
        if not (least >= 0.0 and most <= 14.0):
            worst = least if least < 0.0 else most
            return [Problem("ph", f"{worst:g}", "a pH lies between 0 and 14")]
        return []
    if entry.what not in UNITS:
        return [Problem("report", f"“{entry.what}”", f"a report may tell ph, {', '.join(UNITS)}")]
    units = UNITS[entry.what]
    if entry.unit not in units:
        understood = f"{most:g} {entry.unit or 'without a unit'}"
        return [Problem(entry.what, understood, f"written in {', '.join(units)}")]
    charges = most * units[entry.unit]
    if not least >= 0.0:
        return [Problem(entry.what, f"{least:g} {entry.unit}", "no water holds less than nothing")]
    if not charges <= MOST_MEQ_PER_L:
        accepted = f"no water to brew with holds more than {MOST_MEQ_PER_L:g} mEq/L of one kind"
        return [Problem(entry.what, f"{most:g} {entry.unit}, which is {charges:.4g} mEq/L", accepted)]
    return []


def _alkalinity(told: Mapping[str, Array], problems: list[Problem]) -> tuple[Value, list[str]]:
    """Alkalinity by the best that was told [mEq/L], and doubts about it."""
    parts = [told[name] for name in ("bicarbonate", "carbonate") if name in told]
    if "alkalinity" in told:
        if parts and not _agree(told["alkalinity"], sum(parts)):
            understood = f"{_mg(told['alkalinity'])} beside bicarbonate and carbonate of {_mg(sum(parts))}"
            problems.append(Problem("alkalinity", understood, "both tell one thing; look at their units"))
        return told["alkalinity"], []
    if parts:
        return np.asarray(sum(parts)), []
    if "carbonate hardness" in told:
        capped = "hardness" not in told or _agree(told["hardness"], told["carbonate hardness"], 0.02)
        return told["carbonate hardness"], ["capped"] if capped else []
    accepted = (
        "none is told; give alkalinity, bicarbonate or carbonate hardness: hardness alone is no alkalinity"
    )
    problems.append(Problem("alkalinity", "", accepted))
    return 0.0, []


def _fill_hardness(told: dict[str, Array], inferred: list[str], problems: list[Problem]) -> None:
    """Calcium and magnesium where only hardness tells them, and whether all that is told goes together."""
    for ion in ("calcium", "magnesium"):
        part = told.get(f"{ion} hardness")
        if part is not None and ion not in told:
            told[ion] = part
        elif part is not None and not _agree(part, told[ion]):
            understood = f"{_mg(part)} beside {ion} of {_mg(told[ion])}"
            problems.append(
                Problem(f"{ion} hardness", understood, "both tell one thing; look at their units")
            )
    if "hardness" not in told:
        return
    whole = told["hardness"]
    known = [ion for ion in ("calcium", "magnesium") if ion in told]
    parts = np.asarray(sum((told[ion] for ion in known), start=np.zeros(())))
    if np.mean(parts) > (1.0 + AGREE) * np.mean(whole):
        understood = f"{_mg(whole)} beside {' and '.join(known)} of {_mg(parts)}"
        problems.append(Problem("hardness", understood, "it is calcium and magnesium together, no less"))
    elif not known:
        told["calcium"] = CALCIUM_OF_HARDNESS * whole
        told["magnesium"] = whole - told["calcium"]
        inferred += ["calcium", "magnesium"]
    elif len(known) == 1:
        other = "magnesium" if known == ["calcium"] else "calcium"
        told[other] = np.maximum(whole - parts, 0.0)
        inferred.append(other)
    elif len(known) == 2 and not _agree(whole, parts):
        understood = f"{_mg(whole)} beside calcium and magnesium of {_mg(parts)}"
        problems.append(Problem("hardness", understood, "it is calcium and magnesium together, no more"))


def _agree(one: Value, other: Value, within: float = AGREE) -> bool:
    first, second = float(np.mean(one)), float(np.mean(other))
    return abs(first - second) <= within * max(first, second) + 0.02  # a figure's last digit, 1 mg/L as CaCO3


def _mg(meq_per_l: Value) -> str:
    return f"{float(np.mean(meq_per_l)) * _HALF:.4g} mg/L as CaCO3"
