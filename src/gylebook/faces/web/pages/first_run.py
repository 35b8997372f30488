"""Begin a book, or add a brewery to it: choose a shape, change what differs, name a first beer.

Idea: shapes and units are buttons of the one form, so that choosing another loses nothing that was typed.
"""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import BookProblem, GylebookError, Refused
from gylebook.faces import first_run_words as said
from gylebook.faces.web.choices import in_system, remember, system_of
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.faces.words import Units
from gylebook.tasks.first_run import BEERS, SHAPES, begin, refilled

router = APIRouter()
FIRST_SHAPE, FIRST_BEER = "bag", "pale ale"
FIELDS = tuple(field.name for field in (*said.GEAR, *said.CLOSER, *said.BEER))


@router.get("/start")
def ask(request: Request, shape: str = FIRST_SHAPE) -> Response:
    """The page with the values of one shape in its fields."""
    if shape not in SHAPES:
        shape = FIRST_SHAPE
    units = reader_of(request).units
    typed = {**_usual(shape, system_of(units)), "shape": shape, "kind": FIRST_BEER}
    return _shown(request, typed, units)


@router.post("/start")
def start(request: Request, typed: Typed) -> Response:
    """Keep both and go to the forecast, or show the form again: in other units, as another shape, or refused.

    What was typed stays in it either way.
    """
    units = in_system(reader_of(request).units, typed.get("system", ""))
    typed = {**typed, "system": system_of(units)}
    if "to" in typed or "show" in typed:
        return _remembering(_shown(request, _turned(typed), units), units)
    try:
        begun = begin(desk_of(request).location, typed)
    except BookProblem:
        raise
    except GylebookError as problem:
        return _shown(request, _turned(typed), units, problem)
    return _remembering(RedirectResponse(f"/gyle/{address_of(begun.plan)}", status_code=303), units)


def _turned(typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed, over the usual values of the shape and the units that it is now in."""
    system, shape = typed["system"], typed.get("shape", "")
    now = typed.get("to", shape)
    before = _usual(shape, typed.get("filled_in", system))
    return {**refilled(typed, before, _usual(now, system)), "shape": now}


def _usual(shape: str, system: str) -> dict[str, str]:
    chosen = SHAPES.get(shape, SHAPES[FIRST_SHAPE])
    return chosen.filled("us" if system == "us" else "metric")


def _remembering(answer: Response, units: Units) -> Response:
    remember(answer, units)
    return answer


def _shown(
    request: Request, typed: Mapping[str, str], units: Units, problem: GylebookError | None = None
) -> Response:
    chosen = SHAPES.get(typed.get("shape", ""), SHAPES[FIRST_SHAPE])
    has = chosen.second is not None, chosen.has_bag
    groups = [said.asked_of(*has, fields) for fields in (said.GEAR, said.CLOSER, said.BEER)]
    names = [field.name for fields in groups for field in fields]
    problems = problem.problems if isinstance(problem, Refused) else ()
    beside, rest = by_field(problems, names)
    kind = typed.get("kind", "")
    return page(
        request,
        "start.html",
        status=200 if problem is None else 422,
        title="A brewery and a first beer",
        place="House",
        shapes=[(key, *said.SHAPE_WORDS[key]) for key in SHAPES],
        chosen=chosen.key,
        units=units,
        system=system_of(units),
        aside={name: typed[name] for name in FIELDS if name in typed and name not in names},
        gear=groups[0],
        closer=groups[1],
        beer=groups[2],
        closer_open=any(field.name in beside for field in groups[1]),
        kinds=[(key, said.BEER_WORDS[key], one.gravity, one.bitterness) for key, one in BEERS.items()],
        kind=kind if kind in BEERS else FIRST_BEER,
        typed={name: typed.get(name, "") for name in names},
        beside=beside,
        rest=rest,
        trouble="" if problem is None or problems else str(problem),
        caution=" ".join(said.CAUTIONS[chosen.key]),
        granted=said.TAKEN_FOR_GRANTED,
    )
