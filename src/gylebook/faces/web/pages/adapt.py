"""Show a plan of the book on two of its breweries, keep what comes of it, and give it away as a parcel."""

from __future__ import annotations

from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import GylebookError, Problem, Refused
from gylebook.faces import adapt_words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import problems_of
from gylebook.faces.web.pages.gyle import home_of
from gylebook.faces.web.rendering import as_file, page
from gylebook.figures.quantity_text import with_unit
from gylebook.figures.units import Dimension, read
from gylebook.tasks.adapt import Adapted, adapt, brewed_of
from gylebook.tasks.adapt_text import adapted_text
from gylebook.tasks.adapt_view import adapt_view
from gylebook.tasks.drafts import look_at_draft
from gylebook.tasks.gear import read_gear
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.parcels import packed
from gylebook.tasks.plan_versions import PlanView, begin_plan
from gylebook.tasks.run_view import boundary_view

router = APIRouter()
THIS_BEER = "This beer"  # where a trouble stands that belongs to no field


@router.get("/gyle/{name:path}/adapt")
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
    plan = desk_of(request).hand.plan(name)
    asked = _asked(request, on, onto, litres, colour)
    told = _told(request, plan, asked, most=bool(most)) if on and onto else {}
    return _page(request, plan, asked, kept=kept, **told)


@router.post("/gyle/{name:path}/adapt")
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
    plan = desk.hand.plan(name)
    asked = _asked(request, on, onto, litres, colour)
    try:
        kept = keep_adapted(desk.location, _adapted(plan, asked), called)
    except GylebookError as problem:
        told = _told(request, plan, asked)
        wrong = None if "problems" in told else problems_of(problem, THIS_BEER)[0]
        return _page(request, plan, asked, status=422, called=called, wrong=wrong, **told)
    return RedirectResponse(f"{home_of(name)}/adapt?{_query(asked)}&{urlencode({'kept': kept})}", 303)


@router.get("/gyle/{name:path}/adapt/sheet")
def sheet(
    request: Request, name: str, on: str = "", onto: str = "", litres: str = "", colour: str = ""
) -> Response:
    """Both plans side by side as a PDF."""
    from gylebook.faces.sheets.adapt import adapt_sheet  # printing is seldom wanted, and large

    found = _adapted(desk_of(request).hand.plan(name), _asked(request, on, onto, litres, colour))
    made = adapt_sheet(adapt_view(found), units=reader_of(request).units)
    return as_file(made, f"{name}, {onto}.pdf", media_type="application/pdf", shown=True)


@router.get("/gyle/{name:path}/parcel")
def parcel(request: Request, name: str, on: str = "", sender: str = "", note: str = "") -> Response:
    """The plan as one file for another brewer."""
    text = packed(_outlook(desk_of(request).hand.plan(name), on), sender=sender, note=note)
    return as_file(text, f"{name}.parcel.toml")


def keep_adapted(location: str, found: Adapted, called: str) -> str:
    """Keep a plan for the other brewery under a name of its own; the name as it is kept."""
    return begin_plan(location, called, adapted_text(found), f"adapted to {found.outlook.brewery.name}")


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


def _asked(request: Request, on: str, onto: str, litres: str, colour: str) -> dict[str, Any]:
    """What is asked; a bare number has the reader's unit from here on, whatever they read in later."""
    litres = with_unit(litres, reader_of(request).units.volume)
    return {"on": on, "onto": onto, "litres": litres, "colour": bool(colour)}


def _gear(plan: PlanView, name: str) -> str:
    """Text of a brewery of the book, which is to be named right: another one would be another answer."""
    brewery = plan.brewery(name)
    if brewery is None or (name and brewery.name != name):
        known = ", ".join(f"“{one.name}”" for one in plan.breweries) or "none"
        raise Refused((Problem("brewery", f"“{name}” is not in this book", f"it has {known}"),))
    return brewery.text


def _outlook(plan: PlanView, on: str) -> Outlook:
    return look_at_draft(plan.own.text, _gear(plan, on), plan.tables)


def _adapted(plan: PlanView, asked: dict[str, Any]) -> Adapted:
    before = brewed_of(_outlook(plan, asked["on"]))
    litres = litres_typed(asked["litres"])
    return adapt(before, read_gear(_gear(plan, asked["onto"])), litres=litres, keep_colour=asked["colour"])


def _told(request: Request, plan: PlanView, asked: dict[str, Any], *, most: bool = False) -> dict[str, Any]:
    """Both plans side by side, or why there is nothing to show."""
    try:
        return comparison(request, _adapted(plan, asked), most=most)
    except GylebookError as problem:
        return {"problems": problems_of(problem, THIS_BEER)}


def _query(asked: dict[str, Any]) -> str:
    typed = {key: value for key, value in asked.items() if value and key != "colour"}
    return urlencode(typed | ({"colour": "keep"} if asked["colour"] else {}))


def _page(
    request: Request, plan: PlanView, asked: dict[str, Any], *, status: int = 200, **told: Any
) -> Response:
    name, breweries = plan.name, [one.name for one in plan.breweries]
    asked = {**asked, "on": asked["on"] or next(iter(breweries), "")}
    usual = {"view": None, "problems": (), "kept": "", "called": f"{name}, {asked['onto']}", "wrong": None}
    return page(
        request,
        "adapt.html",
        status=status if not told.get("problems") else 422,
        title=f"{name} elsewhere",
        place="Gyle",
        name=name,
        at=home_of(name),
        kept_at=home_of(told.get("kept", "")),
        breweries=breweries,
        asked=asked,
        query=_query(asked),
        **{**usual, **told},
    )
