"""Show a plan of the book on two of its breweries, keep what comes of it, and give it away as a parcel."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import GylebookError, Problem, Refused
from gylebook.faces import adapt_words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.figures.units import Dimension, read
from gylebook.tasks.adapt import Adapted, adapt, brewed_of
from gylebook.tasks.adapt_book import brewery_of, gear_in, keep_adapted, plan_outlook
from gylebook.tasks.adapt_view import adapt_view
from gylebook.tasks.parcels import packed
from gylebook.tasks.run_view import boundary_view

router = APIRouter()


@router.get("/gyle/{name}/adapt")
def beside(
    request: Request,
    name: str,
    on: str = "",
    onto: str = "",
    litres: str = "",
    colour: str = "",
    most: str = "",
    kept: str = "",
) -> Response:
    """A plan on two breweries of the book; the choice alone until both are named."""
    desk = desk_of(request)
    gear = gear_in(desk.location, name)
    asked = {"on": on or gear.last, "onto": onto, "litres": litres, "colour": bool(colour)}
    told = _told(request, name, asked, most=bool(most)) if on and onto else {}
    return _page(request, name, gear.names, asked, kept=kept, **told)


@router.post("/gyle/{name}/adapt")
def keep(
    request: Request,
    name: str,
    called: Annotated[str, Form()] = "",
    on: Annotated[str, Form()] = "",
    onto: Annotated[str, Form()] = "",
    litres: Annotated[str, Form()] = "",
    colour: Annotated[str, Form()] = "",
) -> Response:
    """Keep the plan for the other brewery under a name of its own."""
    desk = desk_of(request)
    asked = {"on": on, "onto": onto, "litres": litres, "colour": bool(colour)}
    try:
        kept = keep_adapted(desk.location, _adapted(request, name, asked), called)
    except Refused as refused:
        gear = gear_in(desk.location, name)
        told = _told(request, name, asked)
        problem = refused.problems[0]
        return _page(request, name, gear.names, asked, status=422, called=called, wrong=problem, **told)
    return RedirectResponse(
        f"/gyle/{address_of(name)}/adapt?{_query(asked)}&{urlencode({'kept': kept})}", 303
    )


@router.get("/gyle/{name}/parcel")
def parcel(request: Request, name: str, on: str = "", sender: str = "", note: str = "") -> Response:
    """The plan as one file for another brewer."""
    desk = desk_of(request)
    text = packed(plan_outlook(desk.location, name, on), sender=sender, note=note)
    return as_file(text, f"{name}.parcel.toml")


def as_file(text: str, name: str) -> Response:
    """A text to be saved under a name."""
    disposition = f"attachment; filename*=UTF-8''{quote(name, safe='')}"
    return Response(
        text, media_type="text/plain; charset=utf-8", headers={"content-disposition": disposition}
    )


def litres_typed(litres: str) -> float | None:
    """Litres as typed, in whatever unit; None where nothing was."""
    return read(litres, Dimension.VOLUME, where="Into all fermenters") if litres.strip() else None


def comparison(request: Request, found: Adapted, *, most: bool) -> dict[str, Any]:
    """All that two plans side by side show; `most`, how much of it would go there, takes a search."""
    view, units = adapt_view(found), reader_of(request).units
    before, after = adapt_words.sides(view, units)
    return {
        "view": view,
        "before": before,
        "after": after,
        "sentences": (adapt_words.sizes(view, units), adapt_words.kept_sentence(view, units)),
        "findings_told": [adapt_words.finding_sentence(one, units) for one in view.findings],
        "amounts": adapt_words.amount_lines(view, units),
        "numbers": adapt_words.number_lines(view, units),
        "all_matched": adapt_words.ALL_MATCHED,
        "carries": boundary_view(found.outlook) if most else None,
    }


def _adapted(request: Request, name: str, asked: dict[str, Any]) -> Adapted:
    location = desk_of(request).location
    outlook = plan_outlook(location, name, asked["on"])
    onto = brewery_of(location, asked["onto"])
    return adapt(
        brewed_of(outlook), onto, litres=litres_typed(asked["litres"]), keep_colour=bool(asked["colour"])
    )


def _told(request: Request, name: str, asked: dict[str, Any], *, most: bool = False) -> dict[str, Any]:
    """Both plans side by side, or why there is nothing to show."""
    try:
        return comparison(request, _adapted(request, name, asked), most=most)
    except GylebookError as problem:
        return {"problems": problems_of(problem)}


def problems_of(problem: GylebookError) -> tuple[Problem, ...]:
    """What is wrong, one by one."""
    return problem.problems if isinstance(problem, Refused) else (Problem("This beer", "", str(problem)),)


def _query(asked: dict[str, Any]) -> str:
    typed = {key: value for key, value in asked.items() if value and key != "colour"}
    return urlencode(typed | ({"colour": "keep"} if asked["colour"] else {}))


def _page(
    request: Request,
    name: str,
    breweries: tuple[str, ...],
    asked: dict[str, Any],
    *,
    status: int = 200,
    **told: Any,
) -> Response:
    usual = {"view": None, "problems": (), "kept": "", "called": f"{name}, {asked['onto']}", "wrong": None}
    return page(
        request,
        "adapt.html",
        status=status if not told.get("problems") else 422,
        title=f"{name} elsewhere",
        place="Gyle",
        name=name,
        at=f"/gyle/{address_of(name)}",
        kept_at=f"/gyle/{address_of(told.get('kept', ''))}",
        breweries=breweries,
        asked=asked,
        most_at=f"/gyle/{address_of(name)}/adapt?{_query(asked)}&most=yes",
        **{**usual, **told},
    )
