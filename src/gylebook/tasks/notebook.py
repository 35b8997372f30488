"""Ask the model from a notebook.

In:  plans, breweries and readings, from files or made in code.
Out: outlooks and plans; `gylebook` lends these names at its top.

Idea: the same outlook that every face shows, with sensible draws and seed, in one call each.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.tasks.outlook import DRAWS, SEED, Outlook, Stage, look_again, look_ahead


def forecast(plan: Plan, brewery: Brewery, *, draws: int = DRAWS, seed: int = SEED) -> Outlook:
    """Outlook of a plan before anything is read; what it leaves open is solved first."""
    return look_ahead(plan, brewery, draws=draws, seed=seed)


def solve(plan: Plan, brewery: Brewery, *, draws: int = DRAWS, seed: int = SEED) -> Plan:
    """The plan with every amount that it left open."""
    return look_ahead(plan, brewery, draws=draws, seed=seed).plan


def condition(outlook: Outlook, readings: Sequence[Reading]) -> Outlook:
    """The same outlook given these readings, in place of any that it was given before."""
    stage = Stage(plan=outlook.plan, readings=tuple(readings))
    return look_again(outlook.asked, (stage,), outlook.brewery, prior=outlook.prior, seed=outlook.seed)
