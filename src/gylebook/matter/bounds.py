"""Refuse a state that an equation's source does not cover, and guess the slip of unit behind it.

In:  a float or an array, and the `Range` that its equation holds on.
Out: the same values as a float64 array, not copied where they were one; or `OutsideValidity`.

Idea: each range is declared once, beside its equation, together with the units that are commonly taken
for the right one.  One look at the least and the greatest value is all that is paid; NaN is refused too,
as it is not between the two.  Reading units is no task of this room: it only recognises a wrong one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gylebook.errors import OutsideValidity
from gylebook.figures.draws import Array


@dataclass(frozen=True, slots=True)
class Slip:
    """A unit often given in place of the right one, and how it would have to be read."""

    unit: str
    read_as: Callable[[float], float]


FAHRENHEIT = Slip("°F", lambda value: (value - 32.0) / 1.8)
PER_CENT = Slip("per cent", lambda value: value / 100.0)


@dataclass(frozen=True, slots=True)
class Range:
    """Where an equation holds, who says so, and which slips take one outside."""

    name: str
    unit: str
    low: float
    high: float
    source: str
    slips: tuple[Slip, ...] = ()
    digits: int = 1  # decimals with which a recognised slip is told

    def check(self, value: Array | float) -> Array:
        """The values as float64, if all lie between low and high.  Raises `OutsideValidity`."""
        array = np.asarray(value, dtype=np.float64)
        least = np.minimum.reduce(array, axis=None)
        most = np.maximum.reduce(array, axis=None)
        if not (self.low <= least and most <= self.high):
            worst = float(most if most - self.high > self.low - least else least)
            raise OutsideValidity(
                self.name, worst, self.unit, self.low, self.high, self.source, self._hint(worst)
            )
        return array

    def _hint(self, worst: float) -> str:
        for slip in self.slips:
            meant = slip.read_as(worst)
            if self.low <= meant <= self.high:
                return f"If that was {slip.unit}, it is {meant:.{self.digits}f} {self.unit}."
        return ""
