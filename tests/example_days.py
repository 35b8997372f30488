"""Lay out the running order of example gyles, and find its steps."""

from __future__ import annotations

from example_gyles import brewery, latents
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.gyle.forecast import Model
from gylebook.gyle.order import running_order
from gylebook.gyle.steps import Step

SHED = brewery()


def day(a_plan: Plan, on: Brewery = SHED) -> list[Step]:
    """The steps of a plan on a brewery, from few draws."""
    model = Model(a_plan, on)
    rows = latents(model, 60)
    return list(running_order(a_plan, on, model.draw(rows), model.course(rows)))


def step(steps: list[Step], key: str) -> Step:
    """The one step of that key."""
    (found,) = [s for s in steps if s.key == key]
    return found


def keys(steps: list[Step]) -> set[str]:
    """Keys of all steps."""
    return {s.key for s in steps}


def cautions(steps: list[Step], key: str) -> set[str]:
    """All cautions at the steps of that key."""
    return {caution for s in steps if s.key == key for caution in s.cautions}


def amounts(one: Step) -> dict[str, float]:
    """What is measured out at a step."""
    return {a.what: a.amount for a in one.amounts}
