r"""Lay out the states of a house: one for each circumstance that a level was met in, tied to each other.

In:  for each figure of each brew, its family, the near and the far circumstance, and how far it has turned.
Out: `States`: the covariance of all states before any brew, and how a level is made of them.

Idea: a level is one number for each circumstance, and circumstances that are alike have levels that are
alike.  Two levels of one family go together by `tied_far` where the far circumstance differs, by `tied_near`
where only the near one does.  A level that may turn with size is :math:`\cos(\varphi)\,x + \sin(\varphi)\,t`
with a tilt t of the same spread: whatever the size, its spread is the same, and the further two sizes lie
apart the less one tells of the other.  Nothing here knows what the circumstances are.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.figures.draws import Array
from gylebook.infer.learn import House
from gylebook.infer.levels import NO_SCATTER

SCATTER_SPREAD = 0.4  # sd of the logarithm of a scatter: 90 % lie within a factor of two
MEMORY_YEARS, MEMORY_SPREAD = 12.0, 0.7  # how long a house stays as it was


@dataclass(frozen=True, slots=True, kw_only=True)
class Ties:
    """Of one family: variance of its levels between houses, how far they go together, whether they turn."""

    share: float
    near: float
    far: float
    turns: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """Where one figure of one brew was met: `angle` is how far its level has turned with size."""

    family: str
    far: str
    near: str
    angle: float = 0.0


class States:
    """All states of a house, found from every circumstance that was met or is asked about."""

    def __init__(self, ties: dict[str, Ties], met: Iterable[Met]) -> None:
        self._ties = ties
        self.levels: dict[tuple[str, str, str], int] = {}
        self._tilts: dict[str, int] = {}
        count = 0
        for one in met:
            key = (one.family, one.far, one.near)
            if key not in self.levels:
                self.levels[key] = count
                count += 1
            if ties[one.family].turns and one.family not in self._tilts:
                self._tilts[one.family] = count
                count += 1
        self.count = count
        self._families = {key[0] for key in self.levels}
        self.scattering = [f for f in dict.fromkeys(k[0] for k in self.levels) if ties[f].share < 1.0]
        self._family = {family: number for number, family in enumerate(self.scattering)}

    def knows(self, family: str) -> bool:
        """Whether there is a state for this family."""
        return family in self._families

    def house(self) -> House:
        """What is known of levels and scatters before any brew.

        The mean square of a scatter and the variance of its level add up to one, the published spread.
        """
        start = np.zeros((self.count, self.count))
        for one, row in self.levels.items():
            ties = self._ties[one[0]]
            for other, column in self.levels.items():
                if one[0] == other[0]:
                    start[row, column] = ties.share * _tied(ties, one, other)
        for family, row in self._tilts.items():
            start[row, row] = self._ties[family].share
        shares = np.array([self._ties[family].share for family in self.scattering])
        middle = 0.5 * np.log(1.0 - shares) - SCATTER_SPREAD**2
        return House(
            start=start,
            middle=np.append(middle, np.log(MEMORY_YEARS)),
            spread=np.append(np.full(len(middle), SCATTER_SPREAD), MEMORY_SPREAD),
        )

    def made_of(self, met: Sequence[Met]) -> Array:
        """How each figure's level is made of the states, (figures, states)."""
        out = np.zeros((len(met), self.count))
        for row, one in zip(out, met, strict=True):
            row[self.levels[one.family, one.far, one.near]] = np.cos(one.angle)
            if one.family in self._tilts:
                row[self._tilts[one.family]] = np.sin(one.angle)
        return out

    def family(self, met: Sequence[Met]) -> NDArray[np.intp]:
        """Whose scatter each figure has, as `Evidence.family`."""
        return np.array([self._family.get(one.family, NO_SCATTER) for one in met], dtype=np.intp)


def _tied(ties: Ties, one: tuple[str, str, str], other: tuple[str, str, str]) -> float:
    if one[1] != other[1]:
        return ties.far
    return 1.0 if one[2] == other[2] else ties.near
