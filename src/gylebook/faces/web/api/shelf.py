"""What the book holds: itself, breweries and plans with their versions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request

from gylebook.faces.web.api.models import (
    LARGEST_NUMBER,
    BookTold,
    BrewerySent,
    PlanSent,
    Version,
    VersionText,
)
from gylebook.faces.web.api.troubles import not_there
from gylebook.faces.web.desk import Desk, desk_of
from gylebook.tasks.kept import (
    BreweryVersion,
    PlanVersion,
    keep_brewery_text,
    keep_plan_text,
    kept_brewery,
    kept_plan,
)
from gylebook.tasks.shelf import BookView, look_at_book

router = APIRouter(tags=["book"])
AtDesk = Annotated[Desk, Depends(desk_of)]
WhichVersion = Annotated[int | None, Query(ge=1, le=LARGEST_NUMBER, description="The newest if not given.")]


@router.get("/book", response_model=BookTold)
def book(desk: AtDesk) -> dict[str, Any]:
    """What the book holds, by name and version."""
    view = look_at_book(desk.location)
    return {
        "made_at": view.about.made_at,
        "revision": view.about.revision,
        "newest_event": desk.hand.newest(),
        "breweries": [asdict(one) for one in view.breweries],
        "plans": [asdict(one) for one in view.plans],
        "tables": [asdict(one) for one in view.tables],
        "brews": [asdict(one) for one in view.brews],
    }


@router.get("/plans", response_model=list[Version])
def plans(desk: AtDesk) -> list[dict[str, Any]]:
    """All versions of all plans, by name, the oldest first."""
    return [asdict(one) for one in look_at_book(desk.location).plans]


@router.post("/plans", response_model=Version, status_code=201)
def keep_plan(desk: AtDesk, sent: PlanSent) -> dict[str, Any]:
    """Keep a plan under its own name as the next version; the newest text again makes no new one."""
    return asdict(keep_plan_text(desk.location, sent.text, note=sent.note))


@router.get("/plans/{name}", response_model=VersionText)
def plan(request: Request, name: str, version: WhichVersion = None) -> dict[str, Any]:
    """One version of a plan with its text."""
    view = look_at_book(desk_of(request).location)
    _known(view.plans, "plan", name, version)
    return asdict(kept_plan(view.location, name, version))


@router.post("/plans/{name}", response_model=Version, status_code=201)
def keep_version_of_plan(request: Request, name: str, sent: PlanSent) -> dict[str, Any]:
    """Keep the next version of this plan; the text must bear its name."""
    view = look_at_book(desk_of(request).location)
    _known(view.plans, "plan", name, None)
    return asdict(keep_plan_text(view.location, sent.text, note=sent.note, named=name))


@router.get("/breweries", response_model=list[Version])
def breweries(desk: AtDesk) -> list[dict[str, Any]]:
    """All versions of all breweries, by name, the oldest first."""
    return [asdict(one) for one in look_at_book(desk.location).breweries]


@router.post("/breweries", response_model=Version, status_code=201)
def keep_brewery(desk: AtDesk, sent: BrewerySent) -> dict[str, Any]:
    """Keep a brewery under its own name, likewise."""
    return asdict(keep_brewery_text(desk.location, sent.text))


@router.get("/breweries/{name}", response_model=VersionText)
def brewery(request: Request, name: str, version: WhichVersion = None) -> dict[str, Any]:
    """One version of a brewery with its text."""
    view: BookView = look_at_book(desk_of(request).location)
    _known(view.breweries, "brewery", name, version)
    return asdict(kept_brewery(view.location, name, version))


@router.post("/breweries/{name}", response_model=Version, status_code=201)
def keep_version_of_brewery(request: Request, name: str, sent: BrewerySent) -> dict[str, Any]:
    """Keep the next version of this brewery; the text must bear its name."""
    view = look_at_book(desk_of(request).location)
    _known(view.breweries, "brewery", name, None)
    return asdict(keep_brewery_text(view.location, sent.text, named=name))


def _known(
    held: tuple[PlanVersion, ...] | tuple[BreweryVersion, ...], what: str, name: str, version: int | None
) -> None:
    if not any(one.name == name and version in (None, one.version) for one in held):
        raise not_there(f"{what} “{name}”" + (f" version {version}" if version else ""))
