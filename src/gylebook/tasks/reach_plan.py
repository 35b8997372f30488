"""Begin a plan at a point of what a brewery can reach.

In:  a book's location, the brewery and the plan that stands for the rest of the beer; a way, a gravity, a
     volume.
Out: the name of the plan that is now in the book.

Idea: the plan that was looked at is written once more with other aims and amounts left open, so what the edge
was found with is what the plan is solved with.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.errors import Problem, Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.units import Dimension, read, write
from gylebook.gyle.limits import HEAD_ROOM
from gylebook.matter.extract import plato_from_sg
from gylebook.record.store import open_book
from gylebook.tasks.drafts import Field, draft_with
from gylebook.tasks.plain_plan import plain_text
from gylebook.tasks.reach import PLAIN_WAYS, EdgePoint, ReachView
from gylebook.tasks.reach_ground import Ground
from gylebook.tasks.reach_kept import point_at

WATERED = "liquor in the fermenters"
PLANNED_WAYS = (*PLAIN_WAYS, WATERED)
A_LITTLE_LESS = 0.98  # of the edge, where no volume is asked for: on it the odds are just what was asked
MORE_MAY_COME = 1.2  # times what is sure, where even odds are not known
NOT_THICKER = 1.02  # of the mash liquor, which as it is measured must not be too little to stir
CELLS_BILLION, BILLION_PER_L_PLATO = 150.0, 0.75  # of a pack that is two months old; the usual count for ale


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The point that a plan is begun at; `volume_l` None for as much as can be made."""

    name: str
    way: str
    sg: float
    volume_l: float | None = None


def volume_typed(text: str) -> float | None:
    """Litres as typed; None where nothing was.  Raises Refused at the field `volume`."""
    return read(text, Dimension.VOLUME, where="volume") if text.strip() else None


def begin_plan_at(location: str, ground: Ground, view: ReachView, wanted: Wanted) -> str:
    """Keep a plan for this point; gives the name that it is kept under.

    Raises Refused, its problems at `name`, `way` or `volume`, and keeps nothing then.
    """
    name = " ".join(wanted.name.split())
    point = _reached(view, wanted)
    with open_book(location) as book, book.all_or_nothing():
        if not name or any(one.name == name for one in book.plans()):
            understood = f"“{name}” is a plan of this book already" if name else "nothing was typed"
            raise Refused((Problem("name", understood, "give the new plan a name of its own"),))
        text = text_at(ground, view, wanted, point)
        return book.keep_plan(name, text, "begun from what the brewery can reach").name


def text_at(ground: Ground, view: ReachView, wanted: Wanted, point: EdgePoint) -> str:
    """The text of the plan, every amount that the point settles left to be solved."""
    brewery = read_brewery(ground.brewery_text, where="brewery")
    text = plain_text(brewery) if ground.plan_text is None else ground.plan_text
    plan = read_plan(text, where="plan", tables=ground.tables)
    litres = A_LITTLE_LESS * (point.volume_l or 0.0) if wanted.volume_l is None else wanted.volume_l
    part = litres / (point.volume_l or litres)
    changes: dict[str, Field | None] = {
        "name": " ".join(wanted.name.split()),
        "aims.fermenters": _litres(litres),
        "aims.gravity": write(float(plato_from_sg(wanted.sg)), Dimension.GRAVITY, "SG", digits=3),
        "aims.odds": _share(view.asked),
        "process.kind": wanted.way,
        **dict.fromkeys(("liquor.mash", "liquor.rinse", "liquor.kettle"), None),
        **dict(_grist_by_shares(plan)),
    }
    if wanted.way == WATERED:
        changes["process.kind"] = point.by
    if changes["process.kind"] in ("poured rinse", "fly rinse"):
        mash_l = _mash_of(view, point)
        changes["liquor.mash"] = None if mash_l is None else _litres(NOT_THICKER * part * mash_l)
    if ground.plan_text is None:
        changes |= _portions_for(brewery, litres, part, point)
    text = draft_with(text, changes)
    liquor_l = part * (point.liquor_l or 0.0) if wanted.way == WATERED else 0.0
    return draft_with(text, dict(_top_ups(read_plan(text, where="plan", tables=ground.tables), liquor_l)))


