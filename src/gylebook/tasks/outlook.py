"""Look ahead: solve what a plan leaves open, forecast it, and condition it on what was read.

In:  plan, brewery, readings, number of draws and seed.
Out: `Outlook`: the solved plan and joint draws of everything ahead, before or after the readings.

Idea: the one place where the model and the statistics meet.  A plan that was changed on the day is a row of
stages: each reading is compared with the plan that was followed when it was taken, and what lies ahead is run
on the last.  The same inputs and seed give the same outlook, bit for bit, today and in a year.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import BitternessBy, Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.boundary import Boundary, boundary
from gylebook.decide.remedies import position, still_ahead
from gylebook.decide.targets import Targets, targets
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.exchange.together import check_together
from gylebook.figures.draws import Array, Summary, standard_normal_latents, summarise
from gylebook.figures.figure import FigureDraws
from gylebook.gyle.course import Course
from gylebook.gyle.fermenting import day_name
from gylebook.gyle.forecast import Model
from gylebook.gyle.glass import details
from gylebook.gyle.house import ABSORPTION, figures_of, published_figures, unknown_house_figures
from gylebook.gyle.limits import Limit, limits
from gylebook.gyle.liquor import Liquor, knows_water, run_liquor
from gylebook.gyle.names import Named, named
from gylebook.gyle.observe import is_of_fermentation, observables
from gylebook.infer.condition import Diagnostic, condition
from gylebook.infer.likelihood import Forecast, Observation
from gylebook.tasks.reading_words import irreconcilable
from gylebook.tasks.solving import solve_or_explain

DRAWS, SEED = 4000, 1
FEWEST, MOST_DRAWS = 200, 100_000
LARGEST_SEED = 2**63 - 1  # what a book can keep


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A solved plan for as long as it was followed, and what was read meanwhile."""

    plan: Plan
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Outlook:
    """A forecast of one plan on one brewery.  What is costly is worked out when first asked for.

    `asked` is the plan as typed, `planned` as solved before the day, `plan` as it is followed now.
    `followed` were read of portions while they fermented: they are no part of the day, see `fermenting`.
    """

    asked: Plan
    planned: Plan
    plan: Plan
    brewery: Brewery
    readings: tuple[Reading, ...]
    followed: tuple[Reading, ...]
    models: tuple[Model, ...]
    prior: Array
    latents: Array
    seed: int
    diagnostic: Diagnostic | None

    @property
    def model(self) -> Model:
        """The plan as it is followed now, as a function of latents."""
        return self.models[-1]

    @cached_property
    def figures(self) -> FigureDraws:
        """Joint draws of all figures."""
        return self.model.draw(self.latents)

    @cached_property
    def course(self) -> Course:
        """Everything ahead, as joint draws."""
        return self.model.course(self.latents)

    @cached_property
    def draws(self) -> Named:
        """Every named number, as joint draws; the mash pH among them where the water is known."""
        numbers = named(self.course)
        if self.liquor is not None and self.liquor.mash_ph is not None:
            numbers["mash.ph"] = self.liquor.mash_ph
        return numbers

    @cached_property
    def numbers(self) -> dict[str, Summary]:
        """Every named number, summed up."""
        return {name: summarise(draws) for name, draws in self.draws.items()}

    @cached_property
    def details(self) -> dict[str, Summary]:
        """What drinker and bottler want to know of each portion, summed up."""
        found = details(self.plan, self.brewery, self.figures, self.course)
        return {name: summarise(draws) for name, draws in found.items()}

    @cached_property
    def liquor(self) -> Liquor | None:
        """The liquor and the mash pH; None where the water is not known."""
        known = knows_water(self.plan, self.brewery)
        return run_liquor(self.plan, self.brewery, self.figures) if known else None

    @cached_property
    def by_the_other_model(self) -> Outlook:
        """The same outlook with bitterness by the other of the two models."""
        other: BitternessBy = "trade rule" if self.plan.bitterness_by == "kinetics" else "kinetics"
        plan = replace(self.plan, bitterness_by=other)
        wider = standard_normal_latents(len(self.latents), len(figures_of(plan, self.brewery)), self.seed)
        shared = min(self.latents.shape[1], wider.shape[1])
        wider[:, :shared] = self.latents[:, :shared]
        planned = replace(self.planned, bitterness_by=other)
        models = (Model(plan, self.brewery),)
        return replace(self, plan=plan, planned=planned, models=models, latents=wider, prior=wider)

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """Every limit with its margin, but those of a step that the day has left behind."""
        found = limits(self.plan, self.brewery, self.figures, self.course)
        steps = [position(reading.step) for reading in self.readings]
        now = max(steps, default=0)
        return still_ahead(found, now)

    @cached_property
    def boundary(self) -> Boundary | None:
        """How much of this the brewery can carry, where not all of it."""
        if self.limits_kept and not self.readings:  # no need to solve it again
            return None
        return boundary(self.asked, self.brewery, self.prior)

    @cached_property
    def most(self) -> Boundary | None:
        """How much of this the brewery can carry, be it less or more than was asked."""
        return boundary(self.asked, self.brewery, self.prior, above=True)

    @cached_property
    def targets(self) -> Targets:
        """What each portion was to be, before anything was read."""
        return targets(self.planned, Model(self.planned, self.brewery).forecast(self.prior))

    @property
    def limits_kept(self) -> bool:
        """Whether every limit is kept with the odds the plan asks for."""
        return all(limit.odds_kept >= self.plan.aims.odds for limit in self.limits)


