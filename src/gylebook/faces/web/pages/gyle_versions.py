"""Lead to the plans of a book, and from a plan to its versions, its sheet and its day."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import Problem, Refused
from gylebook.faces.web.desk import Desk, desk_of, reader_of
from gylebook.faces.web.pages.gyle import home_of
from gylebook.faces.web.places import address_of_brew
from gylebook.faces.web.planning.beside import beside
from gylebook.faces.web.rendering import as_file, page
from gylebook.tasks.brews import start_kept_brew
from gylebook.tasks.drafts import look_at_draft
from gylebook.tasks.plan_versions import copy_plan, keep_plan, plans_in
from gylebook.tasks.sheet import sheet_view

router = APIRouter()


@router.get("/gyle")
def plans(request: Request) -> Response:
    """The plans of the book; where there is one alone, that one."""
    found = plans_in(desk_of(request).location)
    if len(found) == 1:
        return RedirectResponse(home_of(found[0].name), status_code=303)
    return page(request, "gyles.html", title="Plans", place="Gyle", plans=found)


@router.post("/gyle")
def begin(
    request: Request, of: Annotated[str, Form()] = "", name: Annotated[str, Form()] = ""
) -> RedirectResponse:
    """Begin another plan from one."""
    return RedirectResponse(home_of(copy_plan(desk_of(request).location, of, name)), status_code=303)


@router.get("/gyle/{name:path}/versions")
def versions(
    request: Request, name: str, a: int | None = None, b: int | None = None, on: str = ""
) -> Response:
    """All versions, and two of them side by side."""
    view = desk_of(request).hand.plan(name)
    brewery = view.brewery(on)
    own = [one.version for one in view.versions if not one.of_a_day] or [view.versions[-1].version]
    first, second = a if a is not None else own[-2:][0], b if b is not None else own[-1]
    texts = view.numbered(first).text, view.numbered(second).text
    found = None
    if a is not None or first != second:
        gear = brewery.text if brewery else None
        found = beside(*texts, gear, view.tables, reader_of(request).units)
    return page(
        request,
        "gyle_versions.html",
        title=f"{name}, its versions",
        place="Gyle",
        view=view,
        home=home_of(name),
        brewery=brewery,
        a=first,
        b=second,
        beside=found,
    )


@router.post("/gyle/{name:path}/again")
def again(request: Request, name: str, version: Annotated[int, Form()]) -> RedirectResponse:
    """Keep an earlier version once more, as the newest."""
    desk = desk_of(request)
    old = desk.hand.plan(name).numbered(version)
    kept = keep_plan(desk.location, name, old.text, f"version {version} again")
    return RedirectResponse(f"{home_of(name)}?kept={kept.version}", status_code=303)


@router.get("/gyle/{name:path}/sheet")
def sheet(request: Request, name: str, version: int | None = None, on: str = "") -> Response:
    """The day of a kept version as a PDF."""
    from gylebook.faces.sheets.day import day_sheet  # printing is seldom wanted, and large

    view = desk_of(request).hand.plan(name)
    brewery = view.brewery(on)
    if brewery is None:
        raise Refused((Problem("brewery", "none is in this book", "a day needs one"),))
    kept = view.own if version is None else view.numbered(version)
    outlook = look_at_draft(kept.text, brewery.text, view.tables)
    made = day_sheet(sheet_view(outlook), units=reader_of(request).units)
    return as_file(made, f"{name}.pdf", media_type="application/pdf", shown=True)


@router.post("/gyle/{name:path}/brew")
def brew(
    request: Request,
    name: str,
    version: Annotated[int, Form()],
    on: Annotated[str, Form(alias="on")] = "",
    called: Annotated[str, Form(alias="name")] = "",
    at: Annotated[str, Form()] = "",
) -> RedirectResponse:
    """Start a brew of a kept version, and go to its day."""
    desk = desk_of(request)
    called = " ".join(called.split())
    begun = start_kept_brew(desk.location, called, name, on, _moment(at, desk), plan_version=version)
    return RedirectResponse(f"/day/{address_of_brew(begun.brew)}", status_code=303)


def _moment(typed: str, desk: Desk) -> str:
    """A time of the clock as the book keeps it; without a zone it is that of this machine."""
    if not typed.strip():
        return desk.now()
    try:
        at = datetime.fromisoformat(typed.strip())
    except ValueError:
        accepted = "write it like 2026-03-14T09:30"
        raise Refused((Problem("starts", f"“{typed[:40]}”", accepted),)) from None
    return (at.astimezone() if at.tzinfo is None else at).isoformat(timespec="seconds")
