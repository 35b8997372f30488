"""Say to a program what went wrong, and describe beforehand what can.

In:  errors of the tasks and of the frame around them.
Out: JSON of one shape, `Trouble`, with a status code that says whose move it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fastapi import HTTPException
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict

from gylebook.errors import AlreadyThere, BookProblem, GylebookError, Problem, Refused


class Wrong(BaseModel):
    """One thing wrong with what was sent: where, the value as understood, what would be accepted."""

    model_config = ConfigDict(extra="forbid")
    where: str
    understood: str
    accepted: str


class Trouble(BaseModel):
    """Why nothing was done."""

    model_config = ConfigDict(extra="forbid")
    error: str
    problems: list[Wrong] = []


_WHY = {
    400: "The request cannot be read at all.",
    401: "This device is not paired with the book.",
    403: "It was sent from another site, or is no JSON.",
    404: "There is no such thing in this book.",
    409: "It clashes with what the book holds.",
    413: "It is too large.",
    421: "The book is not served under that name.",
    422: "It was not understood, or cannot be; every problem is told at once.",
    503: "The book cannot be read or written now.",
}
TROUBLES: dict[int | str, dict[str, Any]] = {
    status: {"model": Trouble, "description": why} for status, why in _WHY.items()
}


def trouble(problem: GylebookError) -> JSONResponse:
    """What a brewer can put right."""
    if isinstance(problem, BookProblem):
        status = 503
    elif isinstance(problem, AlreadyThere):
        status = 409
    else:
        status = 422
    return _told(status, str(problem), problem.problems if isinstance(problem, Refused) else ())


def not_valid(problem: RequestValidationError) -> JSONResponse:
    """What does not have the form that was described."""
    found = [
        Problem(".".join(str(part) for part in error["loc"]), _short(error.get("input")), error["msg"])
        for error in problem.errors()
    ]
    return _told(422, "; ".join(str(one) for one in found), found)


def http_trouble(status: int, why: str, headers: dict[str, str] | None = None) -> JSONResponse:
    """What the frame around the addresses says, such as that there is no such address."""
    answer = _told(status, why, ())
    answer.headers.update(headers or {})
    return answer


def not_there(what: str) -> HTTPException:
    """To be raised where the address names nothing that the book holds."""
    return HTTPException(404, f"There is no {what} in this book.")


def _told(status: int, why: str, problems: Sequence[Problem]) -> JSONResponse:
    listed = [
        {"where": _whole(p.where), "understood": _whole(p.understood), "accepted": _whole(p.accepted)}
        for p in problems
    ]
    return JSONResponse({"error": _whole(why), "problems": listed}, status_code=status)


def _short(given: object) -> str:
    text = repr(given) if given is not None else ""
    return text if len(text) <= 80 else f"{text[:79]}…"


def _whole(text: str) -> str:
    """Half a character, which JSON can carry and UTF-8 cannot, is told as a question mark."""
    return text.encode("utf-8", "replace").decode()
