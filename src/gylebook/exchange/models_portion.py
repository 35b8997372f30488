"""State what a plan file may hold for the portions: yeast, starter, package, what comes later.

In:  the tables `[portions.KEY]` and `[starters.KEY]` of a plan file.
Out: `PortionTable` and `StarterTable`, every quantity a number in the unit of its noun.

Idea: a kind of yeast that the shipped table does not know must bring its own figures.  Whether the
fermenter exists is asked in `together`.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from gylebook.brewery.ingredients import StarterKind, YeastForm
from gylebook.brewery.plan import PackageKind
from gylebook.exchange.quantities import (
    DAY_MIN,
    Count,
    Days,
    Key,
    Litres,
    Name,
    Quantity,
    Share,
    Table,
    refuse,
)
from gylebook.exchange.tables import close_names, yeast_named
from gylebook.figures.units import Dimension

FermentC = Annotated[float, Quantity(Dimension.TEMPERATURE, 0, 45, "°C", "19 °C")]
StoredC = Annotated[float, Quantity(Dimension.TEMPERATURE, -30, 40, "°C", "4 °C")]
StarterGravity = Annotated[float, Quantity(Dimension.GRAVITY, 1, 20, "°P", "9 °P")]
Cells = Annotated[float, Quantity(Dimension.CELLS, 0, 1e5, "billion cells", "150 billion")]
Age = Annotated[float, Quantity(Dimension.DURATION, 0, 3650, "d", "30 d", scale=1 / DAY_MIN)]
Co2 = Annotated[float, Quantity(Dimension.NUMBER, 0, 6, "volumes", "2.4", optional_word="vol|volumes?")]
Bottle = Annotated[float, Quantity(Dimension.VOLUME, 0.1, 20, "L", "0.5 L")]
HeadRoom = Annotated[float, Quantity(Dimension.SHARE, 0, 0.6, "", "20 %")]
Pitch = Annotated[float, Quantity(Dimension.NUMBER, 0, 10, "million per mL and °P", "0.75")]
Attenuation = Annotated[float, Quantity(Dimension.SHARE, 0.05, 0.995, "", "77 %")]
LaterAttenuation = Annotated[float, Quantity(Dimension.SHARE, 0.05, 1, "", "92 %")]
Scatter = Annotated[float, Quantity(Dimension.SHARE, 0, 0.3, "", "2 %")]
DaysBefore = Annotated[float, Count(0, 30, "2", "d|days?")]
Packs = Annotated[float, Count(0, 1000, "1", "packs?")]
Months = Annotated[float, Count(0, 60, "6", "months?")]

RESERVED = ("boil", "kettle end")  # where an addition can go that is no portion


class StarterTable(Table):
    """A yeast starter that one or more portions share."""

    kind: StarterKind = Field(default="stirred", description="how it is kept moving")
    gravity: StarterGravity = Field(default=9.0, description="gravity of its wort")
    volume: Litres | None = Field(default=None, description="its volume; solved if left out")
    days_before: DaysBefore = Field(default=2.0, description="days before brewing on which it is begun")


class YeastTable(Table):
    """The yeast of one portion."""

    kind: Name = Field(description="kind of yeast, such as American ale, clean")
    form: YeastForm = Field(default="liquid", description="how it comes")
    packs: Packs = Field(default=1.0, description="number of packs")
    cells: Cells = Field(default=150.0, description="cells in one pack when it was new")
    age: Age = Field(default=30.0, description="age of the pack")
    stored_at: StoredC = Field(default=4.0, description="temperature it was kept at")
    starter: Key | None = Field(default=None, description="key of the starter it goes into")
    attenuation: Attenuation | None = Field(
        default=None, description="apparent attenuation, if other than usual"
    )
    attenuation_scatter: Scatter | None = Field(default=None, description="what that may differ by")
    pitch: Pitch | None = Field(default=None, description="million cells per mL and °P, if other than usual")
    lowest: FermentC | None = Field(default=None, description="lowest temperature it works well at")
    highest: FermentC | None = Field(default=None, description="highest temperature it works well at")
    primary: Days | None = Field(default=None, description="usual length of its main fermentation")

    @model_validator(mode="after")
    def _known(self) -> Self:
        wanted = ("attenuation", "pitch", "lowest", "highest", "primary")
        lacking = [key for key in wanted if getattr(self, key) is None]
        if lacking and yeast_named(self.kind) is None:
            raise refuse(*_unknown(self.kind, lacking), "kind")
        return self


class PackageTable(Table):
    """How a portion is packed."""

    kind: PackageKind = Field(description="what it is packed in")
    co2: Co2 | None = Field(default=None, description="carbon dioxide in volumes")
    bottle: Bottle = Field(default=0.5, description="size of one bottle")
    after: Days | None = Field(default=None, description="time from pitching to packing")


class LaterTable(Table):
    """An organism added long after the first yeast."""

    kind: Name = Field(description="kind of organism, such as Brettanomyces secondary")
    after: Days = Field(description="time from pitching to its addition")
    months: Months = Field(description="how long it works")
    attenuation: LaterAttenuation | None = Field(
        default=None, description="apparent attenuation of the finished beer"
    )
    attenuation_scatter: Scatter | None = Field(default=None, description="what that may differ by")

    @model_validator(mode="after")
    def _known(self) -> Self:
        if self.attenuation is None and yeast_named(self.kind) is None:
            raise refuse(*_unknown(self.kind, ["attenuation"]), "kind")
        return self


class PortionTable(Table):
    """A part of the gyle with its own fermenter and future."""

    name: Name = Field(description="name of the beer")
    fermenter: Key = Field(description="key of its fermenter in the brewery file")
    share: Share | None = Field(default=None, description="its share of the wort that is divided")
    volume: Litres | None = Field(default=None, description="its volume of wort, in place of a share")
    top_up: Litres = Field(default=0.0, description="boiled and cooled liquor added in the fermenter")
    ferment_at: FermentC = Field(default=19.0, description="temperature of fermentation")
    head_room: HeadRoom | None = Field(
        default=None,
        description="room above the wort while it ferments, as a share of the wort; 20 % is usual",
    )
    yeast: YeastTable = Field(description="its yeast")
    package: PackageTable = Field(description="how it is packed")
    later: LaterTable | None = Field(default=None, description="an organism added long afterwards")

    @model_validator(mode="after")
    def _one_amount(self) -> Self:
        if self.share is not None and self.volume is not None:
            raise refuse("both a share and a volume", "give one of them.", "volume")
        return self


def shares_fit(portions: dict[str, PortionTable]) -> dict[str, PortionTable]:
    """Shares are given to all portions or to none, and are not more than the whole."""
    for key in portions:
        if key in RESERVED:
            raise refuse(
                f"a portion called “{key}”", "that is a place for additions: choose another key.", key
            )
    shares = [portion.share for portion in portions.values() if portion.share is not None]
    if shares and len(shares) < len(portions):
        without = next(key for key, portion in portions.items() if portion.share is None)
        raise refuse("no share, but others have one", "give shares to all portions or to none.", without)
    if sum(shares) > 1.0 + 1e-9:
        raise refuse(f"the shares add to {100 * sum(shares):.4g} %", "they add to 100 % at most.")
    return portions


def _unknown(kind: str, lacking: list[str]) -> tuple[str, str]:
    names = close_names("yeasts", kind)
    hint = f"Did you mean {' or '.join(f'“{name}”' for name in names)}? " if names else ""
    return f"“{kind}” is not in the table of yeasts", f"{hint}Or give its {', '.join(lacking)}."
