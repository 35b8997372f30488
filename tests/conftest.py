"""Lend the tests what a machine may lack: a PostgreSQL server, a program that turns PDF pages into pictures.

Where one is missing, a test that needs it is skipped on a builder's machine, with a line that says what was
not tested, and fails in CI, where nothing may be missing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NoReturn

import pytest
from sqlalchemy import create_engine, make_url, text

pytest_plugins = ["checks"]

# Workers share the cores already: with threads of their own for small matrices they wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _missing(what: str, untested: str) -> NoReturn:
    """Skip with one line that says what was not tested; in CI, fail with it."""
    line = f"{what} is missing: {untested} not tested"
    if os.environ.get("CI") == "true":
        pytest.fail(line, pytrace=False)
    pytest.skip(line)


@pytest.fixture(scope="session")
def postgres_url(worker_id: str) -> Iterator[str]:
    """A SQLAlchemy URL of an empty PostgreSQL database, this worker's own and dropped at the end."""
    given = os.environ.get("GYLEBOOK_TEST_POSTGRES")
    if not given:
        _missing("GYLEBOOK_TEST_POSTGRES (URL of a PostgreSQL database)", "books on PostgreSQL")
    given_url = make_url(given)
    own_name = f"{given_url.database}_{worker_id}"
    server = create_engine(given_url, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.execute(text(f'DROP DATABASE IF EXISTS "{own_name}" WITH (FORCE)'))
        connection.execute(text(f'CREATE DATABASE "{own_name}"'))
    yield given_url.set(database=own_name).render_as_string(hide_password=False)
    with server.connect() as connection:
        connection.execute(text(f'DROP DATABASE "{own_name}" WITH (FORCE)'))
    server.dispose()


@pytest.fixture(scope="session")
def pdf_to_png() -> Callable[[Path, Path], list[Path]]:
    """A function (pdf, folder, dpi=80) that draws each page as a PNG file and returns them in order."""
    program = shutil.which("pdftoppm")
    if program is None:
        _missing("pdftoppm (Debian: poppler-utils)", "the look of printed sheets")

    def draw(pdf: Path, folder: Path, dpi: int = 80) -> list[Path]:
        subprocess.run([program, "-png", "-r", str(dpi), pdf, folder / pdf.stem], check=True)
        return sorted(folder.glob(f"{pdf.stem}-*.png"))

    return draw
