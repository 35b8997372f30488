"""Let a phone into the book, and shut it out again.

In:  a book's location, a device's name.
Out: the secret that the device keeps, shown once; the devices that were let in.
"""

from __future__ import annotations

import secrets
from uuid import UUID

from gylebook.record.devices import devices_of, let_in, shut_out
from gylebook.record.events import Device
from gylebook.record.store import open_book

SECRET_BYTES = 32

__all__ = ["Device", "devices", "pair_device", "revoke_device"]


def pair_device(location: str, name: str, at: str) -> str:
    """Let a device in; the secret by which it is known from now on."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    with open_book(location) as book:
        let_in(book, name, secret, at)
    return secret


def revoke_device(location: str, id: UUID, at: str) -> None:
    """Shut a device out."""
    with open_book(location) as book:
        shut_out(book, id, at)


def devices(location: str) -> tuple[Device, ...]:
    """Every device that was ever let in, the newest first."""
    with open_book(location) as book:
        return devices_of(book)
