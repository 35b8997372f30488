"""Draw the parts that a picture of brewing is made of: text, ribbons, vessels, a bed of grain.

In:  places in picture units, kilograms, `VesselView`.
Out: SVG elements collected on a `Board`.

Idea: a vessel shows its level as a line with a hatched 90 % band and its brim as dashes; a ribbon is as wide
as the kilograms in it.  The board knows no brewing day: what stands where is decided in `run`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from gylebook.faces.pictures.scale import RibbonScale, VesselScale, wrap
from gylebook.faces.pictures.svg import clean, coordinate, element
from gylebook.faces.pictures.themes import Theme, fill
from gylebook.tasks.views import VesselView

FONTS = "Georgia, 'Libertinus Serif', 'Times New Roman', serif"
FIGURES = "font-variant-numeric: lining-nums tabular-nums"
LEADING = 1.22
HIGHEST = 1.22  # a level above the brim is drawn to here and no further; its number is told in full


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """One way to set text."""

    size: float
    bold: bool = False
    ink: str = "ink"  # or faint, or accent


TITLE = Style(size=42, bold=True)
HEAD = Style(size=29, bold=True)
STRONG = Style(size=26, bold=True)
BODY = Style(size=24)
FAINT = Style(size=23, ink="faint")
RISKY = Style(size=24, bold=True, ink="accent")


@dataclass(frozen=True, slots=True)
class Drawn:
    """Where a vessel ended up; `spill` is the top of whatever stands highest."""

    x: float
    top: float
    width: float
    height: float
    spill: float

    @property
    def left(self) -> float:
        return self.x - self.width / 2

    @property
    def right(self) -> float:
        return self.x + self.width / 2

    @property
    def bottom(self) -> float:
        return self.top + self.height


@dataclass(slots=True)
class Board:
    """Elements of one picture in drawing order: flows lie below vessels, and text above both."""

    theme: Theme
    key: str
    vessels: VesselScale
    ribbons: RibbonScale
    flows: list[str] = field(default_factory=list)
    solids: list[str] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def write(
        self,
        x: float,
        y: float,
        text: str,
        style: Style,
        *,
        widest: float,
        anchor: str = "start",
        lines: int = 4,
    ) -> float:
        """Set text with its first baseline at `y`, wrapped; answers the next free baseline."""
        for line in wrap(text, style.size, widest, bold=style.bold, lines=lines):
            self.texts.append(
                element(
                    "text",
                    clean(line),
                    x=x,
                    y=y,
                    font_size=style.size,
                    font_weight="bold" if style.bold else None,
                    fill=getattr(self.theme, style.ink),
                    text_anchor=None if anchor == "start" else anchor,
                )
            )
            y += style.size * LEADING
        return y

    def rule(self, x0: float, x1: float, y: float) -> None:
        """A thin line across, where one part of the page ends."""
        self.solids.append(
            element("line", x1=x0, y1=y, x2=x1, y2=y, stroke=self.theme.faint, stroke_width=1.5)
        )

    def ribbon(self, what: str, kilograms: float, *points: tuple[float, float]) -> None:
        """A flow of liquor, wort or grain along centres, leaving and arriving upright.

        Between two points it bends like an S.  Its width is that of a stroke, so that it stays as
        wide as it is heavy on a slope too.
        """
        width = self.ribbons.width(kilograms)
        bends = (_bend(start, end) for start, end in pairwise(points))
        path = f"M{coordinate(points[0][0])} {coordinate(points[0][1])}{''.join(bends)}"
        strokes = [(fill(self.theme, what, self.key), width)]
        if strokes[0][0].startswith("url"):  # a hatch needs an outline, and no hatch of what lies below it
            strokes = [(self.theme.ink, width + 2.4), (self.theme.paper, width), *strokes]
        for stroke, wide in strokes:
            self.flows.append(element("path", d=path, fill="none", stroke=stroke, stroke_width=wide))

    def steam(self, kilograms: float, x: float, foot: float, head: float) -> None:
        """What boils off: a ribbon of liquor that leaves upwards."""
        middle = (foot + head) / 2
        self.ribbon("liquor", kilograms, (x, foot), (x + 12, middle), (x + 2, head))

    def vessel(self, x: float, top: float, view: VesselView, *, wort: bool = True) -> Drawn:
        """A vessel with what stands in it, centred on `x` with its brim at `top`."""
        width, height = self.vessels.size(view.capacity_l)
        per_litre = height / view.capacity_l
        low, middle, high = (
            top + height - min(litres * per_litre, HIGHEST * height)
            for litres in (view.level_l.low, view.level_l.median, view.level_l.high)
        )
        left, right, bottom = x - width / 2, x + width / 2, top + height
        tint = fill(self.theme, "wort" if wort else "liquor", self.key)
        self.solids.append(
            element("rect", x=left, y=middle, width=width, height=bottom - middle, rx=4, fill=tint,
                    fill_opacity=self.theme.wort_in_vessel)
        )  # fmt: skip
        if view.grain_kg > 0:
            # As many litres as kilograms: it shows where the grain lies, and is no level.
            bed = min(view.grain_kg * per_litre, 0.8 * (bottom - middle))
            self.dots(left, bottom - bed, width, bed)
        band = f"url(#{self.key}-band)"
        self.solids.append(element("rect", x=left, y=high, width=width, height=max(low - high, 1), fill=band))
        ink = self.theme.ink
        self.solids.append(
            element("line", x1=left, y1=middle, x2=right, y2=middle, stroke=ink, stroke_width=3)
        )
        wall = (
            f"M{coordinate(left)} {coordinate(top)}V{coordinate(bottom - 12)}q0 12 12 12"
            f"H{coordinate(right - 12)}q12 0 12 -12V{coordinate(top)}"
        )
        self.solids.append(element("path", d=wall, fill="none", stroke=ink, stroke_width=4.5))
        self.solids.append(
            element("line", x1=left - 14, y1=top, x2=right + 14, y2=top, stroke=ink, stroke_width=2.2,
                    stroke_dasharray="5 6")
        )  # fmt: skip
        return Drawn(x, top, width, height, min(top, high))

    def dots(self, left: float, top: float, width: float, height: float) -> None:
        """Grain, where it lies."""
        pattern = f"url(#{self.key}-dots)"
        self.solids.append(element("rect", x=left, y=top, width=width, height=height, fill=pattern))

    def grain_bed(self, x: float, top: float, kilograms: float) -> Drawn:
        """A hung bag or a bed of grain, as large as a vessel that would just hold its kilograms as litres."""
        width, height = self.vessels.size(max(kilograms, 0.5))
        tint = fill(self.theme, "grain", self.key)
        self.solids.append(
            element("rect", x=x - width / 2, y=top, width=width, height=height, rx=width / 3, fill=tint,
                    stroke=self.theme.ink, stroke_width=2.2)
        )  # fmt: skip
        self.dots(x - width / 2 + 8, top + 8, width - 16, height - 16)
        return Drawn(x, top, width, height, top)


def _bend(start: tuple[float, float], end: tuple[float, float]) -> str:
    middle = (start[1] + end[1]) / 2
    numbers = (start[0], middle, end[0], middle, end[0], end[1])
    return "C" + " ".join(coordinate(n) for n in numbers)
