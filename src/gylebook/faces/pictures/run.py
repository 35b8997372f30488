"""Draw the run: how liquor and grain flow through the vessels and part into the portions.

In:  a `RunView`, a theme, the brewer's units.
Out: one standalone SVG as text.

Idea: the one picture at the centre of the page, the day and the sheet.  Vessels share one scale, ribbons
another; what is at risk is told by a shape, a word and the accent, in that order.  Its numbers stand once
more in `run_table`, for whoever cannot see it; the description inside is made of the same rows.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.findings import RISK, aim_subject, limit_subject
from gylebook.faces.pictures.board import BODY, FAINT, FIGURES, FONTS, RISKY, STRONG, TITLE, Board, Style
from gylebook.faces.pictures.hot_side import LEFT, RIGHT, WIDEST, WIDTH, draw_hot_side
from gylebook.faces.pictures.portions import draw_portions, kilograms, widest_fermenter
from gylebook.faces.pictures.run_table import run_table, spoken
from gylebook.faces.pictures.scale import RibbonScale, VesselScale, text_width, vessel_scale
from gylebook.faces.pictures.svg import clean, element
from gylebook.faces.pictures.themes import PAPER, WEB, Theme, patterns
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.views import RunView

_PER_KG = 2.1  # ribbons of a 50 L brewery; narrower where more flows


def run_picture(
    view: RunView,
    *,
    width: int = 780,
    theme: Theme = PAPER,
    units: Units = METRIC,
    key: str = "run",
    bare: bool = False,
) -> str:
    """The run as a standalone SVG, `width` pixels wide, its height as long as the day.

    `key` begins every id inside, so that two pictures may stand on one page.  A `bare` picture has neither
    title nor closing lines, for a page that says both itself.
    """
    scale = _vessels(view)
    board = Board(theme, key, scale, _ribbons(view, scale))
    y = 24.0 if bare else _header(board, view, units)
    kettle = draw_hot_side(board, view, y, units)
    y = draw_portions(board, view, kettle, units)
    height = y + 4 if bare else _footer(board, view, y + 26, units)
    title, description = f"The run of {view.name}", spoken(run_table(view, units))
    return element(
        "svg",
        element("title", clean(title), id=f"{key}-title"),
        element("desc", clean(description), id=f"{key}-desc"),
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
        style=None
        if theme is WEB
        else FIGURES,  # a page's style sheet says it, and its policy allows no other
    )


def _vessels(view: RunView) -> VesselScale:
    hot = [vessel for vessel in (view.mash, view.rinse, view.boil) if vessel is not None]
    fermenter = widest_fermenter(len(view.portions))
    return vessel_scale(
        [(vessel.capacity_l, WIDEST) for vessel in hot]
        + [(portion.fermenter.capacity_l, fermenter) for portion in view.portions]
    )


def _ribbons(view: RunView, vessels: VesselScale) -> RibbonScale:
    """As wide as the narrowest vessel on its way lets the heaviest flow be."""
    kettle = vessels.size(view.boil.capacity_l)[0]
    liquor = view.mash_liquor_kg + view.rinse_liquor_kg + view.kettle_liquor_kg
    limits = [(sum(kilograms(p) for p in view.portions), 0.5 * kettle), (liquor, 0.5 * kettle)]
    if view.mash is not None:
        limits.append((view.mash_liquor_kg, 0.36 * vessels.size(view.mash.capacity_l)[0]))
    if view.first_wort_kg is not None:
        limits.append((view.first_wort_kg.median, 0.4 * kettle))
    limits += [(kilograms(p), 0.6 * vessels.size(p.fermenter.capacity_l)[0]) for p in view.portions]
    return RibbonScale(min([_PER_KG, *(widest / weight for weight, widest in limits if weight > 0)]))


def _header(board: Board, view: RunView, units: Units) -> float:
    y = board.write(LEFT, 66, view.name, TITLE, widest=RIGHT - LEFT, lines=2)
    count = len(view.portions)
    said = [
        "one wort, one beer" if count == 1 else f"one wort, {words.spelled(count)} beers",
        f"{words.volume(view.volume_l.median, units)} at {words.gravity(view.og.median, units)}",
        f"{words.count(view.draws)} draws",
    ]
    if view.readings:
        said.append(f"{view.readings} reading{'s' if view.readings > 1 else ''} in")
    return board.write(LEFT, y - 6, " · ".join(said), FAINT, widest=RIGHT - LEFT) + 20


def _footer(board: Board, view: RunView, y: float, units: Units) -> float:
    """Aims, limits at risk, the rest in one line, and how to read the picture."""
    board.rule(LEFT, RIGHT, y)
    y += 40
    for aim in view.aims:
        y = _line(board, y, aim_subject(aim, units), words.odds(aim.odds), BODY)
    risky = sorted((limit for limit in view.limits if not limit.kept), key=lambda limit: limit.odds_kept)
    for limit in risky:
        y = _line(board, y, f"{RISK} {limit_subject(limit)}", words.odds(limit.odds_kept), RISKY)
    kept = [limit.odds_kept for limit in view.limits if limit.kept]
    if kept:
        rest = "Every other limit, at least" if risky else "Every limit, at least"
        y = _line(board, y, rest, words.odds(min(kept)), BODY)
    cold = words.temperature(20.0, units)
    legend = f"band: 90 in 100 · dashes: brim · volumes at {cold} unless hot"
    return board.write(LEFT, y + 10, legend, FAINT, widest=RIGHT - LEFT) + 4


def _line(board: Board, y: float, subject: str, odds: str, style: Style) -> float:
    strong = STRONG if style is BODY else style
    room = RIGHT - LEFT - text_width(odds, strong.size, bold=True)
    board.write(RIGHT, y, odds, strong, widest=RIGHT - LEFT, anchor="end", lines=1)
    return board.write(LEFT, y, subject, style, widest=room - 24) + 10
