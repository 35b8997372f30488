"""Show where each portion is after pitching, what is next and when, and take readings of it.

In:  a brew and a portion in the address, a form.
Out: pages; after a reading its portion again, at the form, with a line that says what was written.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any
from uuid import UUID, uuid4

from fastapi import APIRouter, Form, HTTPException, Query, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.brewery.instruments import READS
from gylebook.errors import GylebookError, Problem, Refused
from gylebook.faces import cellar_words, ferment_words, portion_words
from gylebook.faces.moments import day_and_clock, moment
from gylebook.faces.pictures.ferment import ferment_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.places import address_of, address_of_brew
from gylebook.faces.web.rendering import page, picture
from gylebook.tasks.brews import Brew, take_reading
from gylebook.tasks.cellar import CellarPortion, cellar_of, ferment_step, write_pitched
from gylebook.tasks.moments import hours_between, moment_of
from gylebook.tasks.portion_log import portion_log
from gylebook.tasks.shelf import look_at_book
from gylebook.tasks.trust import DOUBTFUL
from gylebook.tasks.typed import reading_typed

router = APIRouter()
A_PAGE = 12
SVG_WIDTH = 780
ASKED_FROM = "T16:00"  # when a day's wort is usually pitched: what the form begins with
A_DAY_H = 24.0  # after a start the brew day may still be going on
LARGEST = 2**63 - 1
Short = Annotated[str, Form(max_length=200)]


@dataclass(frozen=True, slots=True)
class InCellar:
    """A brew with its portions; those `unknown` have no moment of pitching, as is right on `its_day`."""

    brew: Brew
    address: str
    portions: tuple[CellarPortion, ...]
    trouble: str
    its_day: bool

    @property
    def unknown(self) -> list[CellarPortion]:
        """Portions of which nobody said when they were pitched."""
        return [portion for portion in self.portions if not portion.pitched]


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading as it was typed, so that a refused one is not lost; `of` numbers the one it corrects."""

    value: str = ""
    temperature: str = ""
    instrument: str = ""
    at: str = ""
    gassy: bool = False
    id: str = ""
    of: str = ""
    reason: str = ""


