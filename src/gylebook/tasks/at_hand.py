"""Keep a book open for a face that asks it often.

In:  a book's location.
Out: how far it has come, who a secret belongs to, and brews as they stand, worked out once.

Idea: a brew's outlook follows from the readings and plans that stand, so it is kept until another of those
comes; what follows from an outlook alone is kept with it.  Whoever else writes to the book meanwhile is seen
by the number of the newest event.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from threading import Lock
from typing import Any, TypeVar, cast
from uuid import UUID
from weakref import WeakKeyDictionary

from gylebook.record.devices import device_with
from gylebook.record.events import Brew, Device, Event
from gylebook.record.replay import standing
from gylebook.record.store import open_book
from gylebook.tasks.brew_outlook import last_that_counts, outlook_of, what_counts
from gylebook.tasks.brews import Standing
from gylebook.tasks.outlook import Outlook
from gylebook.tasks.plan_versions import PlanView, plan_view
from gylebook.tasks.remembered import Remembered
from gylebook.tasks.shelf import BookView, book_view

T = TypeVar("T")

KEPT_SMALL = 1000  # what is told of a brew without its draws
KEPT = 12  # outlooks of 4,000 draws are some ten megabytes each


class AtHand:
    """An open book; threads may share it.  Close it when done."""

    def __init__(self, location: str) -> None:
        self.location = location
        self._book = open_book(location)
        self._stand: dict[str, tuple[int, Standing]] = {}
        self._kept: OrderedDict[tuple[UUID, tuple[UUID, ...]], Outlook] = OrderedDict()
        self._found: WeakKeyDictionary[Outlook, dict[Callable[[Outlook], Any], Any]] = WeakKeyDictionary()
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

    def shelf(self) -> BookView:
        """All that the book holds."""
        return book_view(self._book, self.location)

    def device_with(self, secret: str) -> Device | None:
        """The device that holds a secret, unless it was shut out."""
        return device_with(self._book, secret)

    def plan(self, name: str) -> PlanView:
        """A plan with all its versions, the breweries it may be made on and the tables it is read with."""
        return plan_view(self._book, name)

    def standing(self, brew: str) -> Standing:
        """A brew as it stands; whoever asks for it while it is worked out waits for the same one."""
        with self._turn(brew):
            newest = self.newest_of(brew)
            kept = self._stand.get(brew)
            if kept is None or kept[0] != newest:
                found = self._book.brew(brew)
                events = self._book.events(found.id)
                # What is written between the two looks is in `events` already, and found new once more.
                kept = self._stand[brew] = (newest, self._as_of(found, events))
                while len(self._stand) > KEPT:
                    self._stand.pop(next(iter(self._stand)), None)
        return kept[1]

    def worked_out(self, what: str, brew: str, work_out: Callable[[], T]) -> T:
        """Something small that follows from a brew's events, worked out once for each of them."""
        return cast(T, self._told.get((what, brew), self.newest_of(brew), work_out))

    def before(self, now: Standing) -> Outlook | None:
        """The outlook that a brew had before the last reading or change of plan; None before any."""
        last = last_that_counts(now.written)
        if not last:
            return None
        with self._turn(now.brew.name):
            return self._outlook(now.brew, [event for event in now.written if event.seq < last])

    def found(self, find: Callable[[Outlook], T], outlook: Outlook) -> T:
        """What a function finds in an outlook, worked out once for as long as the outlook is kept."""
        known = self._found.setdefault(outlook, {})
        if find not in known:
            known[find] = find(outlook)
        found: T = known[find]
        return found

    def has_found(self, find: Callable[[Outlook], object], outlook: Outlook) -> bool:
        """Whether that has been worked out already."""
        return find in self._found.get(outlook, {})

    def _turn(self, brew: str) -> Lock:
        with self._lock:
            return self._turns.setdefault(brew, Lock())

    def _as_of(self, brew: Brew, events: Sequence[Event]) -> Standing:
        outlook = self._outlook(brew, events)
        return Standing(brew=brew, events=standing(events), outlook=outlook, written=tuple(events))

    def _outlook(self, brew: Brew, events: Sequence[Event]) -> Outlook:
        key = (brew.id, what_counts(events))
        with self._lock:
            outlook = self._kept.get(key)
        if outlook is None:
            outlook = outlook_of(self._book, brew, events)
        with self._lock:
            self._kept[key] = outlook
            self._kept.move_to_end(key)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        return outlook
