"""Hold the ways a picture is inked: on paper, in the dark, in print, and as the page around it is.

In:  nothing.
Out: `Theme`, and the patterns that its fills refer to.

Idea: grey-blue says liquor, one ochre says wort whatever the beer's colour, beige with dots says grain; the
accent is for risk alone and never speaks by itself.  In print every tint becomes a hatch in ink.
"""

from __future__ import annotations

from dataclasses import dataclass

from gylebook.faces.pictures.svg import element


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """Inks of a picture.  A fill of None is drawn with a pattern of ink."""

    name: str
    paper: str
    ink: str
    faint: str
    accent: str
    liquor: str | None
    wort: str | None
    grain: str | None
    wort_in_vessel: str


PAPER = Theme(
    name="paper", paper="#f7f2e8", ink="#20292e", faint="#586267", accent="#a63a24",
    liquor="#a3bcc4", wort="#dba968", grain="#c9b795", wort_in_vessel="0.68",
)  # fmt: skip

# Ink and paper exchanged; the accent is lifted so that it keeps a contrast of 4.5 to 1.
DARK = Theme(
    name="dark", paper="#20292e", ink="#f7f2e8", faint="#b9c0c2", accent="#f19a80",
    liquor="#7d9ba6", wort="#c08f4e", grain="#9c8b6c", wort_in_vessel="0.6",
)  # fmt: skip

PRINT = Theme(
    name="print", paper="#ffffff", ink="#000000", faint="#333333", accent="#000000",
    liquor=None, wort=None, grain=None, wort_in_vessel="1",
)  # fmt: skip

# Inside a page: its style sheet says what these are, by day, by night and in print.
WEB = Theme(
    name="web", paper="var(--paper)", ink="var(--ink)", faint="var(--faint)", accent="var(--accent)",
    liquor="var(--liquor)", wort="var(--wort)", grain="var(--grain)", wort_in_vessel="0.68",
)  # fmt: skip

THEMES = {theme.name: theme for theme in (PAPER, DARK, PRINT)}


def fill(theme: Theme, what: str, key: str) -> str:
    """Fill for liquor, wort, grain, band or dots."""
    tint = {"liquor": theme.liquor, "wort": theme.wort, "grain": theme.grain}.get(what)
    return tint or f"url(#{key}-{what})"


def patterns(theme: Theme, key: str) -> str:
    """The `<defs>` of one picture; `key` keeps two pictures on one page apart."""
    ink = theme.ink
    made = [
        _pattern(f"{key}-band", 9, element("path", d="M-1 10L10 -1M-1 1L1 -1M8 10L10 8", **_line(ink, 1.1))),
        _pattern(f"{key}-dots", 11, _dot(3, 3, ink, 1.7), _dot(8.5, 8.5, ink, 1.7)),
    ]
    if theme.wort is None:
        made += [
            _pattern(f"{key}-wort", 7, element("path", d="M3.5 0V7", **_line("#8a8a8a", 0.9))),
            _pattern(f"{key}-liquor", 7, element("path", d="M0 3.5H7", **_line("#8a8a8a", 0.9))),
            _pattern(f"{key}-grain", 8, _dot(2, 2, ink, 1), _dot(6, 6, ink, 1)),
        ]
    return element("defs", *made)


def _pattern(name: str, size: float, *children: str) -> str:
    return element("pattern", *children, id=name, width=size, height=size, patternUnits="userSpaceOnUse")


def _line(stroke: str, width: float) -> dict[str, str | float]:
    return {"stroke": stroke, "stroke_width": width, "fill": "none"}


def _dot(x: float, y: float, ink: str, radius: float) -> str:
    return element("circle", cx=x, cy=y, r=radius, fill=ink, fill_opacity="0.55")
