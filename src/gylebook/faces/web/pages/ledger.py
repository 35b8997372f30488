"""Look through all brews, and open one again as it stood at any moment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from gylebook.faces import ledger_words
from gylebook.faces.event_words import event_text, step_text
from gylebook.faces.moments import day_and_clock
from gylebook.faces.pictures.run import run_picture
from gylebook.faces.pictures.run_table import run_table
from gylebook.faces.pictures.themes import WEB
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.places import address_of_brew
from gylebook.faces.web.rendering import page, picture
from gylebook.faces.words import Units
from gylebook.tasks.brew_outlook import SHOWN
from gylebook.tasks.ledger import Reopened, ledger_page, reopen

router = APIRouter()
LARGEST = 2**63 - 1
SVG_WIDTH = 780


@dataclass(frozen=True, slots=True)
class Happened:
    """An event as the page tells it; `counts` is whether nothing later took its place."""

    number: int
    at: str
    kind: str
    text: str
    note: str
    counts: bool


@router.get("/ledger")
def ledger(
    request: Request,
    q: Annotated[str, Query(max_length=200)] = "",
    page_number: Annotated[int, Query(alias="page", ge=1, le=LARGEST)] = 1,
) -> Response:
    """All brews, the newest first, or those in which the words occur."""
    found = ledger_page(desk_of(request).hand, q, page_number)
    return page(
        request,
        "ledger.html",
        title="Ledger",
        place="Ledger",
        asked=q,
        found=found,
        address_of_brew=address_of_brew,
        ledger_words=ledger_words,
    )


@router.get("/ledger/{brew}")
def reopened(
    request: Request, brew: BrewAsked, up_to: Annotated[int | None, Query(ge=0, le=LARGEST)] = None
) -> Response:
    """One brew as it stands, or as it stood after an event."""
    desk, units = desk_of(request), reader_of(request).units
    opened = reopen(desk.hand, brew, up_to)
    return page(
        request,
        "reopened.html",
        title=opened.brew.name,
        place="Ledger",
        opened=opened,
        whole=[told for told in opened.told if not told.portion],
        portions=_by_portion(opened),
        happened=happened_in(opened, units),
        as_it_stood=up_to is not None and up_to != opened.events[-1].seq,
        run=picture(run_picture(opened.run, width=SVG_WIDTH, theme=WEB, units=units, bare=True)),
        rows=run_table(opened.run, units),
        address=address_of_brew(opened.brew),
        ledger_words=ledger_words,
        step_text=step_text,
        names=opened.portions,
        day_and_clock=day_and_clock,
    )


def happened_in(opened: Reopened, units: Units) -> list[Happened]:
    """Every event that a brewer knows of, with the number by which the brew is opened as it stood then."""
    gone = {event.supersedes for event in opened.events}
    numbers = {event.id: event.seq for event in opened.events}
    told = []
    for event in opened.events:
        if event.kind == SHOWN:
            continue
        of = numbers.get(event.supersedes) if event.supersedes else None
        about = f"takes the place of number {of}" if of and event.kind != "withdrawn" else ""
        about = f"number {of}" if of and event.kind == "withdrawn" else about
        by = ", ".join(part for part in (event.who, event.device) if part)
        note = "; ".join(part for part in (about, event.reason, by) if part)
        text = event_text(event.body, opened.instruments, units, opened.portions)
        told.append(Happened(event.seq, event.at, event.kind, text, note, event.id not in gone))
    return told


def _by_portion(opened: Reopened) -> dict[str, list[object]]:
    """The numbers of each portion under its name, in the order of the plan."""
    groups: dict[str, list[object]] = {}
    for told in opened.told:
        if told.portion:
            groups.setdefault(told.portion, []).append(told)
    return groups
