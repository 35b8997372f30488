"""Devices are let in by a secret of which the book keeps a digest alone, on both kinds of database."""

from __future__ import annotations

from uuid import uuid4

import pytest
from sqlalchemy import select

from gylebook.errors import Refused
from gylebook.record import schema
from gylebook.record.devices import device_with, devices_of, digest, let_in, shut_out

AT = "2026-03-14T09:30:00+01:00"
LATER = "2026-03-15T09:30:00+01:00"


def test_a_device_is_known_by_its_secret_and_by_no_other(book):
    device = let_in(book, "phone by the kettle", "secret one", AT)
    let_in(book, "tablet", "secret two", AT)

    assert device_with(book, "secret one") == device
    assert device_with(book, "secret on") is None
    assert device_with(book, "") is None
    assert device_with(book, digest("secret one")) is None  # what the book holds opens nothing


def test_the_book_holds_a_digest_of_the_secret_and_not_the_secret(book):
    let_in(book, "phone", "secret one", AT)

    with book.transaction() as connection:
        (row,) = connection.execute(select(schema.devices)).all()

    assert row.token_sha256 == digest("secret one")
    assert "secret one" not in str(row)


def test_a_device_that_is_shut_out_is_unknown_and_stays_listed(book):
    device = let_in(book, "phone", "secret one", AT)

    shut_out(book, device.id, LATER)
    shut_out(book, device.id, "2026-03-16T09:30:00+01:00")  # a second time changes nothing

    assert device_with(book, "secret one") is None
    assert [(one.name, one.revoked_at) for one in devices_of(book)] == [("phone", LATER)]


def test_the_newest_device_is_listed_first(book):
    let_in(book, "first", "one", AT)
    let_in(book, "second", "two", LATER)

    assert [one.name for one in devices_of(book)] == ["second", "first"]


def test_nobody_is_shut_out_who_was_never_let_in(book):
    with pytest.raises(Refused, match="is not in this book"):
        shut_out(book, uuid4(), AT)


@pytest.mark.parametrize("name", ["", " phone", "two\nlines", "half \ud800"])
def test_a_device_has_a_name_that_can_be_told(book, name):
    with pytest.raises(Refused):
        let_in(book, name, "secret", AT)
