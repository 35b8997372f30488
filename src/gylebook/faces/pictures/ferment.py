"""Draw one portion's fermentation: its gravity through the days, with the band in which it is expected.

In:  a `FermentView`.
Out: SVG text.

Idea: the band is hatched as a level's is on the run, the middle is a line, a reading is a ring; the
end foretold before the yeast went in stands as dashes.  What the picture says stands in its description too.
"""

from __future__ import annotations

import math

from gylebook.faces import words
from gylebook.faces.ferment_words import near_end, reach_text, state_sentence
from gylebook.faces.pictures.board import BODY, FAINT, FIGURES, FONTS, TITLE, Board
from gylebook.faces.pictures.scale import RibbonScale, VesselScale
from gylebook.faces.pictures.svg import clean, coordinate, element
from gylebook.faces.pictures.themes import PAPER, WEB, Theme, patterns
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.ferment_views import FermentView

WIDTH, LEFT, RIGHT, TALL = 780.0, 104.0, 744.0, 360.0
MOST_TICKS = 7
RING = 8.0


def ferment_picture(
    view: FermentView,
    *,
    width: int = 780,
    theme: Theme = PAPER,
    units: Units = METRIC,
    key: str = "ferment",
    bare: bool = False,
) -> str:
    """The curve as a standalone SVG, `width` pixels wide.  `key` begins every id inside.

    A `bare` picture says neither the state nor the end, for a page that says both itself.
    """
    board = Board(theme, key, VesselScale(1.0), RibbonScale(1.0))
    top = 24.0
    if not bare:
        top = board.write(36, 58, view.name, TITLE, widest=WIDTH - 72, lines=2)
        top = board.write(36, top - 8, state_sentence(view), BODY, widest=WIDTH - 72) + 10
    frame = _Frame(view, top)
    _axes(board, frame, view, units)
    _curve(board, frame, view)
    foot = frame.bottom + 78
    if not bare:
        end = reach_text(view.end.low, view.end.median, view.end.high, units)
        foot = board.write(36, foot, f"end {end}", BODY, widest=WIDTH - 72)
        foot = board.write(36, foot, f"near it {near_end(view)}", BODY, widest=WIDTH - 72)
    legend = "band: 90 in 100 · rings: readings · dashes: the end as foretold before it began"
    height = board.write(36, foot, legend, FAINT, widest=WIDTH - 72) + 4
    return element(
        "svg",
        element("title", clean(f"The fermentation of {view.name}"), id=f"{key}-title"),
        element("desc", clean(spoken(view, units)), id=f"{key}-desc"),
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


def spoken(view: FermentView, units: Units = METRIC) -> str:
    """The picture in words, for whoever cannot see it."""
    parts = [state_sentence(view)]
    for taken in view.taken:
        day = words.fixed(taken.hours / 24.0, 1)
        parts.append(f"Day {day}: read {words.gravity(taken.sg, units)}.")
    parts.append(
        f"End {reach_text(view.end.low, view.end.median, view.end.high, units)}; near it {near_end(view)}."
    )
    return " ".join(parts)


class _Frame:
    """Days to the right, gravity upwards."""

    def __init__(self, view: FermentView, top: float) -> None:
        self.top, self.bottom = top, top + TALL
        gravities = [x for reach in view.band for x in (reach.low, reach.high)]
        gravities += [taken.sg for taken in view.taken]
        gravities += [view.expected_end.low, view.expected_end.high]
        margin = 0.04 * (max(gravities) - min(gravities))
        self.low, self.high = min(gravities) - margin, max(gravities) + margin
        self.days = max(reach.hours for reach in view.band) / 24.0

    def x(self, hours: float) -> float:
        return LEFT + (RIGHT - LEFT) * hours / (24.0 * self.days)

    def y(self, sg: float) -> float:
        return self.bottom - (self.bottom - self.top) * (sg - self.low) / (self.high - self.low)


def _axes(board: Board, frame: _Frame, view: FermentView, units: Units) -> None:
    ink = board.theme.faint
    for sg in ticks(frame.low, frame.high):
        y = frame.y(sg)
        board.solids.append(element("line", x1=LEFT, y1=y, x2=RIGHT, y2=y, stroke=ink, stroke_width=0.6))
        board.write(LEFT - 12, y + 8, words.gravity(sg, units), FAINT, widest=100, anchor="end", lines=1)
    for day in ticks(0.0, frame.days):
        x = frame.x(24.0 * day)
        board.solids.append(
            element("line", x1=x, y1=frame.bottom, x2=x, y2=frame.bottom + 8, stroke=ink, stroke_width=1.5)
        )
        board.write(x, frame.bottom + 34, words.fixed(day, 0), FAINT, widest=80, anchor="middle", lines=1)
    board.rule(LEFT, RIGHT, frame.bottom)
    board.write(RIGHT, frame.top + 24, "days since pitching →", FAINT, widest=400, anchor="end", lines=1)
    for sg in (view.expected_end.low, view.expected_end.high):
        y = frame.y(sg)
        board.solids.append(
            element("line", x1=LEFT, y1=y, x2=RIGHT, y2=y, stroke=board.theme.ink, stroke_width=1.6,
                    stroke_dasharray="3 7")
        )  # fmt: skip


def _curve(board: Board, frame: _Frame, view: FermentView) -> None:
    theme = board.theme
    there = [(frame.x(reach.hours), frame.y(reach.high)) for reach in view.band]
    back = [(frame.x(reach.hours), frame.y(reach.low)) for reach in reversed(view.band)]
    board.flows.append(
        element("path", d=f"{_path([*there, *back])}Z", fill=f"url(#{board.key}-band)", stroke=theme.faint,
                stroke_width=0.8)
    )  # fmt: skip
    middle = [(frame.x(reach.hours), frame.y(reach.median)) for reach in view.band]
    board.flows.append(element("path", d=_path(middle), fill="none", stroke=theme.ink, stroke_width=3))
    for taken in view.taken:
        x, y = frame.x(taken.hours), frame.y(taken.sg)
        board.solids.append(
            element("circle", cx=x, cy=y, r=RING, fill=theme.paper, stroke=theme.ink, stroke_width=3)
        )


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{coordinate(x)} {coordinate(y)}" for x, y in points)


def ticks(low: float, high: float) -> list[float]:
    """Round numbers between the two, at most seven.

    >>> ticks(0.0, 11.0), [round(x, 3) for x in ticks(1.009, 1.054)]
    ([0.0, 2.0, 4.0, 6.0, 8.0, 10.0], [1.01, 1.02, 1.03, 1.04, 1.05])
    """
    rough = (high - low) / MOST_TICKS
    decade = 10.0 ** math.floor(math.log10(rough))
    step = next(decade * part for part in (1.0, 2.0, 5.0, 10.0) if decade * part >= rough * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [step * number for number in range(first, last + 1)]
