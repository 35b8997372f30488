"""Begin a book: a brewery from one of the usual shapes, and a first beer for it.

In:  the texts of a form, field by field.
Out: `Begun`: names of the brewery and the plan that are now in the book; `Refused` with the field of every
     problem.

Idea: the form writes the same two files that a brewer would write by hand, and their own readers judge
them; a problem's place in the file leads back to the field.  Nothing is kept before the beer has a forecast.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, QuantityRefused, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.drafts import Field, path_in, with_fields
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.units import Dimension, read
from gylebook.record.book import Book
from gylebook.record.store import open_book
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.own_tables import book_tables
from gylebook.tasks.starting_beers import BEERS, Beer
from gylebook.tasks.starting_shapes import SHAPES, Both, Shape, System, of_system, refilled

__all__ = ["BEERS", "SHAPES", "Beer", "Begun", "Shape", "System", "begin", "refilled", "texts_of"]

ROOM = 1.35  # capacity of a fermenter for each litre aimed at: more may come, and it foams
MOST_FERMENTERS = 20
STEEPED_IN_L_PER_KG = 4.0
EXTRACT_LOOKS, LOOK_DRAWS = 3, 400
FIRST_KG_PER_L = 0.13  # of dry extract, where the search for its mass begins

# The field of the form that each field of the two files comes from; the first path names it.
OF_BREWERY: dict[str, tuple[str, ...]] = {
    "brewery": ("name",),
    "altitude": ("altitude",),
    "room": ("room_temperature",),
    "tap": ("liquor_temperature", "chiller.tap"),
    "kettle": ("vessels.kettle.capacity",),
    "across": ("vessels.kettle.diameter",),
    "second": ("vessels.second.capacity",),
    "heat": ("heat_sources.fire.kind",),
    "power": ("heat_sources.fire.power",),
    "chiller": ("chiller.kind",),
    "surface": ("chiller.area",),
    "bag": ("bag.mass",),
    "lift": ("bag.hoist",),
    "marks": ("instruments.dipstick.error",),
    "hydrometer": ("instruments.hydrometer.calibrated",),
}
OF_PLAN: dict[str, tuple[str, ...]] = {
    "beer": ("name",),
    "litres": ("aims.fermenters",),
    "gravity": ("aims.gravity",),
    "bitterness": ("aims.bitterness",),
}
SECOND_NAMES = {"rinse": "second pot", "tun": "mash tun"}
BREWERY, PLAN = "brewery", "plan"
MEASURES = {"kg": Dimension.MASS, "g": Dimension.MASS, "L": Dimension.VOLUME}


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """What a first run put into the book."""

    brewery: str
    plan: str


def begin(location: str, typed: Mapping[str, str]) -> Begun:
    """Keep a brewery and a first plan, if they can be read and lead to a forecast.

    `typed` holds `shape` and `kind` (of beer) besides the fields; a field left empty is not stated, and a
    gravity or bitterness left empty is that of the kind of beer.  The plan is written in its `system` of
    units, metric unless it says “us”.
    Raises Refused, its problems placed by field, or NotConverged; nothing is written then.
    """
    given = {name: " ".join(text.split()) for name, text in typed.items()}
    shape, beer = _chosen(given)
    with open_book(location) as book:
        brewery_text, plan_text = texts_of(shape, beer, given)
        brewery, plan = _read(brewery_text, plan_text, book)
        if shape.process == "extract only":
            plan_text = _with_extract(plan_text, beer, plan, brewery, book, _system(given))
            plan = read_plan(plan_text, where=PLAN, tables=book_tables(book))
        look_ahead(plan, brewery, draws=LOOK_DRAWS)
        _refuse_taken(book, brewery, brewery_text, plan, plan_text)
        with book.all_or_nothing():
            book.keep_brewery(brewery.name, brewery_text)
            book.keep_plan(plan.name, plan_text, note="a first beer")
    return Begun(brewery=brewery.name, plan=plan.name)


def texts_of(shape: Shape, beer: Beer, given: Mapping[str, str]) -> tuple[str, str]:
    """The brewery file and the plan file that these fields state."""
    count, each_l = _fermenters(given)
    return _brewery_text(shape, given, count), _plan_text(shape, beer, given, count, each_l)


def _chosen(given: Mapping[str, str]) -> tuple[Shape, Beer]:
    problems = []
    if given.get("shape") not in SHAPES:
        problems.append(Problem("shape", "none is chosen", f"choose one of {', '.join(SHAPES)}"))
    if given.get("kind") not in BEERS:
        problems.append(Problem("kind", "none is chosen", f"choose one of {', '.join(BEERS)}"))
    if problems:
        raise Refused(problems)
    return SHAPES[given["shape"]], BEERS[given["kind"]]


def _system(given: Mapping[str, str]) -> System:
    return "us" if given.get("system") == "us" else "metric"


def _fermenters(given: Mapping[str, str]) -> tuple[int, float | None]:
    """How many there are, and what one holds where that can be read; the file's reader judges it later."""
    text = given.get("fermenters", "")
    if not text.isdecimal() or not 1 <= int(text) <= MOST_FERMENTERS:
        accepted = f"a whole number from 1 to {MOST_FERMENTERS}"
        raise Refused([Problem("fermenters", f"“{text}”", accepted)])
    try:
        return int(text), read(given.get("fermenter", ""), Dimension.VOLUME)
    except QuantityRefused:
        return int(text), None


