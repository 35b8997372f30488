"""Lead from the first address to where the brewer is."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.faces.web.desk import desk_of
from gylebook.faces.web.places import places_of

router = APIRouter()


@router.get("/")
def first(request: Request) -> Response:
    """The last place in the order of work that has something to show; an empty book begins."""
    places = places_of(desk_of(request))
    chosen = next((place for place in places if place.name in ("Day", "Gyle")), None)
    return RedirectResponse(chosen.address if chosen else "/start", status_code=303)
