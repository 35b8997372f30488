"""Show what a brewery can make, gravity by gravity, and begin a plan at a point of it.

Idea: everything that is asked stands in the address, so a place on the edge can be kept and sent, and the
page works without script: the strips laid over the picture are links.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import Problem, Refused
from gylebook.faces import reach_words
from gylebook.faces.pictures.reach import reach_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import by_field
from gylebook.faces.web.places import address_of
from gylebook.faces.web.reach_strips import BROAD, FINE, strips
from gylebook.faces.web.rendering import page, picture
from gylebook.faces.words import Units
from gylebook.figures.quantity_text import with_unit
from gylebook.figures.units import Dimension, read
from gylebook.tasks.reach import PLAIN_WAYS, STRONGEST_SG, WEAKEST_SG, ReachView, gravity_of, strongest_of
from gylebook.tasks.reach_ground import Ground, ground_in
from gylebook.tasks.reach_kept import points_at, reach_of
from gylebook.tasks.reach_plan import PLANNED_WAYS, Wanted, begin_plan_at, volume_typed

router = APIRouter()
ODDS = ("50 %", "80 %", "90 %", "95 %")
A_STEP_SG = 0.001
EVERY = 5  # of the gravities, in a table
FIELDS = ("on", "of", "odds", "gravity", "way", "volume", "name")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the address asks, as typed: a brewery, a plan for the rest of the beer, odds, gravity, way."""

    on: str = ""
    of: str = ""
    odds: str = ""
    at: str = ""
    by: str = ""

    def at_sg(self, sg: float) -> str:
        """Address of the same at another gravity, the picture in sight."""
        return f"/reach?{_encoded(replace(self, at=f'{sg:.3f}'))}#edge"

    def changed(self, by: str) -> str:
        """Address of the same with the changes weighed of another way."""
        return f"/reach?{_encoded(replace(self, by=by))}#changes"


def _encoded(asked: Asked) -> str:
    return urlencode({name: text for name, text in asdict(asked).items() if text})


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """The form that begins a plan, as it was sent."""

    way: str = ""
    volume: str = ""
    name: str = ""


@router.get("/reach")
def reach(
    request: Request, on: str = "", of: str = "", odds: str = "", at: str = "", by: str = ""
) -> Response:
    """The edge, and all of it at one gravity."""
    return _page(request, Asked(on=on, of=of, odds=odds, at=at, by=by))


@router.post("/reach")
def begin(
    request: Request,
    on: Annotated[str, Form()] = "",
    of: Annotated[str, Form()] = "",
    odds: Annotated[str, Form()] = "",
    at: Annotated[str, Form()] = "",
    way: Annotated[str, Form()] = "",
    volume: Annotated[str, Form()] = "",
    name: Annotated[str, Form()] = "",
) -> Response:
    """Keep a plan for a point, and go to it."""
    desk, units = desk_of(request), reader_of(request).units
    asked, typed = Asked(on=on, of=of, odds=odds, at=at), Typed(way=way, volume=volume, name=name)
    try:
        ground = ground_in(desk.location, on, of)
        if ground is None:
            return _page(request, asked)
        view = _viewed(ground, asked, units)
        litres = volume_typed(with_unit(volume, units.volume))
        wanted = Wanted(name=name, way=way, sg=view.at_sg, volume_l=litres)
        kept = begin_plan_at(desk.location, ground, view, wanted)
    except Refused as refused:
        return _page(request, asked, typed, refused.problems)
    return RedirectResponse(f"/gyle/{address_of(kept)}?{urlencode({'on': ground.brewery})}", status_code=303)


def _page(
    request: Request, asked: Asked, typed: Typed | None = None, problems: Sequence[Problem] = ()
) -> Response:
    desk, units = desk_of(request), reader_of(request).units
    found, view = list(problems), None
    try:
        ground = ground_in(desk.location, asked.on, asked.of)
    except Refused as refused:
        found += refused.problems
        ground = ground_in(desk.location)
    if ground is not None:
        try:
            view = _viewed(ground, asked, units)
        except Refused as refused:
            found += [problem for problem in refused.problems if problem not in found]
    beside, rest = by_field(found, FIELDS)
    told = {} if view is None or ground is None else _told(view, ground, asked, typed, units)
    return page(
        request,
        "reach.html",
        status=422 if found else 200,
        title="Reach",
        place="Reach",
        asked=asked,
        ground=ground,
        view=view,
        beside=beside,
        rest=rest,
        odds=ODDS,
        reach_words=reach_words,
        **told,
    )


def _told(
    view: ReachView, ground: Ground, asked: Asked, typed: Typed | None, units: Units
) -> dict[str, object]:
    """What there is to tell where a reach was found."""
    ways = points_at(view, view.at_sg)
    able = [curve.way for curve, point in ways if point.volume_l is not None and curve.way in PLANNED_WAYS]
    name = reach_words.plan_name(view, ground.plan, set(ground.plans), units)
    return {
        "drawing": picture(reach_picture(view, theme=WEB, units=units)),
        "strips": (("fine", strips(FINE, view.at_sg)), ("broad", strips(BROAD, view.at_sg))),
        "steps": [
            (told, sg)
            for told, sg in (("weaker", view.at_sg - A_STEP_SG), ("stronger", view.at_sg + A_STEP_SG))
            if WEAKEST_SG <= round(sg, 3) <= STRONGEST_SG
        ],
        "ways": ways,
        "able": able,
        "plain": [way for way in able if way in PLAIN_WAYS],
        "typed": typed if typed is not None else Typed(way=next(iter(able), ""), name=name),
        "numbers": [(curve, curve.points[::EVERY]) for curve in view.curves],
        "strongest": [strongest_of(view.curves, litres) for litres in reach_words.round_volumes(view, units)],
        "strongest_sg": STRONGEST_SG,
    }


def _viewed(ground: Ground, asked: Asked, units: Units) -> ReachView:
    at = asked.at.strip()
    if units.gravity == "°P" and not at.startswith("1."):  # addresses hold it as 1.057
        at = with_unit(at, "°P")
    return reach_of(
        ground.brewery_text,
        ground.plan_text,
        ground.tables,
        odds=read(asked.odds, Dimension.SHARE, where="odds") if asked.odds.strip() else None,
        at_sg=gravity_of(at) if at else None,
        by=asked.by,
    )
