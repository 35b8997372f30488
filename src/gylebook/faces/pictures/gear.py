"""Draw the gear of a brewery: every vessel and fermenter as an outline, to one scale.

In:  a `Brewery`, a theme, the brewer's units.
Out: one standalone SVG as text.

Idea: outlines stand on common ground like pots on a shelf; what stays behind in each is drawn as liquor, and
the same is said in words below it.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.brewery.site import Brewery
from gylebook.faces import words
from gylebook.faces.pictures.board import BODY, FAINT, FIGURES, FONTS, Board
from gylebook.faces.pictures.scale import RibbonScale, vessel_scale
from gylebook.faces.pictures.svg import clean, coordinate, element
from gylebook.faces.pictures.themes import PAPER, WEB, Theme, fill, patterns
from gylebook.faces.words import METRIC, Units

WIDTH, LEFT, RIGHT = 560.0, 16.0, 544.0  # narrow, so that its words are read on a phone
A_ROW, WIDEST = 3, 140.0
MOST = 16  # vessels drawn; a cellar of hundreds of kegs is no picture


@dataclass(frozen=True, slots=True)
class _Pot:
    name: str
    capacity_l: float
    stays_l: float | None


def gear_picture(
    brewery: Brewery, *, width: int = 560, theme: Theme = PAPER, units: Units = METRIC, key: str = "gear"
) -> str:
    """The vessels, then the fermenters, up to sixteen of them."""
    pots = _pots(brewery)
    shown = pots[:MOST]
    scale = vessel_scale([(pot.capacity_l, WIDEST) for pot in shown])
    board = Board(theme, key, scale, RibbonScale(1.0))
    y = 16.0
    for start in range(0, len(shown), A_ROW):
        y = _shelf(board, shown[start : start + A_ROW], y, units)
    if len(pots) > MOST:
        y = board.write(LEFT, y + 8, f"and {words.count(len(pots) - MOST)} more", FAINT, widest=RIGHT - LEFT)
    said = " ".join(f"{pot.name}: {', '.join(_told(pot, units))}." for pot in shown)
    return element(
        "svg",
        element("title", clean(f"The gear of {brewery.name}"), id=f"{key}-title"),
        element("desc", clean(said), id=f"{key}-desc"),
        patterns(theme, key),
        element("rect", width=WIDTH, height=y, fill=theme.paper),
        *board.solids,
        *board.texts,
        xmlns="http://www.w3.org/2000/svg",
        width=width,
        height=y * width / WIDTH,
        viewBox=f"0 0 {WIDTH:.0f} {y:.1f}",
        role="img",
        aria_labelledby=f"{key}-title {key}-desc",
        font_family=FONTS,
        style=None if theme is WEB else FIGURES,
    )


def _pots(brewery: Brewery) -> list[_Pot]:
    return [
        *(_Pot(v.name, v.capacity_l, v.dead_volume_l) for v in brewery.vessels.values()),
        *(_Pot(f.name, f.capacity_l, f.dead_volume_l) for f in brewery.fermenters.values()),
    ]


def _told(pot: _Pot, units: Units) -> list[str]:
    told = [words.capacity(pot.capacity_l, units)]
    if pot.stays_l:
        told.append(f"{words.volume(pot.stays_l, units)} stays")
    return told


def _shelf(board: Board, pots: list[_Pot], top: float, units: Units) -> float:
    """One row of them on common ground; answers where the next row may begin."""
    column = (RIGHT - LEFT) / A_ROW
    ground = top + max(board.vessels.size(pot.capacity_l)[1] for pot in pots)
    ends = []
    for place, pot in enumerate(pots):
        x = LEFT + (place + 0.5) * column
        _outline(board, x, ground, pot)
        y = board.write(x, ground + 34, pot.name, BODY, widest=column - 12, anchor="middle", lines=2)
        for line in _told(pot, units):
            y = board.write(x, y, line, FAINT, widest=column - 8, anchor="middle", lines=1)
        ends.append(y)
    return max(ends) + 14


def _outline(board: Board, x: float, ground: float, pot: _Pot) -> None:
    wide, high = board.vessels.size(pot.capacity_l)
    left, right, top, ink = x - wide / 2, x + wide / 2, ground - high, board.theme.ink
    if pot.stays_l:
        deep = max(high * pot.stays_l / pot.capacity_l, 2.0)
        tint = fill(board.theme, "liquor", board.key)
        board.solids.append(
            element("rect", x=left, y=ground - deep, width=wide, height=deep, rx=4, fill=tint)
        )
    wall = (
        f"M{coordinate(left)} {coordinate(top)}V{coordinate(ground - 12)}q0 12 12 12"
        f"H{coordinate(right - 12)}q12 0 12 -12V{coordinate(top)}"
    )
    board.solids.append(element("path", d=wall, fill="none", stroke=ink, stroke_width=4.5))
