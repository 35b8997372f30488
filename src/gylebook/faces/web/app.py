"""Put the web face together.

In:  a `Desk`.
Out: a FastAPI application; `hosts_of`, the names that it may be asked for under.
"""

from __future__ import annotations

from http import HTTPStatus

from fastapi import FastAPI, HTTPException, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import FileResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException as StarletteHTTPException
from starlette.middleware.gzip import GZipMiddleware

from gylebook.errors import BookProblem, GylebookError, Problem, Refused
from gylebook.faces.web import api
from gylebook.faces.web.api.troubles import http_trouble, not_valid, trouble
from gylebook.faces.web.desk import Desk
from gylebook.faces.web.guard import LOCAL_NAMES, Guard
from gylebook.faces.web.pages import (
    adapt,
    cellar,
    cellar_mend,
    choosing,
    day,
    day_deeds,
    day_live,
    divide,
    evening,
    fillings,
    first_run,
    glass,
    glass_notes,
    glass_test,
    gyle,
    gyle_versions,
    house,
    house_figures,
    larder,
    ledger,
    packing,
    pairing,
    reach,
    receive,
    start,
)
from gylebook.faces.web.rendering import STATIC, page, static_url

KEEP = "public, max-age=31536000, immutable"


def make_app(desk: Desk) -> FastAPI:
    """The application that answers for one book."""
    app = FastAPI(
        title="gylebook",
        summary="A gyle book: plans, brews, readings, and what follows from them.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.desk = desk
    app.state.closing = lambda: False  # whoever serves it says when it is to end
    app.add_middleware(GZipMiddleware, minimum_size=600)
    app.add_middleware(Guard, desk=desk)
    # More telling addresses come before those that end in any name.
    for part in (
        *(start, choosing, pairing, first_run, reach, receive, adapt),
        *(divide, fillings, larder, gyle_versions, gyle),
        *(day, day_deeds, day_live),
        *(evening, house_figures, house, ledger),
        *(packing, cellar, cellar_mend, glass, glass_notes, glass_test),
    ):
        app.include_router(part.router, include_in_schema=False)
    app.include_router(api.router)
    app.add_api_route("/static/{digest}/{name}", static, methods=["GET"], include_in_schema=False)
    app.add_exception_handler(GylebookError, _said)
    app.add_exception_handler(StarletteHTTPException, _not_there)
    app.add_exception_handler(RequestValidationError, _not_valid)
    return app


def static(digest: str, name: str) -> Response:
    """A file of ours, by its content's address."""
    if not (STATIC / name).is_file() or (STATIC / name).parent != STATIC:
        raise HTTPException(404)
    if static_url(name) != f"/static/{digest}/{name}":  # an older page asks for an older content
        return RedirectResponse(static_url(name), status_code=307)
    return FileResponse(STATIC / name, headers={"cache-control": KEEP})


def hosts_of(names: tuple[str, ...] = ()) -> frozenset[str]:
    """Loopback, and what else this machine is called."""
    return LOCAL_NAMES | {name.lower() for name in names}


def _said(request: Request, problem: Exception) -> Response:
    """What a brewer can put right, said as it stands."""
    assert isinstance(problem, GylebookError)
    if request.url.path.startswith("/api/"):
        return trouble(problem)
    problems = problem.problems if isinstance(problem, Refused) else ()
    status = 503 if isinstance(problem, BookProblem) else 422
    return page(
        request,
        "refused.html",
        status=status,
        title="That cannot be done",
        place="",
        said=str(problem),
        problems=problems,
    )


def _not_valid(request: Request, problem: Exception) -> Response:
    """A form or an address whose fields are not of the kind that they must be."""
    assert isinstance(problem, RequestValidationError)
    if request.url.path.startswith("/api/"):
        return not_valid(problem)
    return page(
        request,
        "refused.html",
        status=422,
        title="That cannot be done",
        place="",
        said="",
        problems=[
            Problem(str(error["loc"][-1]), _understood(error.get("input")), _wanted(str(error["type"])))
            for error in problem.errors()
        ],
    )


def _understood(given: object) -> str:
    return f"“{str(given)[:40]}”" if given else "nothing was sent"


def _wanted(kind: str) -> str:
    """What a field accepts, by the kind of its error."""
    if kind.startswith("int"):
        return "a whole number belongs here."
    return "it has to be sent." if kind == "missing" else "this is not what belongs here."


def _not_there(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, StarletteHTTPException)
    status, headers = problem.status_code, dict(problem.headers or {})
    if request.url.path.startswith("/api/"):
        return http_trouble(status, str(problem.detail), headers)
    if status == 405:
        said = "That page takes no such request.\n"
        return Response(said, status_code=405, media_type="text/plain", headers=headers)
    plain = str(problem.detail) == HTTPStatus(status).phrase  # nobody knew more to say
    return page(
        request,
        "refused.html",
        status=status,
        title="There is no such page",
        place="",
        said="There is nothing in this book under that address." if plain else str(problem.detail),
        problems=(),
    )
