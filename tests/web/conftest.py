"""Serve a book on loopback, and lend a real browser to look at it.

Where no Chromium is found the tests that need one are skipped with a line that says what was not tested; in
CI they fail.
"""

from __future__ import annotations

import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest
import uvicorn

from gylebook.faces.web.app import hosts_of, make_app
from gylebook.faces.web.desk import Desk, local_now
from gylebook.faces.web.pairing import Pairing
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import make_book, start_brew

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
BREW = "Orchard amber, first time"
PHONE, DESKTOP = {"width": 390, "height": 844}, {"width": 1440, "height": 900}
CHROMIUM_FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-sync"]


@dataclass(frozen=True)
class Served:
    """A book that is being served."""

    address: str
    location: str
    desk: Desk


@contextmanager
def serving(
    location: str,
    *,
    pairing: bool = False,
    clock: Callable[[], datetime] = local_now,
    bases: tuple[str, ...] = (),
) -> Iterator[Served]:
    """Serve a book in a thread of its own, on a free port."""
    hand = AtHand(location)
    desk = Desk(
        location=location,
        hand=hand,
        hosts=hosts_of(("book.test",)),
        pairing=Pairing() if pairing else None,
        clock=clock,
        bases=bases,
    )
    app = make_app(desk)
    config = uvicorn.Config(app, port=0, log_level="warning", timeout_graceful_shutdown=1)
    server = uvicorn.Server(config)
    app.state.closing = lambda: server.should_exit
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        while not server.started:
            assert thread.is_alive(), "the server did not start"
            time.sleep(0.01)
        port = server.servers[0].sockets[0].getsockname()[1]
        yield Served(address=f"http://127.0.0.1:{port}", location=location, desk=desk)
    finally:
        server.should_exit = True
        thread.join(timeout=10)
        hand.close()


@pytest.fixture
def empty_book(tmp_path) -> Iterator[Served]:
    """A book with nothing in it, served."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    with serving(location) as served:
        yield served


@pytest.fixture
def brewing(tmp_path) -> Iterator[Served]:
    """A book with the example's brew just started, served."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", "2026-03-14T09:00+01:00")
    with serving(location) as served:
        yield served


@pytest.fixture
def open_to_phones(tmp_path) -> Iterator[Served]:
    """The same book, with which phones may pair."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", "2026-03-14T09:00+01:00")
    with serving(location, pairing=True) as served:
        yield served


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """A headless Chromium, as Debian packages it."""
    from playwright.sync_api import sync_playwright

    program = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if program is None:
        line = "Chromium (Debian: chromium) is missing: the pages in a browser not tested"
        if os.environ.get("CI") == "true":
            pytest.fail(line, pytrace=False)
        pytest.skip(line)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def phone(chromium) -> Iterator[object]:
    """A page of phone size; an error in its script or a broken rule of the policy fails the test."""
    with looking(chromium, PHONE) as page:
        yield page


@pytest.fixture
def desktop(chromium) -> Iterator[object]:
    """A page of desktop size, likewise."""
    with looking(chromium, DESKTOP) as page:
        yield page


@contextmanager
def looking(chromium, size, **more) -> Iterator[object]:
    """A page of its own context; what it complains of is gathered and must be nothing."""
    context = chromium.new_context(viewport=size, **more)
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(f"{error} {error.stack}"))
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.complaints = complaints
    yield page
    context.close()
    assert complaints == []


@pytest.fixture(scope="session")
def faults() -> Callable[[object], list[str]]:
    """A function that gives every violation axe finds on a page, in short."""
    from axe_playwright_python.sync_playwright import Axe

    axe = Axe()

    def found(page) -> list[str]:
        told = axe.run(page).response["violations"]
        return [f"{v['id']}: {node['html'][:120]}" for v in told for node in v["nodes"]]

    return found


@pytest.fixture(params=["phone", "desktop"])
def seen(request):
    """A page of either size."""
    return request.getfixturevalue(request.param)


@pytest.fixture
def bare(chromium):
    """A page of a browser that runs no script."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
    yield context.new_page()
    context.close()
