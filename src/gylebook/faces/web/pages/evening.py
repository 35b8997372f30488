"""An evening with water: each step, what to read at it, and what the readings tell of the gear."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import BookProblem, GylebookError, Refused
from gylebook.faces import evening_words
from gylebook.faces.figure_words import figure_name, figure_unit, level_and_scatter
from gylebook.faces.learned_words import gone
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field
from gylebook.faces.web.pages.house import gear_there
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.faces.words import Units
from gylebook.figures.quantity_text import with_unit
from gylebook.tasks.evening_book import EveningInBook, evening_in_book, keep_evening, keep_gauged, start_over
from gylebook.tasks.evening_readings import evening_readings
from gylebook.tasks.evening_view import GaugedView
from gylebook.tasks.views import ReadingAsked

router = APIRouter()
MOST_WORTH = 5  # readings named that are still worth taking


@router.get("/house/{name:path}/evening")
def look(request: Request, name: str) -> Response:
    """The evening as it stands."""
    location = desk_of(request).location
    gear_there(location, name)
    try:
        found = evening_in_book(location, name)
    except BookProblem:
        raise
    except GylebookError as problem:
        return _shown(request, name, None, trouble=str(problem))
    return _shown(request, name, found)


@router.post("/house/{name:path}/evening")
def write_down(request: Request, name: str, typed: Typed) -> Response:
    """Keep what was read so far; what cannot be read is shown again as it was typed."""
    location, units = desk_of(request).location, reader_of(request).units
    found = evening_in_book(location, name)
    asked = [one for step in found.view.order.steps for one in step.reading]
    values = {
        (one.step, one.quantity): with_unit(typed.get(_field(one), ""), evening_words.asked_unit(one, units))
        for one in asked
    }
    try:
        keep_evening(location, name, values)
    except BookProblem:
        raise
    except GylebookError as problem:
        return _shown(request, name, found, typed=typed, problem=problem)
    return _back(name)


@router.post("/house/{name:path}/evening/over")
def over(request: Request, name: str) -> Response:
    """Begin a new evening; the readings before stay in the book and count no more."""
    start_over(desk_of(request).location, name)
    return _back(name)


@router.post("/house/{name:path}/evening/keep")
def keep(request: Request, name: str) -> Response:
    """Keep what the evening told as the house's figures."""
    keep_gauged(desk_of(request).location, name)
    return RedirectResponse(f"/house/{address_of(name)}/figures", status_code=303)


def _back(name: str) -> Response:
    return RedirectResponse(f"/house/{address_of(name)}/evening#told", status_code=303)


def _field(asked: ReadingAsked) -> str:
    return f"{asked.step} {asked.quantity}"


def _shown(
    request: Request,
    name: str,
    found: EveningInBook | None,
    *,
    typed: Mapping[str, str] | None = None,
    problem: GylebookError | None = None,
    trouble: str = "",
) -> Response:
    units = reader_of(request).units
    problems = problem.problems if isinstance(problem, Refused) else ()
    steps = [] if found is None else found.view.order.steps
    asked = [one for step in steps for one in step.reading]
    beside, rest = by_field(problems, [_field(one) for one in asked])
    kept = {} if found is None else found.typed
    values = {_field(one): kept.get((one.step, one.quantity), "") for one in asked}
    if typed is not None:
        values = {field: typed.get(field, "") for field in values}
    return page(
        request,
        "evening.html",
        status=200 if problem is None else 422,
        title="An evening with water",
        place="House",
        name=name,
        address=f"/house/{address_of(name)}",
        found=found,
        steps=steps,
        field_of=_field,
        ask=evening_words,
        values=values,
        beside=beside,
        rest=rest,
        trouble=trouble or ("" if problem is None or problems else str(problem)),
        rows=[] if found is None else [_row(one, units) for one in found.view.figures],
        read=() if found is None else evening_readings(found.outlook),
        untold=[] if found is None else [figure_name(one) for one in found.view.untold],
        pays=[]
        if found is None
        else [evening_words.worth_in_steps(w, steps, units) for w in found.view.worth[:MOST_WORTH]],
    )


def _row(figure: GaugedView, units: Units) -> tuple[str, str, str, str, str]:
    """Name with its unit; before, that evening, the next brew; how much of the doubt is gone."""
    unit = figure_unit(figure.unit, units)
    before, tonight, following = (
        level_and_scatter(known.level, known.scatter, figure.unit, units)
        for known in (figure.before, figure.tonight, figure.next_brew)
    )
    name = figure_name(figure.name) + (f" [{unit}]" if unit else "")
    return name, before, tonight, following, gone(figure.spread_gone)
