"""Hold what a face may show of the liquor, as plain records of numbers.

In:  nothing; `tasks.liquor` fills them.
Out: frozen records: a report and its balance, ions, doses, the mash pH.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gylebook.figures.draws import Summary


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectView:
    """What may be wrong with a report: the slip and the ion as keys, what it would have to be. [mg/L]"""

    slip: str
    ion: str
    would_be_mg_per_l: float
    closes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportView:
    """A water as it was read, and whether its charges agree. [mg/L, alkalinity and hardness as CaCO3, mEq/L]

    `balanced_mg_per_l` is what each ion would be if all gave way by their share, where they do not agree but
    might.  `inferred` and `doubts` are keys.
    """

    key: str
    name: str
    mg_per_l: dict[str, float]
    alkalinity: float
    hardness: float
    residual_alkalinity: float
    ph: float
    cations: float
    anions: float
    off_percent: float
    verdict: str
    suspects: tuple[SuspectView, ...]
    balanced_mg_per_l: dict[str, float] | None
    inferred: tuple[str, ...]
    doubts: tuple[str, ...]
    chlorine_mg_per_l: float
    chloramine: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideView:
    """An ion that no dose brings where it was wanted. [mg/L, alkalinity as CaCO3]

    `why`: "in the water" there is more already, "dosed" with an acid, or a "lack" that no salt makes up.
    `dilution` is the share of water with nothing in it that would bring down what is in the water.
    """

    ion: str
    got: float
    wanted: float
    why: Literal["in the water", "dosed", "lack"]
    dilution: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class IonsView:
    """A liquor at one place: its ions, those wanted of it, what is beyond the usual. [mg/L, as CaCO3]

    The alkalinity of treated liquor is what its acid left.
    """

    where: str
    litres: float
    mg_per_l: dict[str, Summary]
    wanted: dict[str, float]
    outside: tuple[OutsideView, ...]
    alkalinity: Summary
    residual_alkalinity: Summary | None
    beyond: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseView:
    """What goes into the liquor: grams, or millilitres where `unit` says so; `within` is half a step."""

    of: str
    into: str
    amount: float
    unit: str
    within: float
    coarse: bool
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquorView:
    """The liquor of one gyle.  pH are of a cooled sample; None where there is no such thing."""

    waters: tuple[tuple[str, float], ...]
    liquors: tuple[IonsView, ...]
    doses: tuple[DoseView, ...]
    mash_ph: Summary | None
    first_ph: Summary | None
    untreated_ph: Summary | None
    aim_ph: float | None
    odds_landed: float | None
    moves_meq_per_ph: float | None
    rinse_ph: Summary | None
    rinse_soured: bool
    rinse_flat_ph: float | None
    lactate_mg_per_l: float
