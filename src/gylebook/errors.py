"""The one tree of errors, each worded as: what was given; what holds and who says so; what to do.

::

    GylebookError                 anything a brewer can put right
    ├── OutsideValidity           an equation was asked about a state its source does not cover
    ├── Refused                   input that was not understood; carries every problem at once
    │   ├── QuantityRefused       a text that is not the quantity expected there
    │   └── AlreadyThere          what was to be written clashes with what the book holds
    ├── BookProblem               the book is missing, damaged, newer, locked or already there
    └── NotConverged              a solver or sampler could not do what it was asked

A programmer's mistake raises `ValueError` or `TypeError`, never one of these.  A plan that does not fit
its brewery is an answer and is returned as a finding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class GylebookError(Exception):
    """Base of every error that a face shows to the brewer as it stands."""


class OutsideValidity(GylebookError):
    """A published equation was asked about a state outside its range."""

    def __init__(
        self, name: str, value: float, unit: str, low: float, high: float, source: str, hint: str = ""
    ) -> None:
        self.name, self.value, self.unit = name, value, unit
        self.low, self.high, self.source, self.hint = low, high, source, hint
        text = f"{name} is {value:g} {unit}, but {source} holds only from {low:g} to {high:g} {unit}."
        super().__init__(f"{text} {hint}".rstrip())


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with an input.

    `where` is a file, with its line where known, and a key; `understood` is the value as read.
    """

    where: str
    understood: str
    accepted: str

    def __str__(self) -> str:
        read = f" {self.understood};" if self.understood else ""
        return f"{self.where}:{read} {self.accepted}"


class Refused(GylebookError):
    """Input that was not accepted.  All problems are told at once and nothing was changed."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class QuantityRefused(Refused):
    """A text that cannot be read as the quantity expected."""

    def __init__(self, text: str, understood: str, accepted: str, where: str = "") -> None:
        self.text = text
        super().__init__((Problem(where or f"“{text}”", understood, accepted),))


class AlreadyThere(Refused):
    """Input that would do, did the book not hold something else in its place already."""


class BookProblem(GylebookError):
    """The book cannot be opened or written as asked; it was left as it was."""


class NotConverged(GylebookError):
    """A search or a sampler ended without an answer it can stand behind.

    `worst` names the observation that fits worst, where observations could not be reconciled.
    """

    def __init__(self, text: str, *, worst: str = "") -> None:
        self.worst = worst
        super().__init__(text)
