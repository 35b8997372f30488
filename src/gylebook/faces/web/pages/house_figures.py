"""The house's own figures: what the brews taught, and whether it would have foreseen them."""

from __future__ import annotations

from collections import Counter
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import BookProblem, GylebookError, Refused
from gylebook.faces import learned_words
from gylebook.faces.figure_words import figure_name, in_words, level_and_scatter
from gylebook.faces.pictures.foreseen import foreseen_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.pages.house import gear_there
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page, picture
from gylebook.faces.words import Units
from gylebook.tasks.house_figures import (
    HouseFigures,
    house_figures,
    keep_house_figures,
    stated_figures,
    taught_by,
)

router = APIRouter()
Cells = tuple[str, str, str, int, str]


@router.get("/house/{name:path}/figures")
def look(request: Request, name: str) -> Response:
    """Every figure before and after, what to read next, and the brews held to their forecasts."""
    location = desk_of(request).location
    gear_there(location, name)
    found, trouble = None, ""
    try:
        found = house_figures(location, name)
    except BookProblem:
        raise
    except GylebookError as problem:
        untaught = isinstance(problem, Refused) and problem.problems[0].where in ("learn", "brewery")
        trouble = "" if untaught else str(problem)
    units = reader_of(request).units
    return page(
        request,
        "figures.html",
        title="House figures",
        place="House",
        name=name,
        address=f"/house/{address_of(name)}",
        found=found,
        trouble=trouble,
        brews=taught_by(location, name),
        stated=[(figure_name(one.name), one.history) for one in stated_figures(location, name)],
        **({} if found is None else _told(found, units)),
    )


@router.post("/house/{name:path}/figures")
def keep(request: Request, name: str) -> Response:
    """Keep what was learned as the house's figures, in the brewery's next version."""
    keep_house_figures(desk_of(request).location, name)
    return RedirectResponse(f"/house/{address_of(name)}/figures", status_code=303)


def _told(found: HouseFigures, units: Units) -> dict[str, Any]:
    view, tested = found.view, found.backtest
    known = [level for level in view.levels if level.brews]
    families = {level.family for level in known}
    untold = [figure_name(level.family) for level in view.levels if level.family not in families]
    return {
        "view": view,
        "many": learned_words.many,
        "levels": _levels(found, units),
        "since": [
            (figure_name(level.family), in_words(level.gear), level.since)
            for level in known
            if level.since and level.comes_next
        ],
        "untold": list(dict.fromkeys(untold)),
        "to_read": learned_words.readings_to_take(view),
        "kinds": [
            (
                learned_words.what_was_foreseen(kind),
                kind.count,
                learned_words.errors_text(kind, units),
                learned_words.inside_text(kind),
            )
            for kind in tested.kinds
        ],
        "foreseen": learned_words.foreseen_sentence(tested),
        "drawing": picture(foreseen_picture(tested, view.brewery, theme=WEB, units=units)),
    }


def _levels(found: HouseFigures, units: Units) -> list[Cells]:
    """Name, as published, for the next brew, from how many brews, and how much of the doubt is gone."""
    known = [level for level in found.view.levels if level.brews]
    gears = Counter((level.family, level.kind) for level in known)
    return [
        (
            learned_words.level_name(level, gears[level.family, level.kind] > 1, units),
            level_and_scatter(level.published.level, level.published.scatter, level.unit, units),
            level_and_scatter(level.next_brew.level, level.next_brew.scatter, level.unit, units),
            level.brews,
            learned_words.gone(level.spread_gone),
        )
        for level in known
    ]
