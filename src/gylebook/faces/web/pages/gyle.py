"""Write a plan, and see at once what it gives: the run, its odds, its amounts.

Idea: a page, a draft sent again, and what is drawn while one types all come of one `Draft`; only keeping
writes to the book.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from gylebook.errors import Refused
from gylebook.faces import telling
from gylebook.faces.web.desk import Desk, desk_of, reader_of
from gylebook.faces.web.places import address_of
from gylebook.faces.web.planning.fixed import fixes_of
from gylebook.faces.web.planning.form import Filled, parts_of
from gylebook.faces.web.planning.rinses import rinses_of
from gylebook.faces.web.planning.sent import Draft, draft_of, draft_sent, with_fields, with_row, without_row
from gylebook.faces.web.planning.shown import Given, given_by, wrongs
from gylebook.faces.web.rendering import fragment, page
from gylebook.faces.words import Units
from gylebook.tasks.drafts import Choices, choices_of
from gylebook.tasks.plan_versions import PlanView, VersionView, keep_plan
from gylebook.tasks.run_view import boundary_view

router = APIRouter()


async def sent(request: Request) -> FormData:
    """What a form sends."""
    return await request.form()


Sent = Annotated[FormData, Depends(sent)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _At:
    """Where one writes: the desk, the plan in the book, the gear that is chosen, the reader's units."""

    desk: Desk
    view: PlanView
    on: str
    units: Units

    @property
    def gear(self) -> str | None:
        """Text of the brewery; None where the book holds none."""
        brewery = self.view.brewery(self.on)
        return brewery.text if brewery else None

    @property
    def choices(self) -> Choices:
        return choices_of(self.gear, self.view.tables)

    def given(self, draft: Draft) -> Given:
        """What a draft gives, or what is wrong with it."""
        if draft.text is None:
            return Given(wrong=wrongs(draft.problems, draft.fields))
        if self.gear is None:
            return Given()
        return given_by(draft.text, self.gear, self.view.tables, self.units, draft.fields)


def home_of(name: str) -> str:
    """Address of a plan's page."""
    return f"/gyle/{address_of(name)}"


@router.get("/gyle/{name:path}")
def plan(request: Request, name: str, version: int | None = None, on: str = "", kept: int = 0) -> Response:
    """A plan as it was kept last, or any version of it to look at."""
    at = _at(request, name, on)
    shown = at.view.own if version is None else at.view.numbered(version)
    said = f"Kept as version {kept}." if kept == at.view.own.version else ""
    draft = draft_of(shown.text, shown.version, at.on)
    return _page(request, at, draft, shown, said=said, fixed=shown.version != at.view.own.version)


@router.post("/gyle/{name:path}/preview")
def preview(request: Request, name: str, form: Sent) -> HTMLResponse:
    """What the form gives as it stands, for the page that is open; nothing is kept."""
    at = _at(request, name, _on(form))
    given = at.given(draft_sent(form, at.choices))
    return HTMLResponse(
        fragment(request, "gyle_given.html", given=given, carries="", fixes=None, rinses=None, whole=False)
    )


@router.post("/gyle/{name:path}/carries")
def carries(request: Request, name: str, form: Sent) -> Response:
    """How much of it the brewery can carry, in a sentence; it takes longer than the picture."""
    at = _at(request, name, _on(form))
    return Response(_carries(at.given(draft_sent(form, at.choices)), at.units), media_type="text/plain")


@router.post("/gyle/{name:path}/fixes")
def fixes(request: Request, name: str, form: Sent) -> HTMLResponse:
    """What would keep one limit that the form does not keep, for the page that is open."""
    at = _at(request, name, _on(form))
    given = at.given(draft_sent(form, at.choices))
    return HTMLResponse(
        fragment(request, "gyle_fixes.html", fixes=fixes_of(given, str(form.get("fixes", "")), at.units))
    )


@router.post("/gyle/{name:path}/rinses")
def rinses(request: Request, name: str, form: Sent) -> HTMLResponse:
    """The same beer by every way of rinsing, for the page that is open."""
    at = _at(request, name, _on(form))
    given = at.given(draft_sent(form, at.choices))
    return HTMLResponse(fragment(request, "gyle_rinses.html", rinses=rinses_of(given, at.units)))