def _reached(view: ReachView, wanted: Wanted) -> EdgePoint:
    """The edge there.  Refused where the way is none for a plan, or less than is wanted can be made."""
    curve = next((one for one in view.curves if one.way == wanted.way), None)
    if curve is None or wanted.way not in PLANNED_WAYS:
        raise Refused((Problem("way", f"“{wanted.way[:40]}”", "choose one of the ways that are listed"),))
    point = point_at(curve, wanted.sg)
    if point.volume_l is None:
        raise Refused((Problem("way", "nothing is made so at this gravity", "choose another way"),))
    if wanted.volume_l is not None and wanted.volume_l > point.volume_l:
        most = write(math.floor(10.0 * point.volume_l) / 10.0, Dimension.VOLUME, "L")
        asked = write(wanted.volume_l, Dimension.VOLUME, "L", digits=1)
        raise Refused((Problem("volume", asked, f"no more than {most} is reached this way"),))
    return point


def _grist_by_shares(plan: Plan) -> Iterator[tuple[str, Field | None]]:
    """Shares in place of masses, which belonged to another volume."""
    if not any(grain.mass_kg is not None for grain in plan.grist):
        return
    masses = sum(grain.mass_kg or 0.0 for grain in plan.grist)
    shares = sum(grain.share or 0.0 for grain in plan.grist)
    parts = [
        grain.share if grain.mass_kg is None else grain.mass_kg / masses * (1.0 - shares)
        for grain in plan.grist
    ]
    for number, part in enumerate(parts):
        yield f"grist.{number}.mass", None
        yield f"grist.{number}.share", _share(part or 0.0)


def _mash_of(view: ReachView, point: EdgePoint) -> float | None:
    """Mash liquor at the edge: of the wort itself, or of the stronger one that liquor is added to."""
    if point.wort_sg is None:
        return point.mash_l
    curve = next(one for one in view.curves if one.way == point.by)
    return point_at(curve, point.wort_sg).mash_l


def _portions_for(brewery: Brewery, litres: float, part: float, point: EdgePoint) -> dict[str, Field | None]:
    """A plain beer in as many fermenters as it takes, each by what it holds, the largest first.

    As much as the middle lies above what is sure may come above the middle.
    """
    most_l = MORE_MAY_COME * litres
    if point.even_l is not None and point.volume_l is not None:
        most_l = max(part * (2.0 * point.even_l - point.volume_l), MORE_MAY_COME * litres)
    largest = sorted(brewery.fermenters.values(), key=lambda one: -one.capacity_l)
    taken, room_l = [], 0.0
    for fermenter in largest:
        taken.append(fermenter)
        room_l += fermenter.capacity_l
        if room_l >= (1.0 + HEAD_ROOM) * most_l:
            break
    plato = float(plato_from_sg(point.sg))
    fields: dict[str, Field | None] = {"portions.all": None} if len(taken) > 1 else {}
    for number, fermenter in enumerate(taken, 1):
        here = "portions.all" if len(taken) == 1 else f"portions.part {number}"
        share = fermenter.capacity_l / room_l
        packs = math.ceil(share * litres * plato * BILLION_PER_L_PLATO / CELLS_BILLION)
        fields |= {
            f"{here}.name": "all of it" if len(taken) == 1 else f"in the {fermenter.name}",
            f"{here}.fermenter": fermenter.key,
            f"{here}.share": _share(math.floor(1e4 * share) / 1e4),
            f"{here}.ferment_at": "18 °C",
            f"{here}.yeast.kind": "American ale, clean",
            f"{here}.yeast.form": "dry",
            f"{here}.yeast.packs": str(packs),
            f"{here}.yeast.cells": "180 billion",
            f"{here}.yeast.age": "60 d",
            f"{here}.package.kind": "keg",
            f"{here}.package.co2": "2.4",
        }
    return fields


def _top_ups(plan: Plan, liquor_l: float) -> Iterator[tuple[str, Field | None]]:
    """Liquor for each portion by what it gets of the wort; none where none is to be added."""
    wort_l = (plan.aims.volume_l or 0.0) - liquor_l
    set_l = sum(portion.volume_l or 0.0 for portion in plan.portions)
    for portion in plan.portions:
        part = (portion.share or 0.0) * (1.0 - set_l / wort_l) + (portion.volume_l or 0.0) / wort_l
        yield f"portions.{portion.key}.top_up", _litres(part * liquor_l) if liquor_l else None


def _share(value: float) -> str:
    return write(value, Dimension.SHARE, "%")


def _litres(value: float) -> str:
    return write(value, Dimension.VOLUME, "L", digits=1)
