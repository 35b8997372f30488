"""Take notes on how a portion tastes, and show those that were taken."""

from __future__ import annotations

import re
from uuid import uuid4

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.brewery.tasting import OFF_FLAVOURS, STRENGTHS, TRAITS
from gylebook.errors import Problem, Refused
from gylebook.faces import tasting_words
from gylebook.faces.moments import moment
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, id_typed
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.tasks.impressions import impressions_of, write_impression

router = APIRouter()


@router.get("/glass/notes/{brew}/{portion}")
def notes(request: Request, brew: BrewAsked, portion: str) -> Response:
    """What was tasted in a portion, and a form for more."""
    return _shown(request, brew, portion, {}, ())


@router.post("/glass/notes/{brew}/{portion}")
def take_note(request: Request, brew: BrewAsked, portion: str, typed: Typed) -> Response:
    """Keep a note; sent twice, it is kept once."""
    desk = desk_of(request)
    strengths = {trait: typed.get(f"trait.{trait}", "") for trait in TRAITS}
    corrects = typed.get("corrects", "")
    try:
        write_impression(
            desk.location,
            brew,
            portion,
            words=typed.get("words", ""),
            traits={trait: int(n) for trait, n in strengths.items() if n in ("0", "1", "2", "3", "4")},
            off_flavours=[name for name in OFF_FLAVOURS if typed.get(f"off.{name}")],
            at=moment(None, now=desk.clock()),
            who=typed.get("who", "")[:200],
            device=reader_of(request).known_as,
            corrects=int(corrects) if re.fullmatch("[0-9]{1,18}", corrects) else None,
            id=id_typed(typed.get("id", "")),
        )
    except Refused as refused:
        return _shown(request, brew, portion, typed, refused.problems)
    return RedirectResponse(f"/glass/notes/{address_of(brew)}/{address_of(portion)}", status_code=303)


def _shown(
    request: Request, brew: str, portion: str, typed: dict[str, str], problems: tuple[Problem, ...]
) -> Response:
    try:
        beer, told = impressions_of(desk_of(request).location, brew, portion)
    except Refused as refused:
        raise HTTPException(404, str(refused)) from None
    return page(
        request,
        "glass_notes.html",
        status=422 if problems else 200,
        title=f"How {beer.name} tastes",
        place="Glass",
        beer=beer,
        told=told,
        typed={"words": "", "who": "", "id": str(uuid4()), "corrects": "", **typed},
        problems=problems,
        traits=TRAITS,
        strengths=STRENGTHS,
        off_flavours=OFF_FLAVOURS,
        tasting_words=tasting_words,
        address=f"/glass/notes/{address_of(beer.brew_id)}/{address_of(beer.portion)}",
    )