@router.get("/cellar")
def cellar(
    request: Request, page_number: Annotated[int, Query(alias="page", ge=1, le=LARGEST)] = 1
) -> Response:
    """Every portion of every brew, the newest brew first."""
    desk = desk_of(request)
    brews = look_at_book(desk.location).brews[::-1]
    pages = max(1, -(-len(brews) // A_PAGE))
    number = min(page_number, pages)
    some = [_in_cellar(request, brew) for brew in brews[(number - 1) * A_PAGE : number * A_PAGE]]
    return page(
        request, "cellar.html", title="Cellar", place="Cellar", brews=some, number=number, pages=pages,
        **_words(request),
    )  # fmt: skip


@router.get("/cellar/{brew}/{portion}")
def portion(
    request: Request,
    brew: BrewAsked,
    portion: str,
    written: Annotated[int, Query(ge=0, le=LARGEST)] = 0,
) -> Response:
    """One portion: its curve, what is next, its readings; `written` numbers what was just done."""
    return portion_page(request, brew, portion, written=written)


@router.post("/cellar/{brew}/pitched")
def pitched(request: Request, brew: BrewAsked, at: Short = "", portion: Short = "") -> Response:
    """Write down when one portion was pitched, or all of which it is not known."""
    desk = desk_of(request)
    portions = cellar_of(desk.hand, brew)
    meant = [p for p in portions if (p.key == portion if portion else not p.pitched)]
    if portion and not meant:
        raise HTTPException(404)
    if not at.strip():
        raise Refused((Problem("pitched", "is missing", "say the day and the hour"),))
    when = moment(at, now=desk.clock(), where="pitched")
    for one in meant:
        write_pitched(desk.location, brew, one.key, when, device=device_of(request))
    where = f"/cellar/{address_of(brew)}/{address_of(portion)}" if portion else "/cellar"
    return RedirectResponse(where, status_code=303)


@router.post("/cellar/{brew}/{portion}")
def read(
    request: Request,
    brew: BrewAsked,
    portion: str,
    value: Short = "",
    temperature: Short = "",
    instrument: Short = "",
    at: Short = "",
    gassy: Annotated[bool, Form()] = False,
    id: Annotated[UUID | None, Form()] = None,
) -> Response:
    """Take one reading of a portion; sent twice, it is stored once."""
    desk = desk_of(request)
    if portion not in {one.key for one in cellar_of(desk.hand, brew)}:
        raise HTTPException(404)
    try:
        when = moment(at.strip() or None, now=desk.clock(), where="read at")
        outlook = desk.hand.standing(brew).outlook
        typed = reading_typed(
            outlook,
            ferment_step(portion),
            value,
            instrument or None,
            temperature.strip() or None,
            when,
        )
        taken = replace(typed, gassy=gassy)
        event = take_reading(desk.location, brew, taken, id=id, device=device_of(request)).event
    except GylebookError as problem:
        problems = problem.problems if isinstance(problem, Refused) else (Problem("", "", str(problem)),)
        again = Typed(value, temperature, instrument, at, gassy, str(id or uuid4()))
        return portion_page(request, brew, portion, again, problems)
    return to_portion(brew, portion, event.seq, "reading")


def to_portion(brew: str, portion: str, written: int, section: str) -> Response:
    """Back to the portion, where the section says what was done with the reading of that number."""
    where = f"/cellar/{address_of(brew)}/{address_of(portion)}?written={written}#{section}"
    return RedirectResponse(where, status_code=303)


def portion_page(
    request: Request,
    brew: str,
    key: str,
    typed: Typed | None = None,
    problems: tuple[Problem, ...] = (),
    *,
    written: int = 0,
) -> Response:
    """A portion as it stands, with what was typed and refused."""
    desk, units = desk_of(request), reader_of(request).units
    found = next((one for one in cellar_of(desk.hand, brew) if one.key == key), None)
    if found is None:
        raise HTTPException(404)
    standing = desk.hand.standing(brew)
    curve = ""
    if found.ferment is not None:
        curve = picture(ferment_picture(found.ferment, width=SVG_WIDTH, theme=WEB, units=units, bare=True))
    reads = portion_log(standing, key, found.pitched, found.ferment)
    blank = Typed(at=desk.now()[:16], id=str(uuid4()))
    gear = standing.outlook.brewery.instruments.values()
    return page(
        request,
        "portion.html",
        status=422 if problems else 200,
        title=found.name,
        place="Cellar",
        brew=standing.brew,
        address=address_of_brew(standing.brew),
        portion=found,
        key=address_of(key),
        view=found.ferment,
        curve=curve,
        reads=reads,
        done=next((one for one in reads if one.number == written), None),
        portion_words=portion_words,
        new_id=lambda: str(uuid4()),
        instruments=[one for one in gear if READS[one.kind] in ("gravity", "temperature")],
        typed=typed or blank,
        blank=blank,
        problems=problems,
        doubtful=DOUBTFUL,
        asked=standing.brew.started_at[:10] + ASKED_FROM,
        **_words(request),
    )


def _in_cellar(request: Request, brew: Brew) -> InCellar:
    """A brew that cannot be worked out is shown with the reason, and hides no other."""
    desk = desk_of(request)
    try:
        portions, trouble = cellar_of(desk.hand, str(brew.id)), ""
    except GylebookError as problem:
        portions, trouble = (), str(problem)
    return InCellar(
        brew=brew,
        address=address_of_brew(brew),
        portions=portions,
        trouble=trouble,
        its_day=hours_between(moment_of(brew.started_at, brew.name), desk.clock()) < A_DAY_H,
    )


def device_of(request: Request) -> str:
    return reader_of(request).known_as


def _words(request: Request) -> dict[str, Any]:
    return {
        "cellar_words": cellar_words,
        "ferment_words": ferment_words,
        "day_and_clock": day_and_clock,
        "address_of": address_of,
        "now": desk_of(request).now(),
        "ASKED_FROM": ASKED_FROM,
    }
