"""Tell a calibration evening: its steps, the readings that pay, and each figure before and after them.

In:  an `EveningOutlook`.
Out: `EveningView` for faces; the brewery file with what was learned.

Idea: a reading pays by what it takes off the next brew's figures, so the handful worth taking is ranked on
draws of those; beyond it nothing need be read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gylebook.brewery.instruments import Instrument, Reading
from gylebook.brewery.site import HouseFigure
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.house_writer import with_house
from gylebook.figures.draws import Array, summarise
from gylebook.gyle.evening import instrument_at_hand
from gylebook.gyle.evening_places import evening_places, evening_steps
from gylebook.gyle.observe import Observable, Place, shown
from gylebook.gyle.steps import Step
from gylebook.infer.worth import rank_readings
from gylebook.tasks.evening import EveningOutlook
from gylebook.tasks.evening_words import detail_of, title_of
from gylebook.tasks.past import FITS_NOTHING
from gylebook.tasks.reading_words import reading_in_words
from gylebook.tasks.texts import text_of, write_new
from gylebook.tasks.views import AmountView, OrderView, ReadingAsked, StepView, WorthView

MOST_WORTH, LEAST_WORTH = 8, 0.02  # readings, and the share that one must take off some figure's spread
INFORMS = 0.02  # share of a figure's variance that the readings must take away for it to be told


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugedView:
    """One figure of the gear: before, on that evening, and for the next brew; level and scatter.

    `spread_gone` is the share of the scatter before that is gone for the next brew.
    """

    name: str
    unit: str
    before: HouseFigure
    tonight: HouseFigure
    next_brew: HouseFigure
    spread_gone: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningView:
    """The whole evening.

    `too_slow` tells that heating takes longer than the brewer's patience; `stated` are the gear's figures
    that start from what the brewery file states, `untold` those of which no reading told.
    """

    brewery: str
    order: OrderView
    worth: tuple[WorthView, ...]
    too_slow: bool
    stated: tuple[str, ...]
    figures: tuple[GaugedView, ...]
    untold: tuple[str, ...]


def evening_view(outlook: EveningOutlook) -> EveningView:
    """Everything that a brewer is told of an evening."""
    figures = tuple(_gauged(outlook)) if outlook.readings else ()
    told = {figure.name for figure in figures}
    gear = [f.name for f, one in zip(outlook.model.figures, outlook.model.belongings, strict=True) if one]
    return EveningView(
        brewery=outlook.brewery.name,
        order=OrderView(name=outlook.brewery.name, steps=tuple(_steps(outlook))),
        worth=readings_that_pay(outlook),
        too_slow=float(np.median(outlook.ahead["evening.heat_min"])) > outlook.brewery.patience_heat_min,
        stated=tuple(name for name in gear if name in outlook.brewery.house),
        figures=figures,
        untold=tuple(name for name in gear if name not in told) if figures else (),
    )


def readings_that_pay(outlook: EveningOutlook) -> tuple[WorthView, ...]:
    """Readings not yet taken, the one that tells most first, each counted beyond those above it.

    The biases of scale, clock and thermometer are no aim of their own; that of the marks is.
    """
    model, rows = outlook.model, len(outlook.latents)
    wanted = [
        k
        for k, one in enumerate(model.belongings)
        if one and (not one.family.startswith("instrument.") or _of_marks(outlook, one.family))
    ]
    asked = {where for step in _laid_out(outlook) for where in step.read}
    left = asked - {(reading.step, reading.quantity) for reading in outlook.readings}
    ahead = [(place, seen) for place, seen in _imagined(outlook) if (place.step, place.quantity) in left]
    if not ahead:
        return ()
    figures, numbers = model.draw(outlook.latents), model.forecast(outlook.latents)
    ranked = rank_readings(
        outlook.next_latents(outlook.latents).T[wanted],
        np.array([np.broadcast_to(shown(seen, numbers, figures), (rows,)) for _, seen in ahead]),
        np.array([seen.error for _, seen in ahead]),
        MOST_WORTH,
    )
    names = [model.figures[k].name for k in wanted]
    views = (
        WorthView(
            step=ahead[worth.index][0].step,
            quantity=ahead[worth.index][0].quantity,
            instrument=ahead[worth.index][1].instrument.name,
            narrows=dict(zip(names, worth.removed.tolist(), strict=True)),
        )
        for worth in ranked
    )
    return tuple(view for view in views if view.most >= LEAST_WORTH)


def gauged_text(outlook: EveningOutlook, view: EveningView, typed: str, where: str) -> str:
    """The brewery file, as `typed`, with the figures of the gear that the readings told of.

    Raises Refused where they told of none, or one of them fits nothing else.
    """
    if not view.figures:
        accepted = "give readings of an evening, with -r; these tell nothing of the gear"
        raise Refused((Problem("evening", "there is nothing to write", accepted),))
    _refuse_misfits(outlook)
    text = with_house(
        typed,
        {figure.name: figure.next_brew for figure in view.figures},
        {figure.name: figure.unit for figure in view.figures},
        where=where,
        note="from a calibration evening",
    )
    read_brewery(text, where="the brewery with what was learned")  # what is written must be read
    return text


def _refuse_misfits(outlook: EveningOutlook) -> None:
    """What is written stays for every plan to come, so a slip of the pen must not go in."""
    found = outlook.diagnostic
    pairs = zip(outlook.readings, found.misfits, strict=True) if found is not None else ()
    problems = [
        Problem(
            reading_in_words(reading, outlook.brewery),
            "fits nothing else, so nothing was written",
            "check it and its unit, or leave it out",
        )
        for reading, misfit in pairs
        if abs(misfit.from_rest) > FITS_NOTHING
    ]
    if problems:
        raise Refused(problems)


def write_gauged(outlook: EveningOutlook, view: EveningView, path: Path, out: Path) -> None:
    """Write it to a new file."""
    write_new(out, gauged_text(outlook, view, text_of(path).decode(), str(path)))


def _gauged(outlook: EveningOutlook) -> Iterator[GaugedView]:
    """The figures of the gear that some reading told of."""
    variance = outlook.latents.var(axis=0)
    for k, (figure, one) in enumerate(zip(outlook.model.figures, outlook.model.belongings, strict=True)):
        if one is None or outlook.shares[k] == 0.0 or variance[k] > 1.0 - INFORMS:
            continue
        mean, sd = outlook.next_brew[k]
        tonight, following = outlook.tonight[k], figure.known(mean, sd)
        yield GaugedView(
            name=figure.name,
            unit=figure.unit,
            before=HouseFigure(level=figure.level, scatter=figure.scatter),
            tonight=HouseFigure(level=tonight.level, scatter=tonight.scatter),
            next_brew=HouseFigure(level=following.level, scatter=following.scatter),
            spread_gone=1.0 - sd,
        )


def _of_marks(outlook: EveningOutlook, family: str) -> bool:
    key = family.removeprefix("instrument.").removesuffix(".bias")
    return outlook.brewery.instruments[key].kind == "dipstick"


def _imagined(outlook: EveningOutlook) -> list[tuple[Place, Observable]]:
    """Every place of the evening with the instrument at hand for it."""
    out = []
    for place in evening_places(outlook.evening, outlook.brewery):
        instrument = instrument_at_hand(outlook.brewery, place.quantity)
        if instrument is not None:
            out.append((place, _observable(place, instrument)))
    return out


def _observable(place: Place, instrument: Instrument) -> Observable:
    reading = Reading(step=place.step, quantity=place.quantity, value=0.0, instrument=instrument.key)
    return Observable(
        name="imagined",
        reading=reading,
        place=place,
        instrument=instrument,
        value=0.0,
        error=instrument.error,
    )


def _laid_out(outlook: EveningOutlook) -> tuple[Step, ...]:
    minutes = {
        name: float(np.median(np.asarray(draws)))
        for name, draws in outlook.ahead.items()
        if name.endswith("_min")
    }
    return evening_steps(outlook.evening, outlook.brewery, minutes)


def _steps(outlook: EveningOutlook) -> Iterator[StepView]:
    brewery, figures = outlook.brewery, outlook.expected.draw(outlook.prior)
    asked: dict[tuple[str, str], ReadingAsked] = {
        (place.step, place.quantity): ReadingAsked(
            step=place.step,
            quantity=place.quantity,
            instrument=seen.instrument.name,
            expected=summarise(_plain(shown(seen, outlook.ahead, figures))),
        )
        for place, seen in _imagined(outlook)
    }
    fires = {source.key: source.name for source in brewery.heat_sources}
    for step in _laid_out(outlook):
        yield StepView(
            key=step.key,
            title=title_of(step),
            start_min=step.start_min,
            minutes=step.minutes,
            detail=detail_of(step),
            amounts=tuple(
                AmountView(what=a.what, amount=a.amount, dimension=a.dimension) for a in step.amounts
            ),
            reading=tuple(asked[where] for where in step.read if where in asked),
            cautions=step.cautions,
            heat_source=fires[step.heat_source] if step.heat_source else None,
            vessel=brewery.vessels[step.vessel].name if step.vessel else None,
        )


def _plain(value: Array | float) -> Array:
    return np.asarray(value, dtype=np.float64)
