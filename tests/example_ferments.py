"""Ferment portions that never were: draw a truth from the priors, read it as a brewer would.

`Truth` knows where its portion ends and when; `readings` are what a day-by-day notebook would hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from example_gyles import brewery, plan, portion
from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.figures.draws import Array
from gylebook.gyle.fermenting import MODEL_SD, ODDS, Curve, Fermentation, Followed, Warmth, error_shown
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import FERMENT, observables
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.tasks.ferment_state import ferment_view
from gylebook.tasks.ferment_views import FermentView
from gylebook.tasks.fermenting import FermentOutlook, follow
from gylebook.tasks.outlook import look_ahead

PITCHED = datetime(2026, 11, 20, 18)
DRAWS = 400
ALE, SHED = plan(portions=(portion("one"), portion("two"))), brewery()


def at(hours: float) -> str:
    """The moment so many hours after pitching."""
    return (PITCHED + timedelta(hours=hours)).isoformat()


def gravity(
    hours: float, sg: float, instrument: str = "hydrometer", key: str = "one", **other: object
) -> Reading:
    """A gravity as a hydrometer shows it, or °Bx on a refractometer."""
    value = sg if instrument == "refractometer" else float(plato_from_sg(sg))
    return Reading(
        step=f"portion.{key} {FERMENT}", quantity="gravity", value=value, instrument=instrument,
        at=at(hours), **other,
    )  # fmt: skip


def warmth(hours: float, temp_c: float, key: str = "one") -> Reading:
    """The temperature of the beer."""
    step = f"portion.{key} {FERMENT}"
    return Reading(step=step, quantity="temperature", value=temp_c, instrument="thermometer", at=at(hours))


def followed(
    readings: Sequence[Reading], a_plan: Plan = ALE, on: Brewery = SHED, *, draws: int = DRAWS, seed: int = 1
) -> FermentOutlook:
    """The fit of portion one to these readings."""
    return follow(look_ahead(a_plan, on, readings, draws=draws, seed=seed), "one", PITCHED.isoformat())


def viewed(readings: Sequence[Reading], a_plan: Plan = ALE, on: Brewery = SHED, **other: int) -> FermentView:
    """What is said of portion one after these readings."""
    return ferment_view(followed(readings, a_plan, on, **other))


@dataclass(frozen=True)
class Truth:
    """One portion as it really went: its latents, its only curve, and the model that it was drawn from."""

    plan: Plan
    way: int
    latents: Array
    curve: Curve

    def readings(
        self, hours: Sequence[float], instruments: Sequence[str], rng: np.random.Generator
    ) -> list[Reading]:
        """What the instruments show, biases, their errors and the beer's own wandering included."""
        blank = [
            gravity(h, 1.02 if i != "refractometer" else 6.0, i)
            for h, i in zip(hours, instruments, strict=True)
        ]
        seen = observables(blank, self.plan, SHED)
        reads = [Followed(observable=o, hours=h) for o, h in zip(seen, hours, strict=True)]
        model = Fermentation((Model(self.plan, SHED),), "one", self.curve.warmth, reads, self.way)
        shown, scales = model.readings_forecast(self.latents), model.shown_per_plato(self.latents)
        out = []
        for reading, read, h in zip(blank, reads, hours, strict=True):
            name = read.observable.name
            error = error_shown(read, scales[name], MODEL_SD) * rng.standard_normal()
            value = float(shown[name][0]) + error
            out.append(gravity(h, value, reading.instrument))
        return out

    def near_end_h(self, near: float = 0.2) -> float:
        """When it came within `near` of its end, by a fine grid. [h]"""
        grid = np.linspace(0.0, 4000.0, 80_001)
        above = self.curve.at(grid)[:, 0] - self.curve.end[0]
        return float(grid[np.argmax(above <= near)])

    @property
    def end_sg(self) -> float:
        """Where it really ended."""
        return float(sg_from_plato(self.curve.end)[0])


def truth(rng: np.random.Generator, a_plan: Plan = ALE, *, way: int | None = None, **fixed: float) -> Truth:
    """A portion drawn from the priors; `fixed` sets latents of the curve by the name of their figure."""
    way = int(rng.choice(len(ODDS), p=ODDS)) if way is None else way
    model = Model(a_plan, SHED)
    warm = Warmth(np.zeros(1), np.array([a_plan.portions[0].ferment_c]))
    fermentation = Fermentation((model,), "one", warm, way=way)
    latents = rng.standard_normal((1, fermentation.day + len(fermentation.figures)))
    names = [figure.name for figure in fermentation.figures]
    for name, latent in fixed.items():
        latents[0, fermentation.day + names.index(name)] = latent
    return Truth(a_plan, way, latents, fermentation.curve(latents))
