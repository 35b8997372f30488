"""Brews: start one, look at it as it stands or stood, write readings down, do something about it."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request

from gylebook.errors import Refused
from gylebook.faces.answers import event_answer, finite, reading_answers, taken_answer
from gylebook.faces.moments import moment
from gylebook.faces.web.api.forecasts import forecast_told, limits_told
from gylebook.faces.web.api.models import (
    LARGEST_NUMBER,
    AdoptionSent,
    BrewSent,
    BrewStanding,
    BrewTold,
    EventTold,
    Limits,
    Numbers,
    Order,
    Readings,
    ReadingSent,
    Remedies,
    TakenTold,
    WithdrawalSent,
)
from gylebook.faces.web.api.shelf import AtDesk
from gylebook.faces.web.api.troubles import not_there
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.tasks.brew_outlook import SHOWN
from gylebook.tasks.brews import (
    Standing,
    adopt_remedy,
    look_at_brew,
    reading_numbered,
    start_kept_brew,
    take_reading,
    what_can_be_done,
    withdraw_reading,
)
from gylebook.tasks.cellar import moment_corrected
from gylebook.tasks.order_view import order_view
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.shelf import look_at_book
from gylebook.tasks.typed import reading_typed

router = APIRouter(tags=["brews"])
UpTo = Annotated[
    int | None, Query(ge=0, le=LARGEST_NUMBER, description="As it stood after the event with this number.")
]


def standing_asked(desk: AtDesk, brew: BrewAsked, up_to: UpTo = None) -> Standing:
    """The brew of an address, as it stands or stood."""
    if up_to is None:
        return desk.hand.standing(brew)
    return look_at_brew(desk.location, brew, up_to=up_to)


Asked = Annotated[Standing, Depends(standing_asked)]


@router.get("/brews", response_model=list[BrewTold])
def brews(desk: AtDesk) -> list[dict[str, Any]]:
    """All brews, in the order of their start."""
    return [asdict(brew) for brew in look_at_book(desk.location).brews]


@router.post("/brews", response_model=BrewStanding, status_code=201)
def start(desk: AtDesk, sent: BrewSent) -> dict[str, Any]:
    """Start a brew from a plan and a brewery that the book holds; the solved plan is pinned."""
    started = start_kept_brew(
        desk.location,
        sent.name,
        sent.plan,
        sent.brewery,
        moment(sent.at, now=desk.clock(), where="at"),
        plan_version=sent.plan_version,
        brewery_version=sent.brewery_version,
        draws=sent.draws,
        seed=sent.seed,
    )
    return _standing_told(started)


@router.get("/brews/{brew}", response_model=BrewStanding)
def one(standing: Asked) -> dict[str, Any]:
    """A brew: what happened, and what is forecast."""
    return _standing_told(standing)


@router.get("/brews/{brew}/numbers", response_model=Numbers)
def numbers(standing: Asked) -> dict[str, Any]:
    """Every named number."""
    return {"numbers": forecast_told(standing.outlook)["numbers"]}


@router.get("/brews/{brew}/limits", response_model=Limits)
def limits(standing: Asked) -> Any:
    """What must not be exceeded, and how surely it is kept."""
    return limits_told(standing.outlook)


@router.get("/brews/{brew}/order", response_model=Order)
def order(standing: Asked) -> Any:
    """The running order, with where each reading is expected to lie."""
    return finite(asdict(order_view(standing.outlook)))


@router.get("/brews/{brew}/readings", response_model=Readings)
def readings(standing: Asked) -> dict[str, Any]:
    """How the readings agree with each other and with the forecast."""
    return _readings(standing.outlook)


@router.get("/brews/{brew}/remedies", response_model=Remedies)
def remedies(standing: Asked) -> Any:
    """What can still be done, the best first."""
    found = [asdict(remedy) for remedy in what_can_be_done(standing.outlook)]
    return finite({"remedies": found, **_readings(standing.outlook)})


@router.get("/brews/{brew}/events", response_model=list[EventTold])
def events(standing: Asked) -> list[dict[str, Any]]:
    """What happened and still counts, in the order of writing."""
    return _events(standing)


@router.post("/brews/{brew}/readings", response_model=TakenTold, status_code=201)
def read(request: Request, brew: BrewAsked, sent: ReadingSent) -> Any:
    """Write a reading down as it is typed; sent twice with the same id, it is kept once."""
    desk = desk_of(request)
    standing = desk.hand.standing(brew)
    corrected = moment_corrected(standing.events, sent.corrects) if sent.at is None else None
    at = corrected or moment(sent.at, now=desk.clock(), where="at")
    typed = reading_typed(
        standing.outlook, sent.step, sent.value, sent.instrument, sent.temperature, at, sent.meter
    )
    taken = take_reading(
        desk.location,
        brew,
        replace(typed, gassy=sent.gassy),
        id=sent.id,
        who=sent.who,
        device=reader_of(request).known_as,
        supersedes=None if sent.corrects is None else reading_numbered(desk.location, brew, sent.corrects),
        reason=sent.reason,
    )
    return finite(taken_answer(taken))


@router.post("/brews/{brew}/readings/{number}/withdraw", response_model=TakenTold, status_code=201)
def withdraw(desk: AtDesk, brew: BrewAsked, number: int, sent: WithdrawalSent) -> Any:
    """Take a reading back by its number; it stays in the book and counts no more."""
    try:
        id = reading_numbered(desk.location, brew, number)
    except Refused:
        raise not_there(f"reading number {number} of “{brew}”") from None
    at = moment(sent.at, now=desk.clock(), where="at")
    return finite(taken_answer(withdraw_reading(desk.location, brew, id, at, reason=sent.reason)))


@router.post("/brews/{brew}/adopt", response_model=TakenTold, status_code=201)
def adopt(desk: AtDesk, brew: BrewAsked, sent: AdoptionSent) -> Any:
    """Make the plan what a remedy makes of it, from the step last read on."""
    at = moment(sent.at, now=desk.clock(), where="at")
    return finite(taken_answer(adopt_remedy(desk.location, brew, sent.remedy, at)))


def _standing_told(standing: Standing) -> dict[str, Any]:
    return {
        **forecast_told(standing.outlook),
        "brew": asdict(standing.brew),
        "limits_kept": standing.outlook.limits_kept,
        "events": _events(standing),
    }


def _events(standing: Standing) -> list[dict[str, Any]]:
    return [event_answer(event) for event in standing.events if event.kind != SHOWN]


def _readings(outlook: Outlook) -> dict[str, Any]:
    return {"readings": finite(reading_answers(outlook))}
