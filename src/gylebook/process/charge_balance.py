"""Hold a water report to its charges, and name what would put it right.

In:  a `Report`, one number each; or draws of its ions with their scatters.
Out: a `Balance`: both sides, how far apart they may be, suspects as data, likeliest first; draws that
balance.

Idea: a water is neutral, so what one side lacks is known in charges before it is known in kind.  Each
suspect is worth a test: written as another unit, would it close the gap?  Only what could have been written
so is suspected, and an ion that is not told at all comes before a slip in one that is.  A report is never put
right in silence: a face shows the suspects, and `closed` widens nothing but what the scatters allow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.ions import CACO3_MASS, CHARGE, MOLAR_MASS, charges, imbalance
from gylebook.process.liquor import GUIDES
from gylebook.process.water_report import AGREE, UNITS, Report

Verdict = Literal["balanced", "anions missing", "cations missing"]
Slip = Literal["missing", "as element", "as bicarbonate", "as calcium carbonate", "twice", "averages"]

AVERAGES = 10.0
"""What figures of different days may miss by, carried as uncertainty. [%]"""
_SULPHUR, _NITROGEN = 32.06, 14.007  # g/mol
_CACO3_OF_BICARBONATE = CACO3_MASS / 2.0 / MOLAR_MASS["bicarbonate"]  # 0.82, in the same charges
_TOLD_AS_CACO3 = {("alkalinity", "mg/L CaCO3"), ("bicarbonate", "mg/L CaCO3")}
_TOLD_AS_BICARBONATE = {("alkalinity", "mg/L HCO3"), ("bicarbonate", "mg/L")}
_LACKING = {
    "cations": ("calcium", "sodium", "magnesium", "potassium", "ammonium"),
    "anions": ("nitrate", "sulphate", "chloride"),
}
# What a line left out may hold at most, by taste and law; potassium and ammonium from memory.
_MOST_LEFT_OUT = {ion: guide.beyond for ion, guide in GUIDES.items()} | {"potassium": 20.0, "ammonium": 0.5}


class Suspect(NamedTuple):
    """One entry that may be wrong, how, and what it would have to be.

    A slip of unit has a fixed size, so something is left of the gap; what is missing closes it by definition.
    """

    slip: Slip
    ion: str  # or "alkalinity"; empty for "averages"
    would_be: float  # mg/L; alkalinity as CaCO3
    left: float  # of the gap [mEq/L]
    closes: bool  # whether that is within what is allowed


class Balance(NamedTuple):
    """Both sides of a report's charges."""

    cations: float  # mEq/L
    anions: float
    off_percent: float  # of their sum; above zero where anions are missing
    allowed: float  # mEq/L apart
    verdict: Verdict
    suspects: tuple[Suspect, ...]

    @property
    def gap(self) -> float:
        """Cations less anions. [mEq/L]"""
        return self.cations - self.anions


def charge_balance(report: Report) -> Balance:
    """Whether the charges of a report agree, and if not, who is likely to be wrong.

    Allowed are 0.2 mEq/L while anions are below 3, then 2 % of the sum to 10 and 5 % above (Standard Methods
    1030 E, from memory).  H+ counts below pH 5 and hydroxide, where alkalinity has it not, above 9.
    """
    cations, anions = (float(np.mean(side)) for side in charges(report.mmol_per_l, report.alkalinity))
    if float(np.mean(report.ph)) < 5.0:
        cations += 10.0 ** (3.0 - float(np.mean(report.ph)))
    total = cations + anions
    off = float(imbalance(cations, anions)) if total else 0.0
    allowed = 0.2 if anions < 3.0 else (0.02 if anions <= 10.0 else 0.05) * total
    gap = cations - anions
    if abs(gap) <= allowed:
        return Balance(cations, anions, off, allowed, "balanced", ())
    slips = sorted(_slips(report, gap), key=lambda slip: abs(slip[-1]))
    told = [Suspect(*slip, abs(slip[-1]) <= allowed) for slip in slips]
    left_out, too_low = _lacking(report, gap)
    suspects = [*left_out, *(suspect for suspect in told if suspect.closes), *too_low]
    if abs(off) <= AVERAGES:
        suspects.append(Suspect("averages", "", 0.0, gap, True))
    suspects += [suspect for suspect in told if not suspect.closes]
    verdict: Verdict = "anions missing" if gap > 0.0 else "cations missing"
    return Balance(cations, anions, off, allowed, verdict, tuple(suspects))


