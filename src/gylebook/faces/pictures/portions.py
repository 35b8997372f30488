"""Lay out how the wort parts: the ribbon from the kettle, the divide line, and each portion below it.

In:  a `Board`, the `RunView`, the kettle as drawn.
Out: elements on the board, and the height at which they end.

Idea: up to three portions stand side by side under the line; more stand one below the other beside a stream
that gives each its share and runs on thinner.  Both ways each portion's words have a place of their own.
"""

from __future__ import annotations

from collections.abc import Iterator

from gylebook.faces import words
from gylebook.faces.findings import limit_label
from gylebook.faces.pictures.board import BODY, FAINT, HEAD, RISKY, STRONG, Board, Style
from gylebook.faces.pictures.hot_side import LEFT, RIGHT, WIDEST, WIDTH, Kettle, overhead
from gylebook.faces.words import Units
from gylebook.tasks.views import PortionView, RunView

SIDE_BY_SIDE = 3
_STREAM_X, _ROW_X, _ROW_TEXT_X = 96.0, 265.0, 395.0
_APART = 6.0


def widest_fermenter(count: int) -> float:
    """How wide a fermenter may be drawn among so many."""
    return min(0.72 * (RIGHT - LEFT) / count, WIDEST) if count <= SIDE_BY_SIDE else 170.0


def kilograms(portion: PortionView) -> float:
    """Weight of a ribbon: litres at a gravity weigh their product, to two grams in a kilogram."""
    return portion.volume_l.median * portion.og.median


def draw_portions(board: Board, view: RunView, kettle: Kettle, units: Units) -> float:
    """Divide the wort; answers the height at which the last portion's words end."""
    count = len(view.portions)
    stream_x = WIDTH / 2 if count <= SIDE_BY_SIDE else _STREAM_X
    total = sum(kilograms(p) for p in view.portions)
    half = board.ribbons.width(total) / 2
    foot, straight = kettle.drawn.bottom + _APART, kettle.free + 95
    line, split = straight + 62, straight + 110
    x = kettle.drawn.x
    board.ribbon("wort", total, (x, foot), (x, straight), (stream_x, split))
    _stays(board, view, kettle, units)
    if view.mash is not None and view.kettle_liquor_kg > 0:
        _late_liquor(board, view, kettle, straight, half, units)
    reach = (min(x, stream_x) - half - 34, max(x, stream_x) + half + 34)
    if reach[0] > LEFT:
        board.rule(LEFT, reach[0], line)
    board.rule(reach[1], RIGHT, line)
    heading = "fill" if count == 1 else "divide"
    said = words.temperature(view.chill_c, units) + ("" if count == 1 else " · in turns")
    beside = LEFT if count <= SIDE_BY_SIDE else _ROW_TEXT_X
    below = board.write(beside, line + 42, heading, HEAD, widest=200)
    below = board.write(beside, below, said, FAINT, widest=220)
    if count <= SIDE_BY_SIDE:
        return _side_by_side(board, view, split, stream_x - half, below, units)
    return _one_below_the_other(board, view, split, stream_x + half, below, units)


def _side_by_side(
    board: Board, view: RunView, split: float, lane: float, below: float, units: Units
) -> float:
    column = (RIGHT - LEFT) / len(view.portions)
    tallest = max(
        board.vessels.size(p.fermenter.capacity_l)[1] + overhead(board, p.fermenter) for p in view.portions
    )
    bottom = max(split + 150, below + 20) + tallest
    ends = []
    for place, portion in enumerate(view.portions):
        x = LEFT + (place + 0.5) * column
        height = board.vessels.size(portion.fermenter.capacity_l)[1]
        weight = kilograms(portion)
        width = board.ribbons.width(weight)
        top = bottom - height - overhead(board, portion.fermenter)
        board.ribbon("wort", weight, (lane + width / 2, split - 1), (x, top - _APART))
        lane += width
        board.vessel(x, bottom - height, portion.fermenter)
        ends.append(_say_portion(board, portion, x, bottom + 38, column - 14, "middle", units))
    return max(ends)


