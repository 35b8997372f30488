"""Lend each test of the record a book of its own, on SQLite and on PostgreSQL."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import create_engine, make_url, text

from gylebook.record.book import Book
from gylebook.record.events import Brew
from gylebook.record.store import new_book, open_book

AT = "2026-03-14T09:30:00+01:00"


@pytest.fixture
def postgres_location(postgres_url: str) -> Iterator[str]:
    """A place for one book on the server: a schema of its own, dropped at the end."""
    url = make_url(postgres_url).set(drivername="postgresql+psycopg")
    name = f"book_{uuid4().hex}"
    server = create_engine(url, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.execute(text(f"CREATE SCHEMA {name}"))
    yield url.update_query_dict({"options": f"-csearch_path={name}"}).render_as_string(hide_password=False)
    with server.connect() as connection:
        connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
    server.dispose()


@pytest.fixture(params=["sqlite", "postgresql"])
def location(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A place where no book is yet, on each kind of database."""
    if request.param == "sqlite":
        return str(tmp_path / "the shed.gyle")
    return str(request.getfixturevalue("postgres_location"))


@pytest.fixture
def book(location: str) -> Iterator[Book]:
    new_book(location)
    with open_book(location) as opened:
        yield opened


@pytest.fixture
def start() -> Callable[..., Brew]:
    """Starts a brew in a book, with a plan and a brewery of its own making."""

    def start_brew(book: Book, name: str = "spring amber") -> Brew:
        plan = book.keep_plan("amber", "volume = '33 L'\n")
        brewery = book.keep_brewery("shed", "altitude = '200 m'\n")
        return book.start_brew(name, plan.id, brewery.id, 7, 4000, AT, "0.1.0")

    return start_brew


@pytest.fixture
def brew(book: Book, start: Callable[..., Brew]) -> Brew:
    return start(book)


@pytest.fixture
def sqlite_book(tmp_path: Path, start: Callable[..., Brew]) -> Path:
    """A closed book on SQLite with one brew and forty notes."""
    path = tmp_path / "ledger.gyle"
    new_book(path)
    with open_book(path) as opened:
        started = start(opened)
        for number in range(40):
            opened.write_event(started.id, "note", {"text": f"turn {number} of the paddle " * 8}, AT)
    return path
