"""State what a plan may add by mass or by the jug: sugar, finings, fruit, and teas of grain or hops.

In:  the tables `[[additions]]`, `[[grain_teas]]` and `[[hop_teas]]` of a plan file.
Out: `AdditionTable`, `GrainTeaTable`, `HopTeaTable`, every quantity a number in the unit of its noun.

Idea: a name that no table knows must bring its own figures.  Whether the portion it goes into is there is
asked in `references`; whether a tea gives any wort at all is the flow's to say.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, ValidationInfo, model_validator

from gylebook.brewery.ingredients import HopForm
from gylebook.exchange.lookups import not_in_table, or_give, tables_in
from gylebook.exchange.quantities import (
    MINUTES,
    SHARE,
    Flag,
    Key,
    Name,
    Quantity,
    Table,
    Weighed,
    refuse,
)
from gylebook.figures.units import Dimension

EXTRACT = Quantity(Dimension.SHARE, 0.3, 1, "", "81 %")
MOISTURE = Quantity(Dimension.SHARE, 0, 0.2, "", "4.5 %")
COLOUR = Quantity(Dimension.COLOUR, 0, 2500, "EBC", "3.5 EBC")
ALPHA = Quantity(Dimension.SHARE, 0.001, 0.3, "", "3.5 %")
SCATTER = Quantity(Dimension.SHARE, 0, 0.2, "", "1 %")
STEEPED = Quantity(Dimension.MASS, 1e-4, 1000, "kg", "0.4 kg")
STEEPED_IN = Quantity(Dimension.VOLUME, 0.01, 2000, "L", "2 L")
BOILED_OFF = Quantity(Dimension.VOLUME, 0, 2000, "L", "0.4 L")
MOST_OFF = 0.5  # of wort boiled apart; thicker it scorches

KEY_OF_NAME = "short name for other files; made from the name if left out"
OF_PORTION = "key of the portion it is poured into"


class AdditionTable(Table):
    """Sugar, extract, fruit, finings, spice: anything else by mass."""

    name: Name = Field(description="name, such as table sugar")
    key: Key | None = Field(default=None, description=KEY_OF_NAME)
    mass: Weighed = Field(description="mass of it")
    extract: Annotated[float, SHARE.like("96 %")] | None = Field(
        default=None, description="share of its mass that dissolves as extract"
    )
    fermentable: Annotated[float, SHARE.like("95 %")] | None = Field(
        default=None, description="share of its extract that yeast can take, the real one"
    )
    malt: Flag | None = Field(
        default=None,
        description="whether it is malt extract, which attenuates as far as a mash lets it; "
        "as the table of sugars says",
    )
    colour: Annotated[float, COLOUR.like("15 EBC")] | None = Field(
        default=None, description="colour of its wort; as the table of sugars says, else none"
    )
    at: Key = Field(default="boil", description="boil, kettle end, or the key of the portion that gets it")
    time: Annotated[float, MINUTES.like("10 min")] = Field(
        default=0.0, description="boil left when it goes in"
    )
    finings: Flag = Field(default=False, description="whether it is there to clear the wort")

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if tables.sugar(self.name) is not None:
            return self
        if self.extract is None and not self.finings:
            instead = 'Or give its extract, such as "96 %" ("0 %" for a spice), or finings = true.'
            raise refuse(*not_in_table(tables, "sugars", self.name, instead), "name")
        if self.extract and self.fermentable is None and not self.malt:
            raise refuse("missing", 'fermentable is wanted with an extract, such as "75 %".', "fermentable")
        return self


class SteepedTable(Table):
    """Grain steeped by itself."""

    grain: Name = Field(description="name of the grain, such as chocolate malt")
    key: Key | None = Field(default=None, description=KEY_OF_NAME)
    mass: Annotated[float, STEEPED] = Field(description="mass of the grain")
    water: Annotated[float, STEEPED_IN] = Field(description="water it is steeped in")
    hot: Flag = Field(default=True, description="whether it is steeped hot; a cold one takes a night")
    extract: Annotated[float, EXTRACT] | None = Field(
        default=None, description="potential of the dry grain, fine grind"
    )
    moisture: Annotated[float, MOISTURE] | None = Field(
        default=None, description="water in the grain as it is weighed"
    )
    colour: Annotated[float, COLOUR.like("950 EBC")] | None = Field(
        default=None, description="colour of its wort"
    )

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        lacking = [key for key in ("extract", "moisture", "colour") if getattr(self, key) is None]
        tables = tables_in(info)
        if lacking and tables.grain(self.grain) is None:
            raise refuse(*not_in_table(tables, "malts", self.grain, or_give(lacking)), "grain")
        return self


class GrainTeaTable(SteepedTable):
    """Grain steeped by itself; what runs off it goes into one portion."""

    at: Key = Field(description=OF_PORTION)


class BoiledHopsTable(Table):
    """Hops boiled by themselves."""

    variety: Name = Field(description="hop variety, such as Saaz")
    key: Key | None = Field(
        default=None, description="short name for other files; made from the variety if left out"
    )
    mass: Annotated[float, STEEPED.like("20 g")] = Field(description="mass of the hops")
    water: Annotated[float, STEEPED_IN.like("1 L")] | None = Field(
        default=None, description="water they are boiled in"
    )
    wort: Annotated[float, STEEPED_IN.like("2 L")] | None = Field(
        default=None, description="or as much of the portion's own wort"
    )
    boils_off: Annotated[float, BOILED_OFF] | None = Field(
        default=None, description="what of that wort goes as steam; none if left out"
    )
    time: Annotated[float, MINUTES.like("30 min")] = Field(description="how long they boil")
    alpha: Annotated[float, ALPHA] | None = Field(
        default=None, description="alpha acids as they are now; the variety's if left out"
    )
    alpha_scatter: Annotated[float, SCATTER] | None = Field(
        default=None, description="what the alpha acids may differ by"
    )
    form: HopForm = Field(default="pellets", description="pellets or whole hops")

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if self.alpha is None and tables.hop(self.variety) is None:
            instead = "Or give the alpha on its pack."
            raise refuse(*not_in_table(tables, "hops", self.variety, instead), "variety")
        if (self.water is None) == (self.wort is None):
            both = "both water and wort" if self.water else "neither water nor wort"
            raise refuse(both, "hops are boiled in one of them.", "water")
        if self.boils_off and (self.wort is None or self.boils_off > MOST_OFF * self.wort):
            understood = f"boils_off understood as {self.boils_off:.3g} L"
            accepted = f"it is of wort that boils apart, {100 * MOST_OFF:g} % of it at most."
            raise refuse(understood, accepted, "boils_off")
        return self


class HopTeaTable(BoiledHopsTable):
    """Hops boiled by themselves, and poured into one portion."""

    at: Key = Field(description=OF_PORTION)
