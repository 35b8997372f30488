"""Lend the tests of the command line files and books of their own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import create_engine, make_url, text

from command_line import cli
from command_line import shed as copied


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """The example's plan, brewery and readings, free to be changed."""
    return copied(tmp_path)


@pytest.fixture(params=["sqlite", "postgresql"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A new book on each kind of database."""
    if request.param == "sqlite":
        place = str(tmp_path / "the shed.gyle")
        assert cli("book", "new", "--book", place).code == 0
        yield place
        return
    url = make_url(request.getfixturevalue("postgres_url")).set(drivername="postgresql+psycopg")
    name = f"shelf_{uuid4().hex}"
    server = create_engine(url, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.execute(text(f"CREATE SCHEMA {name}"))
    own = url.update_query_dict({"options": f"-csearch_path={name}"})
    place = own.render_as_string(hide_password=False)
    assert cli("book", "new", "--book", place).code == 0
    yield place
    with server.connect() as connection:
        connection.execute(text(f"DROP SCHEMA {name} CASCADE"))
    server.dispose()
