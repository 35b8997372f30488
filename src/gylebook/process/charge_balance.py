"""Hold a water report to its charges, and name what would put it right.

In:  a `Report`, one number each; or draws of its ions with their scatters.
Out: a `Balance`: both sides, how far apart they may be, suspects as data, likeliest first; draws that
balance.

Idea: a water is neutral, so what one side lacks is known in charges before it is known in kind.  Each
suspect is worth a test: written as another unit, would it close the gap?  A report is never put right in
silence: a face shows the suspects, and `closed` widens nothing but what the scatters allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

from gylebook.figures.draws import Array
from gylebook.matter.ions import CACO3_MASS, CHARGE, MOLAR_MASS, charges, imbalance
from gylebook.process.water_report import Report

Verdict = Literal["balanced", "anions missing", "cations missing"]
Slip = Literal["missing", "as element", "as bicarbonate", "as calcium carbonate", "twice", "averages"]

AVERAGES = 10.0
"""What figures of different days may miss by, carried as uncertainty. [%]"""
_SULPHUR, _NITROGEN = 32.06, 14.007  # g/mol
_CACO3_OF_BICARBONATE = CACO3_MASS / 2.0 / MOLAR_MASS["bicarbonate"]  # 0.82, in the same charges


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
    slips, lacking = _anions_missing(report, gap) if gap > 0.0 else _cations_missing(report, gap)
    slips.sort(key=lambda slip: abs(slip[-1]))
    told = [Suspect(*slip, abs(slip[-1]) <= allowed) for slip in slips]
    suspects = [suspect for suspect in told if suspect.closes]
    suspects += [Suspect("missing", ion, would_be, 0.0, True) for ion, would_be in lacking]
    if abs(off) <= AVERAGES:
        suspects.append(Suspect("averages", "", 0.0, gap, True))
    suspects += [suspect for suspect in told if not suspect.closes]
    verdict: Verdict = "anions missing" if gap > 0.0 else "cations missing"
    return Balance(cations, anions, off, allowed, verdict, tuple(suspects))


_Slips = list[tuple[Slip, str, float, float]]
_Lacking = list[tuple[str, float]]


def _anions_missing(report: Report, gap: float) -> tuple[_Slips, _Lacking]:
    slips: _Slips = [_misread("as calcium carbonate", report, 1.0 / _CACO3_OF_BICARBONATE, gap)]
    for ion, element in (("sulphate", _SULPHUR), ("nitrate", _NITROGEN)):
        amount = _mmol(report, ion)
        if amount > 0.0:
            more = MOLAR_MASS[ion] / element
            gained = (more - 1.0) * amount * abs(CHARGE[ion])
            slips.append(("as element", ion, more * amount * MOLAR_MASS[ion], gap - gained))
    lacking = [("alkalinity", (_alkalinity(report) + gap) * CACO3_MASS / 2.0)]
    return slips, lacking + [_lacking(report, ion, gap) for ion in ("nitrate", "sulphate", "chloride")]


def _cations_missing(report: Report, gap: float) -> tuple[_Slips, _Lacking]:
    slips = [
        _misread("as bicarbonate", report, _CACO3_OF_BICARBONATE, gap),
        _misread("twice", report, 0.5, gap),
    ]
    return slips, [_lacking(report, ion, -gap) for ion in ("sodium", "potassium", "ammonium")]


def _misread(slip: Slip, report: Report, part: float, gap: float) -> tuple[Slip, str, float, float]:
    """Alkalinity that would be a fixed part of what was read."""
    alkalinity = _alkalinity(report)
    return slip, "alkalinity", part * alkalinity * CACO3_MASS / 2.0, gap - (part - 1.0) * alkalinity


def _lacking(report: Report, ion: str, charge: float) -> tuple[str, float]:
    """An ion left out, or told too low, and its mass were it to carry all that is lacking. [mg/L]"""
    return ion, (_mmol(report, ion) + charge / abs(CHARGE[ion])) * MOLAR_MASS[ion]


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
