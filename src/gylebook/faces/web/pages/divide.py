"""Divide a wort on a page: the beers wanted, the worts that serve them, and one of them kept as a plan.

In:  a form, as the query of an address, so that what was asked can be gone back to and sent to a friend.
Out: pages; keeping is a request of its own.
"""

from __future__ import annotations

from typing import Annotated
from urllib.parse import parse_qs

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import NotConverged, Problem, Refused
from gylebook.faces import divide_words
from gylebook.faces.web.desk import Desk, desk_of, reader_of
from gylebook.faces.web.pages.gyle import home_of
from gylebook.faces.web.pages.wish_form import TREATMENTS, WishForm, form_of
from gylebook.faces.web.rendering import page
from gylebook.tasks.divide_desk import Offered, becoming_of, divided_of, keep_solution, offered_by
from gylebook.tasks.styles import every_style
from gylebook.tasks.wish_typed import FieldProblem, fields_of, wish_text

router = APIRouter()


@router.get("/divide")
def ask(request: Request) -> Response:
    """The form, with whatever was typed into it so far."""
    desk = desk_of(request)
    offered = offered_by(desk.location, request.query_params.get("brewery", ""))
    if offered is None:
        return page(request, "divide_none.html", title="Divide", place="Gyle")
    return _form(request, form_of(request.url.query, offered, reader_of(request).units), offered)


@router.get("/divide/worts")
def show(request: Request) -> Response:
    """The worts from which these beers can be made; the form again where it was not understood."""
    desk = desk_of(request)
    offered = offered_by(desk.location, request.query_params.get("brewery", ""))
    if offered is None:
        return RedirectResponse("/divide", status_code=303)
    form = form_of(request.url.query, offered, reader_of(request).units)
    typed = form.typed()
    try:
        found = divided_of(desk.location, wish_text(typed), form.brewery)
    except Refused as refused:
        return _form(request, form, offered, fields_of(typed, refused.problems))
    except NotConverged as stuck:
        told = Problem("", str(stuck), "Ask for less, or for weaker beer, or brew on larger gear.")
        return _form(request, form, offered, (FieldProblem(field="", label="", problem=told),))
    return page(
        request,
        "divided.html",
        title=f"{found.name}, divided",
        place="Gyle",
        here=_here(request),
        found=found,
        asked=request.url.query,
        say=divide_words,
    )


@router.post("/divide/keep")
def keep(
    request: Request, asked: Annotated[str, Form()], number: Annotated[int, Form()] = 1
) -> RedirectResponse:
    """Keep a solution as a plan of the book, and go to it."""
    desk = desk_of(request)
    offered = _offered(desk, asked)
    form = form_of(asked, offered, reader_of(request).units)
    name = keep_solution(desk.location, wish_text(form.typed()), form.brewery, number)
    return RedirectResponse(home_of(name), status_code=303)


@router.get("/gyle/{name:path}/becomes")
def becomes(request: Request, name: str, portion: str = "", on: str = "") -> Response:
    """What else the wort of a plan could become."""
    found = becoming_of(desk_of(request).hand.plan(name), portion, on)
    return page(
        request,
        "becomes.html",
        title=f"What else {name} could become",
        place="Gyle",
        here=_here(request),
        found=found,
        home=home_of(name),
        say=divide_words,
    )


def _offered(desk: Desk, asked: str) -> Offered:
    offered = offered_by(desk.location, parse_qs(asked).get("brewery", [""])[0])
    if offered is None:
        raise Refused((Problem("brewery", "the book has none yet", "keep a brewery in it first"),))
    return offered


def _form(
    request: Request, form: WishForm, offered: Offered, problems: tuple[FieldProblem, ...] = ()
) -> Response:
    return page(
        request,
        "divide.html",
        status=422 if problems else 200,
        title="Divide",
        place="Gyle",
        here=_here(request),
        form=form,
        offered=offered,
        problems=problems,
        wrong={one.field: one.problem for one in problems},
        styles=every_style(),
        treatments=TREATMENTS,
        pairs=_pairs,
    )


def _here(request: Request) -> str:
    """Where to go back to, with all that was typed."""
    return f"{request.url.path}?{request.url.query}"


def _pairs(names: tuple[str, ...]) -> list[tuple[str, str]]:
    """Names as what is sent and what is read."""
    return [(name, name) for name in names]
