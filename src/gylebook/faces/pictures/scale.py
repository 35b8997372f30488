"""Measure for drawing: litres to vessels, kilograms to ribbons, words to lines.

In:  litres, kilograms and texts.
Out: sizes in units of the picture (780 across).

Idea: one scale holds all vessels of a picture and one all its ribbons, so that the eye may compare them.
Text is measured on the wide side, since the reader's own serif is not known here.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

HEIGHT_TO_DIAMETER = 1.15  # a plausible pot; the plan does not ask for its shape


@dataclass(frozen=True, slots=True)
class VesselScale:
    """Picture units for a decimetre, the same for every vessel of the picture."""

    per_dm: float

    def size(self, capacity_l: float) -> tuple[float, float]:
        """Width and height of a vessel, taken as a cylinder."""
        diameter = (capacity_l / (math.pi / 4 * HEIGHT_TO_DIAMETER)) ** (1 / 3) * self.per_dm
        return diameter, HEIGHT_TO_DIAMETER * diameter


def vessel_scale(fits: list[tuple[float, float]]) -> VesselScale:
    """The largest scale at which each (capacity, widest) of a picture still fits."""
    one = VesselScale(1.0)
    return VesselScale(min(widest / one.size(capacity)[0] for capacity, widest in fits))


@dataclass(frozen=True, slots=True)
class RibbonScale:
    """Picture units for a kilogram, the same for every ribbon of the picture."""

    per_kg: float

    def width(self, kilograms: float) -> float:
        """Width of a ribbon; a trickle stays a visible hairline."""
        return max(1.5, kilograms * self.per_kg)


# Widths in hundredths of the type size: the wider of two common serifs, Georgia and a Times.
_NARROW, _SMALL, _DIGIT, _CAPITAL, _WIDE, _OTHER = 34, 50, 61, 72, 96, 57
_LEAST = 50  # of a line on average, whatever its signs
_CLASSES = {
    **dict.fromkeys("ijltfr.,:;'!|()[]", _NARROW),
    **dict.fromkeys("aceksvxyz", _SMALL),
    **dict.fromkeys(" \u00a0", 25),
    **dict.fromkeys("0123456789+=<>×°–", _DIGIT),
    **dict.fromkeys("mwMW—%@▲→−", _WIDE),
}


# A number stays with its unit, odds and intervals stay whole.
_GLUED = re.compile(
    r"(?<=\d) (?=[Lg°%–]|gal|kg|lb|oz|IBU|min|h\b|in 1)|(?<=–) (?=\d)|(?<=in) (?=1)|(?<=of) (?=\d)"
)


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a line, rather too wide than too narrow."""
    hundredths = 0
    for sign in text:
        known = _CLASSES.get(sign)
        if known is None:
            known = _OTHER if sign.islower() else _CAPITAL if ord(sign) < 0x2E80 else 125
        hundredths += known
    return max(hundredths, _LEAST * len(text)) / 100 * size * (1.13 if bold else 1.0)


def wrap(text: str, size: float, widest: float, *, bold: bool = False, lines: int = 4) -> list[str]:
    """Break a text into lines no wider than `widest`; what does not fit in `lines` ends in “…”."""
    made: list[str] = []
    for word in _GLUED.sub("\u00a0", " ".join(text.split())).split(" "):
        longer = f"{made[-1]} {word}" if made else word
        if made and text_width(longer, size, bold=bold) <= widest:
            made[-1] = longer
            continue
        while word and text_width(word, size, bold=bold) > widest:
            keep = _fitting(word, size, widest, bold)
            made.append(word[:keep])
            word = word[keep:]
        if word:
            made.append(word)
    if len(made) > lines:
        last = made[lines - 1]
        while last and text_width(last + "…", size, bold=bold) > widest:
            last = last[:-1]
        made = [*made[: lines - 1], last.rstrip() + "…"]
    return [line.replace("\u00a0", " ") for line in made]


def _fitting(word: str, size: float, widest: float, bold: bool) -> int:
    """How many signs of an endless word fit on a line, one at least."""
    keep = len(word)
    while keep > 1 and text_width(word[:keep], size, bold=bold) > widest:
        keep -= 1
    return keep
