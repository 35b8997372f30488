"""Find styles by what their names hold.

In:  a part of a name or code.  Out: `StyleRow`s.
"""

from __future__ import annotations

from gylebook.exchange.naming import plain
from gylebook.exchange.style_table import StyleRow, styles

__all__ = ["StyleRow", "every_style", "styles_matching"]


def every_style() -> tuple[StyleRow, ...]:
    """Every style that has a range."""
    return styles()


def styles_matching(part: str) -> tuple[StyleRow, ...]:
    """The styles whose name or code holds every word of this."""
    wanted = plain(part).split()
    return tuple(
        row for row in styles() if all(word in f"{plain(row.name)} {plain(row.code)}" for word in wanted)
    )
