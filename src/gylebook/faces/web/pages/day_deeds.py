"""Take what a brewer does on the day: a step begun, a reading, a correction, a remedy, readings pasted.

In:  plain forms, from a page with script or without.
Out: the page again, or for its script a short answer in JSON; what is refused comes back as it was typed.

Idea: every deed has an id, from the page's script or from the page that the form stood on, so that one sent
twice is kept once.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, get_args
from uuid import UUID, uuid4, uuid5

from fastapi import APIRouter, Form, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response

from gylebook.brewery.instruments import Quantity
from gylebook.errors import BookProblem, GylebookError, Problem, Refused
from gylebook.faces import day_words
from gylebook.faces.web.choices import units_of
from gylebook.faces.web.desk import Desk, desk_of, reader_of
from gylebook.faces.web.forms import problems_of
from gylebook.faces.web.pages.day import day_page
from gylebook.faces.web.places import address_of
from gylebook.tasks.brews import adopt_remedy, take_reading, withdraw_reading
from gylebook.tasks.day import day_order
from gylebook.tasks.day_deeds import begin_step, keep_pasted, reading_asked, take_back_step

router = APIRouter()
Text = Annotated[str, Form(max_length=400)]
Given = Annotated[UUID | None, Form()]


@router.post("/day/{brew}/step")
def step(
    request: Request,
    brew: str,
    step: Text = "",
    at: Text = "",
    id: Annotated[str, Form()] = "",
    page: Annotated[str, Form()] = "",
) -> Response:
    """A step begins, or with none the day ends."""
    desk = desk_of(request)

    def deed() -> None:
        order = desk.hand.found(day_order, desk.hand.standing(brew).outlook)
        begin_step(
            desk.location,
            brew,
            order,
            step,
            at or desk.now(),
            id=_id(id, page, "step", step),
            device=reader_of(request).device,
        )

    return _done(request, brew, deed)


@router.post("/day/{brew}/back")
def back(
    request: Request,
    brew: str,
    event: Annotated[UUID, Form()],
    at: Text = "",
    id: Annotated[str, Form()] = "",
    page: Annotated[str, Form()] = "",
) -> Response:
    """The step before is present again."""
    desk = desk_of(request)

    def deed() -> None:
        own = _id(id, page, "back", str(event))
        device = reader_of(request).device
        take_back_step(desk.location, brew, event, at or desk.now(), id=own, device=device)

    return _done(request, brew, deed)


@router.post("/day/{brew}/reading")
def reading(
    request: Request,
    brew: str,
    step: Text,
    quantity: Text,
    value: Text = "",
    instrument: Text = "",
    temperature: Text = "",
    meter: Text = "",
    reads: Text = "",
    at: Text = "",
    supersedes: Annotated[str, Form()] = "",
    reason: Text = "",
    id: Annotated[str, Form()] = "",
    page: Annotated[str, Form()] = "",
) -> Response:
    """Write a reading down; with `supersedes` it takes the place of an earlier one."""
    desk = desk_of(request)
    units = units_of(reads) if reads else reader_of(request).units

    def deed() -> None:
        outlook = desk.hand.standing(brew).outlook
        read = _quantity(quantity)
        known = outlook.brewery.instruments.get(instrument)
        taken = reading_asked(
            outlook,
            step,
            read,
            value,
            day_words.typed_unit(read, known.kind if known else "", units),
            instrument,
            temperature,
            units.temperature,
            at or desk.now(),
            meter,
        )
        take_reading(
            desk.location,
            brew,
            taken,
            id=_id(id, page, "reading", step, quantity, supersedes),
            device=reader_of(request).device,
            supersedes=UUID(supersedes) if supersedes else None,
            reason=reason.strip(),
        )

    typed = {
        "step": step,
        "quantity": quantity,
        "value": value,
        "instrument": instrument,
        "temperature": temperature,
        "meter": meter,
        "supersedes": supersedes,
        "reason": reason,
    }
    return _done(request, brew, deed, typed=typed)


@router.post("/day/{brew}/withdraw")
def withdraw(
    request: Request,
    brew: str,
    event: Annotated[UUID, Form()],
    reason: Text = "",
    at: Text = "",
    id: Annotated[str, Form()] = "",
    page: Annotated[str, Form()] = "",
) -> Response:
    """A reading counts no more."""
    desk = desk_of(request)

    def deed() -> None:
        withdraw_reading(
            desk.location,
            brew,
            event,
            at or desk.now(),
            reason=reason.strip(),
            id=_id(id, page, "withdraw", str(event)),
            device=reader_of(request).device,
        )

    return _done(request, brew, deed)


@router.post("/day/{brew}/adopt")
def adopt(
    request: Request,
    brew: str,
    number: Annotated[int, Form()],
    seen: Annotated[int, Form()],
    at: Text = "",
    id: Annotated[str, Form()] = "",
    page: Annotated[str, Form()] = "",
) -> Response:
    """The plan becomes what a remedy makes of it."""
    desk = desk_of(request)

    def deed() -> None:
        adopt_remedy(
            desk.location,
            brew,
            number,
            at or desk.now(),
            id=_id(id, page, "adopt", str(number)),
            device=reader_of(request).device,
            seen=seen,
        )

    return _done(request, brew, deed)


@router.post("/day/{brew}/paste")
def paste(request: Request, brew: str, readings: Annotated[str, Form(max_length=200_000)] = "") -> Response:
    """Readings of a saved sheet come back; the page says what became of each."""
    desk = desk_of(request)
    try:
        became = keep_pasted(desk.location, brew, readings, desk.clock(), reader_of(request).device)
    except Refused as refused:
        told = {"text": readings, "problems": refused.problems, "became": ()}
        return day_page(request, brew, status=422, pasted=told)
    refused_some = any(one.became == "refused" for one in became)
    told = {"text": readings if refused_some else "", "problems": (), "became": became}
    return day_page(request, brew, status=422 if refused_some else 200, pasted=told)


def _done(
    request: Request, brew: str, deed: Callable[[], None], *, typed: dict[str, str] | None = None
) -> Response:
    """Do it, then lead back to the day; what is refused is said there, with all that was typed."""
    by_script = "application/json" in request.headers.get("accept", "")
    try:
        deed()
    except BookProblem:
        raise  # the book cannot be written now: nothing is wrong with the deed, and a page sends it again
    except GylebookError as refused:
        problems = problems_of(refused, "value")
        if by_script:
            return JSONResponse({"problems": [_told(problem) for problem in problems]}, status_code=422)
        if typed is None:
            raise
        return day_page(request, brew, status=422, typed=typed, problems=problems)
    if by_script:
        return JSONResponse({"newest": _newest(desk_of(request), brew)})
    return RedirectResponse(f"/day/{address_of(brew)}", status_code=303)


def _told(problem: Problem) -> dict[str, str]:
    return {"where": problem.where, "understood": problem.understood, "accepted": problem.accepted}


def _newest(desk: Desk, brew: str) -> int:
    return desk.hand.newest_of(brew)


def _quantity(text: str) -> Quantity:
    known: tuple[Quantity, ...] = get_args(Quantity)
    for quantity in known:
        if quantity == text:
            return quantity
    raise Refused((Problem("quantity", f"“{text}”", f"must be one of {', '.join(known)}"),))


def _id(own: str, page: str, *what: str) -> UUID:
    """The id that a script gave, else one that follows from the page on which the form stood."""
    for given, made in ((own, lambda one: one), (page, lambda one: uuid5(one, " ".join(what)))):
        try:
            if given:
                return made(UUID(given))
        except ValueError:
            raise Refused((Problem("id", f"“{given[:40]}”", "must be a UUID"),)) from None
    return uuid4()