def look_ahead(
    plan: Plan,
    brewery: Brewery,
    readings: Sequence[Reading] = (),
    *,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Outlook:
    """Outlook of a plan given the readings so far.

    Raises Refused where plan, brewery and readings do not speak of the same things or an aim is missing,
    NotConverged where nothing meets the aims or the readings cannot be reconciled.
    """
    refuse_draws(draws, seed)
    check_together(plan, brewery)
    refuse_house_figures(plan, brewery)
    prior = standard_normal_latents(draws, len(figures_of(plan, brewery)), seed)
    stage = Stage(plan=solve_or_explain(plan, brewery, prior), readings=tuple(readings))
    return look_again(plan, (stage,), brewery, prior=prior, seed=seed)


def refuse_draws(draws: int, seed: int) -> None:
    """Raises Refused where so many futures cannot be drawn, or not from this seed."""
    problems = [
        Problem(name, f"{given}", f"take {least} to {most:,}")
        for name, given, least, most in (
            ("draws", draws, FEWEST, MOST_DRAWS),
            ("seed", seed, 0, LARGEST_SEED),
        )
        if not least <= given <= most
    ]
    if problems:
        raise Refused(problems)


def look_again(asked: Plan, stages: Sequence[Stage], brewery: Brewery, *, prior: Array, seed: int) -> Outlook:
    """Outlook of a plan that is solved already, given what was read on each of its stages."""
    models = models_of(stages, brewery)
    observed = observations_of(models)
    if not observed:
        latents, diagnostic = prior, None
    else:
        readings = {day_name(n, o.name): o.reading for n, model in enumerate(models) for o in model.seen}
        try:
            posterior = condition(readings_forecast(models), prior, observed, seed=seed)
        except NotConverged as stuck:
            if not stuck.worst:
                raise
            raise NotConverged(
                irreconcilable(readings[stuck.worst], len(readings), brewery), worst=stuck.worst
            ) from stuck
        latents, diagnostic = posterior.latents, posterior.diagnostic
    return Outlook(
        asked=asked,
        planned=stages[0].plan,
        plan=stages[-1].plan,
        brewery=brewery,
        readings=tuple(o.reading for model in models for o in model.seen),
        followed=tuple(
            reading for stage in stages for reading in stage.readings if is_of_fermentation(reading)
        ),
        models=models,
        prior=prior,
        latents=latents,
        seed=seed,
        diagnostic=diagnostic,
    )


def models_of(stages: Sequence[Stage], brewery: Brewery) -> tuple[Model, ...]:
    """The model of each stage, with what was read on it; what ferments is followed elsewhere."""
    tied = [observables(stage.readings, stage.plan, brewery) for stage in stages]
    return tuple(
        Model(stage.plan, brewery, [o for o in seen if not is_of_fermentation(o.reading)])
        for stage, seen in zip(stages, tied, strict=True)
    )


def observations_of(models: Sequence[Model]) -> list[Observation]:
    """Every reading of every stage, as inference takes it."""
    return [
        Observation(name=day_name(number, o.name), value=o.value, error=o.error, beyond=o.reading.beyond)
        for number, model in enumerate(models)
        for o in model.seen
    ]


def readings_forecast(models: Sequence[Model]) -> Forecast:
    """What the instruments would show, each reading under the plan that was followed then."""

    def forecast(latents: Array) -> dict[str, Array]:
        return {
            day_name(number, name): draws
            for number, model in enumerate(models)
            if model.seen
            for name, draws in model.readings_forecast(latents).items()
        }

    return forecast


def refuse_house_figures(plan: Plan, brewery: Brewery) -> None:
    """A house figure that no gyle has, or whose level or scatter cannot be, is refused."""
    known = ", ".join(figure.name for figure in published_figures(plan, brewery))
    problems = [
        Problem(f"house.{name}", "no figure has that name", f"the figures of this gyle are {known}")
        for name in unknown_house_figures(plan, brewery)
    ]
    for figure in published_figures(plan, brewery):
        own = brewery.house.get(figure.name)
        if own is None:
            continue
        try:
            replace(figure, level=own.level, scatter=own.scatter)
        except ValueError as impossible:
            problems.append(
                Problem(
                    f"house.{figure.name}",
                    str(impossible),
                    f"common is {figure.level:g} ± {figure.scatter:g} {figure.unit}",
                )
            )
    if {"retained_l_per_kg", ABSORPTION} <= set(brewery.house):
        problems.append(
            Problem(
                f"house.{ABSORPTION}",
                "stands beside retained_l_per_kg",
                "give one of them: they are two ways to say what the grain keeps",
            )
        )
    if problems:
        raise Refused(problems)
