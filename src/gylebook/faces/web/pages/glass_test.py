"""Show one blind test: its question, its sheet, its answers, and what they show once all are in."""

from __future__ import annotations

import re
from typing import Annotated
from uuid import uuid4

from fastapi import APIRouter, Depends, Form, HTTPException, Query, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import Problem, Refused
from gylebook.faces import tasting_words
from gylebook.faces.moments import moment
from gylebook.faces.pictures.luck import luck_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.sheets.glass import glass_sheet
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import id_typed
from gylebook.faces.web.rendering import as_file, page, picture
from gylebook.tasks.tasting import TastingInBook, call_off, tasting_in_book, write_answer
from gylebook.tasks.tasting_result import result_of

router = APIRouter()
SVG_WIDTH = 420
Short = Annotated[str, Form(max_length=200)]


def _asked(request: Request, number: str) -> TastingInBook:
    if not (number.isascii() and number.isdecimal() and len(number) < 19):
        raise HTTPException(404)
    try:
        return tasting_in_book(desk_of(request).location, int(number))
    except Refused:
        raise HTTPException(404, f"There is no tasting {number} in this book.") from None


Asked = Annotated[TastingInBook, Depends(_asked)]


@router.get("/glass/{number}")
def blind_test(
    request: Request,
    found: Asked,
    early: Annotated[bool, Query()] = False,
    key: Annotated[bool, Query()] = False,
    written: Annotated[bool, Query()] = False,
) -> Response:
    """The test; the key and an early count only where they are asked for.

    Where an answer was just `written`, the cursor stands ready for the next.
    """
    return _shown(request, found, {}, (), early=early, key=key, ready=written)


@router.get("/glass/{number}/sheet")
def sheet(request: Request, found: Asked) -> Response:
    """The test on paper."""
    made = glass_sheet(found, reader_of(request).units)
    return as_file(made, f"tasting {found.number}.pdf", media_type="application/pdf", shown=True)


@router.post("/glass/{number}")
def answer(
    request: Request,
    found: Asked,
    picked: Short = "",
    who: Short = "",
    sure: Short = "",
    words: Annotated[str, Form(max_length=2000)] = "",
    instead: Annotated[bool, Form()] = False,
    id: Short = "",
) -> Response:
    """Write an answer down; what cannot be one comes back as it was typed."""
    desk = desk_of(request)
    try:
        write_answer(
            desk.location,
            found.number,
            re.findall(r"[^\s,;]+", picked),
            at=moment(None, now=desk.clock()),
            who=who,
            sure=int(sure) if sure in ("1", "2", "3") else 0,
            words=words,
            instead=instead,
            device=reader_of(request).known_as,
            id=id_typed(id),
        )
    except Refused as refused:
        typed = {"picked": picked, "who": who, "sure": sure, "words": words, "id": id}
        return _shown(request, found, typed, refused.problems)
    return RedirectResponse(f"/glass/{found.number}?written=true", status_code=303)


@router.post("/glass/{number}/off")
def off(request: Request, found: Asked, reason: Short = "") -> Response:
    """Call the test off."""
    desk = desk_of(request)
    call_off(
        desk.location,
        found.number,
        at=moment(None, now=desk.clock()),
        reason=reason,
        device=reader_of(request).known_as,
    )
    return RedirectResponse("/glass", status_code=303)


def _shown(
    request: Request,
    found: TastingInBook,
    typed: dict[str, str],
    problems: tuple[Problem, ...],
    *,
    early: bool = False,
    key: bool = False,
    ready: bool = False,
) -> Response:
    result = result_of(found) if early or not found.missing else None
    drawn = ""
    if result is not None and result.by_chance:
        drawn = picture(luck_picture(result, width=SVG_WIDTH, theme=WEB))
    typed = {"picked": "", "who": "", "sure": "", "words": "", "id": "", **typed}
    typed["id"] = typed["id"] or str(uuid4())
    return page(
        request,
        "glass_test.html",
        status=422 if problems else 200,
        title=tasting_words.title(found.tasting),
        place="Glass",
        found=found,
        tasting=found.tasting,
        names=tasting_words.names_of(found.tasting),
        result=result,
        drawn=drawn,
        typed=typed,
        problems=problems,
        key=key,
        ready=ready,
        tasting_words=tasting_words,
    )