def _one_below_the_other(
    board: Board, view: RunView, split: float, lane: float, below: float, units: Units
) -> float:
    y = max(split + 30, below)
    for portion in view.portions:
        weight = kilograms(portion)
        width = board.ribbons.width(weight)
        brim = y + 70 + overhead(board, portion.fermenter)
        drawn = board.vessel(_ROW_X, brim, portion.fermenter)
        middle = lane - width / 2
        board.ribbon(
            "wort",
            weight,
            (middle, split - 1),
            (middle, y - 10),
            (_ROW_X, brim - overhead(board, portion.fermenter) - _APART),
        )
        lane -= width
        text = _say_portion(board, portion, _ROW_TEXT_X, y + 52, RIGHT - _ROW_TEXT_X, "start", units)
        y = max(drawn.bottom, text - 24) + 26
    return y


def _say_portion(
    board: Board, portion: PortionView, x: float, y: float, widest: float, anchor: str, units: Units
) -> float:
    """All that is said of one portion, one line below the other."""
    for group in _said(portion, units):
        for text, style in group:
            y = board.write(x, y, text, style, widest=widest, anchor=anchor, lines=3)
        y += 7
    return y


def _said(portion: PortionView, units: Units) -> Iterator[list[tuple[str, Style]]]:
    """The lines of a portion in groups: its name, how much, how strong, with what, how surely."""
    yield [(portion.name, STRONG)]
    around = words.interval(portion.volume_l, "L", units)
    yield [
        (words.volume(portion.volume_l.median, units), BODY),
        (f"{around} of {words.capacity(portion.fermenter.capacity_l, units)}", FAINT),
    ]
    start, end = (words.gravity(s.median, units) for s in (portion.og, portion.fg))
    strength = f"{words.abv(portion.abv.median)} · {words.amount(portion.ibu.median, 'IBU')}"
    yield [(f"{start} → {end}", BODY), (strength, BODY)]
    yield [(portion.yeast, FAINT)] + ([(f"then {portion.later}", FAINT)] if portion.later else [])
    yield list(_odds(portion))


def _odds(portion: PortionView) -> Iterator[tuple[str, Style]]:
    """The mark, the limit at the brim, and any other limit at risk."""
    if portion.odds_to_the_mark is not None:
        yield f"volume reached {words.odds(portion.odds_to_the_mark)}", FAINT
    beside = portion.fermenter.limit
    if beside is not None:
        yield limit_label(beside), FAINT if beside.kept else RISKY
    for limit in portion.limits:
        if not limit.kept and (beside is None or limit.name != beside.name):
            yield limit_label(limit), RISKY


def _stays(board: Board, view: RunView, kettle: Kettle, units: Units) -> None:
    """What never leaves the kettle and the hose."""
    drawn = kettle.drawn
    start = (drawn.x - 0.3 * drawn.width, drawn.bottom + _APART)
    board.ribbon("wort", view.stays_kg.median, start, (start[0] - 36, drawn.bottom + 58))
    x, room = start[0] - 62, start[0] - 62 - LEFT
    stays = f"{words.mass(view.stays_kg.median, units)} stays:"
    y = board.write(x, drawn.bottom + 40, stays, FAINT, widest=room, anchor="end", lines=1)
    board.write(x, y, "trub, hops, hose", FAINT, widest=room, anchor="end", lines=1)


def _late_liquor(
    board: Board, view: RunView, kettle: Kettle, straight: float, half: float, units: Units
) -> None:
    """Liquor that joins the boiled wort at the end."""
    weight = view.kettle_liquor_kg
    x = max(kettle.drawn.right, kettle.drawn.x + half + 60)
    inside = kettle.drawn.x + half - board.ribbons.width(weight) / 2
    board.ribbon("liquor", weight, (x, kettle.free + 16), (inside, straight))
    text = f"{words.mass(weight, units)} liquor at the end"
    board.write(x + 24, kettle.free + 36, text, BODY, widest=RIGHT - x - 24, lines=3)
