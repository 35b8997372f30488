"""Word what a database complains about, so that a brewer can do something about it.

In:  an error of SQLite or PostgreSQL. Out: `BookProblem`: what is wrong, what was changed, what to do.

Idea: every statement of the record runs inside `in_words`, and every transaction is all or nothing, so
"nothing was changed" is true wherever it is said.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from gylebook.errors import BookProblem

_SQLITE = {
    sqlite3.SQLITE_BUSY: "is locked: another program is writing to it and has not let go. Nothing was "
    "changed. Try again; if it stays so, close the other program.",
    sqlite3.SQLITE_READONLY: "may only be read here. Nothing was changed. Make the file and its folder "
    "writable, or copy the book to a place that is.",
    sqlite3.SQLITE_FULL: "has no room left on its disk. Nothing was changed. Make room and try again.",
    sqlite3.SQLITE_IOERR: "is on a disk that fails to read or write. What was being written is not in the "
    "book. Check the disk and copy the book to another one.",
    sqlite3.SQLITE_CORRUPT: "is damaged. Nothing was changed. Keep the file as it is, with the -wal file "
    "beside it, and go on from the newest backup.",
    sqlite3.SQLITE_NOTADB: "is not a gyle book, or its first page is damaged. Nothing was changed. If it "
    "was a book, keep the file as it is and go on from the newest backup.",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened. Nothing was changed. The file and its folder must be "
    "readable and writable: SQLite keeps two files beside the book.",
}
_SQLITE[sqlite3.SQLITE_LOCKED] = _SQLITE[sqlite3.SQLITE_BUSY]
_SQLITE[sqlite3.SQLITE_PERM] = _SQLITE[sqlite3.SQLITE_CANTOPEN]

# By the first letters of SQLSTATE (PostgreSQL manual, appendix A); the longest that fits is taken.
_POSTGRESQL = {
    "25006": "may only be read here. Nothing was changed. Ask for the right to write, or the main server.",
    "42501": "does not allow this user to do that. Nothing was changed. Ask its owner for the right.",
    "53100": "has no room left on its server's disk. Nothing was changed. Make room and try again.",
    "55P03": "is locked: another program has not let go. Nothing was changed. Try again.",
    "40": "was being written to by others at the same moment. Nothing was changed. Try again.",
    "57": "was closed by its server. What was being written may be missing: send it again, with its id.",
    "08": "lost its server. What was being written may be missing: send it again, with its id.",
    "XX": "is damaged on its server. Nothing was changed. Show this to whoever keeps the server.",
}

_UNREACHED = (
    "cannot be reached. Check that its server runs and knows the user and the database of the URL. "
    "What was being written may be missing: send it again, with its id."
)


@contextmanager
def in_words(shown: str) -> Iterator[None]:
    """Turn a database's error inside the block into a `BookProblem` about the book called `shown`."""
    try:
        yield
    except DBAPIError as problem:
        raise _worded(problem.orig or problem, shown) from problem
    except sqlite3.Error as problem:
        raise _worded(problem, shown) from problem


def _worded(problem: BaseException, shown: str) -> BookProblem:
    said = " ".join(str(problem).split())
    if isinstance(problem, sqlite3.Error):
        code = getattr(problem, "sqlite_errorcode", None)  # absent where the Python module itself complains
        words = None if code is None else _SQLITE.get(code & 0xFF)  # the low byte is the primary code
        where = "SQLite"
    else:
        state: str = getattr(problem, "sqlstate", None) or ""
        fits = [start for start in _POSTGRESQL if state.startswith(start)]
        words = _POSTGRESQL[max(fits, key=len)] if fits else None
        if not state:  # psycopg gives none where no connection came about or it broke
            words = _UNREACHED
        where = "PostgreSQL"
    words = words or "refused that. Nothing was changed."
    return BookProblem(f"The book {shown} {words} ({where}: {said})")
