"""Propose sets of portions that fill fermenters, kegs and bottles, and lead on to dividing them.

In:  the sizes of kegs and bottles, as the query of an address.
Out: a page; each set leads to the form of wanted beers with its fermenters in it.
"""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from gylebook.errors import Problem, Refused
from gylebook.faces import larder_words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.forms import by_field
from gylebook.faces.web.pages.wish_form import LEAST, MOST
from gylebook.faces.web.rendering import page
from gylebook.tasks.filling import FillingSet, typed_fillings
from gylebook.tasks.shelf import newest_of_each

router = APIRouter()
FIELDS = ("kegs", "bottle", "wanted")
LONGEST = 120  # characters of a field


@router.get("/fillings")
def fill(
    request: Request, brewery: str = "", kegs: str = "", bottle: str = "", wanted: str = "", unit: str = ""
) -> Response:
    """The sizes that are at hand, and the sets of portions that fill them."""
    desk, units = desk_of(request), reader_of(request).units
    breweries = newest_of_each(desk.hand.shelf().breweries)
    if not breweries:
        return page(request, "divide_none.html", title="Fill what there is", place="Gyle")
    chosen = next((one for one in breweries if one.name == brewery), breweries[0])
    typed = {"kegs": kegs[:LONGEST], "bottle": bottle[:LONGEST], "wanted": wanted[:LONGEST]}
    unit = unit if unit in ("L", "gal") else units.volume
    asked = any(typed.values())
    found: tuple[FillingSet, ...] = ()
    problems: tuple[Problem, ...] = ()
    if asked:
        try:
            found = typed_fillings(chosen.text, **typed, unit=unit)
        except Refused as refused:
            problems = refused.problems
    beside, rest = by_field(problems, FIELDS)
    return page(
        request,
        "fillings.html",
        status=422 if problems else 200,
        title="Fill what there is",
        place="Gyle",
        here=f"{request.url.path}?{request.url.query}",
        breweries=breweries,
        chosen=chosen,
        typed=typed,
        unit=unit,
        asked=asked,
        found=tuple((one, _beers_of(one, chosen.name)) for one in found),
        beside=beside,
        rest=rest,
        say=larder_words,
    )


def _beers_of(one: FillingSet, brewery: str) -> str:
    """Address of the form of wanted beers with this set in it; empty where it is for too few or too many."""
    if not LEAST <= len(one.fillings) <= MOST:
        return ""
    fields = {"brewery": brewery, "beers": str(len(one.fillings)), "volume_in": "L"}
    for n, filling in enumerate(one.fillings, 1):
        fields[f"b{n}_fermenter"] = filling.fermenter
        fields[f"b{n}_volume"] = f"{filling.wort_l:.1f}"
        fields[f"b{n}_package"] = "keg" if filling.kegs_l else "bottles"
    return f"/divide?{urlencode(fields)}"
