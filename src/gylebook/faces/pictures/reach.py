"""Draw the edge of what a brewery can make: litres over gravity, one line for each way.

In:  a `ReachView`.
Out: SVG text.

Idea: below a line the wort can be made; the best plain way is hatched from the odds asked for up to even
ones, as a level's band is on the run.  Each way has its own dashes, so that no colour tells anything; what
stops the best way stands where it does.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.faces import words
from gylebook.faces.pictures.board import BODY, FAINT, FIGURES, FONTS, STRONG, Board
from gylebook.faces.pictures.ferment import ticks
from gylebook.faces.pictures.scale import RibbonScale, VesselScale
from gylebook.faces.pictures.svg import clean, coordinate, element
from gylebook.faces.pictures.themes import PAPER, WEB, Theme, patterns
from gylebook.faces.reach_words import heading, point_sentence, stopped_by, way_name
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.reach import CurveView, EdgePoint, ReachView
from gylebook.tasks.reach_kept import point_at

WIDTH, LEFT, RIGHT, TOP, TALL = 780.0, 92.0, 752.0, 30.0, 430.0
DASHES = {
    "full volume": "2 6",
    "dunk rinse": None,
    "poured rinse": "14 6",
    "fly rinse": None,
    "two mashes": "14 5 2 5",
    "fed during the boil": "7 5",
    "liquor in the fermenters": "24 5 4 5 4 5",
}
LEGEND_LINE = 64.0


def reach_picture(
    view: ReachView, *, width: int = 780, theme: Theme = PAPER, units: Units = METRIC, key: str = "reach"
) -> str:
    """The curves as a standalone SVG, `width` pixels wide.  `key` begins every id inside."""
    board = Board(theme, key, VesselScale(1.0), RibbonScale(1.0))
    frame = _Frame(view)
    _axes(board, frame, units)
    for curve in view.curves:
        if curve.way == view.best:
            _band(board, frame, curve)
    for curve in view.curves:
        _line(board, frame, curve, strong=curve.way == view.best)
        if curve.way == view.best:
            _stretches(board, frame, curve)
    _here(board, frame, view)
    height = _legend(board, view, frame.bottom + 92)
    told = [heading(view), *(spoken(curve, units) for curve in view.curves)]
    return element(
        "svg",
        element("title", clean(heading(view)), id=f"{key}-title"),
        element("desc", clean(" ".join(told)), id=f"{key}-desc"),
        patterns(theme, key),
        element("rect", width=WIDTH, height=height, fill=theme.paper),
        *board.flows,
        *board.solids,
        *board.texts,
        xmlns="http://www.w3.org/2000/svg",
        width=width,
        height=height * width / WIDTH,
        viewBox=f"0 0 {WIDTH:.0f} {height:.1f}",
        role="img",
        aria_labelledby=f"{key}-title {key}-desc",
        font_family=FONTS,
        style=None if theme is WEB else FIGURES,
    )


def spoken(curve: CurveView, units: Units = METRIC) -> str:
    """A curve in words: its ends and its middle."""
    points = (curve.points[0], curve.points[len(curve.points) // 2], curve.points[-1])
    return f"{way_name(curve.way)}: {' '.join(point_sentence(curve, point, units) for point in points)}"


class _Frame:
    """Gravity to the right, litres upwards."""

    def __init__(self, view: ReachView) -> None:
        points = [point for curve in view.curves for point in curve.points]
        self.top, self.bottom = TOP, TOP + TALL
        self.weakest, self.strongest = min(p.sg for p in points), max(p.sg for p in points)
        self.most = 1.06 * max((max(p.volume_l or 0.0, p.even_l or 0.0) for p in points), default=1.0) or 1.0

    def x(self, sg: float) -> float:
        return LEFT + (RIGHT - LEFT) * (sg - self.weakest) / (self.strongest - self.weakest)

    def y(self, litres: float) -> float:
        return self.bottom - (self.bottom - self.top) * litres / self.most


def _axes(board: Board, frame: _Frame, units: Units) -> None:
    ink = board.theme.faint
    for shown in ticks(0.0, frame.most * words.units_in_one("L", units)):
        y = frame.y(shown / words.units_in_one("L", units))
        board.solids.append(element("line", x1=LEFT, y1=y, x2=RIGHT, y2=y, stroke=ink, stroke_width=0.5))
        board.write(LEFT - 12, y + 8, words.fixed(shown, 0), FAINT, widest=80, anchor="end", lines=1)
    for sg in ticks(frame.weakest, frame.strongest):
        x = frame.x(sg)
        board.solids.append(
            element("line", x1=x, y1=frame.bottom, x2=x, y2=frame.bottom + 8, stroke=ink, stroke_width=1.5)
        )
        board.write(
            x, frame.bottom + 34, words.gravity(sg, units), FAINT, widest=90, anchor="middle", lines=1
        )
    board.rule(LEFT, RIGHT, frame.bottom)
    board.write(LEFT, frame.top - 6, f"{units.volume} into the fermenters", FAINT, widest=300, lines=1)
    board.write(RIGHT, frame.bottom + 64, "gravity before yeast →", FAINT, widest=400, anchor="end", lines=1)


def _band(board: Board, frame: _Frame, curve: CurveView) -> None:
    """From the asked odds up to even ones: here it is anybody's guess."""
    made = [p for p in curve.points if p.volume_l is not None and p.even_l is not None]
    there = [(frame.x(p.sg), frame.y(p.even_l or 0.0)) for p in made]
    back = [(frame.x(p.sg), frame.y(p.volume_l or 0.0)) for p in reversed(made)]
    if made:
        board.flows.append(element("path", d=f"{_path([*there, *back])}Z", fill=f"url(#{board.key}-band)"))


