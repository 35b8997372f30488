"""Lay out the hot side of a run: mash, lift and rinse, boil, down to the ribbon that leaves the kettle.

In:  a `Board` with its scales, the `RunView`, the height at which to begin.
Out: elements on the board, and where the kettle ended.

Idea: time runs downward.  Steps are named at the left edge, vessels stand further in, and what is to be
said of a vessel stands at its right, so that texts never meet however long they wrap.  A process that lacks a
step lacks its part of the picture: no second vessel where no one dunks, no mash where extract is stirred in.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces import words
from gylebook.faces.findings import limit_label
from gylebook.faces.pictures.board import BODY, FAINT, HEAD, HIGHEST, RISKY, STRONG, Board, Drawn
from gylebook.faces.words import Units
from gylebook.figures.draws import Summary
from gylebook.tasks.views import LimitView, RunView, VesselView

WIDTH, LEFT, RIGHT = 780.0, 40.0, 740.0
MASH_X, RINSE_X, KETTLE_X = 330.0, 150.0, 470.0
WIDEST = 200.0  # the largest vessel of the hot side
_APART = 6.0  # between a ribbon's end and a vessel


@dataclass(frozen=True, slots=True)
class Kettle:
    """The kettle as drawn, and the first free height below it and what is said of it."""

    drawn: Drawn
    free: float


@dataclass(slots=True)
class _Flow:
    """A ribbon that still has to reach the kettle: its kind, weight and where it has got to."""

    kilograms: float
    points: list[tuple[float, float]]


def draw_hot_side(board: Board, view: RunView, y: float, units: Units) -> Kettle:
    """Everything from the first liquor to the end of the boil."""
    if view.mash is None:
        brim = _pour_in(board, view, y, KETTLE_X, view.boil, units, extract=True)
        return _boil(board, view, brim - overhead(board, view.boil), [], units)
    mash, y = _mash(board, view, view.mash, y, units)
    flows, y = _lift_and_rinse(board, view, mash, y, units)
    return _boil(board, view, y, flows, units)


def overhead(board: Board, vessel: VesselView) -> float:
    """How far a level that does not fit stands above the brim."""
    past = min(vessel.level_l.high / vessel.capacity_l, HIGHEST) - 1
    return max(past, 0.0) * board.vessels.size(vessel.capacity_l)[1]


def _say_limit(board: Board, limit: LimitView, x: float, y: float, widest: float) -> float:
    """The odds in words; at risk a shape, a word and the accent."""
    return board.write(x, y, limit_label(limit), BODY if limit.kept else RISKY, widest=widest)


def _say_level(
    board: Board, drawn: Drawn, vessel: VesselView, widest: float, units: Units, hot: str = ""
) -> float:
    """Odds at a vessel's brim, its level, where it may lie; answers the next baseline."""
    x, y = drawn.right + 22, drawn.top + 8
    if vessel.limit is not None:
        y = _say_limit(board, vessel.limit, x, y, widest) + 4
    level = f"{words.volume(vessel.level_l.median, units)} {hot}".rstrip()
    y = board.write(x, y + (12 if y > drawn.top + 8 else 24), level, STRONG, widest=widest)
    around = words.interval(vessel.level_l, "L", units)
    return board.write(x, y, f"{around} of {words.capacity(vessel.capacity_l, units)}", FAINT, widest=widest)


def _pour_in(
    board: Board,
    view: RunView,
    y: float,
    x: float,
    vessel: VesselView,
    units: Units,
    *,
    extract: bool = False,
) -> float:
    """Liquor and grist entering at the top; answers the brim's height."""
    liquor = view.mash_liquor_kg + (view.rinse_liquor_kg + view.kettle_liquor_kg if extract else 0.0)
    brim = y + 36 + 82 + overhead(board, vessel)
    end = brim - overhead(board, vessel) - _APART
    width = board.vessels.size(vessel.capacity_l)[0]
    aside = x - 50 if extract else x  # steam rises at the right of a kettle
    if liquor > 0:
        board.write(
            aside + 2, y + 24, f"{words.mass(liquor, units)} liquor", BODY, widest=260, anchor="end", lines=1
        )
        board.ribbon("liquor", liquor, (aside - 58, y + 38), (x - 0.22 * width, end))
    if view.grain_kg > 0:
        grist = f"{words.mass(view.grain_kg, units)} {'extract' if extract else 'grist'}"
        board.write(aside + 30, y + 24, grist, BODY, widest=RIGHT - x - 30, lines=1)
        board.ribbon(
            "grain", view.grain_kg, (aside + 74, y + 38), (x + (0.08 if extract else 0.24) * width, end)
        )
    return brim


def _mash(board: Board, view: RunView, vessel: VesselView, y: float, units: Units) -> tuple[Drawn, float]:
    brim = _pour_in(board, view, y, MASH_X, vessel, units)
    said = [words.temperature(view.mash_c, units)] if view.mash_c is not None else []
    below = board.write(LEFT, y + 66, "mash", HEAD, widest=170)
    below = board.write(
        LEFT, below, " · ".join([*said, words.duration(view.mash_minutes)]), FAINT, widest=190
    )
    drawn = board.vessel(MASH_X, max(brim, below - 60), vessel)
    text = _say_level(board, drawn, vessel, RIGHT - drawn.right - 22, units)
    return drawn, max(drawn.bottom, text - 20)


