"""Copy a book while it is in use, and prove the copy.

In:  a book on SQLite and a path where nothing is yet. Out: a whole book at that path, or nothing.

Idea: copy and counts come from one read transaction, so a brewer may write on meanwhile. The copy takes its
name only after it was checked: a file that bears it is a good one.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from gylebook.errors import BookProblem
from gylebook.record.engines import connect_file, locate
from gylebook.record.schema import VERSION_TABLE
from gylebook.record.troubles import in_words


def backup(location: str | os.PathLike[str], target: str | os.PathLike[str]) -> None:
    """Write a verified copy of the book to `target`; a file there already is never overwritten."""
    where = locate(location)
    if where.path is None:
        raise BookProblem(
            f"The book {where.shown} lives on PostgreSQL: "
            "back it up with pg_dump, which comes with the server."
        )
    if not where.path.is_file():
        raise BookProblem(f"There is no book at {where.shown}, so there is nothing to back up.")
    copy_file(where.path, Path(target).absolute(), shown=where.shown)


def copy_file(source: Path, target: Path, *, shown: str) -> None:
    """Copy one SQLite file to a new one and compare the two."""
    try:
        target.open("xb").close()  # holds the name, so that two backups at once cannot take the same
    except FileExistsError as problem:
        raise BookProblem(
            f"There is a file at {target} already; it was left as it is. Name another."
        ) from problem
    except OSError as problem:
        raise BookProblem(
            f"No copy can be written to {target}: {problem.strerror}. Nothing was changed."
        ) from problem
    part = target.with_name(target.name + ".part")
    try:
        part.unlink(missing_ok=True)
        with in_words(shown), closing(connect_file(source)) as book:
            book.execute("BEGIN")
            counts = _counts(book)
            if VERSION_TABLE not in counts:
                raise BookProblem(f"The file {shown} is not a gyle book, so it was not copied.")
            with in_words(str(target)), closing(sqlite3.connect(part)) as copy:
                book.backup(copy)
            book.execute("ROLLBACK")
        with in_words(str(target)), closing(connect_file(part)) as copy:
            _compare(copy, counts, target)
        os.replace(part, target)
    except BaseException:
        for left in (part, target):
            with suppress(OSError):  # the error that brought us here is the one to tell
                left.unlink(missing_ok=True)
        raise


def quick_check(connection: sqlite3.Connection) -> str:
    """What SQLite finds wrong with a file, in its own words; empty where it finds nothing."""
    found = [str(row[0]) for row in connection.execute("PRAGMA quick_check(3)")]
    return "" if found == ["ok"] else "; ".join(found)


def _counts(connection: sqlite3.Connection) -> dict[str, int]:
    names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    quoted = {name: '"' + name.replace('"', '""') + '"' for name in names}
    return {
        name: connection.execute(f"SELECT count(*) FROM {quoted[name]}").fetchone()[0]
        for name in sorted(names)
    }


def _compare(copy: sqlite3.Connection, counts: dict[str, int], target: Path) -> None:
    damage = quick_check(copy)
    if damage:
        raise BookProblem(
            f"The copy at {target} came out damaged and was removed ({damage}). Try another disk."
        )
    copied = _counts(copy)
    if copied != counts:
        raise BookProblem(
            f"The copy at {target} does not hold what the book holds and was removed: "
            f"{copied} instead of {counts}."
        )
