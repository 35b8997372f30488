"""Time the Day page against a bare route of the same application."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from urllib.parse import quote

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from starlette.types import Message

from command_line import EXAMPLE
from gylebook.brewery.instruments import Reading
from gylebook.faces.web.app import hosts_of, make_app
from gylebook.faces.web.desk import Desk
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import make_book, start_brew, take_reading
from gylebook.tasks.day import day_order
from gylebook.tasks.day_deeds import begin_step

BREW, MORNING = "a day", "2026-03-14T09:00:00+01:00"
ROUNDS, WARM = 30, 5


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk at the example's brew, in the middle of its day."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", MORNING)
    hand = AtHand(location)
    order = hand.found(day_order, hand.standing(BREW).outlook)
    for step in ("mash in.1", "rest.1", "lift and drain.1", "heat to the boil.1"):
        begin_step(location, BREW, order, step, MORNING)
    for value in (40.2, 40.4):
        reading = Reading(step="preboil", quantity="volume", value=value, instrument="dipstick", at=MORNING)
        take_reading(location, BREW, reading)
    yield Desk(location=location, hand=hand, hosts=hosts_of())
    hand.close()


def seconds(desk: Desk, path: str) -> float:
    """Time of the processor for one answer at the median, through the whole application but no socket."""
    app = make_app(desk)
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": quote(path).encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [(b"host", b"127.0.0.1"), (b"accept-encoding", b"gzip")],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
    }

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        pass

    async def many() -> float:
        times = []
        for _ in range(ROUNDS):
            start = time.process_time()
            await app(dict(scope), receive, send)
            times.append(time.process_time() - start)
        return median(times[WARM:])

    return asyncio.run(many())


def test_the_day_page(benchmark: BenchmarkFixture, desk: Desk, capsys: pytest.CaptureFixture[str]) -> None:
    """A page that refuses an address is drawn by the same templates, and holds next to nothing."""
    day, bare = seconds(desk, f"/day/{BREW}"), seconds(desk, "/not/there")
    benchmark(seconds, desk, f"/day/{BREW}")

    benchmark.extra_info.update(ratio=day / bare, milliseconds=1000 * day)
    with capsys.disabled():
        print(f"\n  the Day page takes {1000 * day:.1f} ms, {day / bare:.1f} times a page with nothing on it")
    # 15 ms was asked for on a machine where a bare page takes 1.1 ms; a ratio holds on any.
    assert day / bare <= 12.0
