"""Say what to buy for a plan in whole packs, and keep the weights that they give.

In:  a row for each thing that the plan weighs in, as the query of an address.
Out: a page with the rows and the shopping list; keeping is a request of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated
from urllib.parse import parse_qs

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import NotConverged, Problem, Refused
from gylebook.faces import larder_words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.pages.gyle import home_of
from gylebook.faces.web.rendering import page
from gylebook.tasks.larder import LarderView
from gylebook.tasks.larder_typed import PackTyped, Wanted, bought_for, keep_bought, rows_wrong, wanted_by

router = APIRouter()
USUAL = {"L": {"grain": "1 kg", "hops": "100 g", "other": "1 kg"}}
USUAL["gal"] = {"grain": "1 lb", "hops": "1 oz", "other": "1 lb"}
MOST_FIELDS = 1000
LONGEST = 60  # characters of a field


@router.get("/gyle/{name:path}/larder")
def larder(request: Request, name: str, on: str = "") -> Response:
    """What the plan weighs in, how each can be bought, and what to buy."""
    view = desk_of(request).hand.plan(name)
    things = wanted_by(view, on)
    asked = _typed(request.url.query)
    rows = _rows(things, asked, USUAL[reader_of(request).units.volume])
    currency = asked.get("currency", "")
    found: LarderView | None = None
    wrong: Mapping[tuple[str, str], Problem] = {}
    short = ""
    if "asked" in asked:
        try:
            found = bought_for(view, on, rows, currency)
        except Refused as refused:
            wrong = rows_wrong(rows, refused.problems)
        except NotConverged as stuck:
            short = str(stuck)
    brewery = view.brewery(on)
    return page(
        request,
        "larder.html",
        status=422 if wrong else 200,
        title=f"What to buy for {name}",
        place="Gyle",
        here=f"{request.url.path}?{request.url.query}",
        home=home_of(name),
        name=name,
        on=brewery.name if brewery else "",
        rows=tuple(zip(things, rows, strict=True)),
        currency=currency,
        asked=request.url.query,
        found=found,
        wrong=wrong,
        short=short,
        say=larder_words,
    )


@router.post("/gyle/{name:path}/larder")
def keep(
    request: Request, name: str, asked: Annotated[str, Form()], on: Annotated[str, Form()] = ""
) -> RedirectResponse:
    """Keep the weights that packs give as the plan's next version."""
    desk = desk_of(request)
    view = desk.hand.plan(name)
    typed = _typed(asked)
    rows = _rows(wanted_by(view, on), typed, USUAL[reader_of(request).units.volume])
    kept = keep_bought(desk.location, view, on, rows, typed.get("currency", ""))
    return RedirectResponse(f"{home_of(name)}?kept={kept}", status_code=303)


def _typed(query: str) -> dict[str, str]:
    try:
        given = parse_qs(query, keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:  # no form of ours has so many
        return {}
    return {name: values[-1].strip()[:LONGEST] for name, values in given.items()}


def _rows(
    things: tuple[Wanted, ...], typed: Mapping[str, str], usual: Mapping[str, str]
) -> tuple[PackTyped, ...]:
    """The rows as typed, usual packs where nothing was yet."""
    return tuple(
        PackTyped(
            of=thing.of,
            kind=thing.kind,
            size=typed.get(f"size{n}", usual.get(thing.kind, "")),
            price=typed.get(f"price{n}", ""),
            at_hand=typed.get(f"at_hand{n}", ""),
        )
        for n, thing in enumerate(things, 1)
    )
