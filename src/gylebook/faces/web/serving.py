"""Open a book to browsers: on this machine alone, or to phones on the same network.

In:  a book's location, a port, and whether the network may come in.
Out: it serves until it is stopped; where to look is said before.
"""

from __future__ import annotations

import socket
from collections.abc import Callable
from contextlib import closing, suppress

import uvicorn

from gylebook.errors import Problem, Refused
from gylebook.faces.web.app import hosts_of, make_app
from gylebook.faces.web.desk import Desk
from gylebook.faces.web.pairing import Pairing
from gylebook.tasks.at_hand import AtHand

GOODBYE_S = 2  # how long open pages are waited for when it is stopped


def serve(
    location: str,
    port: int,
    *,
    lan: bool,
    names: tuple[str, ...] = (),
    ready: Callable[[Desk, str], None],
) -> None:
    """Serve until stopped; `ready` is told the address once the port is ours.

    Raises Refused where the port is taken, BookProblem where there is no book.
    """
    hand = AtHand(location)
    with closing(hand), closing(_listen("0.0.0.0" if lan else "127.0.0.1", port)) as sock:
        port = sock.getsockname()[1]
        outside = (*names, *_own_addresses()) if lan else names
        desk = Desk(
            location=location,
            hand=hand,
            hosts=hosts_of(outside),
            pairing=Pairing() if lan else None,
            bases=tuple(f"http://{name}:{port}" for name in outside) if lan else (),
        )
        ready(desk, f"http://127.0.0.1:{port}/")
        app = make_app(desk)
        config = uvicorn.Config(
            app,
            log_level="warning",
            proxy_headers=False,
            server_header=False,
            timeout_graceful_shutdown=GOODBYE_S,
        )
        server = uvicorn.Server(config)
        app.state.closing = lambda: server.should_exit  # so that streams to open pages end by themselves
        server.run(sockets=[sock])


def _listen(host: str, port: int) -> socket.socket:
    sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        sock.bind((host, port))
    except (OSError, OverflowError) as problem:
        sock.close()
        reason = getattr(problem, "strerror", None) or "is no port"
        raise Refused(
            (Problem("--port", f"{port}: {reason.lower()}", "name another one, such as 8431"),)
        ) from None
    return sock


def _own_addresses() -> tuple[str, ...]:
    """This machine's address on the network, by asking which one would be used; nothing is sent."""
    with suppress(OSError), closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe:
        probe.connect(("192.0.2.1", 9))  # an address kept for documentation
        return (probe.getsockname()[0],)
    return ()