def _lift_and_rinse(
    board: Board, view: RunView, mash: Drawn, y: float, units: Units
) -> tuple[list[_Flow], float]:
    """From the mash to the kettle's inlets; answers the flows and the height where the kettle may begin."""
    first = view.first_wort_kg.median if view.first_wort_kg else view.boil.level_l.median
    kettle_width = board.vessels.size(view.boil.capacity_l)[0]
    inlet = KETTLE_X + 0.17 * kettle_width
    start = (MASH_X + 0.26 * mash.width, mash.bottom + _APART)
    flow = _Flow(first, [start, (inlet, max(y, mash.bottom) + 130)])
    half = board.ribbons.width(first) / 2
    said_x = inlet + half + 18
    if view.bag_kg is None and view.rinse_liquor_kg <= 0:
        _say_first_wort(board, first, said_x, y + 96, units)
        return [flow], y + 150
    bed, text, falls = _rinse_vessel(board, view, mash, y, inlet - half - 14, units)
    _say_first_wort(board, first, said_x, bed.top + 18, units)
    flows = [flow]
    second = view.second_wort_kg.median if view.second_wort_kg else view.rinse_liquor_kg
    bottom = max(bed.bottom, text - 24)
    if second <= 0:
        return flows, bottom + 40
    flows.append(_Flow(second, [(falls, bed.bottom + _APART), (falls, bottom + _APART)]))
    if view.second_wort_kg:
        board.write(LEFT, bottom + 122, f"{words.mass(second, units)} second wort", BODY, widest=290, lines=1)
    return flows, bottom + 150


def _say_first_wort(board: Board, kilograms: float, x: float, y: float, units: Units) -> None:
    y = board.write(x, y, words.mass(kilograms, units), BODY, widest=RIGHT - x, lines=1)
    board.write(x, y, "first wort", BODY, widest=RIGHT - x, lines=1)


def _rinse_vessel(
    board: Board, view: RunView, mash: Drawn, y: float, edge: float, units: Units
) -> tuple[Drawn, float, float]:
    """The grain's way into a second vessel, a hung bag or a bed; answers it, its text's foot, its outlet."""
    rinsed = view.rinse_liquor_kg > 0
    heading = ", ".join(["lift"] * (view.bag_kg is not None) + ["rinse"] * rinsed)
    below = board.write(LEFT, y + 40, heading, HEAD, widest=190)
    if view.rinse is not None:
        below = board.write(LEFT, below, view.rinse.name, FAINT, widest=155, lines=2)
    if rinsed:
        below = board.write(
            LEFT, below + 8, f"{words.mass(view.rinse_liquor_kg, units)} liquor", BODY, widest=112
        )
    top = below + 44 if rinsed else below + 70
    weight = view.bag_kg.median if view.bag_kg else view.grain_kg
    spill = overhead(board, view.rinse) if view.rinse is not None else 0.0
    if view.rinse is not None:
        bed = board.vessel(RINSE_X, top + spill, view.rinse)
        text = _say_level(board, bed, view.rinse, edge - bed.right - 22, units)
    else:
        bed = board.grain_bed(RINSE_X, top, weight)
        text = bed.top
    end = bed.top - spill - _APART
    out = (MASH_X - 0.26 * mash.width, mash.bottom + _APART)
    if out[1] < y:  # the words beside the mash reach further down than the mash
        board.ribbon("grain", weight, out, (out[0], y), (bed.x + 0.16 * bed.width, end))
    else:
        board.ribbon("grain", weight, out, (bed.x + 0.16 * bed.width, end))
    if rinsed:
        from_x = LEFT + 42
        board.ribbon("liquor", view.rinse_liquor_kg, (from_x, below - 14), (bed.x - 0.26 * bed.width, end))
    if view.bag_kg is not None:
        _say_bag(board, view.bag_kg, view.bag_limit, y, units)
    return bed, text, bed.x


def _say_bag(board: Board, bag: Summary, limit: LimitView | None, y: float, units: Units) -> None:
    """The bag's weight and its odds, at the right of its ribbon."""
    x = 250 + board.ribbons.width(bag.median) / 2
    below = board.write(x, y + 112, f"bag {words.mass(bag.median, units)}", BODY, widest=454 - x, lines=1)
    if limit is not None:
        _say_limit(board, limit, x, below, 460 - x)


def _boil(board: Board, view: RunView, y: float, flows: list[_Flow], units: Units) -> Kettle:
    vessel = view.boil
    spill = overhead(board, vessel)
    top = y + spill
    drawn = board.vessel(KETTLE_X, top, vessel)
    end = top - spill - _APART
    inlets = (KETTLE_X + 0.17 * drawn.width, KETTLE_X - 0.28 * drawn.width)
    for flow, inlet in zip(flows, inlets, strict=False):
        board.ribbon("wort", flow.kilograms, *flow.points, (inlet, end))
    steam_x = drawn.right - 0.06 * drawn.width
    board.steam(view.steam_kg.median, steam_x, end, end - 78)
    label_x = max(steam_x + 34, drawn.right + 22)
    board.write(
        label_x, end - 44, f"{words.mass(view.steam_kg.median, units)} steam", FAINT, widest=RIGHT - label_x
    )
    below = board.write(LEFT, top + 30, "boil", HEAD, widest=200)
    said = f"{words.duration(view.boil_minutes)} at {words.temperature(view.boil_c, units)}"
    board.write(LEFT, below, said, FAINT, widest=drawn.left - LEFT - 30)
    text = _say_level(board, drawn, vessel, RIGHT - drawn.right - 22, units, "hot")
    return Kettle(drawn, max(drawn.bottom, text - 20))
