"""Put the web face together.

In:  a `Desk`.
Out: a FastAPI application; `hosts_of`, the names that it may be asked for under.
"""

from __future__ import annotations

from fastapi import FastAPI, HTTPException, Request
from fastapi.responses import FileResponse, JSONResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException as StarletteHTTPException
from starlette.middleware.gzip import GZipMiddleware

from gylebook.errors import BookProblem, GylebookError, Refused
from gylebook.faces.web.desk import Desk
from gylebook.faces.web.guard import LOCAL_NAMES, Guard
from gylebook.faces.web.pages import adapt, choosing, pairing, receive, start
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
    app.add_middleware(GZipMiddleware, minimum_size=600)
    app.add_middleware(Guard, desk=desk)
    for part in (start, choosing, pairing, receive, adapt):
        app.include_router(part.router, include_in_schema=False)
    app.add_api_route("/static/{digest}/{name}", static, methods=["GET"], include_in_schema=False)
    app.add_exception_handler(GylebookError, _said)
    app.add_exception_handler(StarletteHTTPException, _not_there)
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
    problems = problem.problems if isinstance(problem, Refused) else ()
    status = 503 if isinstance(problem, BookProblem) else 422
    if request.url.path.startswith("/api/"):
        told = [{"where": p.where, "understood": p.understood, "accepted": p.accepted} for p in problems]
        return JSONResponse({"error": str(problem), "problems": told}, status_code=status)
    return page(
        request,
        "refused.html",
        status=status,
        title="That cannot be done",
        place="",
        said=str(problem),
        problems=problems,
    )


def _not_there(request: Request, problem: Exception) -> Response:
    status = problem.status_code if isinstance(problem, StarletteHTTPException) else 500
    if request.url.path.startswith("/api/"):
        detail = problem.detail if isinstance(problem, StarletteHTTPException) else "not there"
        return JSONResponse({"error": str(detail)}, status_code=status)
    if status == 405:
        return Response("That page takes no such request.\n", status_code=405, media_type="text/plain")
    return page(
        request,
        "refused.html",
        status=status,
        title="There is no such page",
        place="",
        said="There is nothing in this book under that address.",
        problems=(),
    )
