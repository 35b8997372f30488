"""Name one step of a day and what is measured out at it.

In:  nothing; `order` and its two halves fill them.
Out: `Step`, `Amount`, and `Day`, all that the halves need to know of the day.

Idea: a step carries keys and base units; how it is called and said belongs to the faces.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gylebook.brewery.gear import HeatSource
from gylebook.brewery.instruments import Quantity
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array
from gylebook.gyle.course import Course
from gylebook.gyle.house import heat_source_of

Dimension = Literal["mass", "load", "volume", "temperature", "cells", "share", "dose mass", "dose volume"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """Something to measure out, to lift or to reach, in base units.

    A load is a mass to be lifted; a dose is little enough for a fine scale or a syringe.  Where there is an
    `at_ph` it is the amount for a mash that reads so.
    """

    what: str
    amount: float
    dimension: Dimension
    note: str = ""
    at_ph: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the day.  `read` are readings worth taking there, `cautions` keys of what can hurt."""

    key: str
    start_min: float
    minutes: float
    what: str = ""
    amounts: tuple[Amount, ...] = ()
    read: tuple[tuple[str, Quantity], ...] = ()
    cautions: tuple[str, ...] = ()
    heat_source: str | None = None
    vessel: str | None = None

    @property
    def end_min(self) -> float:
        """When it is over."""
        return self.start_min + self.minutes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Day:
    """What the running order is laid out from; `minutes` are the middles of the timings."""

    plan: Plan
    brewery: Brewery
    figures: Mapping[str, Array]
    course: Course
    minutes: Mapping[str, float]

    @property
    def fire(self) -> HeatSource:
        """What heats the kettle."""
        return heat_source_of(self.brewery, self.brewery.kettle)

    @property
    def fire_caution(self) -> str:
        """Key of the caution that goes with the kettle's fire."""
        return "gas" if "gas" in self.fire.kind else "electric"


def hop_amounts(plan: Plan, use: str) -> list[Amount]:
    """Hops of one use, to weigh out."""
    return [
        Amount(what=hop.variety, amount=hop.mass_kg or 0.0, dimension="mass")
        for hop in plan.hops
        if hop.use == use
    ]
