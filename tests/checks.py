"""Lend tests `check`, which holds a value to one from outside the project and keeps a record of it.

In:  what is checked, the value got and the value expected, by how much they may differ, and the source's key.
Out: an error where they differ by more; a row for docs/checks.md, which `checks_page` writes.

Idea: each process keeps its rows, workers hand theirs to the process that started them, and that one writes
the page (`--write-checks`, which runs only tests that check) or holds it to what was checked
(`--hold-checks`, for a run of all tests).  Loaded by conftest.py.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike

from checks_page import KINDS, PAGE, Row, differs, page
from gylebook.figures.sources import SOURCES

ROWS: pytest.StashKey[list[Row]] = pytest.StashKey()
SAID: pytest.StashKey[str] = pytest.StashKey()


class Check:
    """Compare with the world, and write down every value so compared."""

    def __init__(self, rows: list[Row]) -> None:
        self._rows = rows

    def __call__(
        self,
        what: str,
        got: ArrayLike,
        expected: ArrayLike,
        *,
        within: ArrayLike | None = None,
        rel: float | None = None,
        source: str,
        unit: str = "",
        at: str = "",
        kind: str = "world",
    ) -> None:
        """Hold got to expected within an absolute or a relative tolerance, or the greater of both.

        Of arrays each element counts.  `at` tells apart the rows of one table.
        """
        __tracebackhide__ = True
        if within is None and rel is None:
            raise ValueError(f"{what}: say within or rel")
        share = [] if rel is None else [rel * np.abs(np.asarray(expected, dtype=float))]
        plain = [] if within is None else [np.asarray(within, dtype=float)]
        allowed = np.max(np.broadcast_arrays(*share, *plain), axis=0)
        words = [] if within is None else [_plain(np.max(plain[0]))]
        words += [] if rel is None else [f"{_plain(100 * rel)} %"]
        for one, wanted, most in np.broadcast(got, expected, allowed):
            row = Row(
                kind, source, what, unit, at, float(one), float(wanted), float(most), " or ".join(words)
            )
            self._keep(row, abs(row.got - row.expected) <= row.allowed)

    def between(
        self,
        what: str,
        got: ArrayLike,
        low: float,
        high: float,
        *,
        source: str,
        unit: str = "",
        at: str = "",
        kind: str = "world",
    ) -> None:
        """Hold got to lie above low and below high, where a source gives no more than a range."""
        __tracebackhide__ = True
        for one in np.atleast_1d(np.asarray(got, dtype=float)).ravel():
            least, most = float(low), float(high)
            middle, half = (least + most) / 2.0, (most - least) / 2.0
            row = Row(kind, source, what, unit, at, float(one), middle, half, "", least, most)
            self._keep(row, least < row.got < most)

    def _keep(self, row: Row, holds: bool) -> None:
        __tracebackhide__ = True
        if row.kind not in KINDS or row.source not in SOURCES:
            raise ValueError(f"{row.what}: no kind {row.kind!r}, or no source {row.source!r}, is known")
        if not holds:
            at = f" at {row.at}" if row.at else ""
            wanted = f"{row.expected:.9g} ± {row.allowed:.3g} {row.unit}".rstrip()
            pytest.fail(f"{row.what}{at} is {row.got:.9g}, but {row.source} has {wanted}")
        self._rows.append(row)


def _plain(number: float) -> str:
    """A tolerance as it was written: to two digits."""
    return f"{float(f'{number:.2g}'):g}"


@pytest.fixture
def check(pytestconfig: pytest.Config) -> Check:
    """Hold a value to one from outside the project; see `Check`."""
    return Check(pytestconfig.stash[ROWS])


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("checks", "the record of checks against the world")
    group.addoption("--write-checks", action="store_true", help="run the checks and write docs/checks.md")
    group.addoption("--hold-checks", action="store_true", help="of a run of all tests: fail on a stale page")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[ROWS] = []


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("write_checks"):
        kept = [item for item in items if "check" in getattr(item, "fixturenames", ())]
        config.hook.pytest_deselected(items=[item for item in items if item not in kept])
        items[:] = kept


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """Take over the rows of a worker that is done; one that crashed has failed the run already."""
    if error is None:
        if "checks" not in node.workeroutput:
            raise RuntimeError("a worker did not hand over the values that it checked")
        node.config.stash[ROWS] += [Row(*values) for values in node.workeroutput["checks"]]


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    config, rows = session.config, session.config.stash[ROWS]
    if hasattr(config, "workeroutput"):
        config.workeroutput["checks"] = [tuple(row) for row in rows]
    elif exitstatus == pytest.ExitCode.OK and config.getoption("write_checks"):
        PAGE.write_text(page(rows), encoding="utf-8")
        config.stash[SAID] = f"{len(rows)} checked values are now in docs/checks.md"
    elif exitstatus == pytest.ExitCode.OK and config.getoption("hold_checks"):
        stale = differs(PAGE.read_text(encoding="utf-8") if PAGE.is_file() else "", page(rows))
        if stale:
            config.stash[SAID] = f"docs/checks.md is stale ({stale}): write it anew with: make checks"
            session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    if SAID in config.stash:
        terminalreporter.write_line(config.stash[SAID])
