"""Offer the one function that inference and search ask: latents in, named draws out.

In:  a plan with all amounts given, a brewery, and the readings so far.
Out: `Model`: its figures in order, the forecast of all named numbers, and of what each instrument would show.

Idea: the hinge between physics and statistics.  `infer` is handed `readings_forecast` and never learns what a
kettle is; a new equation cannot break it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import OutsideValidity
from gylebook.figures.draws import Array
from gylebook.figures.figure import Figure, FigureDraws
from gylebook.gyle import timing
from gylebook.gyle.course import Course, run
from gylebook.gyle.house import figures_of
from gylebook.gyle.liquor import mash_phs
from gylebook.gyle.names import Named, named
from gylebook.gyle.observe import Observable, shown

# Some 600 arrays are freed after a forecast of 4,000 draws.  The C library of Linux hands such memory back
# and fetches it anew page by page, which takes longer than all the arithmetic, until a larger block was freed
# once: then it keeps up to twice as much (mallopt(3), "dynamic mmap threshold").  Elsewhere nothing happens.
np.empty(24 * 2**20, dtype=np.uint8)


class Model:
    """A plan on a brewery as a function of latents."""

    def __init__(self, plan: Plan, brewery: Brewery, seen: Sequence[Observable] = ()) -> None:
        self.plan, self.brewery, self.seen = plan, brewery, tuple(seen)
        self.figures: tuple[Figure, ...] = figures_of(plan, brewery)
        self._timed = any(o.place.shows in timing.NAMES for o in self.seen)
        self._soured = any(o.place.shows in ("mash.ph", "mash.first_ph") for o in self.seen)

    def draw(self, latents: Array) -> FigureDraws:
        """Joint draws of the figures."""
        return FigureDraws(self.figures, latents)

    def course(self, latents: Array) -> Course:
        """The course for these latents."""
        return run(self.plan, self.brewery, self.draw(latents))

    def forecast(self, latents: Array) -> Named:
        """Every named number of the course, timings left out."""
        return named(self.course(latents))

    def readings_forecast(self, latents: Array) -> Mapping[str, Array]:
        """What each instrument would show, by the name of its reading.

        A row so far out that an equation's source does not cover it is not a number; all others stand.
        """
        return where_valid(self._shown, latents, [seen.name for seen in self.seen])

    def _shown(self, latents: Array) -> Mapping[str, Array]:
        figures = self.draw(latents)
        course = run(self.plan, self.brewery, figures)
        numbers = named(course)
        if self._soured:
            numbers["mash.ph"], numbers["mash.first_ph"] = mash_phs(self.plan, self.brewery, figures)
        if self._timed:
            numbers.update(timing.timings(self.plan, self.brewery, course, figures))
        rows = latents.shape[0]
        return {o.name: np.broadcast_to(shown(o, numbers, figures), (rows,)) for o in self.seen}


def where_valid(
    forecast: Callable[[Array], Mapping[str, Array]], latents: Array, names: Sequence[str]
) -> Mapping[str, Array]:
    """A forecast row by row where need be: what an equation's source does not cover is not a number."""
    try:
        return forecast(latents)
    except OutsideValidity:
        rows = len(latents)
        if rows == 1:
            return {name: np.full(1, np.nan) for name in names}
        halves = [where_valid(forecast, part, names) for part in (latents[: rows // 2], latents[rows // 2 :])]
        return {name: np.concatenate([half[name] for half in halves]) for name in names}
