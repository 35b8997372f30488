"""Set the day in order: what is done when, how long it takes, on which fire.

In:  plan, brewery, course and figures.
Out: `Step`s in time, counted in minutes from pitching (before it: below zero).

Idea: durations are the middles of the forecast ones; the day is laid forward and then hung from its last
step, the pitching.  What the portions need in the weeks after it follows behind.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array
from gylebook.gyle.course import Course
from gylebook.gyle.order_after import after_pitching, teas
from gylebook.gyle.order_cold import boil_and_after
from gylebook.gyle.order_hot import before_the_boil
from gylebook.gyle.order_starters import starters
from gylebook.gyle.steps import Day, Step
from gylebook.gyle.timing import timings


def running_order(
    plan: Plan, brewery: Brewery, figures: Mapping[str, Array], course: Course
) -> tuple[Step, ...]:
    """All steps in the order of their start, the pitching at zero."""
    minutes = {k: float(np.median(v)) for k, v in timings(plan, brewery, course, figures).items()}
    day = Day(plan=plan, brewery=brewery, figures=figures, course=course, minutes=minutes)
    steps = before_the_boil(day)
    steps += boil_and_after(day, max(step.end_min for step in steps))
    steps += teas(day, _starts(steps, "divide"), _starts(steps, "end of the boil"))
    pitching = next(step.start_min for step in steps if step.key == "pitch")
    hung = [replace(step, start_min=step.start_min - pitching) for step in steps]
    return tuple(sorted([*starters(day), *hung, *after_pitching(day)], key=lambda step: step.start_min))


def _starts(steps: Sequence[Step], key: str) -> float:
    """When the first step of a key starts. [min]"""
    return next(step.start_min for step in steps if step.key == key)
