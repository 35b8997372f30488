"""Take a parcel from another brewer, show its beer on a brewery of this book, and keep it as a plan."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import Response

from gylebook.errors import GylebookError, Refused
from gylebook.faces import adapt_words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import problems_of
from gylebook.faces.web.pages.adapt import THIS_BEER, comparison, keep_adapted, litres_typed
from gylebook.faces.web.pages.gyle import home_of
from gylebook.faces.web.rendering import page
from gylebook.figures.quantity_text import with_unit
from gylebook.tasks.adapt import adapt
from gylebook.tasks.gear import breweries, gear
from gylebook.tasks.parcels import unpacked

router = APIRouter()
EMPTY = "Choose the file that you were sent, or paste what stands in it."


@router.get("/receive")
def ask(request: Request) -> Response:
    """The form for a parcel."""
    return _page(request, {"parcel": "", "onto": "", "litres": "", "called": "", "colour": False, "do": ""})


@router.post("/receive")
def receive(
    request: Request,
    parcel: Annotated[str, Form()] = "",
    onto: Annotated[str, Form()] = "",
    litres: Annotated[str, Form()] = "",
    colour: Annotated[str, Form()] = "",
    called: Annotated[str, Form()] = "",
    do: Annotated[str, Form()] = "show",
    file: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Check the seal, adapt the beer, and show it beside what its sender forecast; or keep it as a plan."""
    sent = file.file.read() if file is not None and file.filename else b""
    text = sent.decode("utf-8", errors="replace") if sent else parcel
    asked = {
        "parcel": text,
        "onto": onto,
        "litres": with_unit(litres, reader_of(request).units.volume),
        "colour": bool(colour),
        "called": called,
        "do": do,
    }
    if not text.strip():
        return _page(request, asked, status=422, empty=EMPTY)
    try:
        return _received(request, asked)
    except GylebookError as problem:
        return _page(request, asked, status=422, problems=problems_of(problem, THIS_BEER))


def _received(request: Request, asked: dict[str, Any]) -> Response:
    location = desk_of(request).location
    received = unpacked(asked["parcel"], where="The parcel")
    found = adapt(
        received.before,
        gear(location, asked["onto"]).brewery,
        litres=litres_typed(asked["litres"]),
        keep_colour=asked["colour"],
    )
    told: dict[str, Any] = comparison(request, found, most=asked["do"] == "most")
    told["received"] = adapt_words.received_sentences(received, reader_of(request).units)
    asked["called"] = asked["called"] or received.before.asked.name
    if asked["do"] != "keep":
        return _page(request, asked, **told)
    try:
        kept = keep_adapted(location, found, asked["called"])
    except Refused as refused:
        return _page(request, asked, status=422, wrong=refused.problems[0], **told)
    return _page(request, asked, kept=kept, **told)


def _page(request: Request, asked: dict[str, Any], *, status: int = 200, **told: Any) -> Response:
    usual = {
        "view": None,
        "received": (),
        "problems": (),
        "kept": "",
        "wrong": None,
        "empty": "",
    }
    return page(
        request,
        "receive.html",
        status=status,
        title="A parcel from another brewer",
        place="Gyle",
        breweries=[one.name for one in breweries(desk_of(request).location)],
        asked=asked,
        kept_at=home_of(told.get("kept", "")),
        **{**usual, **told},
    )
