"""State what a plan file may hold for the portions: yeast, starter, package, what comes later, blends.

In:  the tables `[portions.KEY]`, `[starters.KEY]` and `[blends.KEY]` of a plan file.
Out: `PortionTable`, `StarterTable` and `BlendTable`, every quantity a number in the unit of its noun.

Idea: a kind of yeast that the table does not know must bring its own figures.  Whether the
fermenter exists is asked in `together`.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, ValidationInfo, model_validator

from gylebook.brewery.ingredients import StarterKind, YeastForm
from gylebook.brewery.plan import PackageKind
from gylebook.exchange.lookups import not_in_table, or_give, tables_in
from gylebook.exchange.quantities import (
    AGE,
    DAYS,
    LITRES,
    SHARE,
    STORED_C,
    USUAL_SLURRY_L,
    USUAL_STORE_C,
    Count,
    Days,
    Flag,
    Key,
    Name,
    Quantity,
    Table,
    refuse,
)
from gylebook.figures.units import Dimension

FERMENT_C = Quantity(Dimension.TEMPERATURE, 0, 45, "°C", "19 °C")
StarterGravity = Annotated[float, Quantity(Dimension.GRAVITY, 1, 20, "°P", "9 °P")]
Cells = Annotated[float, Quantity(Dimension.CELLS, 0, 1e5, "billion cells", "150 billion")]
Co2 = Annotated[float, Quantity(Dimension.NUMBER, 0, 6, "volumes", "2.4", optional_word="vol|volumes?")]
Bottle = Annotated[float, Quantity(Dimension.VOLUME, 0.1, 20, "L", "0.5 L")]
HeadRoom = Annotated[float, Quantity(Dimension.SHARE, 0, 0.6, "", "20 %")]
Pitch = Annotated[float, Quantity(Dimension.NUMBER, 0, 10, "million per mL and °P", "0.75")]
Attenuation = Annotated[float, Quantity(Dimension.SHARE, 0.05, 0.995, "", "77 %")]
LaterAttenuation = Annotated[float, Quantity(Dimension.SHARE, 0, 1, "", "92 %")]
Step = Annotated[float, Quantity(Dimension.VOLUME, 0.01, 2000, "L", "0.5 L")]
Slurry = Annotated[float, Quantity(Dimension.VOLUME, 0.001, 200, "L", "150 mL")]
Part = Annotated[float, Quantity(Dimension.SHARE, 0.001, 1, "", "60 %")]
Scatter = Annotated[float, Quantity(Dimension.SHARE, 0, 0.3, "", "2 %")]
DaysBefore = Annotated[float, Count(0, 30, "2", "d|days?")]
Packs = Annotated[float, Count(0, 1000, "1", "packs?")]
Months = Annotated[float, Count(0, 60, "6", "months?")]

LEAST_LATER = 0.05  # of a later organism that attenuates at all
RESERVED = ("boil", "kettle end")  # where an addition can go that is no portion


class StarterTable(Table):
    """A yeast starter that one or more portions share."""

    kind: StarterKind = Field(default="stirred", description="how it is kept moving")
    gravity: StarterGravity = Field(default=9.0, description="gravity of its wort")
    volume: Annotated[float, LITRES.like("2 L")] | None = Field(
        default=None, description="its volume; solved if left out"
    )
    days_before: DaysBefore = Field(default=2.0, description="days before brewing on which it is begun")
    first_steps: list[Step] = Field(
        default_factory=list,
        max_length=10,
        description="volumes of the steps before, each added to what has grown",
        examples=[["0.5 L"]],
    )
    cold_crash: Flag = Field(default=False, description="whether it is settled cold and its beer poured off")
    slurry: Slurry = Field(default=USUAL_SLURRY_L, description="volume of what is then shared out")


class YeastTable(Table):
    """The yeast of one portion."""

    kind: Name = Field(description="kind of yeast, such as American ale, clean")
    form: YeastForm = Field(default="liquid", description="how it comes")
    packs: Packs = Field(default=1.0, description="number of packs")
    cells: Cells = Field(default=150.0, description="cells in one pack when it was new")
    age: Annotated[float, AGE] = Field(default=30.0, description="age of the pack")
    stored_at: Annotated[float, STORED_C] = Field(
        default=USUAL_STORE_C, description="temperature it was kept at"
    )
    starter: Key | None = Field(default=None, description="key of the starter it goes into")
    diastatic: Flag | None = Field(
        default=None,
        description="whether it takes dextrins, past the limit of the mash; as the table of yeasts says",
    )
    attenuation: Attenuation | None = Field(
        default=None,
        description="apparent attenuation, if other than usual; 93 % is usual for diastatic yeast",
    )
    attenuation_scatter: Scatter | None = Field(default=None, description="what that may differ by")
    pitch: Pitch | None = Field(default=None, description="million cells per mL and °P, if other than usual")
    lowest: Annotated[float, FERMENT_C.like("16 °C")] | None = Field(
        default=None, description="lowest temperature it works well at"
    )
    highest: Annotated[float, FERMENT_C.like("22 °C")] | None = Field(
        default=None, description="highest temperature it works well at"
    )
    primary: Annotated[float, DAYS.like("6 d")] | None = Field(
        default=None, description="usual length of its main fermentation"
    )

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        wanted = ("attenuation", "pitch", "lowest", "highest", "primary")
        lacking = [key for key in wanted if getattr(self, key) is None]
        if self.diastatic and "attenuation" in lacking:
            lacking.remove("attenuation")
        tables = tables_in(info)
        row = tables.yeast(self.kind)
        if row is not None and row.attenuation is None:
            accepted = "they come after a yeast: name them in later = { kind = ..., after = ... }."
            raise refuse(f"“{self.kind}” are bacteria", accepted, "kind")
        if lacking and row is None:
            raise refuse(*not_in_table(tables, "yeasts", self.kind, or_give(lacking)), "kind")
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
        default=None,
        description="apparent attenuation of the finished beer; 0 % for bacteria, which hardly move it",
    )
    attenuation_scatter: Scatter | None = Field(default=None, description="what that may differ by")

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if self.attenuation is None and tables.yeast(self.kind) is None:
            raise refuse(*not_in_table(tables, "yeasts", self.kind, or_give(["attenuation"])), "kind")
        if self.attenuation and self.attenuation < LEAST_LATER:
            understood = f"attenuation understood as {100 * self.attenuation:g} %"
            accepted = "it is that of the finished beer, 5 to 100 %, or 0 % for bacteria."
            raise refuse(understood, accepted, "attenuation")
        return self


class PortionTable(Table):
    """A part of the gyle with its own fermenter and future."""

    name: Name = Field(description="name of the beer")
    fermenter: Key = Field(description="key of its fermenter in the brewery file")
    share: Annotated[float, SHARE.like("40 %")] | None = Field(
        default=None, description="its share of the wort that is divided"
    )
    volume: Annotated[float, LITRES.like("12 L")] | None = Field(
        default=None, description="its volume of wort, in place of a share"
    )
    top_up: Annotated[float, LITRES.like("2 L")] = Field(
        default=0.0, description="boiled and cooled liquor added in the fermenter"
    )
    ferment_at: Annotated[float, FERMENT_C] | None = Field(
        default=None,
        description="temperature of fermentation; 19 °C is usual, or the nearest that suits the yeast",
    )
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
        for key in ("share", "volume"):
            if getattr(self, key) == 0:
                raise refuse("nothing", "a portion holds something; leave the portion out instead.", key)
        return self


class BlendTable(Table):
    """Finished portions poured together."""

    name: Name = Field(description="name of the blend")
    parts: dict[Key, Part] = Field(
        min_length=1,
        max_length=50,
        description="which share of each portion's beer goes in",
        examples=[{"keg": "60 %", "long": "40 %"}],
    )
    package: PackageTable = Field(description="how it is packed")


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
