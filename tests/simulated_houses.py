"""Invent houses whose figures are known, let them brew, and write their readings into a book.

A house is drawn from what is believed before any brew, its brews from the house, their readings from the
model with the instruments' own errors: so whatever is learned from the book can be held to the truth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np

from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.exchange.plan_writer import write_plan
from gylebook.figures.draws import Array
from gylebook.gyle.belonging import belongings
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import observables
from gylebook.infer.states import States, Ties
from gylebook.matter.extract import plato_from_sg
from gylebook.record.events import READING
from gylebook.record.replay import reading_body
from gylebook.record.store import new_book, open_book
from gylebook.tasks.learning import met
from gylebook.tasks.outlook import Stage, look_ahead
from gylebook.tasks.past import Gathered, past_brew

Place = tuple[str, str, str]
READ: tuple[Place, ...] = (
    ("mash", "temperature", "thermometer"),
    ("mash", "gravity", "refractometer"),
    ("lift", "mass", "scale"),
    ("preboil", "volume", "dipstick"),
    ("preboil", "gravity", "hydrometer"),
    ("boil end", "volume", "dipstick"),
    ("fermenters", "volume", "dipstick"),
    ("fermenters", "gravity", "hydrometer"),
)
EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
FIRST = datetime(2021, 3, 6, 9, tzinfo=UTC)


@dataclass(frozen=True, kw_only=True)
class House:
    """A house that is known: its states, logarithms of its scatters and memory, and how levels are made."""

    states: States
    at: Array
    logs: Array


@dataclass(frozen=True, kw_only=True)
class Day:
    """One brew to come: its plan and brewery as texts, and how many days after the first."""

    plan: str
    brewery: str
    after_days: float


def house_of(days: Sequence[Day], rng: np.random.Generator, families: set[str] | None = None) -> House:
    """A house drawn from what is believed before any brew, for the circumstances of these days."""
    everything = [one for day in days for one in belongings(*nouns(day)) if one is not None]
    chosen = [one for one in everything if families is None or one.family in families]
    ties = {
        one.family: Ties(
            share=one.rule.share,
            near=one.rule.tied_gear,
            far=one.rule.tied_kind,
            turns=one.rule.measure is not None,
        )
        for one in chosen
    }
    states = States(ties, met(chosen, np.arange(len(chosen))))
    before = states.house()
    return House(
        states=states,
        at=np.linalg.cholesky(before.start) @ rng.standard_normal(states.count),
        logs=before.middle + before.spread * rng.standard_normal(len(before.middle)),
    )


def nouns(day: Day) -> tuple[Plan, Brewery]:
    """Plan and brewery of a day, the brewery's own house figures left out."""
    return read_plan(day.plan, where="plan"), replace(read_brewery(day.brewery, where="brewery"), house={})


def latents_of(house: House, day: Day, at: Array, rng: np.random.Generator) -> Array:
    """Latents of one brew: the house's level and the brew's scatter, or the brew's own."""
    found = belongings(*nouns(day))
    latents = rng.standard_normal(len(found))
    for column, one in enumerate(found):
        if one is None or not house.states.knows(one.family):
            continue
        (place,) = met(found, np.array([column]))
        scatter = house.states.family([place])[0]
        spread = np.exp(house.logs[scatter]) if scatter >= 0 else 0.0
        latents[column] = (house.states.made_of([place]) @ at)[0] + spread * latents[column]
    return latents


def drifted(house: House, at: Array, days: float, rng: np.random.Generator) -> Array:
    """The states some days later."""
    kept = np.exp(-days / 365.25 / np.exp(house.logs[-1]))
    root = np.linalg.cholesky(house.states.house().start)
    return kept * at + np.sqrt(1.0 - kept**2) * root @ rng.standard_normal(len(at))


def brewed(
    house: House, days: Sequence[Day], rng: np.random.Generator, read: Sequence[Place] = READ
) -> tuple[Gathered, Array]:
    """These days as they would be gathered from a book, and the states at the end."""
    at, pasts, before = house.at, [], 0.0
    for number, day in enumerate(days):
        at = drifted(house, at, day.after_days - before, rng)
        before = day.after_days
        plan, brewery = nouns(day)
        readings = readings_of(plan, brewery, latents_of(house, day, at, rng), rng, read)
        past = past_brew(f"brew {number + 1}", started(day), [Stage(plan=plan, readings=readings)], brewery)
        assert past is not None
        pasts.append(past)
    gathered = Gathered(
        brewery="invented", text=days[-1].brewery, version=1, pasts=tuple(pasts), unread=(), left_out=()
    )
    return gathered, at


def write_book(
    location: str,
    house: House,
    days: Sequence[Day],
    rng: np.random.Generator,
    read: Sequence[Place] = READ,
    *,
    new: bool = True,
) -> Array:
    """Brew these days into a new book, or one that is there; the states at the end."""
    if new:
        new_book(location)
    at, before = house.at, 0.0
    with open_book(location) as book:
        for number, day in enumerate(days):
            at = drifted(house, at, day.after_days - before, rng)
            before = day.after_days
            plan, brewery = nouns(day)
            kept = book.keep_plan(plan.name, day.plan)
            gear = book.keep_brewery(brewery.name, day.brewery)
            with book.all_or_nothing():
                brew = book.start_brew(f"brew {number + 1}", kept.id, gear.id, 1, 400, started(day), "0")
                for reading in readings_of(plan, brewery, latents_of(house, day, at, rng), rng, read):
                    book.write_event(brew.id, READING, reading_body(reading), started(day))
    return at


def started(day: Day) -> str:
    """When the brew of a day began."""
    return (FIRST + timedelta(days=day.after_days)).isoformat()


def readings_of(
    plan: Plan, brewery: Brewery, latents: Array, rng: np.random.Generator, read: Sequence[Place]
) -> tuple[Reading, ...]:
    """What the instruments show of a brew with these latents."""
    asked = [Reading(step=s, quantity=q, value=12.0, instrument=i) for s, q, i in read]  # type: ignore[arg-type]
    model = Model(plan, brewery, observables(asked, plan, brewery))
    shown = model.readings_forecast(np.asfortranarray(latents[None]))
    out = []
    for seen in model.seen:
        value = float(shown[seen.name][0] + seen.error * rng.standard_normal())
        if seen.instrument.kind == "hydrometer":
            value = float(plato_from_sg(value))
        out.append(replace(seen.reading, value=value))
    return tuple(out)


SHED = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")


@cache
def amber(size: float = 1.0, brewery: str = SHED) -> str:
    """The example gyle, solved, at its own size or another."""
    plan = read_plan((EXAMPLE / "plan.toml").read_bytes(), where="plan.toml")
    aims = replace(plan.aims, volume_l=size * (plan.aims.volume_l or 0.0))
    plan = replace(plan, aims=aims)
    return write_plan(look_ahead(plan, read_brewery(brewery, where="brewery"), draws=400).plan)


def days(count: int, apart: float = 21.0) -> list[Day]:
    """The example gyle so many times, three weeks apart."""
    return [Day(plan=amber(), brewery=SHED, after_days=apart * number) for number in range(count)]


def changed(text: str, *changes: tuple[str, str]) -> str:
    """The text with each (old, new) put in once."""
    for old, new in changes:
        if old not in text:
            raise ValueError(f"{old!r} is not in the file")
        text = text.replace(old, new, 1)
    return text
