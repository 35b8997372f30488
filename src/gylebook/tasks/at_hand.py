"""Keep a book open for a face that asks it often.

In:  a book's location.
Out: how far it has come, who a secret belongs to, and brews as they stand, worked out once for each event.

Idea: a brew's outlook follows from its events alone, so it is kept until the next event of that brew.
Whoever else writes to the book meanwhile is seen by the number of the newest event.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Any, TypeVar, cast

from gylebook.record.devices import device_with
from gylebook.record.events import Device
from gylebook.record.store import open_book
from gylebook.tasks.brews import Standing, look_at_brew
from gylebook.tasks.plan_versions import PlanView, plan_view
from gylebook.tasks.remembered import Remembered

T = TypeVar("T")

KEPT_SMALL = 1000  # what is told of a brew without its draws
KEPT = 12  # outlooks of 4,000 draws are some ten megabytes each


class AtHand:
    """An open book; threads may share it.  Close it when done."""

    def __init__(self, location: str) -> None:
        self.location = location
        self._book = open_book(location)
        self._kept: OrderedDict[str, tuple[int, Standing]] = OrderedDict()
        self._turns: dict[str, Lock] = {}
        self._lock = Lock()
        self._told: Remembered[Any] = Remembered(KEPT_SMALL)

    def close(self) -> None:
        """Let go of the book."""
        self._book.close()

    def newest(self) -> int:
        """The number of the newest event of the book; 0 before the first."""
        return self._book.newest_seq()

    def newest_of(self, brew: str) -> int:
        """The number of the newest event of a brew."""
        return self._book.latest_seq(self._book.brew(brew).id)

    def device_with(self, secret: str) -> Device | None:
        """The device that holds a secret, unless it was shut out."""
        return device_with(self._book, secret)

    def plan(self, name: str) -> PlanView:
        """A plan with all its versions, the breweries it may be made on and the tables it is read with."""
        return plan_view(self._book, name)

    def standing(self, brew: str) -> Standing:
        """A brew as it stands; whoever asks for it while it is worked out waits for the same one."""
        with self._lock:
            turn = self._turns.setdefault(brew, Lock())
        with turn:
            newest = self.newest_of(brew)
            with self._lock:
                kept = self._kept.get(brew)
            if kept is None or kept[0] != newest:
                kept = (newest, look_at_brew(self.location, brew))
            with self._lock:
                self._kept[brew] = kept
                self._kept.move_to_end(brew)
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
        return kept[1]

    def worked_out(self, what: str, brew: str, work_out: Callable[[], T]) -> T:
        """Something small that follows from a brew's events, worked out once for each of them."""
        return cast(T, self._told.get((what, brew), self.newest_of(brew), work_out))
