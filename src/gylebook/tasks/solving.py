"""Solve a plan, or say in words what stands in the way and what is within reach.

In:  plan, brewery, latents.
Out: the plan with every amount given.

Idea: a search that found nothing knows no reason; the nearest beer that can be made tells the brewer more.
"""

from __future__ import annotations

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.reach import Reach, reach
from gylebook.decide.solve import solve
from gylebook.errors import NotConverged
from gylebook.figures.draws import Array
from gylebook.matter.extract import sg_from_plato


def solve_or_explain(plan: Plan, brewery: Brewery, latents: Array) -> Plan:
    """The plan with every amount given.

    Raises what `solve` raises; NotConverged names what is within reach, where that can be found.
    """
    try:
        return solve(plan, brewery, latents)
    except NotConverged as stuck:
        nearest = _nearest(reach(plan, brewery, latents))
        wanted = ", ".join(_aims(plan))
        raise NotConverged(
            f"No grain and liquor were found for {wanted} with this process and gear. {nearest}"
        ) from stuck


def _aims(plan: Plan) -> list[str]:
    aims, out = plan.aims, []
    if aims.volume_l is not None:
        out.append(f"{aims.volume_l:.4g} L")
    if aims.plato is not None:
        out.append(_strength(aims.plato))
    if aims.bitterness_ibu is not None:
        out.append(f"{aims.bitterness_ibu:.3g} IBU")
    return out


def _nearest(found: Reach) -> str:
    if found.strongest_plato is not None:
        return (
            f"The strongest wort at this volume is about {_strength(found.strongest_plato)}. "
            "Ask for less, boil longer, rinse less, or add extract or sugar."
        )
    if found.least_l is not None:
        return (
            f"The least of this wort is about {found.least_l:.1f} L: below that, bag, boil, kettle and the "
            "scatter of them all take more than is made. Brew more of it, or on smaller gear."
        )
    return "Give some amounts yourself, and see what they make."


def _strength(plato: float) -> str:
    return f"{plato:.1f} °P (SG {float(sg_from_plato(plato)):.3f})"
