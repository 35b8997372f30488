"""Fit one portion's fermentation to what was read of it.

In:  an `Outlook` with readings of portions in fermentation, a portion's key, when it was pitched.
Out: `FermentOutlook`: joint draws of the day and of the curve, given all readings.

Idea: the curve is one more forecast.  Day and curve are conditioned together, so that the end is the forecast
final gravity until readings say otherwise, and both instruments keep their biases.  A fermentation may end as
expected, stop early or go further, at its usual pace or slowly: each way is fitted by itself and all are
mixed by their odds, as one posterior with several tops would be reached by no sampler surely.  Where the last
readings lie on one side of the curve by more than chance, beer has left it: the model's own error is widened
and the fit repeated, so that it claims less.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

import numpy as np

from gylebook.brewery.instruments import Reading
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.figures.draws import Array, standard_normal_latents
from gylebook.gyle.fermenting import (
    MODEL_SD,
    ODDS,
    Curve,
    Fermentation,
    Followed,
    Warmth,
    error_shown,
    portion_of,
)
from gylebook.gyle.observe import FERMENT, observables
from gylebook.infer.condition import Diagnostic, Posterior, condition
from gylebook.infer.laplace import Mode, at_centre, climb_on, find_mode, judged
from gylebook.infer.likelihood import Observation, Readings, readings_of
from gylebook.infer.slips import likeliest
from gylebook.tasks.moments import LONGEST_DAYS, hours_between, moment_of
from gylebook.tasks.outlook import Outlook, observations_of
from gylebook.tasks.reading_words import irreconcilable, place_in_words

LEAST_RUN = 3  # readings on one side of the curve
BY_CHANCE = 1.645  # sds of their mean; one such run in ten comes by chance
WIDEST_SD = 1.0  # °P
LEAST_ODDS = 0.01  # of a way, below which it is not worth its fit
STREAM = 7_302  # keeps these random numbers apart from others of the same seed


@dataclass(frozen=True, kw_only=True, eq=False)
class FermentOutlook:
    """One portion's curve given all readings.

    `off_sd` is how far each gravity lies off it, in its own sd; `misfit_sd` how far from what all others say,
    in sds of that, by the likeliest way (`infer.condition.Misfit`).  `model_sd` is how far beer was taken to
    leave the curve [°P], `widened` whether that is more than usual.
    """

    outlook: Outlook
    key: str
    pitched: datetime
    fermentation: Fermentation
    latents: Array
    diagnostic: Diagnostic
    off_sd: tuple[float, ...]
    misfit_sd: tuple[float, ...]
    model_sd: float
    widened: bool

    @cached_property
    def curve(self) -> Curve:
        """Joint draws of the curve."""
        return self.fermentation.curve(self.latents)

    @property
    def followed(self) -> tuple[Followed, ...]:
        """The gravities read, in time."""
        return self.fermentation.followed

    @property
    def last_h(self) -> float:
        """When the last gravity was read. [h since pitching]"""
        return self.followed[-1].hours if self.followed else 0.0


def follow(outlook: Outlook, key: str, pitched: str | None = None) -> FermentOutlook:
    """The curve of the portion `key`, pitched at that moment, or when its filling was read.

    Raises Refused where there is no such portion or a moment is missing, NotConverged where the readings
    cannot be reconciled.
    """
    known = [portion.key for portion in outlook.plan.portions]
    if key not in known:
        raise Refused((Problem("portion", f"“{key}”", f"the portions are {', '.join(known)}"),))
    began = _pitched(outlook, key, pitched)
    followed, warmth = _in_time(outlook, key, began)
    fermentation = Fermentation(outlook.models, key, warmth, followed)
    columns = fermentation.day + len(fermentation.figures)
    own = standard_normal_latents(len(outlook.prior), columns, outlook.seed)[:, fermentation.day :]
    prior = np.asfortranarray(np.concatenate([outlook.prior, own], axis=1))
    found = _fitted(outlook, key, began, fermentation, prior, MODEL_SD)
    widened = _widened_sd(found)
    if widened is None:
        return found
    return replace(_fitted(outlook, key, began, fermentation, prior, widened), widened=True)


def _fitted(
    outlook: Outlook, key: str, began: datetime, fermentation: Fermentation, prior: Array, model_sd: float
) -> FermentOutlook:
    """Every way that the readings leave possible, mixed by its odds."""
    scales = fermentation.shown_per_plato(prior)
    observed = [
        Observation(
            name=read.observable.name,
            value=read.observable.value,
            error=error_shown(read, scales[read.observable.name], model_sd),
        )
        for read in fermentation.followed
    ]
    observations = [*observations_of(fermentation.models), *observed]
    chances = _odds_of_ways(fermentation, observations, prior.shape[1])
    found: dict[int, Posterior] = {}
    for way, chance in enumerate(chances):
        if chance < LEAST_ODDS:
            continue
        try:
            forecast = fermentation.going(way).readings_forecast
            found[way] = condition(forecast, prior, observations, seed=outlook.seed)
        except NotConverged as stuck:  # an unlikely way without an answer is left out, the likeliest is not
            if chance == max(chances):
                raise _worded(stuck, fermentation, len(observations), outlook) from stuck
    kept = np.array([chances[way] for way in found])
    which = np.random.default_rng((outlook.seed, STREAM)).choice(
        list(found), size=len(prior), p=kept / kept.sum()
    )
    latents = np.empty_like(prior)
    shown = {read.observable.name: np.empty(len(prior)) for read in fermentation.followed}
    for way, posterior in found.items():
        rows = which == way
        latents[rows] = posterior.latents[rows]
        there = fermentation.going(way).readings_forecast(latents[rows])
        for name, draws in shown.items():
            draws[rows] = there[name]
    diagnostic = found[max(found, key=lambda way: chances[way])].diagnostic
    return FermentOutlook(
        outlook=outlook,
        key=key,
        pitched=began,
        fermentation=fermentation.going(which),
        latents=latents,
        diagnostic=diagnostic,
        off_sd=_off(shown, observed),
        misfit_sd=tuple(
            misfit.from_rest for misfit in diagnostic.misfits[len(observations) - len(observed) :]
        ),
        model_sd=model_sd,
        widened=False,
    )


def _odds_of_ways(
    fermentation: Fermentation, observations: Sequence[Observation], columns: int
) -> tuple[float, ...]:
    """Odds of each way given the readings: how high and how wide its posterior is at the mode (Laplace)."""
    if not observations:
        return ODDS
    logs = []
    for way, before in enumerate(ODDS):
        mode = _likeliest_mode(readings_of(fermentation.going(way).readings_forecast, observations), columns)
        _, narrowed = np.linalg.slogdet(mode.covariance())
        logs.append(math.log(before) + mode.height + 0.5 * float(narrowed))
    raw = np.exp(np.array(logs) - max(logs))
    return tuple(float(part) for part in raw / raw.sum())


def _likeliest_mode(readings: Readings, columns: int) -> Mode:
    """The most probable latents, readings that nothing explains taken for slips."""
    start = at_centre(readings, columns)
    readings = readings.with_floors(start.slope)
    mode = find_mode(readings, start)
    kept = likeliest(readings, mode)
    if kept.all():
        return mode
    some = readings.keeping(kept)
    return climb_on(some, judged(some, mode))


def _worded(stuck: NotConverged, fermentation: Fermentation, count: int, outlook: Outlook) -> NotConverged:
    """Why it could not be fitted, told by the reading that fits worst where that is one of this portion."""
    readings = {read.observable.name: read.observable.reading for read in fermentation.followed}
    if stuck.worst not in readings:
        return stuck
    return NotConverged(irreconcilable(readings[stuck.worst], count, outlook.brewery), worst=stuck.worst)


def _off(shown: Mapping[str, Array], observed: Sequence[Observation]) -> tuple[float, ...]:
    """How far each gravity lies from the middle of the fitted curve, in its own sd."""
    return tuple((seen.value - float(np.median(shown[seen.name]))) / seen.error for seen in observed)


def _widened_sd(found: FermentOutlook) -> float | None:
    """The model's error once more [°P], where the last gravities lie on one side of the curve; else None.

    Their mean misfit is then what the curve gets wrong, and no error of reading.
    """
    run: list[float] = []
    for off in reversed(found.off_sd):
        if run and off * run[0] <= 0.0:
            break
        run.append(off)
    mean = float(np.mean(run)) if run else 0.0
    if len(run) < LEAST_RUN or abs(mean) * math.sqrt(len(run)) < BY_CHANCE:
        return None
    scales = found.fermentation.shown_per_plato(found.latents)
    last = found.followed[-len(run) :]
    sds = [
        error_shown(read, scale, found.model_sd) / abs(scale)
        for read in last
        for scale in [scales[read.observable.name]]
    ]
    return min(math.hypot(found.model_sd, mean * float(np.mean(sds))), WIDEST_SD)


def followed_portion(step: str) -> str | None:
    """Key of the portion that is read at such a step while it ferments; None of any other step."""
    stem, _, last = step.rpartition(" ")
    return stem.removeprefix("portion.") if last == FERMENT and stem.startswith("portion.") else None


def _in_time(outlook: Outlook, key: str, began: datetime) -> tuple[tuple[Followed, ...], Warmth]:
    """Gravities of the portion by the hour, and the warmth of its beer as read, else as planned."""
    step = f"portion.{key} {FERMENT}"
    readings = [reading for reading in outlook.followed if reading.step == step]
    problems: list[Problem] = []
    timed: list[tuple[float, Reading]] = []
    for reading in readings:
        where = f"at, {place_in_words(reading)}"
        try:
            hours = hours_between(began, moment_of(reading.at, where))
        except Refused as refused:
            problems += refused.problems
            continue
        if not 0.0 <= hours <= 24.0 * LONGEST_DAYS:
            said = f"“{reading.at}” is {hours / 24.0:.1f} days after pitching"
            problems.append(Problem(where, said, f"it must be 0 to {LONGEST_DAYS:,}; check both moments"))
        timed.append((hours, reading))
    if problems:
        raise Refused(problems)
    timed.sort(key=lambda pair: pair[0])
    tied = observables([reading for _, reading in timed], outlook.plan, outlook.brewery)
    followed = tuple(
        Followed(observable=replace(seen, name=f"{FERMENT}.{number}"), hours=hours)
        for number, (seen, (hours, reading)) in enumerate(zip(tied, timed, strict=True))
        if reading.quantity == "gravity"
    )
    warm = [(hours, reading.value) for hours, reading in timed if reading.quantity == "temperature"]
    warm = warm or [(0.0, portion_of(outlook.plan, key).ferment_c)]
    return followed, Warmth(*(np.array(column) for column in zip(*warm, strict=True)))


def pitched_as_read(outlook: Outlook, key: str) -> datetime | None:
    """When the portion's filling, or that of all, was last read; None where no such reading has a date."""
    for step in (f"portion.{key}", "fermenters"):
        for reading in reversed(outlook.readings):
            if reading.step == step:
                try:
                    return moment_of(reading.at, "at")
                except Refused:
                    continue
    return None


def _pitched(outlook: Outlook, key: str, given: str | None) -> datetime:
    """When the yeast went in: as said, else when the portion's filling, or that of all, was last read."""
    if given is not None:
        return moment_of(given, "--pitched")
    read = pitched_as_read(outlook, key)
    if read is not None:
        return read
    raise Refused(
        (
            Problem(
                "--pitched",
                "is not given, and no reading of the filled fermenter has a date",
                "say when the yeast went in, like 2026-11-20T18:00",
            ),
        )
    )
