"""Find how much of a beer a brewery can carry, and what stops it first.

In:  a plan whose grain and liquor are open, a brewery, latents.
Out: `Boundary`: the largest volume at the aimed gravity with every limit kept at the asked odds, the limit
     that binds there, and by how much it is missed at the volume that was wanted.

Idea: the plan is solved again for each volume tried; nothing about a limit is known here but its margin.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.decide.solve import solve
from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits

FEW = 4
LEAST_SHARE, HALVINGS = 0.1, 9  # of the wanted volume; nine halvings leave 0.2 % of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary:
    """What a brewery can carry of a plan; `volume_l` is None where the limit holds at no volume tried."""

    volume_l: float | None
    limit: str
    vessel: str
    short_by: float
    unit: str


def boundary(plan: Plan, brewery: Brewery, latents: Array) -> Boundary | None:
    """The boundary below the wanted volume, or None where the plan is within reach or is not scalable."""
    wanted = openings(plan)
    if plan.aims.volume_l is None or not (wanted.grain and (wanted.mash_liquor or wanted.rinse_liquor)):
        return None
    few = latents[::FEW]
    worst = _worst(plan, brewery, few)
    if worst is None:
        return None
    limit, short_by = worst
    low, high = LEAST_SHARE * plan.aims.volume_l, plan.aims.volume_l
    if _worst(_at(plan, low), brewery, few) is not None:
        return Boundary(
            volume_l=None, limit=limit.name, vessel=limit.vessel, short_by=short_by, unit=limit.unit
        )
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        found = _worst(_at(plan, middle), brewery, few)
        if found is None:
            low = middle
        else:
            high, limit = middle, found[0]
    return Boundary(
        volume_l=low,
        limit=limit.name,
        vessel=limit.vessel,
        short_by=_short_of(plan, brewery, few, limit),
        unit=limit.unit,
    )


def _at(plan: Plan, volume_l: float) -> Plan:
    return replace(plan, aims=replace(plan.aims, volume_l=volume_l))


def _worst(plan: Plan, brewery: Brewery, latents: Array) -> tuple[Limit, float] | None:
    """The limit least surely kept among those below the asked odds, and what it lacks there."""
    failing = [
        (limit.odds_kept, limit, -_sure_margin(limit, plan))
        for limit in _limits(plan, brewery, latents)
        if limit.odds_kept < plan.aims.odds
    ]
    if not failing:
        return None
    _, limit, short = min(failing, key=lambda found: found[0])
    return limit, short


def _short_of(plan: Plan, brewery: Brewery, latents: Array, binding: Limit) -> float:
    """What the binding limit lacks at the wanted volume, at the asked odds. [its unit]"""
    for limit in _limits(plan, brewery, latents):
        if (limit.name, limit.vessel) == (binding.name, binding.vessel):
            return max(-_sure_margin(limit, plan), 0.0)
    return 0.0


def _limits(plan: Plan, brewery: Brewery, latents: Array) -> tuple[Limit, ...]:
    solved = solve(plan, brewery, latents)
    model = Model(solved, brewery)
    return limits(solved, brewery, model.draw(latents), model.course(latents))


def _sure_margin(limit: Limit, plan: Plan) -> float:
    """The margin that is kept with the asked odds."""
    return float(np.quantile(limit.margin, 1.0 - plan.aims.odds))