def _brewery_text(shape: Shape, given: Mapping[str, str], count: int) -> str:
    second = shape.second
    fields: dict[str, Field] = {"name": given.get("brewery", ""), "kettle": "kettle"}
    if second is not None:
        fields[second] = "second"
    stated = {
        path: given[name]
        for name, paths in OF_BREWERY.items()
        for path in paths
        if given.get(name) and _has(shape, given, name)
    }
    fields |= {path: text for path, text in stated.items() if "." not in path}
    fields["vessels.kettle.name"] = "kettle"
    if second is not None:
        fields["vessels.second.name"] = SECOND_NAMES[second]
        if second == "tun":
            fields |= {"vessels.second.may_be_heated": False, "vessels.second.insulated": True}
    fields |= {path: text for path, text in stated.items() if "." in path}
    fields["heat_sources.fire.name"] = "fire under the kettle"
    if given.get("heat") == "element":
        fields["heat_sources.fire.name"] = "element in the kettle"
    fields["heat_sources.fire.vessels"] = ["kettle", "second"] if second == "rinse" else ["kettle"]
    if given.get("chiller") == "none":
        fields["chiller.kind"] = "none"
    for number in range(1, count + 1):
        fields[f"fermenters.no {number}.name"] = f"fermenter {number}"
        fields[f"fermenters.no {number}.capacity"] = given.get("fermenter", "")
    for kind in ("dipstick", "hydrometer"):
        if any(path.startswith(f"instruments.{kind}.") for path in fields):
            fields[f"instruments.{kind}.kind"] = kind
    return _spaced(with_fields("", fields, where=BREWERY))


def _has(shape: Shape, given: Mapping[str, str], name: str) -> bool:
    """Whether gear of this shape has such a thing at all."""
    if name in ("bag", "lift"):
        return shape.has_bag
    if name == "second":
        return shape.second is not None
    return name != "surface" or given.get("chiller") != "none"


def _plan_text(shape: Shape, beer: Beer, given: Mapping[str, str], count: int, each_l: float | None) -> str:
    fields: dict[str, Field] = {
        "name": given.get("beer", "") or f"First {beer.key}",
        "aims.fermenters": given.get("litres", ""),
        "aims.gravity": given.get("gravity", "") or beer.gravity,
        "aims.bitterness": given.get("bitterness", "") or beer.bitterness,
        "process.kind": shape.process,
    }
    if shape.drain is not None:
        fields["process.drain"] = shape.drain
    litres, system = _litres(given), _system(given)
    ferment_at = of_system(beer.ferment_at, system)
    if shape.process == "extract only":
        fields |= _extract_fields(beer, litres * FIRST_KG_PER_L, system)
    else:
        for number, (grain, share) in enumerate(beer.grist):
            fields |= {f"grist.{number}.grain": grain, f"grist.{number}.share": f"{share} %"}
        fields |= {"mash.0.temperature": of_system(beer.mash, system), "mash.0.time": "60 min"}
    fields["boil.time"] = "60 min"
    for number, (variety, minutes, share) in enumerate(beer.hops):
        fields |= {
            f"hops.{number}.variety": variety,
            f"hops.{number}.time": f"{minutes} min",
            f"hops.{number}.bitterness_share": f"{share} %",
        }
    fields["chill.to"] = ferment_at
    fields |= _portion_fields(beer, ferment_at, fields["name"], litres, count, each_l)
    if shape.process == "extract only" and beer.steeped is not None:
        grain, grams = beer.steeped
        kilograms = grams * litres / 1000.0
        fields |= {
            "grain_teas.0.grain": grain,
            "grain_teas.0.at": "first",
            "grain_teas.0.mass": _written(1000 * kilograms, ("g", "oz"), (0, 1), system),
            "grain_teas.0.water": _written(STEEPED_IN_L_PER_KG * kilograms, ("L", "qt"), (2, 2), system),
        }
    return _spaced(with_fields("", fields, where=PLAN))


def _written(value: float, units: Both, digits: tuple[int, int], system: System) -> str:
    """A number of the metric one of two units, as text in the one of the system."""
    column = 0 if system == "metric" else 1
    unit = units[column]
    per = read(f"1 {unit}", MEASURES[units[0]]) / read(f"1 {units[0]}", MEASURES[units[0]])
    return f"{value / per:.{digits[column]}f} {unit}"


