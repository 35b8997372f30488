"""Draw how past brews were foreseen: each reading in the band of what was forecast of it.

In:  a `Backtest`, the brewery's name, a theme, the brewer's units.
Out: one standalone SVG as text.

Idea: everything is counted from the middle of the published forecast, so that both forecasts and the
reading stand on one scale: dashes bound what was published, the hatched band is what was learned until
then, the dot is what came.  A house that is learned draws its band in around the dots, brew by brew.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gylebook.faces import words
from gylebook.faces.pictures.board import BODY, FAINT, FIGURES, FONTS, HEAD, TITLE, Board
from gylebook.faces.pictures.scale import RibbonScale, VesselScale
from gylebook.faces.pictures.svg import clean, coordinate, element
from gylebook.faces.pictures.themes import PAPER, WEB, Theme, fill, patterns
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.backtest import INSIDE_90, Backtest, Kind

WIDTH, LEFT, RIGHT, PANEL = 780.0, 96.0, 744.0, 170.0
MOST_PANELS = 6
FIRST = ("volume", "gravity")
DOT, SMALL_DOT, MANY = 4.5, 2.2, 80  # radius of a dot, and where there are more of them than this
ROOM = 1.12  # above and below what is furthest out


def foreseen_picture(
    found: Backtest,
    brewery: str,
    *,
    width: int = 780,
    theme: Theme = PAPER,
    units: Units = METRIC,
    key: str = "foreseen",
) -> str:
    """The backtest as a standalone SVG: a panel for each kind of reading, the most frequent ones."""
    board = Board(theme, key, VesselScale(1.0), RibbonScale(1.0))
    kinds = _chosen(found.kinds)
    y = board.write(36, 62, f"{brewery}: foreseen", TITLE, widest=RIGHT - 36, lines=2)
    brews = len(found.brews)
    said = f"{words.count(brews)} brew{'' if brews == 1 else 's'}, each from those before it"
    y = board.write(36, y - 8, said, FAINT, widest=RIGHT - 36) + 24
    for kind in kinds:
        y = _panel(board, kind, y, units)
    legend = (
        "counted from the middle of the published forecast · dashes: 90 in 100 as published · "
        "band: as learned until then · dot: the reading"
    )
    y = board.write(36, y + 4, legend, FAINT, widest=RIGHT - 36)
    title = f"How the brews on {brewery} were foreseen"
    return element(
        "svg",
        element("title", clean(title), id=f"{key}-title"),
        element("desc", clean(_spoken(kinds, units)), id=f"{key}-desc"),
        patterns(theme, key),
        element("rect", width=WIDTH, height=y, fill=theme.paper),
        *board.flows,
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


def _chosen(kinds: Sequence[Kind]) -> list[Kind]:
    """Volumes and gravities, then what else was read most often; in the order of the day."""
    drawn = [kind for kind in kinds if kind.steps]
    often = sorted(drawn, key=lambda kind: (kind.quantity not in FIRST, -kind.count))[:MOST_PANELS]
    return [kind for kind in drawn if kind in often]


def _panel(board: Board, kind: Kind, top: float, units: Units) -> float:
    """One kind of reading, brew by brew; answers where the next panel begins."""
    y = board.write(36, top + 6, _headed(kind, units), HEAD, widest=RIGHT - 36, lines=2)
    top = y - 12
    furthest = ROOM * max(
        max(abs(s.came), INSIDE_90 * s.published_sd, abs(s.learned) + INSIDE_90 * s.learned_sd)
        for s in kind.steps
    )
    middle, per = top + PANEL / 2, PANEL / 2 / furthest
    wide = (RIGHT - LEFT) / len(kind.steps)

    def along(values: Iterable[float]) -> list[tuple[float, float]]:
        return [(LEFT + (n + 0.5) * wide, middle - per * value) for n, value in enumerate(values)]

    upper = along(s.learned + INSIDE_90 * s.learned_sd for s in kind.steps)
    lower = along(s.learned - INSIDE_90 * s.learned_sd for s in kind.steps)
    tint = fill(board.theme, "wort", board.key)
    for paint, opacity in ((tint, board.theme.wort_in_vessel), (f"url(#{board.key}-band)", "1")):
        shape = f"M{_path(_edged(upper))}L{_path(_edged(lower)[::-1])}Z"
        board.solids.append(element("path", d=shape, fill=paint, fill_opacity=opacity))
    board.rule(LEFT, RIGHT, middle)
    for sign in (1.0, -1.0):
        bound = _edged(along(sign * INSIDE_90 * s.published_sd for s in kind.steps))
        board.solids.append(_line(f"M{_path(bound)}", board.theme.ink, 2.2, "5 6"))
    board.solids.append(
        _line(f"M{_path(_edged(along(s.learned for s in kind.steps)))}", board.theme.ink, 3.0)
    )
    radius = DOT if len(kind.steps) <= MANY else SMALL_DOT
    for x, height in along(s.came for s in kind.steps):
        board.solids.append(
            element("circle", cx=x, cy=height, r=radius, fill=board.theme.ink, stroke=board.theme.paper)
        )
    size = _size(kind, units)
    digits = 3 if kind.unit == "SG" else 1
    for value in (furthest / ROOM, 0.0, -furthest / ROOM):
        text = words.fixed(size * value, digits)
        board.write(LEFT - 12, middle - per * value + 8, text, FAINT, widest=LEFT, anchor="end", lines=1)
    y = top + PANEL + 26
    board.write(LEFT, y, "1", BODY, widest=80)
    board.write(RIGHT, y, words.count(len(kind.steps)), BODY, widest=80, anchor="end")
    return y + 44


def _edged(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same, drawn out to both ends of the panel, so that one brew has a band too."""
    return [(LEFT, points[0][1]), *points, (RIGHT, points[-1][1])]


def _path(points: Iterable[tuple[float, float]]) -> str:
    return "L".join(f"{coordinate(x)} {coordinate(y)}" for x, y in points)


def _line(path: str, ink: str, width: float, dashes: str | None = None) -> str:
    return element("path", d=path, fill="none", stroke=ink, stroke_width=width, stroke_dasharray=dashes)


def _size(kind: Kind, units: Units) -> float:
    return 1.0 if kind.unit == "SG" else words.units_in_one(kind.unit, units)


def _headed(kind: Kind, units: Units) -> str:
    """“volume at preboil, L from the published forecast”."""
    unit = "SG" if kind.unit == "SG" else words.unit_word(kind.unit, units)
    quantity = "pH" if kind.quantity == "ph" else kind.quantity
    return f"{quantity} at {kind.step}, {unit}".rstrip(", ")


def _spoken(kinds: Sequence[Kind], units: Units) -> str:
    """The same in words, for whoever cannot see it."""
    said = []
    for kind in kinds:
        digits, size = (4 if kind.unit == "SG" else 2), _size(kind, units)
        before, after = (words.fixed(size * way.error, digits) for way in (kind.published, kind.learned))
        said.append(f"{_headed(kind, units)}: mean error {before} as published, {after} as learned.")
    return " ".join(said)
