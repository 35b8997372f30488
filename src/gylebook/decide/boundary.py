"""Find how much of a beer a brewery can carry, and what stops it first.

In:  a plan whose grain and liquor are open, a brewery, latents.
Out: `Boundary`: the largest volume at the aimed gravity with every limit kept at the asked odds, the limit
     that binds there, and by how much it is missed at the volume that was wanted.

Idea: the plan is solved again for each volume tried; nothing about a limit is known here but its margin.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.decide.solve import solve
from gylebook.errors import NotConverged, OutsideValidity, Refused
from gylebook.figures.draws import Array
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits

FEW = 4
SHARES = (
    0.8,
    0.6,
    0.4,
    0.25,
    0.15,
    0.08,
    0.04,
    0.02,
    0.01,
)  # of the wanted volume, tried in turn until one is carried
MOST_TIMES = 8.0  # the wanted volume, where the search ends
HALVINGS = 9  # leave 0.2 % of the bracket


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary:
    """What a brewery can carry of a plan; `volume_l` is None where the limit holds at no volume tried."""

    volume_l: float | None
    limit: str
    vessel: str
    short_by: float
    unit: str


def boundary(plan: Plan, brewery: Brewery, latents: Array, *, above: bool = False) -> Boundary | None:
    """The most of this beer that the brewery can carry.

    None where the plan is not scalable, and where it is within reach: unless `above` asks how much further
    that goes.  None too where no limit is met up to eight times the wanted volume.
    """
    wanted = openings(plan)
    if plan.aims.volume_l is None or not (wanted.grain and (wanted.mash_liquor or wanted.rinse_liquor)):
        return None
    few = latents[::FEW]
    low, high = plan.aims.volume_l, plan.aims.volume_l
    # The wanted volume is judged on all draws, as everywhere else; only the search takes a few.
    here = _limits(plan, brewery, latents)
    binding = _least_kept(here, plan)
    if binding is not None:
        for share in SHARES:
            low = share * plan.aims.volume_l
            carried, found = _tried(_at(plan, low), brewery, few)
            if carried:
                break
            high, binding = low, found or binding
        else:
            return _boundary(plan, here, binding, None)
    elif not above:
        return None
    else:
        while binding is None and high < MOST_TIMES * low:
            high *= 2.0
            _, binding = _tried(_at(plan, high), brewery, few)
    if binding is None:
        return None
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        carried, found = _tried(_at(plan, middle), brewery, few)
        if carried:
            low = middle
        else:
            high, binding = middle, found or binding
    return _boundary(plan, here, binding, low)


def _boundary(plan: Plan, wanted: Sequence[Limit], binding: Limit, volume_l: float | None) -> Boundary:
    """The answer in full; a limit that holds again at the wanted volume gives way to one that does not."""
    same = [x for x in wanted if (x.name, x.vessel) == (binding.name, binding.vessel)]
    lacking = max(same or wanted, key=lambda limit: -_sure_margin(limit, plan))
    worst = _least_kept(wanted, plan)
    if worst is not None and _sure_margin(lacking, plan) >= 0.0:
        lacking = worst
    return Boundary(
        volume_l=volume_l,
        limit=lacking.name,
        vessel=lacking.vessel,
        short_by=max(-_sure_margin(lacking, plan), 0.0),
        unit=lacking.unit,
    )


def _at(plan: Plan, volume_l: float) -> Plan:
    return replace(plan, aims=replace(plan.aims, volume_l=volume_l))


def _tried(plan: Plan, brewery: Brewery, latents: Array) -> tuple[bool, Limit | None]:
    """Whether a volume is carried, else what stops it.

    One too small to be brewed is not carried either, nor one whose run no equation covers, nor one that hops
    of a given mass make more bitter than is aimed at.
    """
    try:
        stops = _least_kept(_limits(plan, brewery, latents), plan)
    except (NotConverged, OutsideValidity, Refused):
        return False, None
    return stops is None, stops


def _least_kept(among: Iterable[Limit], plan: Plan) -> Limit | None:
    """The limit least surely kept among those below the asked odds."""
    failing = [x for x in among if x.sized and x.odds_kept < plan.aims.odds]
    return min(failing, key=lambda limit: limit.odds_kept, default=None)


def _limits(plan: Plan, brewery: Brewery, latents: Array) -> tuple[Limit, ...]:
    solved = solve(plan, brewery, latents)
    model = Model(solved, brewery)
    return limits(solved, brewery, model.draw(latents), model.course(latents))


def _sure_margin(limit: Limit, plan: Plan) -> float:
    """The margin that is kept with the asked odds."""
    return float(np.quantile(limit.margin, 1.0 - plan.aims.odds))
