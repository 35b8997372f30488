"""Look at a calibration evening: what to do, what to expect, and what its readings tell of the gear.

In:  a brewery, the readings taken so far, and how much water and boil where the brewer wants them otherwise.
Out: `EveningOutlook`: the evening as joint draws before and after its readings, and the gear's figures of the
     next brew.

Idea: the readings condition the evening as those of a day condition a gyle.  What they tell of the gear's
level holds for every brew, what they tell of that evening's own scatter for none: so each figure of the next
brew keeps `share` of the way from its level before, and the rest of its spread is new.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gylebook.brewery.evening import Evening
from gylebook.brewery.instruments import Reading
from gylebook.brewery.site import Brewery
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.figures.figure import Figure
from gylebook.gyle.evening import EveningModel, evening_of, water_plan
from gylebook.gyle.evening_places import evening_places
from gylebook.gyle.names import Named
from gylebook.gyle.observe import tied
from gylebook.infer.condition import Diagnostic, condition
from gylebook.infer.likelihood import Observation
from gylebook.tasks.outlook import DRAWS, FEWEST, LARGEST_SEED, MOST_DRAWS, SEED, refuse_house_figures
from gylebook.tasks.reading_words import irreconcilable

LEAST_L, LEAST_BOIL, MOST_BOIL = 1.0, 5.0, 180.0
ROOM = 0.9  # of a kettle may be filled: water grows by a twenty-fifth and splashes
STAYS_WET = 0.5  # of the water that must be left after the boil, so that no element runs dry
STREAM = 5_521  # keeps the scatter of the next brew apart from the latents, which may have the same seed


@dataclass(frozen=True, kw_only=True, eq=False)
class EveningOutlook:
    """An evening on one brewery, `latents` given the readings; `expected` is the model before any."""

    evening: Evening
    brewery: Brewery
    readings: tuple[Reading, ...]
    expected: EveningModel
    model: EveningModel
    prior: Array
    latents: Array
    seed: int
    diagnostic: Diagnostic | None

    @cached_property
    def ahead(self) -> Named:
        """Every number of the evening before it began."""
        return self.expected.forecast(self.prior)

    @cached_property
    def shares(self) -> Array:
        """Of each figure, which share of the variance lies in its level and can be learned; (figures,)."""
        return np.array([_share(self.model, k) for k in range(len(self.model.figures))])

    @cached_property
    def tonight(self) -> list[Figure]:
        """Each figure as it was on that evening."""
        return [
            figure.known(float(column.mean()), float(column.std()))
            for figure, column in zip(self.model.figures, self.latents.T, strict=True)
        ]

    @cached_property
    def next_brew(self) -> list[tuple[float, float]]:
        """Mean and sd of each figure's latent on the next brew day."""
        kept = self.shares
        mean = kept * self.latents.mean(axis=0)
        sd = np.sqrt(np.square(kept) * self.latents.var(axis=0) + 1.0 - np.square(kept))
        return list(zip(mean.tolist(), sd.tolist(), strict=True))

    def next_latents(self, latents: Array) -> Array:
        """Draws of the next brew's figures that go with these of the evening."""
        new = np.random.default_rng((self.seed, STREAM)).standard_normal(latents.shape)
        out: Array = self.shares * latents + np.sqrt(1.0 - np.square(self.shares)) * new
        return out


def look_at_evening(
    brewery: Brewery,
    readings: Sequence[Reading] = (),
    *,
    litres: float | None = None,
    boil_minutes: float | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> EveningOutlook:
    """Outlook of an evening given the readings so far.

    Raises Refused for water or a boil that the kettle cannot have, an own figure that cannot be, or a reading
    that belongs to no step; NotConverged where the readings cannot be reconciled.
    """
    _refuse_impossible(brewery, litres, boil_minutes, draws, seed)
    refuse_house_figures(water_plan(LEAST_L), brewery)
    evening = evening_of(brewery, litres, boil_minutes)
    _refuse_boiled_dry(evening, brewery)
    seen = tied(readings, evening_places(evening, brewery), brewery)
    expected, model = EveningModel(evening, brewery), EveningModel(evening, brewery, seen)
    prior = standard_normal_latents(draws, len(model.figures), seed)
    latents, diagnostic = prior, None
    if seen:
        observed = [
            Observation(name=o.name, value=o.value, error=o.error, beyond=o.reading.beyond) for o in seen
        ]
        try:
            posterior = condition(model.readings_forecast, prior, observed, seed=seed)
        except NotConverged as stuck:
            named = {o.name: o.reading for o in seen}
            if not stuck.worst:
                raise
            raise NotConverged(
                irreconcilable(named[stuck.worst], len(seen), brewery), worst=stuck.worst
            ) from stuck
        latents, diagnostic = posterior.latents, posterior.diagnostic
    return EveningOutlook(
        evening=evening,
        brewery=brewery,
        readings=tuple(readings),
        expected=expected,
        model=model,
        prior=prior,
        latents=latents,
        seed=seed,
        diagnostic=diagnostic,
    )


def _share(model: EveningModel, k: int) -> float:
    """Share of a figure's variance between houses, where its spread is published or the brewer's own.

    A spread that the brewery file states holds the published scatter from brew to brew; only what is beyond
    that is a level that is not known.
    """
    one, figure, published = model.belongings[k], model.figures[k], model.published[k]
    if one is None or figure.scatter == 0.0:
        return 0.0
    if figure == published:
        return one.rule.share
    narrower = _latent_spread(published) / _latent_spread(figure)
    return min(max(1.0 - (1.0 - one.rule.share) * narrower**2, 0.0), one.rule.share)


def _latent_spread(figure: Figure) -> float:
    """Scatter of a figure where it is normal."""
    if figure.transform == "log":
        return figure.scatter / figure.level
    if figure.transform == "logit":
        return figure.scatter / (figure.level * (1.0 - figure.level))
    return figure.scatter


def _refuse_impossible(
    brewery: Brewery, litres: float | None, boil_minutes: float | None, draws: int, seed: int
) -> None:
    most_l = ROOM * brewery.vessels[brewery.kettle].capacity_l
    asked = (
        ("litres", litres, LEAST_L, most_l, "L"),
        ("boil", boil_minutes, LEAST_BOIL, MOST_BOIL, "min"),
        ("draws", draws, FEWEST, MOST_DRAWS, ""),
        ("seed", seed, 0, LARGEST_SEED, ""),
    )
    problems = [
        Problem(name, f"{given:g} {unit}".rstrip(), f"take {least:g} to {most:g} {unit}".rstrip())
        for name, given, least, most, unit in asked
        if given is not None and not least <= given <= most
    ]
    if problems:
        raise Refused(problems)


def _refuse_boiled_dry(evening: Evening, brewery: Brewery) -> None:
    """An element that boils itself dry burns out, and a kettle may."""
    whole = evening.first_l + evening.second_l
    rate = next(f.level for f in EveningModel(evening, brewery).figures if f.name == "boil_off_l_per_h")
    gone = rate * evening.boil_minutes / 60.0
    if gone > (1.0 - STAYS_WET) * whole:
        raise Refused(
            (
                Problem(
                    "boil",
                    f"{evening.boil_minutes:g} min boil about {gone:.1f} L of {whole:g} L away",
                    "take more water or a shorter boil, so that no element runs dry",
                ),
            )
        )