def _line(board: Board, frame: _Frame, curve: CurveView, *, strong: bool) -> None:
    for run in _runs(curve.points):
        board.flows.append(
            element(
                "path",
                d=_path([(frame.x(p.sg), frame.y(p.volume_l or 0.0)) for p in run]),
                fill="none",
                stroke=board.theme.ink,
                stroke_width=3.4 if strong else 2.0,
                stroke_dasharray=DASHES.get(curve.way),
                stroke_linecap="round" if curve.way == "liquor in the fermenters" else None,
            )
        )


def _stretches(board: Board, frame: _Frame, curve: CurveView) -> None:
    """What stops the best way, under the stretch of the line where it does."""
    made = [p for p in curve.points if p.volume_l is not None]
    start = 0
    for number in range(1, len(made) + 1):
        if number < len(made) and (made[number].limit, made[number].vessel) == (
            made[start].limit,
            made[start].vessel,
        ):
            continue
        first, last = frame.x(made[start].sg), frame.x(made[number - 1].sg)
        lowest = max(frame.y(p.volume_l or 0.0) for p in made[start:number])
        if last - first > 60:
            before = len(board.texts)
            board.write(
                0.5 * (first + last), lowest + 34, stopped_by(made[start]), BODY,
                widest=max(last - first - 8, 90), anchor="middle", lines=2,
            )  # fmt: skip
            # A rim of paper keeps the words apart from the lines below them.
            rim = f'<text paint-order="stroke" stroke="{board.theme.paper}" stroke-width="8" '
            board.texts[before:] = [text.replace("<text ", rim, 1) for text in board.texts[before:]]
        if number < len(made):
            x, y = frame.x(made[number].sg), frame.y(made[number].volume_l or 0.0)
            board.solids.append(
                element(
                    "circle",
                    cx=x,
                    cy=y,
                    r=5,
                    fill=board.theme.paper,
                    stroke=board.theme.ink,
                    stroke_width=2.5,
                )
            )
        start = number


def _here(board: Board, frame: _Frame, view: ReachView) -> None:
    """The gravity at which changes are weighed, and where the best way stands there."""
    x, best = frame.x(view.at_sg), [curve for curve in view.curves if curve.way == view.best]
    board.solids.append(
        element("line", x1=x, y1=frame.top, x2=x, y2=frame.bottom, stroke=board.theme.ink, stroke_width=1.5)
    )
    for curve in best:
        y = frame.y(point_at(curve, view.at_sg).volume_l or 0.0)
        board.solids.append(element("circle", cx=x, cy=y, r=8, fill=board.theme.ink))


def _legend(board: Board, view: ReachView, y: float) -> float:
    for curve in view.curves:
        if all(point.volume_l is None for point in curve.points):
            continue
        strong = curve.way == view.best
        board.solids.append(
            element(
                "line", x1=LEFT, y1=y - 7, x2=LEFT + LEGEND_LINE, y2=y - 7, stroke=board.theme.ink,
                stroke_width=3.4 if strong else 2.0, stroke_dasharray=DASHES.get(curve.way),
                stroke_linecap="round" if curve.way == "liquor in the fermenters" else None,
            )
        )  # fmt: skip
        at = LEFT + LEGEND_LINE + 16
        y = (
            board.write(at, y, way_name(curve.way), STRONG if strong else BODY, widest=RIGHT - at, lines=1)
            + 4
        )
    told = (
        f"line: every limit kept {words.odds(view.asked)} · hatched: down to even odds · ring: another limit"
    )
    return board.write(LEFT, y + 8, told, FAINT, widest=RIGHT - LEFT) + 6


def _runs(points: Sequence[EdgePoint]) -> list[list[EdgePoint]]:
    """The stretches on which something can be made."""
    runs: list[list[EdgePoint]] = [[]]
    for point in points:
        if point.volume_l is None:
            runs.append([])
        else:
            runs[-1].append(point)
    return [run for run in runs if len(run) > 1]


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{coordinate(x)} {coordinate(y)}" for x, y in points)
