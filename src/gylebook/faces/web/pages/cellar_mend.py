"""Put a portion's readings right: correct one, or withdraw it.

In:  plain forms beside each reading of a portion.
Out: the portion again, at its readings; what is refused comes back as it was typed.
"""

from __future__ import annotations

from typing import Annotated
from uuid import UUID, uuid4

from fastapi import APIRouter, Form, HTTPException, Request
from fastapi.responses import Response

from gylebook.errors import BookProblem, GylebookError, Problem, Refused
from gylebook.faces import portion_words
from gylebook.faces.moments import moment
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.pages.cellar import Short, Typed, device_of, portion_page, to_portion
from gylebook.tasks.brews import take_reading
from gylebook.tasks.cellar import cellar_of
from gylebook.tasks.portion_log import PortionRead, correction, portion_log, withdraw_of_portion

router = APIRouter()
SECTION = "read"


@router.post("/cellar/{brew}/{portion}/correct")
def correct(
    request: Request,
    brew: BrewAsked,
    portion: str,
    event: Annotated[UUID, Form()],
    value: Short = "",
    temperature: Short = "",
    at: Short = "",
    gassy: Annotated[bool, Form()] = False,
    reason: Short = "",
    id: Annotated[UUID | None, Form()] = None,
) -> Response:
    """Write a reading in the place of an earlier one, of the same moment where no other is told."""
    desk, units = desk_of(request), reader_of(request).units
    earlier = _earlier(request, brew, portion, event)
    was = earlier.reading.at
    try:
        when = was if at.strip() in ("", was[:16]) else moment(at.strip(), now=desk.clock(), where="read at")
        taken = correction(
            desk.hand.standing(brew),
            earlier,
            value,
            portion_words.unit_of(earlier, units),
            temperature,
            units.temperature,
            when,
            gassy,
        )
        written = take_reading(
            desk.location,
            brew,
            taken,
            id=id,
            device=device_of(request),
            supersedes=event,
            reason=reason.strip(),
        ).event
    except BookProblem:
        raise
    except GylebookError as problem:
        problems = problem.problems if isinstance(problem, Refused) else (Problem("", "", str(problem)),)
        again = Typed(
            value=value,
            temperature=temperature,
            at=at,
            gassy=gassy,
            id=str(id or uuid4()),
            of=str(earlier.number),
            reason=reason,
        )
        return portion_page(request, brew, portion, again, problems)
    return to_portion(brew, portion, written.seq, SECTION)


@router.post("/cellar/{brew}/{portion}/withdraw")
def withdraw(
    request: Request,
    brew: BrewAsked,
    portion: str,
    event: Annotated[UUID, Form()],
    reason: Short = "",
    id: Annotated[UUID | None, Form()] = None,
) -> Response:
    """A reading counts no more."""
    desk = desk_of(request)
    earlier = _earlier(request, brew, portion, event)
    withdraw_of_portion(
        desk.location, brew, earlier, desk.now(), reason=reason.strip(), id=id, device=device_of(request)
    )
    return to_portion(brew, portion, earlier.number, SECTION)


def _earlier(request: Request, brew: str, key: str, event: UUID) -> PortionRead:
    """The reading of this portion that is meant."""
    desk = desk_of(request)
    found = next((one for one in cellar_of(desk.hand, brew) if one.key == key), None)
    reads = () if found is None else portion_log(desk.hand.standing(brew), key, found.pitched, found.ferment)
    meant = next((one for one in reads if one.id == event), None)
    if meant is None:
        raise HTTPException(404)
    return meant
