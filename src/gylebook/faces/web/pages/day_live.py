"""Tell open pages of a brew when something new was written, whoever wrote it.

In:  a brew's name.
Out: server-sent events, each the number of the newest event.

Idea: one look at the book serves every page that listens to the same brew, and nobody looks while nobody
listens.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable

from fastapi import APIRouter, Request
from fastapi.responses import StreamingResponse

from gylebook.errors import GylebookError
from gylebook.faces.web.desk import desk_of

router = APIRouter()
LOOK_S = 0.7
HEARTBEAT_S = 15.0  # so that a connection that is dead is found out
CLOSED = -1  # told in place of a number when the server ends
AGAIN_MS = 2000  # after which a browser asks again once it was cut off


class Watch:
    """One brew, looked at for all who listen."""

    def __init__(self, newest: Callable[[], int], closing: Callable[[], bool]) -> None:
        self._newest, self._closing = newest, closing
        self._number = -1
        self._listeners: set[asyncio.Queue[int]] = set()
        self._looking: asyncio.Task[None] | None = None

    @property
    def idle(self) -> bool:
        """Whether nobody listens."""
        return not self._listeners

    async def listen(self) -> AsyncIterator[str]:
        """Every new number as it comes, the present one first."""
        mine: asyncio.Queue[int] = asyncio.Queue()
        self._listeners.add(mine)
        if self._looking is None:
            self._number = -1
            self._looking = asyncio.create_task(self._look())
        elif self._number >= 0:
            mine.put_nowait(self._number)
        try:
            yield f"retry: {AGAIN_MS}\n\n"
            while not self._closing():
                try:
                    number = await asyncio.wait_for(mine.get(), HEARTBEAT_S)
                except TimeoutError:
                    yield ": still here\n\n"
                else:
                    if number != CLOSED:
                        yield f"data: {number}\n\n"
        finally:
            self._listeners.discard(mine)
            if self.idle and self._looking is not None:
                self._looking.cancel()
                self._looking = None

    async def _look(self) -> None:
        while not self._closing():
            try:
                number = await asyncio.to_thread(self._newest)
            except GylebookError:
                number = self._number  # the book is out of reach for a moment; pages are told nothing
            if number != self._number:
                self._number = number
                self._tell(number)
            await asyncio.sleep(LOOK_S)
        self._tell(CLOSED)

    def _tell(self, number: int) -> None:
        for listener in self._listeners:
            listener.put_nowait(number)


@router.get("/day/{brew}/events")
async def events(request: Request, brew: str) -> StreamingResponse:
    """The stream that an open page listens to."""
    hand = desk_of(request).hand
    await asyncio.to_thread(
        hand.newest_of, brew
    )  # a brew that is not there is refused before anything is sent
    if not hasattr(request.app.state, "watches"):
        request.app.state.watches = {}
    watches: dict[str, Watch] = request.app.state.watches
    for name in [name for name, watch in watches.items() if watch.idle]:
        del watches[name]
    watch = watches.setdefault(brew, Watch(lambda: hand.newest_of(brew), request.app.state.closing))
    return StreamingResponse(
        watch.listen(), media_type="text/event-stream", headers={"x-accel-buffering": "no"}
    )