def _slips(report: Report, gap: float) -> Iterator[tuple[Slip, str, float, float]]:
    """Figures that may be told as something else: how, which, what it would be [mg/L], what is left."""
    written = {(entry.what, entry.unit) for entry in report.told}
    for ion, element in (("sulphate", _SULPHUR), ("nitrate", _NITROGEN)):
        amount = _mmol(report, ion)
        if gap > 0.0 and amount > 0.0 and (ion, "mg/L") in written:
            more = MOLAR_MASS[ion] / element
            gained = (more - 1.0) * amount * abs(CHARGE[ion])
            yield "as element", ion, more * amount * MOLAR_MASS[ion], gap - gained
    for slip, gained in _alkalinity_slips(report):
        if gained * gap > 0.0:
            yield slip, "alkalinity", (_alkalinity(report) + gained) * CACO3_MASS / 2.0, gap - gained


def _alkalinity_slips(report: Report) -> Iterator[tuple[Slip, float]]:
    """How the alkalinity may be told as something else, and the alkalinity gained were it so. [mEq/L]

    A mass may be of another salt; moles and degrees may not.  Two figures that agree bear each other out.
    """
    if {"alkalinity", "bicarbonate"} <= {entry.what for entry in report.told}:
        return
    entries = report.alkalinity_told()
    read = [float(np.mean(entry.value)) * UNITS[entry.what][entry.unit] for entry in entries]
    for entry, meq in zip(entries, read, strict=True):
        if (entry.what, entry.unit) in _TOLD_AS_CACO3:
            yield "as bicarbonate", (_CACO3_OF_BICARBONATE - 1.0) * meq
        if (entry.what, entry.unit) in _TOLD_AS_BICARBONATE:
            yield "as calcium carbonate", (1.0 / _CACO3_OF_BICARBONATE - 1.0) * meq
    if len(read) == 2 and min(read) >= (1.0 - AGREE) * max(read):  # each the whole of it
        yield "twice", -0.5 * sum(read)


def _lacking(report: Report, gap: float) -> tuple[list[Suspect], list[Suspect]]:
    """Ions that close the gap: those not told at all, were they no more than a water has; then the others."""
    left_out, too_low = [], []
    for ion in _LACKING["anions" if gap > 0.0 else "cations"]:
        if ion in report.mmol_per_l and ion in ("calcium", "magnesium"):  # told twice, with the hardness
            continue
        would_be = (_mmol(report, ion) + abs(gap / CHARGE[ion])) * MOLAR_MASS[ion]
        suspect = Suspect("missing", ion, would_be, 0.0, True)
        if ion in report.mmol_per_l or would_be > _MOST_LEFT_OUT[ion]:
            too_low.append(suspect)
        else:
            left_out.append(suspect)
    if gap > 0.0:
        alkalinity = (_alkalinity(report) + gap) * CACO3_MASS / 2.0
        too_low.insert(0, Suspect("missing", "alkalinity", alkalinity, 0.0, True))
    return left_out, too_low


def _alkalinity(report: Report) -> float:
    return float(np.mean(report.alkalinity))


def _mmol(report: Report, ion: str) -> float:
    return float(np.mean(report.mmol_per_l.get(ion, 0.0)))


def closed(charges_meq: Array, scatters_meq: Sequence[float], signs: Sequence[int]) -> Array:
    r"""Draws of a report's entries, conditioned on neutral water. [mEq/L]

    .. math:: x' = x - S z (z^T S z)^{-1}\, z^T x

    Parameters
    ----------
    charges_meq
        Draws :math:`x`, last axis one column an entry, alkalinity among them. [mEq/L]
    scatters_meq, signs
        Standard deviations, whose squares are :math:`S` [mEq/L]; :math:`z`, +1 for a cation, -1 for an anion.

    Notes
    -----
    Least squares: what is known worst gives way most.  An entry with no scatter stays as it is.
    """
    z = np.asarray(signs, dtype=np.float64)
    spread = np.asarray(scatters_meq, dtype=np.float64) ** 2 * z
    return np.asarray(charges_meq - (charges_meq @ z)[..., None] * (spread / (z @ spread)))
