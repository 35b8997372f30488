"""A portion in fermentation: its curve, and when it was pitched."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request

from gylebook.errors import Refused
from gylebook.faces.answers import finite
from gylebook.faces.moments import moment
from gylebook.faces.web.api.models import EventShort, Ferment, PitchedSent
from gylebook.faces.web.api.troubles import not_there
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.tasks.cellar import ferment_of, refuse_unknown_portion, write_pitched

router = APIRouter(tags=["cellar"])
Pitched = Annotated[
    str | None,
    Query(max_length=64, description="When the yeast went in; as written down or read if not given."),
]


def known_portion(request: Request, brew: BrewAsked, portion: str) -> str:
    """The portion's key in an address, if the brew has one."""
    try:
        refuse_unknown_portion(desk_of(request).hand.standing(brew).outlook, portion)
    except Refused:
        raise not_there(f"portion “{portion}” of “{brew}”") from None
    return portion


KnownPortion = Annotated[str, Depends(known_portion)]


@router.get("/brews/{brew}/portions/{portion}/ferment", response_model=Ferment)
def ferment(request: Request, brew: BrewAsked, portion: KnownPortion, pitched: Pitched = None) -> Any:
    """How a portion ferments: odds of each state, the curve with its band, how long to wait."""
    desk = desk_of(request)
    since = None if pitched is None else moment(pitched, now=desk.clock(), where="pitched")
    return finite(asdict(ferment_of(desk.hand.standing(brew), portion, since)))


@router.post("/brews/{brew}/portions/{portion}/pitched", response_model=EventShort, status_code=201)
def pitched(request: Request, brew: BrewAsked, portion: KnownPortion, sent: PitchedSent) -> dict[str, Any]:
    """Write down when a portion was pitched, where no reading of the filled fermenter tells."""
    desk = desk_of(request)
    at = moment(sent.at, now=desk.clock(), where="at")
    device = reader_of(request).known_as
    event = write_pitched(desk.location, brew, portion, at, device=device)
    return {"number": event.seq, "id": event.id, "kind": event.kind}
