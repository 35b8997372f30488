"""Pack a portion: a form for bottles, kegs, gas and sugar, the answer beside it, sheet and labels to print.

What the form asks is an address, so an answer can be kept and printed; only “write down” changes the book.
"""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.errors import GylebookError, Problem
from gylebook.faces import pack_words
from gylebook.faces.moments import moment
from gylebook.faces.pack_form import SUGARS, PackTyped, read_wanted
from gylebook.faces.web.brew_asked import BrewAsked
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field, id_typed, problems_of
from gylebook.faces.web.pack_fields import MOST_ROWS, LotTyped, Sent, sent_of
from gylebook.faces.web.places import address_of, address_of_brew
from gylebook.faces.web.rendering import as_file, page
from gylebook.tasks.brews import Standing
from gylebook.tasks.labels import label_view
from gylebook.tasks.own_tables import look_at_table, tables_of
from gylebook.tasks.pack_views import PackView, PackWanted
from gylebook.tasks.packing import USUAL_VOLUMES, pack_view, write_packed

router = APIRouter()
USUAL = PackWanted()
USUAL_BOTTLE = "beer-bottle"
USUAL_KEG_L = 19.0
LEAST_ROWS = 2
FIELDS = (
    *("bottles", "kegs", "volumes", "store", "serve", "sugar", "way", "scale", "litres"),
    *("warmest", "wort", "accepted odds", "reason", "packed at"),
)


@router.get("/cellar/{brew}/{portion}/pack")
def packing(request: Request, brew: BrewAsked, portion: str) -> Response:
    """The form with its answer; as the plan has it where nothing was asked yet."""
    sent = sent_of(request.query_params) if request.query_params else None
    return _shown(request, brew, portion, sent)


@router.post("/cellar/{brew}/{portion}/pack")
def packed(request: Request, brew: BrewAsked, portion: str, typed: Typed) -> Response:
    """Write down that it is packed so; sent twice, it is stored once."""
    desk, sent = desk_of(request), sent_of(typed)
    standing = _standing(request, brew, portion)
    try:
        when = moment(sent.at or None, now=desk.clock(), where="packed at")
        write_packed(
            desk.location,
            standing,
            portion,
            read_wanted(sent.typed),
            tables_of(desk.location),
            when,
            id=id_typed(sent.id),
            device=reader_of(request).known_as,
        )
    except GylebookError as problem:
        return _shown(request, brew, portion, sent, problems_of(problem))
    return RedirectResponse(f"/cellar/{address_of(brew)}/{address_of(portion)}", status_code=303)


@router.get("/cellar/{brew}/{portion}/priming.pdf")
def sheet(request: Request, brew: BrewAsked, portion: str) -> Response:
    """The priming sheet of what an address asks; refused in words above the accepted odds."""
    from gylebook.faces.sheets.pack import priming_sheet

    standing = _standing(request, brew, portion)
    view = _view(request, standing, portion, sent_of(request.query_params))
    made = priming_sheet(view, reader_of(request).units)
    return as_file(made, f"{view.name}, to pack.pdf", media_type="application/pdf", shown=True)


@router.get("/cellar/{brew}/{portion}/labels.pdf")
def labels(request: Request, brew: BrewAsked, portion: str) -> Response:
    """Card and labels of a portion that is packed."""
    from gylebook.faces.sheets.pack import label_sheet

    view = label_view(_standing(request, brew, portion), portion)
    made = label_sheet(view, reader_of(request).units)
    return as_file(made, f"{view.name}, labels.pdf", media_type="application/pdf", shown=True)


def _shown(
    request: Request, brew: str, key: str, sent: Sent | None, problems: tuple[Problem, ...] = ()
) -> Response:
    """The form as it was typed, with what comes of it or what is wrong with it."""
    desk, standing = desk_of(request), _standing(request, brew, key)
    (planned,) = [one for one in standing.outlook.plan.portions if one.key == key]
    asked = sent or _as_planned(standing, key, request)
    view = None
    try:
        view = _view(request, standing, key, asked)
    except GylebookError as problem:
        problems = tuple(dict.fromkeys((*problems, *problems_of(problem))))
    beside, rest = by_field(problems, FIELDS)
    rows = [*asked.lots, *(LotTyped() for _ in range(LEAST_ROWS))][: max(LEAST_ROWS, len(asked.lots) + 1)]
    return page(
        request,
        "packing.html",
        status=422 if problems and sent is not None else 200,
        title=f"{planned.name}, to pack",
        place="Cellar",
        name=planned.name,
        address=address_of_brew(standing.brew),
        key=address_of(key),
        sent=asked,
        rows=rows[:MOST_ROWS],
        kinds=look_at_table(desk.location, "bottles").rows,
        sugars=[(kind, pack_words.sugar_name(kind)) for kind in SUGARS],
        beside=beside,
        rest=rest,
        view=view,
        id=str(uuid4()),
        at=asked.at or desk.now()[:16],
        pack_words=pack_words,
    )


def _view(request: Request, standing: Standing, key: str, sent: Sent) -> PackView:
    desk = desk_of(request)
    return pack_view(standing, key, read_wanted(sent.typed), tables_of(desk.location), desk.now())


def _as_planned(standing: Standing, key: str, request: Request) -> Sent:
    """What the plan means this portion to go into."""
    units = reader_of(request).units
    (planned,) = [one for one in standing.outlook.plan.portions if one.key == key]
    package = planned.package
    volumes = package.co2_volumes or USUAL_VOLUMES
    typed = PackTyped(
        volumes=pack_words.bare_volumes(volumes),
        store=pack_words.typed_temperature(USUAL.store_c, units),
        serve=pack_words.typed_temperature(USUAL.serve_c, units),
        scale="1 g",
    )
    if package.kind == "keg":
        kegs = pack_words.typed_volume(USUAL_KEG_L, units)
        return Sent(lots=(), typed=replace(typed, kegs=(kegs,)), kegs=kegs)
    lot = LotTyped("all", USUAL_BOTTLE, pack_words.typed_volume(package.bottle_l, units))
    return Sent(lots=(lot,), typed=replace(typed, bottles=(lot.text,)))


def _standing(request: Request, brew: str, key: str) -> Standing:
    standing = desk_of(request).hand.standing(brew)
    if key not in {one.key for one in standing.outlook.plan.portions}:
        raise HTTPException(404)
    return standing
