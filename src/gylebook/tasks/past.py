"""Gather the brews of a book, each with what its readings say of its figures.

In:  an open book and the name of a brewery.
Out: a `Past` for each brew with readings, oldest first, and those that could not be used.

Idea: learning starts from the published levels, whatever the brewery file says of its house: figures that
were learned before came from the same readings, and would count twice.  A reading that fits nothing is set
aside and named, lest one slip of the pen widen every scatter.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from uuid import UUID

import numpy as np

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import NotConverged, Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.gyle.belonging import Belonging, belongings
from gylebook.gyle.forecast import Model
from gylebook.infer.likelihood import Forecast, Observation, Readings, readings_of
from gylebook.infer.straight import Line, misfits, published, straight
from gylebook.record.book import Book
from gylebook.tasks.brew_outlook import stages_of
from gylebook.tasks.outlook import Stage, models_of, observations_of, readings_forecast

FITS_NOTHING = 5.0  # sds from what all else says, beyond which a reading is set aside
SECONDS_A_YEAR = 31_557_600.0
SEED = 1  # of the lines; a brew's own seed would make two equal brews differ

Progress = Callable[[int, int], None]
"""Told how many of how many brews are done."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """What readings told of the figures of one day.

    `readings` are those that count, one for each residual of `line`.  Latents are in published
    spreads: no house figure of a brewery file went into them.
    """

    name: str
    when: float  # years
    belongings: tuple[Belonging | None, ...]
    readings: tuple[Reading, ...]
    set_aside: tuple[Reading, ...]
    told: Readings
    line: Line


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Past(Told):
    """One brew of the past."""

    plan: Plan
    brewery: Brewery
    model: Model
    errors: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gathered:
    """Every brew on one brewery; `unread` have no readings, `left_out` could not be looked at."""

    brewery: str
    text: str  # newest version of its file
    version: int
    pasts: tuple[Past, ...]
    unread: tuple[str, ...]
    left_out: tuple[str, ...]


def gather(book: Book, brewery: str | None, progress: Progress) -> Gathered:
    """All brews on a brewery, or on that of the newest brew.

    Raises Refused where there is none, or none with a reading.
    """
    versions = {version.id: version for version in book.breweries()}
    brews = book.brews()
    if not brews:
        raise Refused(
            (
                Problem(
                    "learn",
                    "there is no brew in this book",
                    "start one with gylebook brew start, write readings down, and learn from them",
                ),
            )
        )
    name = versions[brews[-1].brewery_id].name if brewery is None else brewery
    mine = [brew for brew in brews if versions[brew.brewery_id].name == name]
    if not mine:
        brewed_on = ", ".join(dict.fromkeys(versions[brew.brewery_id].name for brew in brews))
        raise Refused((Problem("brewery", f"“{name}”", f"was brewed on by none; there were: {brewed_on}"),))

    @cache
    def brewery_of(id: UUID) -> Brewery:
        kept = versions[id]
        found = read_brewery(kept.text, where=f"brewery “{kept.name}” version {kept.version}")
        return replace(found, house={})

    @cache
    def plan_of(id: UUID) -> Plan:
        kept = book.plan_version(id)
        return read_plan(kept.text, where=f"plan “{kept.name}” version {kept.version}")

    pasts: list[Past] = []
    unread: list[str] = []
    left_out: list[str] = []
    for done, brew in enumerate(mine):
        progress(done, len(mine))
        try:
            stages = stages_of(brew, book.events(brew.id), plan_of)
            past = past_brew(brew.name, brew.started_at, stages, brewery_of(brew.brewery_id))
        except NotConverged:
            left_out.append(brew.name)
            continue
        if past is None:
            unread.append(brew.name)
        else:
            pasts.append(past)
    progress(len(mine), len(mine))
    if not pasts:
        accepted = "write readings down with gylebook brew read; each of them teaches something"
        raise Refused((Problem("learn", f"no brew on “{name}” has a reading", accepted),))
    newest = max((v for v in versions.values() if v.name == name), key=lambda v: v.version)
    return Gathered(
        brewery=name,
        text=newest.text,
        version=newest.version,
        pasts=tuple(pasts),
        unread=tuple(unread),
        left_out=tuple(left_out),
    )


def past_brew(name: str, started_at: str, stages: Sequence[Stage], brewery: Brewery) -> Past | None:
    """One brew with its readings along a straight line; None where nothing was read.

    Raises NotConverged where the plan has no forecast over what is published.
    """
    models = models_of(stages, brewery)
    observations = observations_of(models)
    if not observations:
        return None
    readings = [seen.reading for model in models for seen in model.seen]
    kept, line = reconciled(readings_forecast(models), observations, len(models[-1].figures))
    counted = [observations[row] for row in kept]
    return Past(
        name=name,
        when=datetime.fromisoformat(started_at).timestamp() / SECONDS_A_YEAR,
        plan=stages[-1].plan,
        brewery=brewery,
        model=models[-1],
        belongings=belongings(stages[-1].plan, brewery),
        readings=tuple(readings[row] for row in kept),
        errors=tuple(seen.error for seen in counted),
        set_aside=tuple(reading for row, reading in enumerate(readings) if row not in kept),
        told=readings_of(readings_forecast(models), counted),
        line=line,
    )


def reconciled(forecast: Forecast, observations: Sequence[Observation], d: int) -> tuple[list[int], Line]:
    """The readings that count, by number, and their line over the published spreads.

    The one that fits worst is set aside, and again, until all the others fit.
    """
    before, kept = published(d), list(range(len(observations)))
    line = straight(readings_of(forecast, observations), before, seed=SEED)
    while True:
        off = np.abs(misfits(line, before))
        worst = int(np.argmax(off))
        if not off[worst] > FITS_NOTHING or len(kept) == 1:
            return kept, line
        del kept[worst]
        line = line.without(worst)
