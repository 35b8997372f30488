"""Solve backwards: from the aims to grain, liquor, hops, starters and what the liquor is dosed with.

In:  a plan with amounts left open, a brewery, and latents to draw its figures from.
Out: the plan with every amount given.

Idea: root finding on the same forward run, on the same draws at every step, so that odds can be asked for
like any number: "at least 40 L in 90 of 100 draws" is a quantile.  Where mash and rinse liquor are both
open they are split so that both vessels stand equally full: the yield hardly cares, the brim does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.hops import hop_pattern
from gylebook.decide.openings import (
    Openings,
    openings,
    with_grain,
    with_hops,
    with_liquor,
    with_mixed_grist_weighed,
)
from gylebook.decide.starters import fill_starters
from gylebook.decide.treatment import with_doses
from gylebook.errors import NotConverged, OutsideValidity, Problem, Refused
from gylebook.figures.draws import Array, Value
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import LEAST_LIQUOR
from gylebook.gyle.names import Named

MASH_SHARE = 0.65  # of all liquor, where no second vessel sets the split
FEW = 4  # the first search uses every fourth draw, the last one all
CLOSE = 2e-4  # relative, what counts as met
FAR = 10.0  # relative, how far off counts what no equation covers

Put = Callable[[Plan, float], Plan]
Residual = Callable[[Plan, Named], float]


@dataclass(frozen=True, slots=True)
class Unknown:
    """One open amount: how it enters the plan, and where to start looking."""

    put: Put
    start: float


def solve(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with all open amounts solved for its aims.

    Raises Refused where an aim is missing without which an amount cannot be known, or where hops already
    given bring more bitterness than is aimed at; NotConverged where no amount meets the aims.
    """
    plan = with_mixed_grist_weighed(plan)
    wanted = openings(plan)
    if not wanted.any:
        return with_doses(plan, brewery, latents)
    _refuse_missing_aims(plan, wanted)
    unknowns = _unknowns(plan, wanted)
    if wanted.hops:
        start = _put_all(plan, unknowns, [u.start for u in unknowns])
        pattern = hop_pattern(start, brewery, wanted.hops)
        _refuse_overhopped(with_hops(start, dict.fromkeys(wanted.hops, 0.0)), brewery)
        unknowns.append(Unknown(lambda p, s: with_hops(p, {k: m * s for k, m in pattern.items()}), 1.0))
    if unknowns:
        plan = _search_with_fallback(plan, brewery, latents, unknowns, wanted)
    return with_doses(fill_starters(plan, brewery, latents, wanted.starters), brewery, latents)


def _refuse_missing_aims(plan: Plan, wanted: Openings) -> None:
    problems = []
    liquor = wanted.mash_liquor or wanted.rinse_liquor
    if wanted.grain and plan.aims.plato is None:
        problems.append(
            Problem(
                "aims.gravity", "missing while the grist has only shares", 'write it like gravity = "1.052"'
            )
        )
    if (wanted.grain and liquor) and plan.aims.volume_l is None:
        problems.append(
            Problem(
                "aims.fermenters",
                "missing while grist and liquor are open",
                'write it like fermenters = "34 L"',
            )
        )
    if liquor and plan.aims.volume_l is None and plan.aims.plato is None:
        problems.append(
            Problem("aims", "no volume and no gravity while liquor is open", 'write fermenters = "34 L"')
        )
    if wanted.hops and not plan.aims.bitterness_ibu:
        problems.append(
            Problem(
                "aims.bitterness", "missing while hops have no mass", 'write it like bitterness = "28 IBU"'
            )
        )
    for hop in plan.hops:
        if hop.key in wanted.hops and hop.use == "dry":
            problems.append(
                Problem(f"hops.{hop.key}.mass", "missing for a dry hop", 'write it like mass = "30 g"')
            )
    if problems:
        raise Refused(problems)


def _refuse_overhopped(plan: Plan, brewery: Brewery) -> None:
    model = Model(plan, brewery)
    middle = np.zeros((1, len(model.figures)), order="F")
    brought = float(np.max(model.forecast(middle)["ibu"]))
    aimed = plan.aims.bitterness_ibu or 0.0
    if brought >= aimed:
        raise Refused(
            (
                Problem(
                    "aims.bitterness",
                    f"{aimed:.0f} IBU, while the hops with a mass already bring {brought:.0f} IBU",
                    "give those less mass, or all of them one",
                ),
            )
        )


def _unknowns(plan: Plan, wanted: Openings) -> list[Unknown]:
    """Open amounts with starting points a brewer might guess."""
    volume = plan.aims.volume_l or 20.0
    plato = plan.aims.plato or 12.0
    grain_kg = volume * plato / 100.0 / 0.6
    out = []
    if wanted.grain:
        out.append(Unknown(with_grain, grain_kg))
    else:
        grain_kg = sum(g.mass_kg or 0.0 for g in plan.grist) or 1.0
    total = volume + 6.0 + grain_kg
    known = plan.liquor.mash_l if plan.liquor.mash_l is not None else plan.liquor.rinse_l or 0.0
    if wanted.mash_liquor and wanted.rinse_liquor:
        out.append(Unknown(lambda p, x: with_liquor(p, mash_l=x), MASH_SHARE * total))
        out.append(Unknown(lambda p, x: with_liquor(p, rinse_l=x), (1.0 - MASH_SHARE) * total))
    elif wanted.mash_liquor:
        out.append(Unknown(lambda p, x: with_liquor(p, mash_l=x), max(total - known, 0.3 * total)))
    elif wanted.rinse_liquor:
        out.append(Unknown(lambda p, x: with_liquor(p, rinse_l=x), max(total - known, 0.2 * total)))
    return out


