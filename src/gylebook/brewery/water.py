"""Describe the waters a brewery draws, and what is dissolved in its liquor.

In:  a brewery's reports and a plan's wishes, read at the border.
Out: frozen records; a report as it was written, doses in grams or millilitres.

Idea: a report is kept in the units it came in, since which way of writing it was meant is part of what has
to be judged.  What a line or a dose does to the water is chemistry and stands in `process`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

DoseInto = Literal["mash", "held back", "rinse", "kettle"]
DoseKind = Literal["salt", "acid"]
AgainstChlorine = Literal["potassium metabisulphite", "sodium metabisulphite"]
MeterWay = Literal["cooled", "hot, corrected", "hot, uncorrected"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportLine:
    """One figure of a water report: what it tells, how much, in which unit; a pH has none."""

    what: str
    value: float
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """A water to brew with.

    `scatter` is what all its ions together may be off by on the day, as a share.  One made by a membrane
    names the water it is made of and has no report; `passed` is the share of each ion that gets through.
    `chlorine_mg_per_l` is the utility's total chlorine, as Cl2.
    """

    key: str
    name: str
    report: tuple[ReportLine, ...] = ()
    scatter: float = 0.1
    membrane_of: str | None = None
    passed: float = 0.04
    chlorine_mg_per_l: float = 0.0
    chloramine: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class IonAim:
    """What an ion of the liquor is to be, and between which bounds it stays. [mg/L]

    The alkalinity may stand among them, as CaCO3: it is what diluting is for.
    """

    ion: str
    mg_per_l: float
    least: float = 0.0
    most: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """A salt or an acid by its key and where it goes; grams, or millilitres of an acid that is poured.

    What is held back for the mash goes in once its pH was read.
    """

    of: str
    kind: DoseKind
    into: DoseInto
    amount: float
