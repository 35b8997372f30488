"""Find what is within reach where no amount meets the aims.

In:  a plan with amounts left open that could not be solved, a brewery, latents.
Out: `Reach`: the strongest wort at the wanted volume, or the least of the wanted strength.

Idea: the plan is solved again with one aim moved until it can be met; nothing about the reason is known here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.decide.solve import solve
from gylebook.errors import NotConverged, OutsideValidity
from gylebook.figures.draws import Array

FEW = 8  # every eighth draw is enough to say "about"
WEAKEST = 0.25  # of the aimed gravity, below which the gravity is not what stops it
MOST_TIMES = 16.0  # the wanted volume, above which the volume is not what stops it
HALVINGS = 8

Put = Callable[[float], Plan]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """The nearest beer that can be made; both None where neither was found."""

    strongest_plato: float | None = None
    least_l: float | None = None


def reach(plan: Plan, brewery: Brewery, latents: Array) -> Reach:
    """What could be solved in place of a plan that could not."""
    if not openings(plan).grain or plan.aims.plato is None or plan.aims.volume_l is None:
        return Reach()
    few = latents[::FEW]
    volume_l, plato = plan.aims.volume_l, plan.aims.plato
    most = _edge(lambda p: _with(plan, volume_l, p), plato, WEAKEST * plato, brewery, few)
    if most is not None:
        return Reach(strongest_plato=most)
    return Reach(
        least_l=_edge(lambda v: _with(plan, v, plato), volume_l, MOST_TIMES * volume_l, brewery, few)
    )


def _with(plan: Plan, volume_l: float, plato: float) -> Plan:
    return replace(plan, aims=replace(plan.aims, volume_l=volume_l, plato=plato))


def _edge(at: Put, failing: float, sound: float, brewery: Brewery, latents: Array) -> float | None:
    """The aim nearest to the failing one that can still be met; None where not even `sound` can."""
    if not _made(at(sound), brewery, latents):
        return None
    for _ in range(HALVINGS):
        middle = 0.5 * (failing + sound)
        if _made(at(middle), brewery, latents):
            sound = middle
        else:
            failing = middle
    return sound


def _made(plan: Plan, brewery: Brewery, latents: Array) -> bool:
    try:
        solve(plan, brewery, latents)
    except (NotConverged, OutsideValidity):
        return False
    return True
