"""State what a wish file may hold: how the wort is made, the beers wanted of it, what each may get.

In:  the tables of a wish file.
Out: `WishTable`, every quantity a number in the unit of its noun.

Idea: the wort's own tables are those of a plan file, so that what was learned there holds here.  An aim is a
list: of one quantity to come near, or of two to lie between.
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from gylebook.brewery.plan import BitternessBy
from gylebook.brewery.wish import TREATMENTS, Quality, Treatment
from gylebook.exchange.lookups import not_in_table, tables_in
from gylebook.exchange.models_added import COLOUR, AdditionTable, BoiledHopsTable, SteepedTable
from gylebook.exchange.models_liquor import LiquorTable
from gylebook.exchange.models_plan import (
    BoilTable,
    ChillTable,
    GrainTable,
    HopTable,
    MashPh,
    MashTable,
    Odds,
    ProcessTable,
    StandTable,
    grist_adds_up,
)
from gylebook.exchange.models_portion import FERMENT_C, HeadRoom, LaterTable, PackageTable, YeastTable
from gylebook.exchange.quantities import LITRES, SHARE, Key, Name, Quantity, Table, Weighed, refuse
from gylebook.exchange.style_table import close_styles, styles_called
from gylebook.figures.units import Dimension

MOST_BEERS = 6
AIMLESS = "neither a style nor an aim"
Gravity = Annotated[float, Quantity(Dimension.GRAVITY, -2, 35, "°P", "1.048")]
Alcohol = Annotated[float, Quantity(Dimension.SHARE, 0, 0.2, "", "5 %")]
Bitterness = Annotated[float, Quantity(Dimension.BITTERNESS, 0, 150, "IBU", "25 IBU")]
Colour = Annotated[float, COLOUR.like("12 EBC")]
AtMost = Annotated[float, SHARE.like("10 %")]

# The key that holds each aim of a beer.
AIM_KEYS: dict[Quality, str] = {
    "og": "gravity",
    "fg": "end",
    "abv": "alcohol",
    "ibu": "bitterness",
    "colour_srm": "colour",
}
SOURED = (
    "souring is stated, not chosen: give the beer "
    'later = { kind = "Lactobacillus plantarum", after = "2 d", months = 1 }.'
)
# What a beer is given in another way than by leave, by a part of the word that may be written for it.
SAID_ELSEWHERE = {
    "sour": SOURED,
    "lacto": SOURED,
    "dry hop": 'dry hops are stated, not chosen: [[hops]] with use = "dry" and portion = the beer\'s key.',
    "fruit": "fruit is stated, not chosen: [[additions]] with at = the beer's key.",
    "wood": "wood is stated, not chosen: [[additions]] with at = the beer's key.",
    "oak": "wood is stated, not chosen: [[additions]] with at = the beer's key.",
    "spice": "spice is stated, not chosen: [[additions]] with at = the beer's key.",
    "yeast": "every beer may choose its yeast: its own list yeasts tells among which.",
    "brett": "allow it “long ageing”, or give it a table “later” of its own.",
    "boil": 'allow it “hop tea”, and give [hop_tea] wort = "2 L" in place of water: then that boils apart.',
}


def _by_leave(given: Any) -> Any:
    """Answer what is asked for in the wrong place with the right one."""
    if isinstance(given, str) and given not in TREATMENTS:
        for part, said in SAID_ELSEWHERE.items():
            if part in given.casefold():
                raise refuse(f"“{given}”", said)
    return given


class ColourGrainTable(Table):
    """A grain that may darken the wort."""

    grain: Name = Field(description="name of the grain, such as chocolate malt")
    at_most: AtMost = Field(description="the most of it in the grist, as a share")

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if tables.grain(self.grain) is None:
            instead = "Take a grain of the table, or add it to a table of your own."
            raise refuse(*not_in_table(tables, "malts", self.grain, instead), "grain")
        return self


class SugarTable(Table):
    """Sugar that a beer may get."""

    name: Name = Field(description="name of the sugar, such as table sugar")
    mass: Weighed = Field(description="the most of it that one beer may get")

    @model_validator(mode="after")
    def _known(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if tables.sugar(self.name) is None:
            instead = "Take a sugar of the table, or add it to a table of your own."
            raise refuse(*not_in_table(tables, "sugars", self.name, instead), "name")
        return self


class AgeingTable(LaterTable):
    """What long ageing is done with."""


class BeerTable(Table):
    """One beer that is wanted: a style, aims of its own, or both."""

    name: Name = Field(description="name of the beer")
    fermenter: Key = Field(description="key of its fermenter in the brewery file")
    volume: Annotated[float, LITRES.like("12 L")] | None = Field(
        default=None, description="wort in the fermenter; as much as fits below the head room if left out"
    )
    style: Name | None = Field(
        default=None, description="code or name of a style whose published ranges are aimed at"
    )
    gravity: list[Gravity] | None = Field(
        default=None, min_length=1, max_length=2, description="gravity before yeast: one, or from and to"
    )
    end: list[Gravity] | None = Field(
        default=None, min_length=1, max_length=2, description="final gravity: one, or from and to"
    )
    alcohol: list[Alcohol] | None = Field(
        default=None, min_length=1, max_length=2, description="alcohol by volume: one, or from and to"
    )
    bitterness: list[Bitterness] | None = Field(
        default=None, min_length=1, max_length=2, description="bitterness: one, or from and to"
    )
    colour: list[Colour] | None = Field(
        default=None, min_length=1, max_length=2, description="colour: one, or from and to"
    )
    may: list[Annotated[Treatment, BeforeValidator(_by_leave)]] = Field(
        default=["dilution", "sugar", "hop tea", "grain tea"],
        description="what it may get of its own: dilution, sugar, hop tea, grain tea, long ageing",
    )
    yeasts: list[Name] = Field(
        default_factory=list, max_length=20, description="kinds of yeast it may get; any at hand if left out"
    )
    ferment_at: Annotated[float, FERMENT_C] | None = Field(
        default=None, description="temperature of fermentation; what suits the yeast if left out"
    )
    head_room: HeadRoom | None = Field(
        default=None, description="room above the wort, as a share of it; 20 % is usual"
    )
    package: PackageTable = Field(description="how it is packed")
    later: LaterTable | None = Field(
        default=None, description="an organism it gets in any case, such as souring bacteria"
    )

    @model_validator(mode="after")
    def _wanted(self) -> Self:
        if self.style is not None:
            found = styles_called(self.style)
            if not found:
                close = close_styles(self.style)
                hint = f"Did you mean {' or '.join(close)}? " if close else ""
                accepted = f"{hint}Write a code or name of the list of styles, or give aims of its own."
                raise refuse(f"no published style is called “{self.style}”", accepted, "style")
            if len(found) > 1:
                listed = " or ".join(f"“{row.code}”" for row in found)
                raise refuse(f"“{self.style}” stands in two guidelines", f"write {listed}.", "style")
        elif all(getattr(self, key) is None for key in AIM_KEYS.values()):
            raise refuse(AIMLESS, 'give style = "..." or gravity = ["1.050"].', "style")
        for key in AIM_KEYS.values():
            span = getattr(self, key)
            if span and span[0] > span[-1]:
                raise refuse("the first is above the second", f"{key} lists from, then to.", key)
        if self.volume == 0:
            raise refuse("nothing", "a beer is something; leave it out instead.", "volume")
        return self


def _one_to_six(beers: dict[str, BeerTable]) -> dict[str, BeerTable]:
    if len(beers) > MOST_BEERS:
        raise refuse(f"{len(beers)} beers", f"up to {MOST_BEERS} come from one wort here.")
    taken: dict[str, str] = {}
    for key, beer in beers.items():
        if beer.fermenter in taken:
            understood = f"“{beer.fermenter}” already holds “{taken[beer.fermenter]}”"
            raise refuse(understood, "one fermenter holds one beer.", key, "fermenter")
        taken[beer.fermenter] = key
    return beers


class WishTable(Table):
    """Beers wanted of one wort.  Quantities are text with their unit."""

    name: Name = Field(description="name of the gyle to be")
    odds: Odds = Field(default=0.9, description="how sure to be of volume and limits")
    mash_ph: MashPh | None = Field(default=None, description="pH of the mash, of a cooled sample")
    bitterness_by: BitternessBy = Field(default="trade rule", description="what foretells bitterness")
    process: ProcessTable = Field(description="how the wort is made, as in a plan")
    liquor: LiquorTable = Field(default_factory=LiquorTable, description="brewing water, as in a plan")
    grist: Annotated[list[GrainTable], AfterValidator(grist_adds_up)] = Field(
        min_length=1,
        max_length=30,
        description="grain of every beer, in shares of what is no colour grain",
    )
    colour_grains: list[ColourGrainTable] = Field(
        default_factory=list,
        max_length=10,
        description="grain that may darken the wort, the first named first",
    )
    mash: list[MashTable] = Field(min_length=1, max_length=20, description="the rests, in order")
    boil: BoilTable = Field(description="the boil")
    hops: list[HopTable] = Field(
        default_factory=list, max_length=100, description="hops of the kettle, and dry hops of single beers"
    )
    additions: list[AdditionTable] = Field(
        default_factory=list,
        max_length=100,
        description="what goes in whatever is chosen: finings, or fruit, wood and spice of one beer",
    )
    stand: StandTable | None = Field(default=None, description="a hot stand after the boil")
    chill: ChillTable = Field(default_factory=ChillTable, description="the chilling")
    yeasts: list[YeastTable] = Field(
        min_length=1, max_length=20, description="yeasts at hand; packs are counted out for each beer"
    )
    hop_tea: BoiledHopsTable | None = Field(
        default=None, description="hops boiled apart, in water or wort: the most that one beer may get"
    )
    grain_tea: SteepedTable | None = Field(
        default=None, description="grain steeped apart: the most that one beer may get, and its water"
    )
    sugar: SugarTable | None = Field(default=None, description="sugar: the most that one beer may get")
    ageing: AgeingTable | None = Field(
        default=None, description="the organism that long ageing is done with, where a beer may have it"
    )
    beers: Annotated[dict[Key, BeerTable], AfterValidator(_one_to_six)] = Field(
        min_length=1,
        json_schema_extra={"maxProperties": MOST_BEERS},
        description="beers wanted by their key, one [beers.KEY] each",
    )

    @model_validator(mode="after")
    def _together(self) -> Self:
        if self.process.kind == "extract only":
            raise refuse("“extract only”", "a wort to divide is mashed here.", "process", "kind")
        if any(line.share is None for line in self.grist):
            raise refuse("a mass", 'grain is wanted in shares: share = "100 %".', "grist")
        at_hand = {yeast.kind for yeast in self.yeasts}
        for index, yeast in enumerate(self.yeasts):
            if yeast.starter is not None:
                raise refuse("a starter", "leave it out: packs are counted here.", "yeasts", index, "starter")
        for key, beer in self.beers.items():
            for kind in beer.yeasts:
                if kind not in at_hand:
                    listed = ", ".join(f"“{one}”" for one in at_hand)
                    raise refuse(f"“{kind}”", f"at hand are {listed}.", "beers", key, "yeasts")
        for index, hop in enumerate(self.hops):
            if hop.portion is not None and hop.portion not in self.beers:
                listed = ", ".join(f"“{one}”" for one in self.beers)
                raise refuse(f"“{hop.portion}”", f"the beers are {listed}.", "hops", index, "portion")
            if hop.use != "dry" and hop.mass is not None:
                raise refuse(
                    "a mass", "hops of the kettle are weighed out by the search; give a share.", "hops", index
                )
        return self