@router.post("/gyle/{name:path}")
def write(request: Request, name: str, form: Sent) -> Response:
    """Take the form in: look at it, add or take out a row, or keep it as a version."""
    at = _at(request, name, _on(form))
    draft, focus, limit = draft_sent(form, at.choices), "", ""
    if "add" in form:
        draft, focus = with_row(draft, str(form["add"]), at.choices)
    elif "out" in form:
        draft = without_row(draft, str(form["out"]))
    elif "take" in form:
        draft, focus = with_fields(draft, str(form["take"]))
    elif "fixes" in form:
        limit = str(form["fixes"])
    elif str(form.get("do", "")).startswith("keep"):
        return _keep(request, at, draft, anyway=form.get("do") == "keep anyway")
    ways = "rinses" in form
    return _page(request, at, draft, at.view.own, focus=focus, limit=limit, ways=ways, changed=True)


def _keep(request: Request, at: _At, draft: Draft, *, anyway: bool) -> Response:
    own = at.view.own
    if draft.text is None:
        return _page(request, at, draft, own, status=422, changed=True)
    if draft.text == own.text and not draft.note:
        return _page(request, at, draft, own, said=f"Nothing differs from version {own.version}.")
    made_from = None if anyway else draft.made_from
    try:
        kept = keep_plan(at.desk.location, at.view.name, draft.text, draft.note, made_from=made_from)
    except Refused as refused:
        refusing = replace(draft, text=None, problems=refused.problems)
        return _page(request, at, refusing, own, status=422, changed=True)
    if kept.overtaken_by is not None:
        return _page(request, at, draft, own, status=409, overtaken=kept.overtaken_by, changed=True)
    on = f"&on={address_of(at.on)}" if at.on else ""
    return RedirectResponse(f"{home_of(at.view.name)}?kept={kept.version}{on}", status_code=303)


def _page(
    request: Request,
    at: _At,
    draft: Draft,
    shown: VersionView,
    *,
    status: int = 200,
    said: str = "",
    focus: str = "",
    limit: str = "",
    ways: bool = False,
    fixed: bool = False,
    changed: bool = False,
    overtaken: VersionView | None = None,
) -> Response:
    given = at.given(draft)
    if given.forecast is None and changed and at.gear is not None:
        before = given_by(shown.text, at.gear, at.view.tables, at.units, draft.fields)
        given = replace(given, outlook=before.outlook, forecast=before.forecast, stale=True)
    filled = Filled(
        fields=draft.fields,
        choices=at.choices,
        problems=given.by_path,
        solved=given.forecast.solved if given.forecast and not given.stale else {},
        units=at.units,
    )
    choices = at.choices
    brewery = at.view.brewery(at.on)
    now = at.desk.clock()
    return page(
        request,
        "gyle.html",
        status=status,
        title=at.view.name,
        place="Gyle",
        view=at.view,
        home=home_of(at.view.name),
        shown=shown,
        draft=draft,
        given=given,
        parts=parts_of(filled),
        lists=_lists(choices),
        brewery=brewery,
        on=brewery.name if brewery else "",
        said=said,
        focus=focus,
        fixed=fixed,
        changed=changed,
        overtaken=overtaken,
        whole=changed,
        carries=_carries(given, at.units) if changed else "",
        fixes=fixes_of(given, limit, at.units) if limit else None,
        rinses=rinses_of(given, at.units) if ways else None,
        brew_name=f"{at.view.name}, {now.date().isoformat()}",
        starts=now.replace(tzinfo=None).isoformat(timespec="minutes"),
    )


def _carries(given: Given, units: Units) -> str:
    found = boundary_view(given.outlook) if given.outlook is not None and not given.stale else None
    return "" if found is None else telling.boundary_sentence(found, units)


def _lists(choices: Choices) -> dict[str, tuple[str, ...]]:
    """Names that are suggested while one types."""
    return {
        "grains": choices.grains,
        "hops": choices.hops,
        "sugars": choices.sugars,
        "yeasts": choices.yeasts,
        "acids": choices.acids,
        "substances": (*choices.salts, *choices.acids),
    }


def _at(request: Request, name: str, on: str) -> _At:
    desk = desk_of(request)
    return _At(desk=desk, view=desk.hand.plan(name), on=on, units=reader_of(request).units)


def _on(form: FormData) -> str:
    value = form.get("on")
    return value if isinstance(value, str) else ""
