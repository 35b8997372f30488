"""The House: the breweries of the book, and the gear of each as a form over its file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Request
from fastapi.responses import PlainTextResponse, RedirectResponse, Response

from gylebook.errors import Problem, Refused
from gylebook.faces import liquor_words
from gylebook.faces.gear_form import Sheet, changes, sheets, shown, taken_out
from gylebook.faces.gear_words import field_name
from gylebook.faces.pictures.gear import gear_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page, picture
from gylebook.tasks.gear import (
    Changed,
    GearView,
    KeptMeanwhile,
    breweries,
    changes_between,
    gear,
    keep_gear,
    path_in,
    text_of_version,
    with_fields,
)
from gylebook.tasks.liquor import report_views

router = APIRouter()
HERE = "House"


@router.get("/house")
def listed(request: Request) -> Response:
    """Every brewery, and where it leads."""
    desk = desk_of(request)
    found = [(kept, f"/house/{address_of(kept.name)}") for kept in breweries(desk.location)]
    return page(request, "house.html", title="House", place=HERE, breweries=found)


@router.get("/house/{name:path}/versions/{version}")
def as_typed(request: Request, name: str, version: int) -> Response:
    """One version of the file, as it was typed."""
    location = desk_of(request).location
    if not 1 <= version <= gear_there(location, name).version:
        raise HTTPException(404)
    return PlainTextResponse(text_of_version(location, name, version))


@router.post("/house/{name:path}/file")
def save_file(
    request: Request,
    name: str,
    text: Annotated[str, Form()] = "",
    seen: Annotated[str, Form()] = "",
    note: Annotated[str, Form()] = "",
) -> Response:
    """Keep the file as it was edited by hand."""
    location, typed = desk_of(request).location, text.replace("\r\n", "\n")
    number = _version_in(seen, gear_there(location, name))
    try:
        keep_gear(location, name, typed, seen=number, note=note)
    except KeptMeanwhile as meanwhile:
        found = gear(location, name)
        return _shown(request, found, note=note, text=typed, meanwhile=meanwhile, status=409)
    except Refused as refused:
        found = gear(location, name)
        return _shown(request, found, seen=number, note=note, text=typed, rest=refused.problems, status=422)
    return _back(name)


@router.get("/house/{name:path}")
def look(request: Request, name: str) -> Response:
    """The gear of one brewery."""
    return _shown(request, gear_there(desk_of(request).location, name))


@router.post("/house/{name:path}")
def save(request: Request, name: str, typed: Typed) -> Response:
    """Keep what the form changed, or lay out the form with a row more or less."""
    location = desk_of(request).location
    found = gear_there(location, name)
    seen = _version_in(typed.get("seen", ""), found)
    before = text_of_version(location, name, seen)
    fields = {change.path: change.after or "" for change in changes_between("", before)}
    note = typed.get("note", "")
    if typed.get("deed", "save") != "save":
        return _shown(request, found, typed=typed, fields=shown(typed, fields), seen=seen, note=note)
    meant = changes(typed, fields)
    try:
        text = with_fields(before, meant, where="brewery")
        keep_gear(location, name, text, seen=seen, note=note)
    except KeptMeanwhile as meanwhile:
        mine = {path: typed.get(path, "") for path in meant}
        merged = shown({**mine, "gone": typed.get("gone", "")}, found.fields)
        return _shown(request, found, typed=typed, fields=merged, note=note, meanwhile=meanwhile, status=409)
    except Refused as refused:
        again = shown(typed, fields)
        problems = refused.problems
        return _shown(
            request, found, typed=typed, fields=again, seen=seen, note=note, rest=problems, status=422
        )
    return _back(name)


def gear_there(location: str, name: str) -> GearView:
    """The gear of a brewery; there is no such page where the book has no such brewery."""
    if all(kept.name != name for kept in breweries(location)):
        raise HTTPException(404)
    return gear(location, name)


def _version_in(text: str, found: GearView) -> int:
    """The version that a form says it saw; the first one where it says none that there is."""
    known = [one.version for one in found.versions]
    return next((version for version in known if f"{version}" == text), 1)


def _back(name: str) -> Response:
    return RedirectResponse(f"/house/{address_of(name)}", status_code=303)


def _shown(
    request: Request,
    found: GearView,
    *,
    typed: Mapping[str, str] | None = None,
    fields: Mapping[str, str] | None = None,
    seen: int | None = None,
    note: str = "",
    text: str | None = None,
    rest: tuple[Problem, ...] = (),
    meanwhile: KeptMeanwhile | None = None,
    status: int = 200,
) -> Response:
    laid_out = sheets(found.fields if fields is None else fields)
    names = [asked.name for sheet in laid_out for row in sheet.rows for asked, _ in row.fields]
    placed = [_placed(problem, names) for problem in rest] if text is None else list(rest)
    beside, left = by_field(placed, names)
    reader = reader_of(request)
    return page(
        request,
        "brewery.html",
        status=status,
        title=found.name,
        place=HERE,
        found=found,
        address=f"/house/{address_of(found.name)}",
        sheets=laid_out,
        seen=found.version if seen is None else seen,
        gone="\n".join(taken_out(typed)) if typed else "",
        open=_open(laid_out, beside, typed or {}),
        unsaved=fields is not None and not rest and meanwhile is None,
        note=note,
        text=text,
        beside=beside,
        rest=left,
        meanwhile=_told(meanwhile.changed) if meanwhile else [],
        newest=meanwhile.newest if meanwhile else 0,
        versions=[(one, _told(one.changed)) for one in found.versions],
        drawing=picture(gear_picture(found.brewery, theme=WEB, units=reader.units)),
        waters=report_views(found.brewery),
        liquor_words=liquor_words,
    )


def _open(laid_out: tuple[Sheet, ...], beside: Mapping[str, str], typed: Mapping[str, str]) -> set[str]:
    """The parts that stand open: where something is wrong, or a row came or went."""
    deed = typed.get("deed", "").split(".")
    moved = deed[1:2] if deed[0] in ("add", "drop") else []
    found = {sheet.part.key for sheet in laid_out if sheet.part.table in moved}
    for sheet in laid_out:
        if any(asked.name in beside for row in sheet.rows for asked, _ in row.fields):
            found.add(sheet.part.key)
    return found


def _placed(problem: Problem, names: list[str]) -> Problem:
    """The same problem at its field; one of a list stands at the list."""
    path = path_in(problem.where)
    where = next((name for name in (path, path.rpartition(".")[0]) if name in names), None)
    return Problem(where or problem.where, problem.understood, problem.accepted)


def _told(changed: tuple[Changed, ...]) -> list[tuple[str, str, str]]:
    """Each change as (field, before, after) in words."""
    return [(field_name(c.path), c.before or "not stated", c.after or "not stated") for c in changed]
