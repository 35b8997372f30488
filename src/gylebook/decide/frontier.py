"""Find the largest volume at each gravity that a brewery can make by one process, and what stops it there.

In:  a plan for the grist, rests, boil and hops; a brewery; a way; gravities; latents.
Out: `Frontier`: for each gravity the volume that is reached with the asked odds while every limit is kept
     with them, the limit that binds, and the amounts that get there.

Idea: all gravities are run at once, one block of draws for each.  Grain and liquor are unknown; the gravity
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
ROUNDS, LAST_ROUNDS = 7, 3
FEW = 10  # the search uses every tenth draw, the last rounds all
MOST = 0.9  # of the gravities, that must have come to rest
NEAR = 0.05  # a step in logs below which slopes are kept
SMALLEST = 3.0  # logs below the first guess, a fortieth of a full kettle: below that nobody brews
LONGEST_STEP = 0.4  # in logs, so that no guess leaves what the equations cover
CLOSE = 0.004  # relative, what counts as met
SLACK = {"L": 0.06, "kg": 0.06, "min": 0.6, "L/kg": 0.006}  # of a margin that counts as kept, in its unit


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
        logs, slopes = _searched(few)
        here, binding = whole.shown(logs), np.zeros(len(plato), dtype=np.intp)
        for _ in range(LAST_ROUNDS):
            step, binding = _step(here, slopes)
            if _far(step) < CLOSE / 8:
                break
            logs = logs + step
            here = whole.shown(logs)
    except OutsideValidity:  # of gear so small or so large that no equation covers it
        return _nothing(way, plato)
    return _edge(way, plato, logs, here, binding)


def _searched(rows: Rows) -> tuple[Array, Slopes]:
    """Where a few draws put the edge, and how fast everything changes there."""
    logs = start_of(rows)
    least = logs - SMALLEST
    here = rows.shown(logs)
    slopes, far = _slopes(rows, logs, here), np.inf
    for _ in range(ROUNDS):
        step, _ = _step(here, slopes)
        logs = np.maximum(logs + step, least)
        here = rows.shown(logs)
        near, far = far < NEAR, _far(step)
        if far < CLOSE / 4:
            break
        if not near:
            slopes = _slopes(rows, logs, here)
    return logs, _slopes(rows, logs, here)  # once more, as another limit or split may have come to bind


@dataclass(frozen=True, slots=True)
class Slopes:
    """How fast everything changes with each log, the last axis; margins are (limits, gravities, unknowns)."""

    strength: Array
    split: Array
    margins: Array


def _far(step: Array) -> float:
    """How far nearly all gravities still move: a few beyond all reach never come to rest."""
    return float(np.quantile(np.max(np.abs(step), axis=1), MOST))


def _slopes(rows: Rows, logs: Array, here: Shown) -> Slopes:
    strength, split, margins = [], [], []
    for column in range(logs.shape[1]):
        moved = logs.copy()
        moved[:, column] += SIDE
        there = rows.shown(moved)
        strength.append((there.strength - here.strength) / SIDE)
        split.append((there.split - here.split) / SIDE)
        margins.append((there.margins - here.margins) / SIDE)
    return Slopes(np.stack(strength, axis=-1), np.stack(split, axis=-1), np.stack(margins, axis=-1))


def _step(here: Shown, slopes: Slopes) -> tuple[Array, NDArray[np.intp]]:
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
    return np.clip(step, -LONGEST_STEP, LONGEST_STEP), binding


def _edge(way: Way, plato: Array, logs: Array, here: Shown, binding: NDArray[np.intp]) -> Frontier:
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
