"""Compare ways of making the same wort on the same gear: no rinse, the bag dunked, or poured over.

In:  an `Outlook`.
Out: `WayView`s, what each way needs and gains over not rinsing.

Idea: each way is solved for the same aims on the same draws, so the gain is known better than either yield.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Liquor, Plan, ProcessKind
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.figures.draws import summarise
from gylebook.tasks.outlook import Outlook, look_ahead
from gylebook.tasks.run_view import limit_views
from gylebook.tasks.views import WayView

WAYS: tuple[ProcessKind, ...] = ("full volume", "dunk rinse", "poured rinse")


def compare_ways(outlook: Outlook) -> tuple[WayView, ...]:
    """Every way that this brewery has, for the beer of the plan; not rinsing is the first."""
    if not outlook.plan.grist:
        raise Refused((Problem("process.kind", "“extract only”", "there is no grain to rinse"),))
    found = {kind: _along(outlook, kind) for kind in WAYS if _able(outlook, kind)}
    plain = found.get("full volume")
    out = []
    for kind, way in found.items():
        if way is None:
            continue
        limits = limit_views(way)
        saved = gained = None
        if plain is not None and kind != "full volume":
            better = np.asarray(way.draws["efficiency.kettle"]) / np.asarray(plain.draws["efficiency.kettle"])
            grain_kg = sum(grain.mass_kg or 0.0 for grain in plain.plan.grist)
            saved = summarise(grain_kg * (1.0 - 1.0 / better))
            gained = summarise((np.asarray(plain.draws["og"]) - 1.0) * (better - 1.0))
        out.append(
            WayView(
                kind=kind,
                grain_kg=sum(grain.mass_kg or 0.0 for grain in way.plan.grist),
                mash_l=way.plan.liquor.mash_l or 0.0,
                rinse_l=way.plan.liquor.rinse_l or 0.0,
                lauter=way.numbers["efficiency.lauter"],
                saved_kg=saved,
                gained_sg=gained,
                tightest=min(limits, key=lambda limit: limit.odds_kept),
            )
        )
    return tuple(out)


def _able(outlook: Outlook, kind: ProcessKind) -> bool:
    return kind != "dunk rinse" or outlook.brewery.rinse is not None


def _along(outlook: Outlook, kind: ProcessKind) -> Outlook | None:
    """The outlook of the same beer made this way; None where no grain and liquor give it."""
    plan = _opened(outlook, kind)
    draws = len(outlook.prior)
    try:
        return look_ahead(plan, outlook.brewery, draws=draws, seed=outlook.seed)
    except NotConverged:
        return None


def _opened(outlook: Outlook, kind: ProcessKind) -> Plan:
    """The plan's beer with grain and liquor left open, to be made another way."""
    plan = outlook.plan
    whole = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    aims = plan.aims
    numbers = outlook.numbers
    return replace(
        plan,
        aims=replace(
            aims,
            volume_l=aims.volume_l or numbers["fermenters.volume_l"].low,
            plato=aims.plato or numbers["fermenters.plato"].median,
        ),
        process=replace(plan.process, kind=kind),
        liquor=_liquor(plan.liquor, kind),
        grist=tuple(replace(g, share=(g.mass_kg or 0.0) / whole, mass_kg=None) for g in plan.grist),
    )


def _liquor(liquor: Liquor, kind: ProcessKind) -> Liquor:
    """The same waters and wishes, nothing measured out; a rinse that is none wishes nothing."""
    opened = replace(liquor, mash_l=None, rinse_l=None, doses=())
    return replace(opened, rinse_ions=(), rinse_alkalinity=None) if kind == "full volume" else opened
