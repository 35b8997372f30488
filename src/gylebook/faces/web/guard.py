"""Decide who may come in, before any page is asked.

In:  every HTTP request.
Out: the same request with the device that sent it, or a refusal in words; headers that bind the browser.

Idea: a page on this machine needs no password, so it must not be reached from elsewhere by a trick: the name
in the Host header must be one of ours (else another site's name could be pointed here), what changes
something must come from a page of ours (or, without a browser's word for that, be JSON, which no foreign
form can send), and whoever asks over the network must show the secret that pairing gave.
"""

from __future__ import annotations

from collections.abc import Mapping
from http.cookies import CookieError, SimpleCookie

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from gylebook.faces.web.desk import Desk

DEVICE_COOKIE = "gylebook-device"
LOOPBACK = ("127.0.0.1", "::1")
LOCAL_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
LARGEST_BODY = 2_000_000  # bytes; a book's largest plan has some five thousand
HARMLESS = ("GET", "HEAD", "OPTIONS")
OPEN = ("/pair", "/static/")  # what a device may ask for before it is paired

HEADERS = {
    "content-security-policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Guard:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, desk: Desk) -> None:
        self._app, self._desk = app, desk

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        refused = self._refusal(request)
        if refused is not None:
            await refused(scope, receive, _with_headers(send))
            return
        body = _Body(receive)
        answer = _Answer(request, body, _with_headers(send))
        await self._app(scope, body.receive, answer.send)

    def _refusal(self, request: Request) -> Response | None:
        headers = request.headers
        host = name_in(headers.get("host", ""))
        if host not in self._desk.hosts:
            return _refused(request, 421, f"This book is not served under the name “{host[:80]}”.")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > LARGEST_BODY:
            return _too_large(request)
        if request.method not in HARMLESS and not from_our_page(headers):
            return _refused(request, 403, "This was sent from another site, and nothing was changed.")
        client = request.client.host if request.client else ""
        at_home = client in LOOPBACK and host in LOCAL_NAMES
        request.scope["gylebook.at_home"] = at_home
        if at_home:
            return None
        device = self._desk.hand.device_with(secret) if (secret := _secret(headers)) else None
        if device is not None:
            request.scope["gylebook.device"] = device.name
            return None
        if self._desk.pairing is not None and request.url.path.startswith(OPEN):
            return None
        if request.url.path.startswith("/api/"):
            return _refused(request, 401, "This device is not paired with the book. Pair it on /pair first.")
        return RedirectResponse("/pair", status_code=303)


def name_in(host: str) -> str:
    """The name in a Host header, without its port."""
    name, colon, port = host.rpartition(":")
    return (name if colon and port.isdecimal() else host).lower()


def from_our_page(headers: Mapping[str, str]) -> bool:
    """Whether a browser says that a page of ours sent this; without its word only JSON is taken."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is not None:
        return origin.partition("://")[2] == headers.get("host", "")
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    return kind == "application/json"


def _secret(headers: Mapping[str, str]) -> str:
    scheme, _, token = headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return token.strip()
    try:
        cookie = SimpleCookie(headers.get("cookie", "")).get(DEVICE_COOKIE)
    except CookieError:
        return ""
    return cookie.value if cookie is not None else ""


def _refused(request: Request, status: int, why: str) -> Response:
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": why, "problems": []}, status_code=status)
    return Response(f"{why}\n", status_code=status, media_type="text/plain")


def _too_large(request: Request) -> Response:
    return _refused(request, 413, f"At most {LARGEST_BODY:,} bytes are taken at once.")


class _Body:
    """A body sent in pieces without its length; it is cut off where it grows too large."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._taken = receive, 0

    @property
    def too_large(self) -> bool:
        return self._taken > LARGEST_BODY

    async def receive(self) -> Message:
        message = await self._receive()
        self._taken += len(message.get("body", b""))
        return {"type": "http.disconnect"} if self.too_large else message


class _Answer:
    """The application's answer; where the body was cut off, the reason in its place."""

    def __init__(self, request: Request, body: _Body, send: Send) -> None:
        self._request, self._body, self._send = request, body, send
        self._begun = self._replaced = False

    async def send(self, message: Message) -> None:
        if self._body.too_large and not self._begun:
            self._begun = self._replaced = True
            await _too_large(self._request)(self._request.scope, self._body.receive, self._send)
        if not self._replaced:
            self._begun = True
            await self._send(message)


def _with_headers(send: Send) -> Send:
    async def send_with(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            if "cache-control" not in Headers(raw=message["headers"]):
                headers["cache-control"] = "no-store"
        await send(message)

    return send_with
