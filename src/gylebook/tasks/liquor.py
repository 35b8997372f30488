"""Tell what is in the liquor and what it makes of the mash; read a water report.

In:  an `Outlook`, or a brewery.
Out: `LiquorView`; `ReportView` for each water that has a report.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np

from gylebook.brewery.site import Brewery
from gylebook.brewery.water import IonAim, Water
from gylebook.decide.souring import odds_landed
from gylebook.decide.treatment import ions_wanted
from gylebook.exchange.substances import substance_name
from gylebook.figures.draws import Summary, Value, summarise
from gylebook.gyle.dosing import as_weighed, caution_of, is_poured, middle_of, moves_by
from gylebook.gyle.liquor import Liquor, Treated, report_of, solution_of
from gylebook.gyle.liquor_figures import waters_drawn
from gylebook.matter.ions import CACO3_MASS, CHARGE, MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.process.charge_balance import Balance, charge_balance, closed
from gylebook.process.liquor import GUIDES, dilution_to, residual_alkalinity
from gylebook.process.rinse_liquor import ph_once_flat
from gylebook.process.salt_doses import TOLERANCE
from gylebook.process.water_report import Report
from gylebook.tasks.liquor_views import (
    DoseView,
    IonsView,
    LiquorView,
    OutsideView,
    ReportView,
    SuspectView,
)
from gylebook.tasks.outlook import Outlook

SHOWN = ("calcium", "magnesium", "sodium", "potassium", "chloride", "sulphate", "nitrate")
AS_CACO3 = CACO3_MASS / 2.0  # mg/L of a milliequivalent
LACTATE_G_PER_MOL = 89.07
ROUNDS_MG = 3.0  # mg/L: what the step of a scale moves an ion by
TOLERANCE_MG = {
    ion: t * (AS_CACO3 if ion == "alkalinity" else MOLAR_MASS[ion]) for ion, t in TOLERANCE.items()
}
LEAST_TOLD_MG = 0.5  # what rounds to nothing is not told
EVEN_SCATTER = 0.05  # of each entry of a report that does not quite balance, as its share; judgement


def liquor_view(outlook: Outlook) -> LiquorView | None:
    """The liquor of this gyle; None where its water is not known."""
    plan, brewery, found = outlook.plan, outlook.brewery, outlook.liquor
    if found is None:
        return None
    return LiquorView(
        waters=tuple((water.name, share) for water, share in waters_drawn(plan, brewery)),
        liquors=tuple(_liquors(outlook, found)),
        doses=tuple(_doses(outlook)),
        mash_ph=_summed(found.mash_ph),
        first_ph=_summed(found.first_ph),
        untreated_ph=_summed(found.untreated_ph),
        aim_ph=plan.aims.mash_ph,
        odds_landed=None if found.mash_ph is None else odds_landed(plan, found.mash_ph),
        moves_meq_per_ph=float(np.median(moves_by(plan, brewery, outlook.figures))) if plan.grist else None,
        rinse_ph=None if found.rinse is None else summarise(found.rinse.ph),
        rinse_soured=any(d.kind == "acid" and d.into == "rinse" for d in plan.liquor.doses),
        rinse_flat_ph=None if found.rinse is None else _once_flat(found.rinse),
        lactate_mg_per_l=float(np.median(found.mash.solution.lactate)) * LACTATE_G_PER_MOL,
    )


def _summed(draws: Value | None) -> Summary | None:
    return None if draws is None else summarise(draws)


def _once_flat(rinse: Treated) -> float:
    """pH that rinse liquor climbs to when it stands open."""
    return float(np.median(ph_once_flat(middle_of(rinse.solution))))


def _liquors(outlook: Outlook, found: Liquor) -> Iterator[IonsView]:
    liquor = outlook.plan.liquor
    drawn = found.drawn
    yield _ions(outlook, "as drawn", drawn, 0.0, drawn.alkalinity, residual_alkalinity(drawn))
    yield _ions(outlook, "mash", found.mash.solution, liquor.mash_l or 0.0, found.mash.left, None)
    if found.rinse is not None:
        yield _ions(outlook, "rinse", found.rinse.solution, liquor.rinse_l or 0.0, found.rinse.left, None)


def _ions(
    outlook: Outlook,
    where: Literal["as drawn", "mash", "rinse"],
    liquor: Solution,
    litres: float,
    alkalinity: Value,
    residual: Value | None,
) -> IonsView:
    rows = len(outlook.latents)

    def told(amount: Value, mg: float) -> Summary:
        return summarise(np.broadcast_to(np.asarray(amount) * mg, (rows,)))

    amounts = {
        ion: told(getattr(liquor, ion), MOLAR_MASS[ion])
        for ion in SHOWN
        if np.median(getattr(liquor, ion)) * MOLAR_MASS[ion] >= LEAST_TOLD_MG
    }
    wanted = () if where == "as drawn" else ions_wanted(outlook.plan, where)
    got = {ion: amount.median for ion, amount in amounts.items()}
    drawn = _drawn(outlook)
    got["alkalinity"] = drawn["alkalinity"]
    return IonsView(
        where=where,
        litres=litres,
        mg_per_l=amounts,
        wanted={aim.ion: aim.mg_per_l for aim in wanted},
        outside=tuple(
            view for aim in wanted if (view := _outside(aim, got.get(aim.ion, 0.0), drawn[aim.ion]))
        ),
        alkalinity=told(alkalinity, AS_CACO3),
        residual_alkalinity=None if residual is None else told(residual, AS_CACO3),
        beyond=tuple(ion for ion in amounts if ion in GUIDES and got[ion] > GUIDES[ion].beyond),
    )


def _drawn(outlook: Outlook) -> dict[str, float]:
    """What the liquor holds as it is drawn, its alkalinity too. [mg/L, as CaCO3]"""
    drawn = outlook.liquor.drawn if outlook.liquor is not None else Solution()
    held = {ion: float(np.median(getattr(drawn, ion))) * MOLAR_MASS[ion] for ion in SHOWN}
    return {**held, "alkalinity": float(np.median(drawn.alkalinity)) * AS_CACO3}


def _outside(aim: IonAim, got: float, drawn: float) -> OutsideView | None:
    """An ion that lies beyond its bounds, or far from its aim where it has none; None where it does not."""
    tolerance = TOLERANCE_MG[aim.ion]
    least = max(aim.least, aim.mg_per_l - 2.0 * tolerance) if aim.least == 0.0 else aim.least
    most = aim.mg_per_l + 2.0 * tolerance if aim.most is None else aim.most
    if least - ROUNDS_MG <= got <= most + ROUNDS_MG:
        return None
    why: Literal["in the water", "dosed", "lack"] = "in the water"
    if got < least:
        why = "lack"
    elif drawn <= most:
        why = "dosed"
    dilution = float(dilution_to(aim.mg_per_l, got, 0.0)) if why == "in the water" else None
    return OutsideView(ion=aim.ion, got=got, wanted=aim.mg_per_l, why=why, dilution=dilution)


def _doses(outlook: Outlook) -> Iterator[DoseView]:
    for dose in outlook.plan.liquor.doses:
        shown = as_weighed(dose, outlook.brewery)
        yield DoseView(
            of=substance_name(dose.of),
            into=dose.into,
            amount=dose.amount,
            unit="mL" if is_poured(dose) else "g",
            within=shown.within,
            coarse=bool(shown.caution),
            caution=caution_of(dose),
        )


def report_views(brewery: Brewery) -> tuple[ReportView, ...]:
    """Every water of a brewery that has a report, as it was read.  Raises `Refused` where one cannot be."""
    return tuple(_report(water) for water in brewery.waters.values() if water.report)


def _report(water: Water) -> ReportView:
    report, solution = report_of(water), solution_of(water)
    balance = charge_balance(report)
    return ReportView(
        key=water.key,
        name=water.name,
        mg_per_l={ion: float(np.mean(mmol)) * MOLAR_MASS[ion] for ion, mmol in report.mmol_per_l.items()},
        alkalinity=float(np.mean(report.alkalinity)) * AS_CACO3,
        hardness=2.0 * float(np.mean(solution.calcium + solution.magnesium)) * AS_CACO3,
        residual_alkalinity=float(residual_alkalinity(solution)) * AS_CACO3,
        ph=float(np.mean(report.ph)),
        cations=balance.cations,
        anions=balance.anions,
        off_percent=balance.off_percent,
        verdict=balance.verdict,
        suspects=tuple(
            SuspectView(slip=s.slip, ion=s.ion, would_be_mg_per_l=s.would_be, closes=s.closes)
            for s in balance.suspects
        ),
        balanced_mg_per_l=_closed(report) if _might_be_averages(balance) else None,
        inferred=report.inferred,
        doubts=report.doubts,
        chlorine_mg_per_l=water.chlorine_mg_per_l,
        chloramine=water.chloramine,
    )


def _might_be_averages(balance: Balance) -> bool:
    return any(suspect.slip == "averages" for suspect in balance.suspects)


def _closed(report: Report) -> dict[str, float]:
    """Each ion and the alkalinity once all have given way to balance. [mg/L, alkalinity as CaCO3]"""
    ions = list(report.mmol_per_l)
    amounts = [float(np.mean(report.mmol_per_l[ion])) * abs(CHARGE[ion]) for ion in ions]
    amounts.append(float(np.mean(report.alkalinity)))
    signs = [1 if CHARGE[ion] > 0 else -1 for ion in ions] + [-1]
    found = closed(np.array(amounts), [EVEN_SCATTER * amount for amount in amounts], signs)
    out = {
        ion: float(charges) / abs(CHARGE[ion]) * MOLAR_MASS[ion]
        for ion, charges in zip(ions, found, strict=False)
    }
    return {**out, "alkalinity": float(found[-1]) * AS_CACO3}
