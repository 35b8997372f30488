"""Record every array operation of a computation, and time just these without the program.

In:  a function of one array.
Out: `Replay`: calls of NumPy with plain operands, whose time is the floor under the function's own.

Idea: an ndarray subclass sees each ufunc and array function that touches it, with what went in; repeated on
plain arrays they are the arithmetic alone, without an attribute, an object or a cold memory between them.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from typing import Any

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Replay:
    """Array operations as they were asked for."""

    calls: tuple[tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]], ...]

    def __len__(self) -> int:
        return len(self.calls)

    def seconds(self, times: int = 9) -> float:
        """Sum of what each operation takes by itself, its operands at hand: the middle of so many times."""
        return sum(_middle_time(*call, times) for call in self.calls)


def _middle_time(function: Callable[..., Any], operands: Any, options: dict[str, Any], times: int) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        function(*operands, **options)
        taken.append(time.perf_counter() - start)
    return median(taken)


class Watched(np.ndarray):
    """An array that writes down what is done with it and with all that comes of it."""

    log: list[tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]]

    def __array_finalize__(self, parent: object) -> None:
        self.log = getattr(parent, "log", [])

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **options: Any) -> Any:
        function, operands = getattr(ufunc, method), plain(inputs)
        options = {name: plain(option) for name, option in options.items()}
        return self._done(function, operands, options)

    def __array_function__(self, function: Any, types: Any, args: Any, options: Any) -> Any:
        return self._done(function, plain(args), {name: plain(option) for name, option in options.items()})

    def _done(self, function: Callable[..., Any], operands: Any, options: dict[str, Any]) -> Any:
        self.log.append((function, operands, options))
        return watched(function(*operands, **options), self.log)


def plain(thing: Any) -> Any:
    """The same without watching."""
    if isinstance(thing, Watched):
        return thing.view(np.ndarray)
    if isinstance(thing, (tuple, list)):
        return type(thing)(plain(part) for part in thing)
    return thing


def watched(thing: Any, log: list[Any]) -> Any:
    """The same, watched; numbers need not be."""
    if isinstance(thing, np.ndarray) and thing.ndim:
        seen = thing.view(Watched)
        seen.log = log
        return seen
    if isinstance(thing, (tuple, list)):
        return type(thing)(watched(part, log) for part in thing)
    return thing


def replay_of(function: Callable[[NDArray[np.float64]], object], start: NDArray[np.float64]) -> Replay:
    """Run a function once and keep the array operations it asked for."""
    log: list[Any] = []
    # A check asks for a plain array and would lose sight of it from there on; asarray is not arithmetic.
    given, np.asarray = np.asarray, _asarray_that_keeps_watch(np.asarray)
    try:
        function(watched(start, log))
    finally:
        np.asarray = given
    return Replay(tuple(log))


def _asarray_that_keeps_watch(given: Callable[..., Any]) -> Any:
    def asarray(thing: Any, *args: Any, **options: Any) -> Any:
        return thing if isinstance(thing, Watched) else given(thing, *args, **options)

    return asarray
