"""Let a phone in by the code that this machine shows."""

from __future__ import annotations

from io import BytesIO
from typing import Annotated
from uuid import UUID

import segno
from fastapi import APIRouter, Form, HTTPException, Request
from fastapi.responses import RedirectResponse, Response

from gylebook.faces.web.desk import Desk, desk_of, reader_of
from gylebook.faces.web.guard import DEVICE_COOKIE
from gylebook.faces.web.rendering import page, picture
from gylebook.tasks.devices import devices, pair_device, revoke_device

router = APIRouter()
A_YEAR = 365 * 24 * 3600
LONGEST_NAME = 40


@router.get("/pair")
def ask(request: Request, code: str = "") -> Response:
    """The form for the code; a scanned picture fills it in."""
    desk = desk_of(request)
    if desk.pairing is None:
        raise HTTPException(404)
    return page(request, "pair.html", title="Pair this device", place="", code=code[:20], said="")


@router.post("/pair")
def pair(request: Request, code: Annotated[str, Form()] = "", name: Annotated[str, Form()] = "") -> Response:
    """Check the code; a right one gives this device a secret of its own."""
    desk = desk_of(request)
    if desk.pairing is None:
        raise HTTPException(404)
    address = request.client.host if request.client else ""
    if not desk.pairing.may_try(address):
        return _again(request, 429, "Too many tries. Wait a minute, then type the code that is shown now.")
    if not desk.pairing.accepts(code):
        return _again(request, 403, f"“{code[:20]}” is not the code that is shown now. Type it once more.")
    called = " ".join(name.split())[:LONGEST_NAME] or "a phone"
    secret = pair_device(desk.location, called, desk.now())
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(DEVICE_COOKIE, secret, max_age=A_YEAR, httponly=True, samesite="lax")
    return answer


@router.get("/devices")
def shown(request: Request) -> Response:
    """The code, and who is in; on this machine alone."""
    desk = _at_home(request)
    code = desk.pairing.spaced() if desk.pairing is not None else ""
    return page(
        request,
        "devices.html",
        title="Devices",
        place="House",
        code=code,
        addresses=pairing_addresses(desk),
        qr=picture(qr_of(pairing_addresses(desk)[0])) if pairing_addresses(desk) else "",
        devices=devices(desk.location),
    )


@router.post("/devices/{id}/revoke")
def revoke(request: Request, id: UUID) -> Response:
    """Shut a device out."""
    desk = _at_home(request)
    revoke_device(desk.location, id, desk.now())
    return RedirectResponse("/devices", status_code=303)


def pairing_addresses(desk: Desk) -> list[str]:
    """Where another device reaches the form with the code filled in."""
    if desk.pairing is None:
        return []
    return [f"{base}/pair?code={desk.pairing.code}" for base in desk.bases]


def qr_of(address: str) -> str:
    """The address as a QR code, drawn in the ink of the page."""
    out = BytesIO()
    made = segno.make(address, error="m")
    made.save(out, kind="svg", scale=5, border=2, xmldecl=False, svgclass="qr", lineclass=None)
    return out.getvalue().decode()


def _at_home(request: Request) -> Desk:
    """Who is in is shown and changed at this machine alone."""
    if not reader_of(request).at_home:
        raise HTTPException(404)
    return desk_of(request)


def _again(request: Request, status: int, said: str) -> Response:
    return page(request, "pair.html", status=status, title="Pair this device", place="", code="", said=said)