def _residuals(plan: Plan, brewery: Brewery, wanted: Openings, by_brim: bool) -> list[Residual]:
    """As many conditions as unknowns.  With fewer amounts open than aims, the gravity is kept."""
    liquors = int(wanted.mash_liquor) + int(wanted.rinse_liquor)
    free = int(wanted.grain) + min(liquors, 1)
    aims: tuple[tuple[Residual, float | None], ...] = (
        (_gravity_met, plan.aims.plato),
        (_volume_met, plan.aims.volume_l),
    )
    out: list[Residual] = [residual for residual, given in aims if given is not None][:free]
    if liquors == 2:
        out.append(_equally_full(brewery) if by_brim else _usual_split)
    if wanted.hops:
        out.append(_bitterness_met)
    return out


def _volume_met(plan: Plan, numbers: Named) -> float:
    aimed = plan.aims.volume_l or 1.0
    return float(np.quantile(numbers["fermenters.volume_l"], 1.0 - plan.aims.odds)) / aimed - 1.0


def _gravity_met(plan: Plan, numbers: Named) -> float:
    return _middle(numbers["fermenters.plato"]) / (plan.aims.plato or 1.0) - 1.0


def _bitterness_met(plan: Plan, numbers: Named) -> float:
    return _middle(numbers["ibu"]) / (plan.aims.bitterness_ibu or 1.0) - 1.0


def _equally_full(brewery: Brewery) -> Residual:
    """Kettle and second vessel filled to the same share, the mash never too thick to stir."""
    kettle = brewery.vessels[brewery.kettle].capacity_l
    second = brewery.vessels[brewery.rinse].capacity_l if brewery.rinse else kettle

    def residual(plan: Plan, numbers: Named) -> float:
        fuller = _middle(numbers["mash.volume_l"]) / kettle - _middle(numbers["rinse.level_l"]) / second
        return min(fuller, _thickness(plan) / LEAST_LIQUOR - 1.0)

    return residual


def _usual_split(plan: Plan, numbers: Named) -> float:
    mash, rinse = plan.liquor.mash_l or 0.0, plan.liquor.rinse_l or 0.0
    return min(mash / (mash + rinse) / MASH_SHARE - 1.0, _thickness(plan) / LEAST_LIQUOR - 1.0)


def _thickness(plan: Plan) -> float:
    return (plan.liquor.mash_l or 0.0) / sum(grain.mass_kg or 0.0 for grain in plan.grist)


def _middle(draws: Value) -> float:
    return float(np.median(draws))


def _search_with_fallback(
    plan: Plan, brewery: Brewery, latents: Array, unknowns: list[Unknown], wanted: Openings
) -> Plan:
    """Split by the brims where that can be done; a second vessel too small for it gets the usual split."""
    by_brim = plan.process.kind == "dunk rinse"
    try:
        return _search(plan, brewery, latents, unknowns, _residuals(plan, brewery, wanted, by_brim))
    except NotConverged:
        if not (by_brim and wanted.mash_liquor and wanted.rinse_liquor):
            raise
    return _search(plan, brewery, latents, unknowns, _residuals(plan, brewery, wanted, by_brim=False))


def _search(
    plan: Plan, brewery: Brewery, latents: Array, unknowns: list[Unknown], residuals: list[Residual]
) -> Plan:
    from scipy.optimize import root

    unknowns = unknowns[: len(residuals)] if len(unknowns) > len(residuals) else unknowns
    logs = np.log([u.start for u in unknowns])
    for rows in (latents[::FEW], latents):

        def off(x: Array, rows: Array = rows) -> list[float]:
            trial = _put_all(plan, unknowns, list(np.exp(np.clip(x, -8.0, 8.0))))
            try:
                numbers = Model(trial, brewery).forecast(rows)
            except OutsideValidity:  # a stride too far: the search takes it back and tries a shorter one
                return [FAR] * len(residuals)
            return [residual(trial, numbers) for residual in residuals]

        found = root(off, logs, method="hybr", options={"xtol": 1e-6, "eps": 1e-4})
        if not np.all(np.isfinite(found.x)) or np.max(np.abs(off(found.x))) > CLOSE:
            raise NotConverged("No grain and liquor meet these aims with this process and gear.")
        logs = found.x
    return _put_all(plan, unknowns, list(np.exp(logs)))


def _put_all(plan: Plan, unknowns: list[Unknown], values: list[float]) -> Plan:
    for unknown, value in zip(unknowns, values, strict=True):
        plan = unknown.put(plan, float(value))
    return plan
