"""Time the page under twenty clients at once: a re-plan, a page, and a bare route of the same server.

The bare route stands beside each in the same run, so that the ratios hold on a slower machine too.
"""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import httpx
import numpy as np
import pytest
import uvicorn
from fastapi import Response
from pytest_benchmark.fixture import BenchmarkFixture

from gylebook.faces.web.app import hosts_of, make_app
from gylebook.faces.web.desk import Desk
from gylebook.tasks.at_hand import AtHand
from gylebook.tasks.brews import make_book, start_brew, take_reading
from gylebook.tasks.typed import reading_typed

EXAMPLE = Path(__file__).parents[1] / "examples" / "amber-three-ways"
BREW = "Spring"
PAGE = f"/ledger/{BREW}"  # the page that is asked for most
CLIENTS, EACH = 20, 3
BARE = "/bare"
TEXTS = {name: (EXAMPLE / f"{name}.toml").read_text() for name in ("plan", "brewery")}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A book with a brew that was read twice, served."""
    location = str(tmp_path_factory.mktemp("load") / "book.gyle")
    make_book(location)
    files = (EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml")
    outlook = start_brew(location, BREW, *files, "2026-03-14T09:00+01:00").outlook
    for value in ("40.2 L", "1.048"):
        reading = reading_typed(outlook, "preboil", value, None, None, "2026-03-14T12:00+01:00")
        take_reading(location, BREW, reading)
    hand = AtHand(location)
    app = make_app(Desk(location=location, hand=hand, hosts=hosts_of()))
    app.add_api_route(BARE, lambda: Response("ok"), methods=["GET"])
    with closing(socket.create_server(("127.0.0.1", 0))) as sock:
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        yield f"http://127.0.0.1:{sock.getsockname()[1]}"
        server.should_exit = True
        thread.join(timeout=10)
    hand.close()


def seconds_under_load(address: str, path: str, sent: dict[str, str] | None = None) -> np.ndarray:
    """How long each request took while twenty clients ask at once."""
    together = threading.Barrier(CLIENTS)

    def ask(_: int) -> list[float]:
        taken = []
        with httpx.Client(base_url=address, timeout=300) as client:
            client.get(BARE)  # the connection is there
            together.wait()
            for _ in range(EACH):
                began = time.perf_counter()
                answer = client.get(path) if sent is None else client.post(path, json=sent)
                taken.append(time.perf_counter() - began)
                assert answer.status_code == 200
        return taken

    with ThreadPoolExecutor(CLIENTS) as pool:
        return np.array([one for taken in pool.map(ask, range(CLIENTS)) for one in taken])


@pytest.mark.parametrize(
    ("path", "sent"), [(BARE, None), (PAGE, None), ("/api/forecast", TEXTS)], ids=["bare", "page", "re-plan"]
)
def test_twenty_clients_at_once(
    benchmark: BenchmarkFixture, address: str, path: str, sent: dict[str, str] | None
) -> None:
    bare = seconds_under_load(address, BARE)

    taken = benchmark.pedantic(seconds_under_load, args=(address, path, sent), rounds=1)

    for share in (50, 95):
        beside, here = np.percentile(bare, share), np.percentile(taken, share)
        benchmark.extra_info[f"p{share}_ms"] = round(1000.0 * here, 1)
        benchmark.extra_info[f"p{share}_over_bare"] = round(here / beside, 1)
