"""Hold what every page works at: the book, brews at hand, the hour, and who may pair.

In:  a book's location and how it is served.
Out: `Desk`, one for an application, got in a route by `desk_of`; `Reader`, who asks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from fastapi import Request

from gylebook.faces.web.choices import COOKIE, units_of
from gylebook.faces.web.pairing import Pairing
from gylebook.faces.words import Units
from gylebook.tasks.at_hand import AtHand


def local_now() -> datetime:
    """The hour on this machine's clock, with its zone."""
    return datetime.now().astimezone()


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """An open book and how it is served.

    `hosts` are the names under which it may be asked for; with a `pairing` other machines may come in, from
    the addresses `bases`.
    """

    location: str
    hand: AtHand
    hosts: frozenset[str]
    pairing: Pairing | None = None
    bases: tuple[str, ...] = ()
    clock: Callable[[], datetime] = local_now

    def now(self) -> str:
        """The present as the book keeps it, ISO 8601 with its zone."""
        return self.clock().isoformat(timespec="seconds")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """Who asks: how they like numbers, and which device it is (nothing for this machine's own browser)."""

    units: Units
    device: str
    at_home: bool

    @property
    def known_as(self) -> str:
        """What the book calls the device that wrote."""
        return self.device or "this machine"


def desk_of(request: Request) -> Desk:
    """The desk of the application that answers."""
    desk: Desk = request.app.state.desk
    return desk


def reader_of(request: Request) -> Reader:
    """Who asks."""
    return Reader(
        units=units_of(request.cookies.get(COOKIE, "")),
        device=request.scope.get("gylebook.device", ""),
        at_home=bool(request.scope.get("gylebook.at_home", False)),
    )
