"""Make a book, and open one only after knowing that it is whole and ours.

In:  a path or a URL. Out: `Book`, or a `BookProblem` that says what is wrong; then nothing was changed.

Idea: a book is made and brought up to date by migrations only. The stored revision is compared with the
names of the migration files first, so that opening an up-to-date book never loads Alembic.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from threading import Lock
from uuid import uuid4

from sqlalchemy import Connection, Engine, column, insert, inspect, select, table, text

from gylebook.errors import BookProblem
from gylebook.record import schema
from gylebook.record.backup import copy_file, quick_check
from gylebook.record.book import Book
from gylebook.record.engines import WRITES, Location, connect_file, engine_at, locate
from gylebook.record.troubles import in_words

MIGRATIONS = Path(__file__).parent / "migrations"
_MIGRATING = 0x67796C65  # any number that no other program locks: "gyle" in ASCII
_one_upgrade = Lock()  # Alembic keeps its context in module globals, which threads share


def now() -> datetime:
    """The present, with its zone."""
    return datetime.now(UTC)


def new_book(location: str | os.PathLike[str], *, clock: Callable[[], datetime] = now) -> None:
    """Make an empty book where none is."""
    where = locate(location)
    if where.path is None:
        _make(where, clock)
        return
    try:
        where.path.open("xb").close()
    except FileExistsError as problem:
        raise BookProblem(f"There is a file at {where.shown} already; it was left as it is.") from problem
    except OSError as problem:
        raise BookProblem(f"No book can be made at {where.shown}: {problem.strerror}.") from problem
    try:
        with in_words(where.shown), closing(connect_file(where.path)) as connection:
            connection.execute("PRAGMA journal_mode = WAL")  # kept in the file from here on
        _make(where, clock)
    except BaseException:
        for ending in ("", "-wal", "-shm"):
            with suppress(OSError):  # the error that brought us here is the one to tell
                Path(f"{where.path}{ending}").unlink(missing_ok=True)
        raise


def open_book(
    location: str | os.PathLike[str],
    *,
    read_only: bool = False,
    patience_s: float = 10.0,
    clock: Callable[[], datetime] = now,
) -> Book:
    """Open the book; use it in a `with` block. Another's lock is waited for `patience_s`. [s]

    An older book is brought up to date first; on SQLite a dated copy of it is left beside it.
    """
    where = locate(location)
    if where.path is not None:
        _check_file(where, where.path, read_only, patience_s)
    engine = engine_at(where, read_only=read_only, patience_s=patience_s)
    try:
        with in_words(where.shown), engine.connect() as connection:
            revision = _revision(connection)
        if not revision:
            raise BookProblem(
                f"{where.shown} holds no gyle book. Nothing was changed. "
                "Name another place, or make one there: book new."
            )
        known = revisions()
        if revision not in known:
            raise BookProblem(
                f"The book {where.shown} has revision {revision}; this program knows none after {known[-1]}. "
                "It was written by a newer gylebook. Nothing was changed. Bring the program up to date."
            )
        if revision != known[-1]:
            _bring_up_to_date(where, engine, revision, read_only, clock)
    except BaseException:
        engine.dispose()
        raise
    return Book(engine, where.shown, known[-1], clock)


def revisions() -> tuple[str, ...]:
    """Every revision that this program knows, oldest first: the number before a migration's name."""
    return tuple(sorted(path.name.partition("_")[0] for path in (MIGRATIONS / "versions").glob("[0-9]*.py")))


def _check_file(where: Location, path: Path, read_only: bool, patience_s: float) -> None:
    if not path.exists():
        raise BookProblem(
            f"There is no book at {where.shown}. Name another place, or make one there: book new."
        )
    if not path.is_file():
        raise BookProblem(f"{where.shown} is not a file, so it is not a gyle book.")
    with (
        in_words(where.shown),
        closing(connect_file(path, read_only=read_only, patience_s=patience_s)) as connection,
    ):
        damage = quick_check(connection)
    if damage:
        raise BookProblem(
            f"The book {where.shown} is damaged. Nothing was changed. Keep the file as it is, with the "
            f"-wal file beside it, and go on from the newest backup. (SQLite: {damage})"
        )


def _revision(connection: Connection) -> str:
    """The revision that a database says it has; empty where it holds no book."""
    if not inspect(connection).has_table(schema.VERSION_TABLE):
        return ""
    found = connection.scalar(select(column("version_num")).select_from(table(schema.VERSION_TABLE)))
    return str(found or "")


def _make(where: Location, clock: Callable[[], datetime]) -> None:
    engine = engine_at(where)
    try:
        with in_words(where.shown), engine.execution_options(**{WRITES: True}).begin() as connection:
            _lock(connection)
            taken = {schema.VERSION_TABLE, *schema.metadata.tables} & set(
                inspect(connection).get_table_names()
            )
            if schema.VERSION_TABLE in taken:
                raise BookProblem(f"There is a book at {where.shown} already; it was left as it is.")
            if taken:
                raise BookProblem(
                    f"{where.shown} holds another program's tables ({', '.join(sorted(taken))}); they were "
                    "left as they are. Make a database for the book alone."
                )
            upgrade(connection)
            row = {
                "singleton": 1,
                "id": str(uuid4()),
                "made_at": clock().isoformat(timespec="milliseconds"),
                "made_by": f"gylebook {version('gylebook')}",
            }
            connection.execute(insert(schema.book).values(row))
    finally:
        engine.dispose()


def _bring_up_to_date(
    where: Location, engine: Engine, revision: str, read_only: bool, clock: Callable[[], datetime]
) -> None:
    if read_only:
        raise BookProblem(
            f"The book {where.shown} has the older revision {revision} and may only be read here, so it "
            "cannot be brought up to date. Nothing was changed. Open it once for writing."
        )
    with in_words(where.shown), engine.execution_options(**{WRITES: True}).begin() as connection:
        _lock(connection)
        if _revision(connection) != revision:
            return  # another program did it while this one waited for the lock
        if where.path is not None:
            stamp = clock().strftime("%Y-%m-%dT%H%M%S")
            kept = where.path.with_name(f"{where.path.stem}-{revision}-{stamp}{where.path.suffix}")
            copy_file(where.path, kept, shown=where.shown)
        upgrade(connection)


def _lock(connection: Connection) -> None:
    """Let only one program at a time change the tables; SQLite does so from BEGIN IMMEDIATE on."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATING})


def upgrade(connection: Connection, revision: str = "head") -> None:
    """Run the migrations that are missing, inside the caller's transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))  # it expands % in values
    config.set_main_option("path_separator", "os")
    config.attributes.update(connection=connection, version_table=schema.VERSION_TABLE)
    with _one_upgrade:
        command.upgrade(config, revision)
