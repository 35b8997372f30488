"""Show the blind tests of the book, set one up, and say beforehand what its tasters would notice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args
from uuid import uuid4

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.brewery.tasting import GLASS_ML, MOST_ROUNDS, MOST_TASTERS, TRAITS, Poured, TestKind
from gylebook.errors import Problem, Refused
from gylebook.faces import tasting_words
from gylebook.faces.moments import moment
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import Typed, by_field, id_typed
from gylebook.faces.web.places import address_of
from gylebook.faces.web.rendering import page
from gylebook.figures.units import Dimension, read
from gylebook.tasks.impressions import impressions
from gylebook.tasks.tasting import beers_in_book, set_up, tastings_in_book
from gylebook.tasks.tasting_result import promise, result_of

router = APIRouter()
MOST_BREWS = 12  # whose beers are offered; a beer is rarely kept longer
NEWEST = 12
MOST_OFFERED = 3  # sets for each taster; a preference is asked for once
FIELDS = ("beers", "kind", "tasters", "rounds", "trait", "foretold", "glass")
USUAL = {
    "kind": "tetrad",
    "tasters": "6",
    "rounds": "1",
    "trait": "",
    "foretold": "",
    "glass": f"{GLASS_ML:g} mL",
    "id": "",
}


@router.get("/glass")
def glass(request: Request) -> Response:
    """Every test with how far it has come, and what was tasted last."""
    desk = desk_of(request)
    beers = beers_in_book(desk.location, MOST_BREWS)
    named = {(beer.brew_id, beer.portion): beer for beer in beers}
    told = [
        (named[key], one)
        for one in impressions(desk.location)
        if (key := (one.brew_id, one.portion)) in named
    ]
    tests = [(one, result_of(one) if not one.missing else None) for one in tastings_in_book(desk.location)]
    return page(
        request,
        "glass.html",
        title="Glass",
        place="Glass",
        tests=tests,
        told=told[:NEWEST],
        by_brew=_by_brew(beers),
        tasting_words=tasting_words,
        address_of=address_of,
    )


@router.get("/glass/set-up")
def asked(request: Request) -> Response:
    """The form, and what the tasters it names would notice; nothing is kept."""
    return _form(request, dict(request.query_params), ())


@router.post("/glass/set-up")
def set_it_up(request: Request, typed: Typed) -> Response:
    """Set the test up; sent twice, it is set up once."""
    try:
        made = _made(request, typed)
    except Refused as refused:
        return _form(request, typed, refused.problems)
    return RedirectResponse(f"/glass/{made}", status_code=303)


def _made(request: Request, typed: Mapping[str, str]) -> int:
    desk = desk_of(request)
    problems: list[Problem] = []
    kind = _kind(typed.get("kind", ""))
    if kind is None:
        problems.append(Problem("kind", "no such test", f"take one of {', '.join(get_args(TestKind))}"))
    tasters = _whole(typed, "tasters", MOST_TASTERS, problems)
    rounds = _whole(typed, "rounds", MOST_ROUNDS, problems)
    glass_l = GLASS_ML / 1000.0
    try:
        glass_l = read(typed.get("glass", "") or USUAL["glass"], Dimension.VOLUME, where="glass")
    except Refused as refused:
        problems += refused.problems
    offered = beers_in_book(desk.location, MOST_BREWS)
    beers = [beer for beer in offered if typed.get(_field(beer))]
    foretold = typed.get("foretold", "")
    side = next((n for n, beer in enumerate(beers) if _field(beer) == foretold), None)
    if foretold and side is None:
        problems.append(Problem("foretold", "", "name one of the two beers that are tasted"))
    if problems or kind is None:
        raise Refused(problems)
    made = set_up(
        desk.location,
        kind,
        [(beer.brew_id, beer.portion) for beer in beers],
        tasters=tasters,
        rounds=rounds,
        trait=typed.get("trait", "").strip(),
        foretold=side,
        glass_ml=1000.0 * glass_l,
        at=moment(None, now=desk.clock()),
        device=reader_of(request).known_as,
        id=id_typed(typed.get("id", "")),
    )
    return made.number


def _form(request: Request, typed: Mapping[str, str], problems: tuple[Problem, ...]) -> Response:
    desk = desk_of(request)
    values = {**USUAL, **{key: value[:200] for key, value in typed.items()}}
    values["id"] = values["id"] or str(uuid4())
    beside, rest = by_field(problems, FIELDS)
    beers = beers_in_book(desk.location, MOST_BREWS)
    kind, tasters = _kind(values["kind"]), _in_range(values["tasters"], MOST_TASTERS)
    pair = kind == "paired"
    told = None
    if kind != "ranking" and tasters is not None:
        told = promise(
            tasters,
            trait=pair,
            either_way=pair and not values["foretold"],
            rounds=1 if pair and not values["trait"].strip() else MOST_OFFERED,
        )
    return page(
        request,
        "glass_set_up.html",
        status=422 if problems else 200,
        title="A blind test",
        place="Glass",
        values=values,
        beside=beside,
        rest=rest,
        by_brew=_by_brew(beers),
        beers=beers,
        several=len({beer.brew_id for beer in beers}) > 1,
        field_of=_field,
        told=told,
        kinds=get_args(TestKind),
        traits=TRAITS,
        most_tasters=MOST_TASTERS,
        most_rounds=MOST_ROUNDS,
        tasting_words=tasting_words,
    )


def _by_brew(beers: tuple[Poured, ...]) -> dict[str, list[Poured]]:
    found: dict[str, list[Poured]] = {}
    for beer in beers:
        found.setdefault(beer.brew, []).append(beer)
    return found


def _field(beer: Poured) -> str:
    """The name of the box that takes a beer into the test."""
    return f"beer.{beer.brew_id}.{beer.portion}"


def _kind(text: str) -> TestKind | None:
    known: tuple[TestKind, ...] = get_args(TestKind)
    return next((kind for kind in known if kind == text), None)


def _whole(typed: Mapping[str, Any], name: str, most: int, problems: list[Problem]) -> int:
    value = _in_range(typed.get(name, ""), most)
    if value is None:
        said = f"“{typed.get(name, '')}” is no number from 1 to {most}"
        problems.append(Problem(name, said, "write a whole number"))
    return value or 1


def _in_range(text: str, most: int) -> int | None:
    """A whole number from 1 on, as typed."""
    text = text.strip()
    value = int(text) if text.isascii() and text.isdecimal() and len(text) < 4 else 0
    return value if 1 <= value <= most else None
