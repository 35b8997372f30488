"""Tell what is in the liquor and what it makes of the mash; read a water report.

In:  an `Outlook`, or a brewery.
Out: `LiquorView`; `ReportView` for each water that has a report.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np

from gylebook.brewery.site import Brewery
from gylebook.brewery.water import Water
from gylebook.decide.souring import odds_landed
from gylebook.decide.treatment import ions_wanted
from gylebook.exchange.substances import substance_name
from gylebook.figures.draws import Summary, Value, summarise
from gylebook.gyle.dosing import as_weighed, caution_of, is_poured, moves_by
from gylebook.gyle.liquor import Liquor, report_of, solution_of
from gylebook.gyle.liquor_figures import waters_drawn
from gylebook.matter.ions import CACO3_MASS, CHARGE, MOLAR_MASS
from gylebook.matter.solution import Solution
from gylebook.process.charge_balance import Balance, charge_balance, closed
from gylebook.process.liquor import GUIDES, residual_alkalinity
from gylebook.process.water_report import Report
from gylebook.tasks.liquor_views import DoseView, IonsView, LiquorView, ReportView, SuspectView
from gylebook.tasks.outlook import Outlook

SHOWN = ("calcium", "magnesium", "sodium", "potassium", "chloride", "sulphate", "nitrate")
AS_CACO3 = CACO3_MASS / 2.0  # mg/L of a milliequivalent
LACTATE_G_PER_MOL = 89.07
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
        rinse_ph=_summed(found.rinse_ph),
        rinse_alkalinity=None if found.rinse_left is None else summarise(found.rinse_left * AS_CACO3),
        lactate_mg_per_l=float(np.median(found.mash.lactate)) * LACTATE_G_PER_MOL,
    )


def _summed(draws: Value | None) -> Summary | None:
    return None if draws is None else summarise(draws)


def _liquors(outlook: Outlook, found: Liquor) -> Iterator[IonsView]:
    plan = outlook.plan
    yield _ions(outlook, "as drawn", found.drawn, 0.0)
    yield _ions(outlook, "mash", found.mash, plan.liquor.mash_l or 0.0)
    if found.rinse is not None:
        yield _ions(outlook, "rinse", found.rinse, plan.liquor.rinse_l or 0.0)


def _ions(
    outlook: Outlook, where: Literal["as drawn", "mash", "rinse"], liquor: Solution, litres: float
) -> IonsView:
    rows = len(outlook.latents)
    amounts = {
        ion: summarise(np.broadcast_to(np.asarray(getattr(liquor, ion)) * MOLAR_MASS[ion], (rows,)))
        for ion in SHOWN
        if np.median(getattr(liquor, ion)) * MOLAR_MASS[ion] >= LEAST_TOLD_MG
    }
    wanted = () if where == "as drawn" else ions_wanted(outlook.plan, where)
    return IonsView(
        where=where,
        litres=litres,
        mg_per_l=amounts,
        wanted={aim.ion: aim.mg_per_l for aim in wanted},
        alkalinity=summarise(np.broadcast_to(np.asarray(liquor.alkalinity) * AS_CACO3, (rows,))),
        residual_alkalinity=summarise(np.broadcast_to(residual_alkalinity(liquor) * AS_CACO3, (rows,))),
        beyond=tuple(
            ion for ion, amount in amounts.items() if ion in GUIDES and amount.median > GUIDES[ion].beyond
        ),
    )


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
