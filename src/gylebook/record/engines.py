"""Connect to the database that holds a book, as strictly as a record needs it.

In:  a path or a URL. Out: `Location`, and an engine whose every transaction is durable once committed.

Idea: all that differs between SQLite and PostgreSQL at the connection is here. A write on SQLite takes its
lock at BEGIN: two writers wait for each other there, and none finds half-way that what it read is old.
"""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, QueuePool, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError

from gylebook.errors import BookProblem

WRITES = "gylebook_writes"  # the execution option that marks a transaction as one that writes


@dataclass(frozen=True, slots=True)
class Location:
    """Where a book is: exactly one of `path` and `url`; `shown` is how messages name it, without password."""

    path: Path | None
    url: URL | None
    shown: str


def locate(location: str | os.PathLike[str]) -> Location:
    """Understand a path or a URL."""
    text = os.fspath(location)
    scheme, is_url, rest = text.partition("://")
    if not is_url:
        return Location(Path(text).absolute(), None, text)
    if scheme == "sqlite" and rest.startswith("/"):
        return Location(Path(rest[1:]).absolute(), None, rest[1:])
    if scheme not in ("postgresql", "postgres", "postgresql+psycopg"):
        raise BookProblem(
            f"A book cannot be kept at {scheme}://; give a path, or postgresql://host/database."
        )
    try:
        url = make_url(f"postgresql+psycopg://{rest}")
    except (ArgumentError, ValueError):
        raise BookProblem(
            f"The {scheme} URL of the book is not understood; write it like postgresql://user@host:5432/database."
        ) from None  # the cause repeats the text, which may hold a password
    return Location(None, url, url.set(drivername="postgresql").render_as_string(hide_password=True))


def connect_file(path: Path, *, read_only: bool = False, patience_s: float = 10.0) -> sqlite3.Connection:
    """Open an existing SQLite file, never making one; BEGIN is left to the caller."""
    connection = sqlite3.connect(
        f"{path.as_uri()}?mode={'ro' if read_only else 'rw'}",
        uri=True,
        isolation_level=None,
        timeout=patience_s,
        check_same_thread=False,  # the pool lends a connection to one thread at a time
    )
    # `fullfsync`: on macOS a plain fsync does not reach the disk; elsewhere it changes nothing.
    for pragma in ("foreign_keys = ON", "recursive_triggers = ON", "synchronous = FULL", "fullfsync = ON"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def engine_at(where: Location, *, read_only: bool = False, patience_s: float = 10.0) -> Engine:
    """An engine on the book; nothing is opened before its first use."""
    if where.url is not None:
        return _postgresql(where.url, read_only, patience_s)
    path = where.path
    if path is None:
        raise ValueError("a location has a path or a URL")
    engine = create_engine(
        "sqlite://",
        creator=lambda: connect_file(path, read_only=read_only, patience_s=patience_s),
        poolclass=QueuePool,
    )
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _postgresql(url: URL, read_only: bool, patience_s: float) -> Engine:
    try:
        engine = create_engine(url, connect_args={"connect_timeout": max(2, round(patience_s))})
    except ModuleNotFoundError as problem:
        if problem.name != "psycopg":
            raise
        raise BookProblem(
            "A book on PostgreSQL needs the package psycopg, which is not installed; "
            "install gylebook with its extra: gylebook[postgres]."
        ) from problem

    def settle(raw: Any, _record: object) -> None:
        # A server may be set to answer before the disk has it; "durable" here means what it says.
        raw.execute(
            "SELECT set_config('synchronous_commit', 'on', false)"
            " WHERE current_setting('synchronous_commit') = 'off'"
        )
        raw.execute(
            "SELECT set_config('lock_timeout', %s, false)", (f"{max(1, round(patience_s * 1000))}ms",)
        )
        if read_only:
            raw.execute("SELECT set_config('default_transaction_read_only', 'on', false)")
        raw.commit()

    event.listen(engine, "connect", settle)
    return engine
