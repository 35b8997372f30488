"""Remember what was worked out of a brew until its next event.

In:  a key, the number of the newest event, and how to work it out.
Out: the same answer again, for as long as that number stands.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")


class Remembered(Generic[T]):
    """Answers by key, the latest used kept; threads may share it."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, tuple[int, T]] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, newest: int, work_out: Callable[[], T]) -> T:
        """The answer as of event `newest`."""
        with self._lock:
            kept = self._kept.get(key)
        if kept is None or kept[0] != newest:
            kept = (newest, work_out())
        with self._lock:
            self._kept[key] = kept
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return kept[1]
