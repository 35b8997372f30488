"""Simulate days: truth drawn from the model itself, readings with their instruments' own errors and slips.

In:  a plan, a brewery and what is read on the day.
Out: days, each with the latents that are true, the readings as observations, and which of them are slips.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from command_line import PRACTICE
from gylebook.brewery.instruments import Reading
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import observables
from gylebook.infer.condition import Posterior, condition
from gylebook.infer.informed import look_around
from gylebook.infer.laplace import STEP
from gylebook.infer.likelihood import DOUBT, WIDTH, Beyond, Observation, readings_of
from gylebook.tasks.files import load_brewery, load_plan

FIVE = (
    ("mash", "gravity", "refractometer"),
    ("lift", "mass", "scale"),
    ("preboil", "volume", "dipstick"),
    ("preboil", "gravity", "hydrometer"),
    ("boil end", "volume", "dipstick"),
)
TWELVE = (
    ("heat liquor", "time", "clock"),
    ("mash", "temperature", "thermometer"),
    ("mash", "volume", "dipstick"),
    *FIVE,
    ("rinse", "gravity", "refractometer"),
    ("boil end", "gravity", "hydrometer"),
    ("fermenters", "volume", "dipstick"),
    ("fermenters", "gravity", "refractometer"),
)


@dataclass(frozen=True, eq=False)
class Simulated:
    """One day: what is true, what was written down, which of it is a slip."""

    number: int
    truth: Array
    seen: tuple[Observation, ...]
    slips: np.ndarray


class Days:
    """Days of one plan on one brewery with the same things read."""

    def __init__(self, read: tuple[tuple[str, str, str], ...], folder: Path = PRACTICE) -> None:
        plan, brewery = load_plan(folder / "plan.toml"), load_brewery(folder / "brewery.toml")
        readings = [Reading(step=s, quantity=q, value=1.0, instrument=i) for s, q, i in read]  # type: ignore[arg-type]
        self.model = Model(plan, brewery, observables(readings, plan, brewery))
        self.d = len(self.model.figures)

    @cached_property
    def centre(self) -> dict[str, float]:
        """What each instrument shows at the prior's centre."""
        shown = self.model.readings_forecast(np.zeros((1, self.d), order="F"))
        return {name: float(value[0]) for name, value in shown.items()}

    @cached_property
    def spread(self) -> dict[str, float]:
        """One sd of what each instrument was forecast to show, its error included."""
        plain = [Observation(name=o.name, value=self.centre[o.name], error=o.error) for o in self.model.seen]
        readings = readings_of(self.model.readings_forecast, plain)
        _, seen = look_around(readings, standard_normal_latents(100, self.d, 1).T)
        slope = (seen[:, :1] - seen[:, 1:]) / STEP
        sds = np.sqrt(1.0 + np.square(slope).sum(axis=1))
        return {o.name: float(o.error * sd) for o, sd in zip(self.model.seen, sds, strict=True)}

    def simulate(
        self, days: int, seed: int, *, slips: float = 0.0, bounds: tuple[int, ...] = ()
    ) -> Iterator[Simulated]:
        """Days on which a share `slips` of readings is written down wrong.

        The readings numbered in `bounds` say only on which side of the forecast's centre they lie.
        """
        rng = np.random.default_rng(seed)
        for number in range(days):
            truth = np.asfortranarray(rng.standard_normal((1, self.d)))
            shown = self.model.readings_forecast(truth)
            wrong = rng.random(len(self.model.seen)) < slips
            seen = []
            for place, o in enumerate(self.model.seen):
                value = float(shown[o.name][0] + o.error * rng.standard_normal())
                if wrong[place]:
                    value = self.centre[o.name] + WIDTH * self.spread[o.name] * (rng.random() - 0.5)
                beyond: Beyond = ""
                if place in bounds:
                    beyond = "above" if value > self.centre[o.name] else "below"
                    value = self.centre[o.name]
                seen.append(Observation(name=o.name, value=value, error=o.error, beyond=beyond, doubt=DOUBT))
            yield Simulated(number, truth, tuple(seen), wrong)

    def conditioned(self, day: Simulated, draws: int) -> Posterior:
        """The posterior of one day."""
        prior = standard_normal_latents(draws, self.d, 50_000 + day.number)
        return condition(self.model.readings_forecast, prior, day.seen, seed=day.number)
