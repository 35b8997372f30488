"""Say what is within reach where no amount meets the aims.

In:  a plan with amounts left open, a brewery, latents.
Out: the solved plan; or `NotConverged`, worded with the nearest beer that can be made: the strongest at this
     volume, or the least of this strength.

Idea: the plan is solved again with one aim moved until it can be met; nothing about the reason is known here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.openings import openings
from gylebook.decide.solve import solve
from gylebook.errors import NotConverged, OutsideValidity
from gylebook.figures.draws import Array
from gylebook.matter.extract import sg_from_plato

FEW = 8  # every eighth draw is enough to say "about"
WEAKEST = 0.25  # of the aimed gravity, below which the gravity is not what stops it
MOST_TIMES = 16.0  # the wanted volume, above which the volume is not what stops it
HALVINGS = 8

Put = Callable[[float], Plan]


def solve_or_explain(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with every amount given.

    Raises what `solve` raises; NotConverged with what is within reach, where it can be found.
    """
    try:
        return solve(plan, brewery, latents)
    except NotConverged as stuck:
        nearest = _nearest(plan, brewery, latents[::FEW])
        raise NotConverged(f"{stuck} {nearest}") from stuck


def _nearest(plan: Plan, brewery: Brewery, latents: Array) -> str:
    if not openings(plan).grain or plan.aims.plato is None or plan.aims.volume_l is None:
        return "Give some amounts yourself, or leave more of them open."
    volume_l, plato = plan.aims.volume_l, plan.aims.plato
    most = _edge(lambda p: _with(plan, volume_l, p), plato, WEAKEST * plato, brewery, latents)
    if most is not None:
        gravity = float(sg_from_plato(most))
        return (
            f"The strongest wort at this volume is about {most:.1f} °P (SG {gravity:.3f}). "
            "Ask for less, boil longer, rinse less, or add extract or sugar."
        )
    least = _edge(lambda v: _with(plan, v, plato), volume_l, MOST_TIMES * volume_l, brewery, latents)
    if least is not None:
        return (
            f"The least of this wort is about {least:.1f} L: below that, bag, boil, kettle and the scatter "
            "of them all take more than is made. Brew more of it, or on smaller gear."
        )
    return "Give some amounts yourself, and see what they make."


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
