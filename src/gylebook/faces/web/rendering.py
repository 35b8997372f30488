"""Draw a page: a template, what it tells, and what every page shows around it.

In:  the name of a template and what it is to show.
Out: an HTML response; a file under a name.

Idea: templates hold no rule for rounding; they call the word functions of `faces`, which get the reader's
units.  What a template does not know is an error at once (StrictUndefined), not a hole in the page.
"""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from gylebook.faces import findings, telling, words
from gylebook.faces.web.desk import desk_of, reader_of
from gylebook.faces.web.places import places_of

HERE = Path(__file__).parent
STATIC = HERE / "static"


@cache
def environment() -> Environment:
    """The one Jinja environment; every text is escaped unless it is `Markup`."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        words=words, findings=findings, telling=telling, static=static_url, RISK=findings.RISK
    )
    return made


@cache
def static_url(name: str) -> str:
    """Address of a file of ours; another content has another address, so a browser may keep it for good."""
    digest = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    return f"/static/{digest}/{name}"


def picture(svg: str) -> Markup:
    """A picture of ours, to stand in a page as it is."""
    return Markup(svg)


def fragment(request: Request, template: str, **told: Any) -> Markup:
    """A part of a page, for a page that is open already."""
    return Markup(_drawn(request, template, told))


def page(request: Request, template: str, *, status: int = 200, **told: Any) -> HTMLResponse:
    """A whole page; `place` and `title` are wanted of every template that extends `base.html`."""
    around = {"places": places_of(desk_of(request))}
    return HTMLResponse(_drawn(request, template, {**around, **told}), status_code=status)


def _drawn(request: Request, template: str, told: dict[str, Any]) -> str:
    reader = reader_of(request)
    around = {
        "reader": reader,
        "units": reader.units,
        "here": request.url.path,
    }
    return environment().get_template(template).render({**around, **told})


def as_file(
    content: str | bytes, name: str, *, media_type: str = "text/plain; charset=utf-8", shown: bool = False
) -> Response:
    """A file under a name, to be saved or `shown` at once."""
    how = "inline" if shown else "attachment"
    disposition = f"{how}; filename*=UTF-8''{quote(name, safe='')}"
    return Response(content, media_type=media_type, headers={"content-disposition": disposition})