def _spaced(text: str) -> str:
    """With a line left free before every table, as one writes by hand."""
    return re.sub(r"(?<=[^\n])\n\[", "\n\n[", text)


def _litres(given: Mapping[str, str]) -> float:
    return read(given.get("litres", ""), Dimension.VOLUME, where="litres")


def _portion_fields(
    beer: Beer, ferment_at: str, name: Field, litres: float, count: int, each_l: float | None
) -> dict[str, Field]:
    """One beer, in as many fermenters as it takes."""
    needed = 1 if not each_l else max(1, math.ceil(ROOM * litres / each_l - 1e-9))
    used = min(needed, count)
    packs = max(1, math.ceil(litres / used / beer.pack_l))
    fields: dict[str, Field] = {}
    for number in range(1, used + 1):
        here = f"portions.{'first' if used == 1 else f'part {number}'}"
        fields |= {
            f"{here}.name": name if used == 1 else f"{name}, fermenter {number}",
            f"{here}.fermenter": f"no {number}",
            f"{here}.share": f"{math.floor(10_000 / used) / 100:g} %",
            f"{here}.ferment_at": ferment_at,
            f"{here}.yeast.kind": beer.yeast,
            f"{here}.yeast.form": "dry",
            f"{here}.yeast.packs": f"{packs}",
            f"{here}.yeast.cells": "180 billion",
            f"{here}.package.kind": "bottles",
            f"{here}.package.co2": beer.co2,
            f"{here}.package.after": "21 d",
        }
    return fields


def _extract_fields(beer: Beer, kilograms: float, system: System) -> dict[str, Field]:
    return {
        path: text
        for number, (name, share) in enumerate(beer.extract)
        for path, text in (
            (f"additions.{number}.name", name),
            (f"additions.{number}.mass", _written(kilograms * share / 100.0, ("kg", "lb"), (3, 2), system)),
            (f"additions.{number}.time", "60 min"),
        )
    }


def _with_extract(text: str, beer: Beer, plan: Plan, brewery: Brewery, book: Book, system: System) -> str:
    """The plan with the mass of extract that brings its volume to the gravity wanted.

    The water is solved for the volume; the mass then goes by the extract that it lacks, and again.
    """
    wanted = plan.aims.plato
    assert wanted is not None  # a beer of ours always states one
    mass = sum(addition.mass_kg for addition in plan.additions)
    for _ in range(EXTRACT_LOOKS):
        free = replace(plan, aims=replace(plan.aims, plato=None))
        outlook = look_ahead(free, brewery, draws=LOOK_DRAWS)
        mass *= wanted / outlook.numbers["fermenters.plato"].median
        text = with_fields(text, _extract_fields(beer, mass, system), where=PLAN)
        plan = read_plan(text, where=PLAN, tables=book_tables(book))
    return text


def _read(brewery_text: str, plan_text: str, book: Book) -> tuple[Brewery, Plan]:
    """Both files read, or the problems of both, placed by field."""
    problems: list[Problem] = []
    brewery = plan = None
    try:
        brewery = read_brewery(brewery_text, where=BREWERY)
    except Refused as refused:
        problems += _placed(refused.problems, OF_BREWERY)
    try:
        plan = read_plan(plan_text, where=PLAN, tables=book_tables(book))
    except Refused as refused:
        problems += _placed(refused.problems, OF_PLAN)
    if brewery is None or plan is None:
        raise Refused(problems)
    return brewery, plan


def _placed(problems: Sequence[Problem], fields: Mapping[str, tuple[str, ...]]) -> list[Problem]:
    """Problems by the field of the form; two places of one field are told of once."""
    names = {path: name for name, paths in fields.items() for path in paths}
    found: dict[str, Problem] = {}
    for problem in problems:
        path = path_in(problem.where)
        name = names.get(path, "")
        if path.startswith("fermenters."):
            name = "fermenter"
        found.setdefault(name or problem.where, replace(problem, where=name or problem.where))
    return list(found.values())


def _refuse_taken(book: Book, brewery: Brewery, brewery_text: str, plan: Plan, plan_text: str) -> None:
    """A name that is in the book already belongs to what bears it; the very same text again is no other."""
    problems = []
    breweries = [kept for kept in book.breweries() if kept.name == brewery.name]
    if breweries and breweries[-1].text != brewery_text:
        problems.append(Problem("brewery", f"“{brewery.name}”", "is in this book already; name it otherwise"))
    plans = [kept for kept in book.plans() if kept.name == plan.name]
    if plans and plans[-1].text != plan_text:
        problems.append(Problem("beer", f"“{plan.name}”", "is in this book already; name it otherwise"))
    if problems:
        raise Refused(problems)
