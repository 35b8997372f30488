"""Begin a book, or add a brewery to it: choose a shape, change what differs, name a first beer."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import BookProblem, GylebookError, Refused
from gylebook.faces import first_run_words as said
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.tasks.first_run import BEERS, SHAPES, System, begin

router = APIRouter()
FIRST_SHAPE, FIRST_BEER = "bag", "pale ale"


@router.get("/start")
def ask(request: Request, shape: str = FIRST_SHAPE) -> Response:
    """The page with the values of one shape in its fields."""
    if shape not in SHAPES:
        shape = FIRST_SHAPE
    system: System = "metric" if reader_of(request).units.volume == "L" else "us"
    typed = {**SHAPES[shape].filled(system), "shape": shape, "kind": FIRST_BEER}
    return _shown(request, typed)


@router.post("/start")
def start(request: Request, typed: Typed) -> Response:
    """Keep both and go to the forecast; what cannot be read is shown again as it was typed."""
    try:
        begun = begin(desk_of(request).location, typed)
    except BookProblem:
        raise
    except Refused as refused:
        return _shown(request, typed, refused)
    except GylebookError as problem:
        return _shown(request, typed, problem)
    return RedirectResponse(f"/gyle/{address_of(begun.plan)}", status_code=303)


def _shown(request: Request, typed: Mapping[str, str], problem: GylebookError | None = None) -> Response:
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
