"""Work out how much more a brewery makes by brewing stronger and adding liquor in the fermenters.

In:  the frontiers of the ways that could give the strong wort, all at the same gravities; the brewery.
Out: `Watered`: for each gravity the largest volume once liquor has been added, and the wort it is made from.

Idea: extract is conserved, so the edge of every stronger wort gives one point for each weaker beer, and the
best of them is the edge.  No run is needed beyond those of the frontiers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gylebook.brewery.site import Brewery
from gylebook.decide.frontier import Frontier
from gylebook.decide.frontier_rows import EVERYWHERE, Way
from gylebook.figures.draws import Array
from gylebook.gyle.limits import HEAD_ROOM
from gylebook.gyle.mash import WATER_20
from gylebook.gyle.wort import liquor_to_weaken

LEAST_GAIN = 0.01  # of the volume, for which nobody would pour


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Watered:
    """The edge with liquor added in the fermenters; not a number where that gains nothing.

    `wort_plato` and `wort_l` (at even odds) are the wort that it is made from by `ways`, `liquor_l` what is
    added to it.
    """

    plato: Array
    volume_l: Array
    limits: tuple[tuple[str, str] | None, ...]
    ways: tuple[Way | None, ...]
    wort_plato: Array
    wort_l: Array
    liquor_l: Array


def watered(frontiers: Sequence[Frontier], brewery: Brewery) -> Watered:
    """The edge at the frontiers' gravities; where the fermenters are full first, they bind."""
    plato = frontiers[0].plato
    room_l = sum(f.capacity_l for f in brewery.fermenters.values()) / (1.0 + HEAD_ROOM)
    found = [_best(frontiers, target, room_l) for target in plato]
    return Watered(
        plato=plato,
        volume_l=np.array([point.volume_l for point in found]),
        limits=tuple(point.limit for point in found),
        ways=tuple(point.way for point in found),
        wort_plato=np.array([point.wort_plato for point in found]),
        wort_l=np.array([point.wort_l for point in found]),
        liquor_l=np.array([point.liquor_l for point in found]),
    )


@dataclass(frozen=True, slots=True)
class _Point:
    volume_l: float
    limit: tuple[str, str] | None
    way: Way | None
    wort_plato: float
    wort_l: float
    liquor_l: float


_NONE = _Point(np.nan, None, None, np.nan, np.nan, np.nan)


def _best(frontiers: Sequence[Frontier], target: float, room_l: float) -> _Point:
    """The strong wort that makes most of a weaker beer, the weakest that does."""
    best, plain = _NONE, max(_plain(one, target) for one in frontiers)
    for one in frontiers:
        added = np.asarray(liquor_to_weaken(one.middle_l, one.plato, target)) / WATER_20
        filled = np.where(one.plato > target, one.volume_l + added, np.nan)
        # Where the fermenters are full before, so much less of the same wort is made.  As surely as a volume
        # is reached, none above it by as much must find room.
        part = np.minimum(room_l / (2.0 * one.middle_l - one.volume_l + added), 1.0)
        for row in np.flatnonzero(np.isfinite(filled)):
            volume = float(filled[row] * part[row])
            if not np.isfinite(best.volume_l) or volume > best.volume_l * (1.0 + 1e-9):
                best = _Point(
                    volume_l=volume,
                    limit=one.limits[row] if part[row] == 1.0 else ("head room", EVERYWHERE),
                    way=one.way,
                    wort_plato=float(one.plato[row]),
                    wort_l=float(one.middle_l[row] * part[row]),
                    liquor_l=float(added[row] * part[row]),
                )
    return best if best.volume_l > plain * (1.0 + LEAST_GAIN) else _NONE


def _plain(one: Frontier, target: float) -> float:
    volume = float(one.volume_l[int(np.argmin(np.abs(one.plato - target)))])
    return volume if np.isfinite(volume) else 0.0
