"""Draw how often guessing alone gives each number of right answers, and where the answers lie.

In:  a `Result` of a test with right and wrong answers, a width, a theme.
Out: an SVG; what it shows stands in words beside it, too.

Idea: the p-value is the filled part of all columns together, so that one sees what it is.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.pictures.svg import clean, element
from gylebook.faces.pictures.themes import Theme
from gylebook.faces.tasting_words import luck_text
from gylebook.tasks.tasting_result import Result

HEIGHT = 190.0
TOP, FOOT = 30.0, 46.0
TEXT = 15.0
MOST_LABELS = 13


def luck_picture(result: Result, *, width: float, theme: Theme) -> str:
    """Columns from none right to all right; filled where luck does as well as these answers or better."""
    odds, answers = result.by_chance, result.answers
    step = width / len(odds)
    floor = HEIGHT - FOOT
    tall = (floor - TOP) / max(odds)
    gap = min(step * 0.2, 6.0)
    parts = []
    for right, share in enumerate(odds):
        high = max(share * tall, 1.0)
        filled = _as_good(result, right)
        parts.append(
            element(
                "rect",
                x=right * step + gap / 2.0,
                y=floor - high,
                width=step - gap,
                height=high,
                fill=theme.ink if filled else "none",
                stroke=theme.ink if filled else theme.faint,
                stroke_width=1.2,
            )
        )
    every = -(-len(odds) // MOST_LABELS)
    for right in range(0, answers + 1, every):
        if abs(right - result.right) >= every or right == result.right:
            parts.append(_text(words.count(right), right * step + step / 2.0, floor + 18.0, theme.faint))
    here = result.right * step + step / 2.0
    top = floor - max(odds[result.right] * tall, 1.0)
    if top > TOP + 4.0:  # up from the column to its name, past taller neighbours
        parts.append(
            element("path", d=f"M{here:.1f} {TOP - 8:g}V{top - 4:.1f}", stroke=theme.ink, stroke_width=1.2)
        )
    anchor = "end" if here > width * 0.8 else "start" if here < width * 0.2 else "middle"
    edge = {"end": here + step / 2.0, "start": here - step / 2.0, "middle": here}[anchor]
    parts.append(_text("these answers", edge, TOP - 14.0, theme.ink, anchor=anchor))
    parts.append(
        element("path", d=f"M0 {floor:g}H{width:g}", stroke=theme.ink, stroke_width=1.2, fill="none")
    )
    parts.append(_text("right answers by luck alone", 0.0, HEIGHT - 4.0, theme.faint, anchor="start"))
    said = (
        f"How often guessing gives each number of right answers out of {answers}; filled are {result.right} "
        f"and all that is as far from luck: {luck_text(result.luck)}."
    )
    return element(
        "svg",
        element("title", clean(said)),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:g} {HEIGHT:g}",
        role="img",
        aria_label=said,
        font_family="Georgia, Libertinus Serif, serif",
        font_size=TEXT,
    )


def _as_good(result: Result, right: int) -> bool:
    return right >= result.right or (result.either_way and right <= result.answers - result.right)


def _text(said: str, x: float, y: float, fill: str, weight: str | None = None, anchor: str = "middle") -> str:
    return element("text", clean(said), x=x, y=y, fill=fill, font_weight=weight, text_anchor=anchor)
