"""Find the largest volume at each gravity that a brewery can make by one process, and what stops it there.

In:  a plan for the grist, rests, boil and hops; a brewery; a way; gravities; latents.
Out: `Frontier`: for each gravity the volume that is reached with the asked odds while every limit is kept
     with them, the limit that binds, and the amounts that get there.

Idea: every fourth gravity is looked for with a few draws, the rest are begun between them, and all are run at
once, one block of draws for each.  Grain and liquor are unknown; the gravity
and the split between mash and rinse fix all of them but the size.  Along that line each margin is followed to
where it would be used up, the first of them ends the step, and the run is asked again: Newton's method with a
ratio test.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gylebook.brewery.plan import Plan
from gylebook.brewery.site import Brewery
from gylebook.decide.frontier_rows import Rows, Shown, Way, rows_of, start_of
from gylebook.errors import OutsideValidity
from gylebook.figures.draws import Array

SIDE = 2e-3  # of a difference, in logs
ROUNDS, LAST_ROUNDS = 10, 5
STRIDE = 4  # of the gravities, where a search begins
FEW = 10  # the search uses every tenth draw, the last rounds all
NEAR = 0.05  # a step in logs, after which the gravities between can be found
SMALLEST = np.array(
    [3.0, 3.0, 4.5]
)  # logs below the first guess: a fortieth of a full kettle, and hardly a rinse
LONGEST_STEP = 0.4  # in logs, so that no guess leaves what the equations cover
CLOSE = 0.004  # relative, what counts as met
SLACK = {"L": 0.06, "kg": 0.06, "min": 0.6, "L/kg": 0.006}  # of a margin that counts as kept, in its unit


Rowed = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frontier:
    """The edge of what one way can make, gravity by gravity; not a number where nothing can be made.

    `volume_l` is reached with the asked odds, `middle_l` at even ones; `limits` names what binds, as
    (name, vessel), None where nothing can be made.
    """

    way: Way
    plato: Array
    volume_l: Array
    middle_l: Array
    limits: tuple[tuple[str, str] | None, ...]
    grain_kg: Array
    mash_l: Array
    rinse_l: Array


def frontier(
    plan: Plan, brewery: Brewery, way: Way, plato: Array, latents: Array, odds: float | None = None
) -> Frontier:
    """The edge at these gravities [°P], with the odds that the plan asks for if no others are named."""
    asked = plan.aims.odds if odds is None else odds
    few, whole = (rows_of(plan, brewery, way, plato, z, asked) for z in (latents[::FEW], latents))
    try:
        logs, here, slopes = _settled(few, whole, *_begun(few, whole))
    except OutsideValidity:  # of gear so small or so large that no equation covers it
        return _nothing(way, plato)
    return _edge(way, plato, logs, here, _step(here, slopes)[1])


def _begun(few: Rows, whole: Rows) -> tuple[Array, Slopes]:
    """Where the edge is nearly: of many gravities every fourth is looked for, and the rest lie between."""
    plato = few.plato
    if len(plato) <= 2 * STRIDE:
        return _searched(few, start_of(few))
    some = plato[np.unique([*range(0, len(plato), STRIDE), len(plato) - 1])]
    found, _, _ = _settled(few.at(some), whole.at(some), *_searched(few.at(some), start_of(few.at(some))))
    logs = np.stack([np.interp(plato, some, column) for column in found.T], axis=-1)
    return logs, _slopes(few, logs, few.shown(logs))


def _searched(rows: Rows, logs: Array) -> tuple[Array, Slopes]:
    """Where a few draws put the edge, and how fast everything changes there.

    Gravities that have come to rest are left there; those beyond all reach never do.
    """
    least = logs - SMALLEST[: logs.shape[1]]
    here, logs = rows.shown(logs), logs.copy()
    slopes = _slopes(rows, logs, here)
    moving = np.arange(len(logs))
    for _ in range(ROUNDS):
        step, _ = _step(here, slopes.at(moving))
        logs[moving] = np.maximum(logs[moving] + step, least[moving])
        moving, _ = _far(moving, step, NEAR)
        if not len(moving):
            break
        part = rows.at(rows.plato[moving])
        here = part.shown(logs[moving])
        slopes = slopes.with_rows(moving, _slopes(part, logs[moving], here))
    return logs, slopes


def _settled(few: Rows, whole: Rows, logs: Array, slopes: Slopes) -> tuple[Array, Shown, Slopes]:
    """The edge by all draws, begun near it; slopes are those of a few, found again where one goes on."""
    here, moving, logs = whole.shown(logs), np.arange(len(logs)), logs.copy()
    for number in range(LAST_ROUNDS):
        step, _ = _step(here.at(moving), slopes.at(moving))
        moving, step = _far(moving, step, CLOSE / 4)
        if not len(moving):
            break
        logs[moving] += step
        here = here.with_rows(moving, whole.at(whole.plato[moving]).shown(logs[moving]))
        if number:
            part = few.at(few.plato[moving])
            found = _slopes(part, logs[moving], part.shown(logs[moving]))
            slopes = slopes.with_rows(moving, found)
    return logs, here, slopes


@dataclass(frozen=True, slots=True)
class Slopes:
    """How fast everything changes with each log, the last axis; margins are (limits, gravities, unknowns)."""

    strength: Array
    split: Array
    margins: Array

    def at(self, rows: Rowed) -> Slopes:
        """Those of some gravities."""
        return Slopes(self.strength[rows], self.split[rows], self.margins[:, rows])

    def with_rows(self, rows: Rowed, others: Slopes) -> Slopes:
        """The same with others in some gravities."""
        out = Slopes(self.strength.copy(), self.split.copy(), self.margins.copy())
        out.strength[rows], out.split[rows], out.margins[:, rows] = (
            others.strength,
            others.split,
            others.margins,
        )
        return out


def _far(moving: Rowed, step: Array, close: float) -> tuple[Rowed, Array]:
    """Of the gravities that move, those that still go far, and their steps."""
    far = np.max(np.abs(step), axis=1) >= close
    return moving[far], step[far]


def _slopes(rows: Rows, logs: Array, here: Shown) -> Slopes:
    """By differences, each log moved a little in turn; all of them are run at once."""
    count, unknowns = logs.shape
    moved = np.repeat(logs[np.newaxis], unknowns, axis=0)
    moved[np.arange(unknowns), :, np.arange(unknowns)] += SIDE
    there = rows.at(np.tile(rows.plato, unknowns)).shown(moved.reshape(-1, unknowns))
    strength, split = (
        (far.reshape(unknowns, count) - near) / SIDE
        for far, near in ((there.strength, here.strength), (there.split, here.split))
    )
    margins = (there.margins.reshape(-1, unknowns, count) - here.margins[:, np.newaxis]) / SIDE
    return Slopes(strength.T, split.T, np.moveaxis(margins, 1, -1))


def _step(here: Shown, slopes: Slopes) -> tuple[Array, Rowed]:
    """The step to the edge of the straight model in each gravity, and the limit that is met there first."""
    count = slopes.strength.shape[1]
    if count == 2:  # no rinse: the gravity alone fixes the line
        fixed, off = slopes.strength[:, np.newaxis, :], here.strength[:, np.newaxis]
        along = np.stack([-slopes.strength[:, 1], slopes.strength[:, 0]], axis=-1)
    else:
        fixed = np.stack([slopes.strength, slopes.split], axis=1)
        off = np.stack([here.strength, here.split], axis=-1)
        along = np.cross(slopes.strength, slopes.split)
    back = np.einsum("gui,gi->gu", np.linalg.pinv(fixed), -off)
    along = along * np.sign(along[:, 1:2])
    along = along / np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-12)
    left = here.margins + np.einsum("lgu,gu->lg", slopes.margins, back)
    used = -np.einsum("lgu,gu->lg", slopes.margins, along)
    far = np.where(used > 0.0, left / np.where(used > 0.0, used, 1.0), np.inf)
    binding = np.argmin(far, axis=0)
    size = np.take_along_axis(far, binding[np.newaxis], axis=0)[0]
    size = np.where(np.isfinite(size), size, 0.0)
    step = back + size[:, np.newaxis] * along
    longest = np.max(np.abs(step), axis=1, keepdims=True)
    return step * np.minimum(LONGEST_STEP / np.maximum(longest, LONGEST_STEP), 1.0), binding


def _edge(way: Way, plato: Array, logs: Array, here: Shown, binding: Rowed) -> Frontier:
    slack = np.array([SLACK.get(unit, 0.0) for _, _, unit in here.limits])[:, np.newaxis]
    kept = np.all(here.margins >= -slack, axis=0)
    met = (np.abs(here.strength) < CLOSE) & (np.abs(here.split) < 5 * CLOSE) & kept
    amounts = np.exp(logs)
    rinse = amounts[:, 2] if logs.shape[1] == 3 else np.zeros(len(plato))
    return Frontier(
        way=way,
        plato=plato,
        volume_l=np.where(met, here.volume_l, np.nan),
        middle_l=np.where(met, here.middle_l, np.nan),
        limits=tuple(
            here.limits[row][:2] if sound else None for row, sound in zip(binding, met, strict=True)
        ),
        grain_kg=np.where(met, here.mashes * amounts[:, 0], np.nan),
        mash_l=np.where(met, here.mashes * amounts[:, 1], np.nan),
        rinse_l=np.where(met, here.mashes * rinse, np.nan),
    )


def _nothing(way: Way, plato: Array) -> Frontier:
    none = np.full(len(plato), np.nan)
    return Frontier(
        way=way,
        plato=plato,
        volume_l=none,
        middle_l=none,
        limits=(None,) * len(plato),
        grain_kg=none,
        mash_l=none,
        rinse_l=none,
    )
