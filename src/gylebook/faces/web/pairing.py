"""Let other devices in by a code that only this machine shows.

In:  codes as they are typed.
Out: whether one is right, or that there were too many wrong ones.

Idea: the code has some 39 bits and a few tries a minute, so it is not found by trying.  It is good for one
device: each that comes in gets a secret of its own, and the next needs the next code.
"""

from __future__ import annotations

import secrets
from collections import deque
from collections.abc import Callable
from hmac import compare_digest
from threading import Lock
from time import monotonic

LETTERS = "ABCDEFGHJKLMNPQRTUVWXY346789"  # none that is taken for another
LENGTH = 8
TRIES, PER_SECONDS = 6, 60.0
MOST_KNOCKING = 1000  # addresses remembered at once


class Pairing:
    """The code of the moment, and who has tried it."""

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._lock = Lock()
        self._tried: dict[str, deque[float]] = {}
        self.code = _new_code()

    def spaced(self) -> str:
        """The code as it is read out: “ABCD EFGH”."""
        return f"{self.code[: LENGTH // 2]} {self.code[LENGTH // 2 :]}"

    def may_try(self, address: str) -> bool:
        """Whether this address, and all of them together, have tried seldom enough; counts as a try."""
        now = self._clock()
        with self._lock:
            if len(self._tried) > MOST_KNOCKING:
                self._tried = {"": self._tried.get("", deque())}  # tries of all together still count
            everyone = self._recent("", now)
            own = self._recent(address, now)
            if len(own) >= TRIES or len(everyone) >= 5 * TRIES:
                return False
            own.append(now)
            everyone.append(now)
            return True

    def accepts(self, typed: str) -> bool:
        """Whether it is the code; a right one is used up."""
        given = "".join(typed.split()).replace("-", "").upper().encode("utf-8", "replace")
        with self._lock:
            if not compare_digest(given, self.code.encode()):
                return False
            self.code = _new_code()
            return True

    def _recent(self, address: str, now: float) -> deque[float]:
        times = self._tried.setdefault(address, deque())
        while times and times[0] < now - PER_SECONDS:
            times.popleft()
        return times


def _new_code() -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
