"""Remember which devices may open a book over a network.

In:  an open book, a device's name and the secret that it was given.
Out: `Device`s; of a secret the book holds its digest alone.

Idea: a secret has 256 random bits, so a plain SHA-256 keeps it, and whoever reads the book learns no secret.
A device that is shut out keeps its row, so that what it wrote can still be told.
"""

from __future__ import annotations

import hashlib
from uuid import UUID, uuid4

from sqlalchemy import insert, select, update

from gylebook.errors import Problem, Refused
from gylebook.record import checks, rows, schema
from gylebook.record.book import Book
from gylebook.record.events import Device


def let_in(book: Book, name: str, secret: str, at: str) -> Device:
    """Remember a device by its secret."""
    checks.raise_all(checks.name_problems("name", name), checks.time_problems("at", at))
    device = Device(id=uuid4(), name=name, paired_at=at, revoked_at=None)
    row = {"id": str(device.id), "name": name, "paired_at": at, "token_sha256": digest(secret)}
    with book.transaction(writes=True) as connection:
        connection.execute(insert(schema.devices).values(row))
    return device


def shut_out(book: Book, id: UUID, at: str) -> None:
    """From now on the device is as unknown as any other; a second time changes nothing."""
    checks.raise_all(checks.time_problems("at", at))
    devices = schema.devices
    with book.transaction(writes=True) as connection:
        if connection.scalar(select(devices.c.id).where(devices.c.id == str(id))) is None:
            raise Refused((Problem("device", f"{id}", "is not in this book"),))
        still_in = (devices.c.id == str(id)) & devices.c.revoked_at.is_(None)
        connection.execute(update(devices).where(still_in).values(revoked_at=at))


def devices_of(book: Book) -> tuple[Device, ...]:
    """Every device that was ever let in, the newest first."""
    devices = schema.devices
    with book.transaction() as connection:
        found = connection.execute(select(devices).order_by(devices.c.paired_at.desc(), devices.c.id))
        return tuple(rows.device(row._asdict()) for row in found)


def device_with(book: Book, secret: str) -> Device | None:
    """The device that holds this secret, unless it was shut out."""
    devices = schema.devices
    wanted = select(devices).where(devices.c.token_sha256 == digest(secret), devices.c.revoked_at.is_(None))
    with book.transaction() as connection:
        row = rows.first(connection, wanted)
    return None if row is None else rows.device(row)


def digest(secret: str) -> str:
    """What the book keeps of a secret.  Digests are looked up, so no comparison leaks where they differ."""
    return hashlib.sha256(secret.encode()).hexdigest()
