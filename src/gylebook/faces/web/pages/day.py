"""Show the brew day: the present step and its clock, readings, what they changed, the order, the log.

In:  a brew's name.
Out: the page, its parts for a page that is open, and a sheet to save on a phone.

Idea: one page holds every step of the day, so that it goes on when the network is gone; only what a brewer
asks for (what can be done) is worked out beyond that.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import uuid4

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from gylebook.errors import Problem
from gylebook.faces import day_words
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.choices import kept_as
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import STATIC, environment, fragment, page
from gylebook.tasks.brew_outlook import last_that_counts
from gylebook.tasks.brews import what_can_be_done
from gylebook.tasks.day import DayView, day_order, day_view
from gylebook.tasks.day_log import LogEntry, day_log, portion_changes
from gylebook.tasks.run_view import limit_views

router = APIRouter()
ATTACHED = {"content-disposition": 'attachment; filename="brew-day.html"'}


@router.get("/day/{brew}")
def shown(request: Request, brew: BrewAsked, remedies: str = "") -> Response:
    """The day as it stands."""
    return day_page(request, brew, remedies=bool(remedies))


@router.get("/day/{brew}/part")
def parts(request: Request, brew: BrewAsked, remedies: str = "") -> Response:
    """What stands on the page, for one that is open already; it gives its forms ids of its own."""
    told = told_of(request, brew, remedies=bool(remedies))
    return HTMLResponse(fragment(request, "day_parts.html", **{**told, "page_id": ""}))


@router.get("/day/{brew}/sheet.html")
def sheet(request: Request, brew: BrewAsked) -> Response:
    """The day in one file, to be saved and opened with no server."""
    told = told_of(request, brew)
    script = Markup((STATIC / "day_sheet.js").read_text(encoding="utf-8"))
    style = Markup((STATIC / "day_sheet.css").read_text(encoding="utf-8"))
    reader = reader_of(request)
    made = environment().get_template("day_sheet.html")
    return HTMLResponse(made.render(**told, script=script, style=style, units=reader.units), headers=ATTACHED)


def day_page(
    request: Request,
    brew: str,
    *,
    remedies: bool = False,
    status: int = 200,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    pasted: Mapping[str, Any] | None = None,
) -> HTMLResponse:
    """The whole page; `typed` is what was refused, with its `problems`, `pasted` what became of a paste."""
    told = told_of(request, brew, remedies=remedies, typed=typed, problems=problems, pasted=pasted)
    return page(request, "day.html", status=status, title=told["view"].brew, place="Day", **told)


def told_of(
    request: Request,
    brew: str,
    *,
    remedies: bool = False,
    typed: Mapping[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    pasted: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """All that the page tells."""
    desk, reader = desk_of(request), reader_of(request)
    now = desk.clock()
    hand, standing = desk.hand, desk.hand.standing(brew)
    outlook = standing.outlook
    order = hand.found(day_order, outlook)
    view = day_view(standing, order, now)
    log = day_log(standing, order)
    before = hand.before(standing)
    found = None
    if remedies or hand.has_found(what_can_be_done, outlook):
        found = hand.found(what_can_be_done, outlook)
    return {
        "view": view,
        "now": now,
        "log": sorted(log, key=_by_hour, reverse=True),
        "last": _last_reading(log),
        "taken": _taken(log),
        "changes": portion_changes(before, outlook) if before is not None else (),
        "lost": [limit for limit in hand.found(limit_views, outlook) if not limit.kept],
        "remedies": found,
        "seen": last_that_counts(standing.written),
        "address": f"/day/{address_of(brew)}",
        "reads": kept_as(reader.units),
        "page_id": str(uuid4()),
        "day_words": day_words,
        "typed": typed or {},
        "problems": problems,
        "pasted": pasted or {},
        **_clock(view, now),
    }


def _clock(view: DayView, now: datetime) -> dict[str, Any]:
    """The clock of the present step as the server sees it; the page goes on from there by itself."""
    following = view.steps[view.following] if view.following is not None else None
    if view.present is None:
        return {"left": None, "following": following}
    target = day_words.clock_target(view.steps[view.present], following)
    return {"left": (target - now).total_seconds() if target else None, "following": following}


def _last_reading(log: tuple[LogEntry, ...]) -> LogEntry | None:
    """The reading written down last, if it still counts and nothing has moved the forecast since."""
    first = next((entry for entry in log if entry.kind in ("reading", "plan changed")), None)
    return first if first is not None and not first.gone else None


def _by_hour(entry: LogEntry) -> tuple[datetime, int]:
    """A phone may send late what happened early; on the page it stands where it happened."""
    return datetime.fromisoformat(entry.at), entry.number


def _taken(log: tuple[LogEntry, ...]) -> dict[tuple[str, str], LogEntry]:
    """What was read already of what is asked, by step and quantity; the newest that counts."""
    found: dict[tuple[str, str], LogEntry] = {}
    for entry in reversed(log):
        if entry.reading is not None and not entry.gone:
            found[entry.reading.step, entry.reading.quantity] = entry
    return found
