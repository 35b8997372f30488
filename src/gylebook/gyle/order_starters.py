"""Lay out the starters in the days before.

In:  the `Day`.
Out: steps in minutes from pitching, all below zero.

Idea: a starter grown in several steps is a step of the order for each, on its own day, with the wort that is
added then and what the flask holds with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from gylebook.brewery.ingredients import Starter
from gylebook.gyle.pitch import dried_extract_kg
from gylebook.gyle.steps import Amount, Day, Step

A_DAY, STARTER_MIN = 1440.0, 60.0
STEP_DAYS, CRASH_DAYS = 1.5, 2.0  # what each step before the last, and settling cold, take


def starters(day: Day) -> list[Step]:
    """Each step of each starter, days before."""
    out: list[Step] = []
    for starter in day.plan.starters:
        if starter.kind == "none":
            continue
        out += _grown(day, starter)
        if starter.cold_crash:
            out.append(
                Step(
                    key="settle the starter",
                    start_min=-CRASH_DAYS * A_DAY,
                    minutes=0.0,
                    what=_for_whom(day, starter),
                )
            )
    return out


def _grown(day: Day, starter: Starter) -> Iterator[Step]:
    worts = (*starter.first_steps_l, starter.volume_l or 0.0)
    last = len(worts) - 1
    for number, litres in enumerate(worts):
        note = f"{starter.key}, {starter.kind}" + (f", step {number + 1}" if last else "")
        added = replace(starter, volume_l=litres, first_steps_l=())
        amounts = [
            Amount(what="starter wort", amount=litres, dimension="volume", note=note),
            Amount(what="dried malt extract", amount=dried_extract_kg(added), dimension="mass", note=note),
        ]
        if number:
            held = sum(worts[: number + 1])
            amounts.append(Amount(what="starter in all", amount=held, dimension="volume"))
        days = starter.days_before + CRASH_DAYS * starter.cold_crash + STEP_DAYS * (last - number)
        yield Step(
            key="starter" if not number else "last starter step" if number == last else "starter step",
            start_min=-days * A_DAY,
            minutes=STARTER_MIN,
            what=_for_whom(day, starter),
            amounts=tuple(amounts),
            cautions=("starter",),
        )


def _for_whom(day: Day, starter: Starter) -> str:
    """Kinds of yeast that grow in it."""
    drinkers = [p.yeast.kind for p in day.plan.portions if p.yeast.starter == starter.key]
    return ", ".join(dict.fromkeys(drinkers))
