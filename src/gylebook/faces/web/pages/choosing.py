"""Take a reader's choice of units, and go back to where they were."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import urlsplit

from fastapi import APIRouter, Form
from fastapi.responses import RedirectResponse

from gylebook.faces.web.choices import remember, units_of

router = APIRouter()


@router.post("/units")
def choose(
    system: Annotated[str, Form()] = "metric",
    gravity: Annotated[str, Form()] = "sg",
    colour: Annotated[str, Form()] = "",
    back: Annotated[str, Form()] = "/",
) -> RedirectResponse:
    """Keep the choice in a cookie of this device."""
    units = units_of(f"{system}.{gravity}.{colour}")
    answer = RedirectResponse(_ours(back), status_code=303)
    remember(answer, units)
    return answer


def _ours(address: str) -> str:
    """An address of this book; anything else leads to its first page."""
    parts = urlsplit(address)
    ours = not parts.scheme and not parts.netloc and parts.path.startswith("/")
    return address if ours and not address.startswith(("//", "/\\")) else "/"
