"""State what a plan file may hold: aims, process, grist, mash, boil, hops.

In:  the tables of a plan file.
Out: `PlanTable`, every quantity a number in the unit of its noun.

Idea: each key has a description that the JSON Schema and the errors both show, and a range outside which
a unit has slipped.  Portions and their yeast stand in `models_portion`, sugar and teas in `models_added`,
liquor and what goes into it in `models_liquor`; names are filled up from the tables in `plan_nouns`.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import AfterValidator, Field, ValidationInfo, model_validator

from gylebook.brewery.ingredients import GrainKind, HopForm, HopStorage, HopUse
from gylebook.brewery.plan import BitternessBy, Crush, Drain, ProcessKind
from gylebook.exchange.lookups import not_in_table, or_give, tables_in
from gylebook.exchange.models_added import (
    ALPHA,
    COLOUR,
    EXTRACT,
    KEY_OF_NAME,
    MOISTURE,
    SCATTER,
    AdditionTable,
    GrainTeaTable,
    HopTeaTable,
)
from gylebook.exchange.models_liquor import MOST_DOSES, DoseTable, LiquorTable
from gylebook.exchange.models_portion import BlendTable, PortionTable, StarterTable, shares_fit
from gylebook.exchange.quantities import (
    AGE,
    MINUTES,
    SHARE,
    SHARES_MISS,
    STORED_C,
    USUAL_STORE_C,
    Count,
    Flag,
    Key,
    Kilograms,
    Litres,
    Name,
    Quantity,
    Share,
    Table,
    Weighed,
    refuse,
)
from gylebook.exchange.substances import SoursAs
from gylebook.figures.units import Dimension

Gravity = Annotated[float, Quantity(Dimension.GRAVITY, 2.5, 35, "°P", "1.052")]
Bitterness = Annotated[float, Quantity(Dimension.BITTERNESS, 0, 150, "IBU", "28 IBU")]
MashPh = Annotated[float, Quantity(Dimension.PH, 4.6, 6.5, "", "5.4")]
DistilledPh = Annotated[float, Quantity(Dimension.PH, 3.5, 8, "", "5.7")]
Odds = Annotated[float, Quantity(Dimension.SHARE, 0.5, 0.999, "", "90 %")]
RinseC = Annotated[float, Quantity(Dimension.TEMPERATURE, 5, 85, "°C", "74 °C")]
MashC = Annotated[float, Quantity(Dimension.TEMPERATURE, 40, 80, "°C", "66 °C")]
StandC = Annotated[float, Quantity(Dimension.TEMPERATURE, 40, 100, "°C", "80 °C")]
ChillC = Annotated[float, Quantity(Dimension.TEMPERATURE, 0, 45, "°C", "20 °C")]
BoilTime = Annotated[float, Quantity(Dimension.DURATION, 0, 360, "min", "60 min")]
RestTime = Annotated[float, Quantity(Dimension.DURATION, 1, 1440, "min", "60 min")]
HopTime = Annotated[float, Quantity(Dimension.DURATION, 0, 129_600, "min", "60 min")]
HoldsMore = Annotated[float, Quantity(Dimension.VOLUME_PER_MASS, 0, 2, "L/kg", "0.15 L/kg")]
HopAge = Annotated[float, AGE.like("240 d")]
Keeps = Annotated[float, Quantity(Dimension.SHARE, 0, 0.9, "", "25 %")]
StorageIndex = Annotated[float, Count(0.2, 2, "0.31")]


class AimsTable(Table):
    """What the gyle should be; what is left out is free."""

    fermenters: Litres | None = Field(default=None, description="wort into all fermenters together, at 20 °C")
    gravity: Gravity | None = Field(
        default=None, description="gravity of that wort before yeast, 1.052 or 13 °P"
    )
    bitterness: Bitterness | None = Field(default=None, description="bitterness of that wort")
    mash_ph: MashPh | None = Field(default=None, description="pH of the mash, of a cooled sample")
    odds: Odds = Field(default=0.9, description="how sure to be of volume and limits")


class ProcessTable(Table):
    """How the wort is made."""

    kind: ProcessKind = Field(description="how the grain is mashed and rinsed")
    drain: Drain | None = Field(default=None, description="how the bag gives up wort; a tun for a fly rinse")
    crush: Crush = Field(default="fine", description="how fine the grain is crushed")
    stirred: Flag = Field(default=True, description="whether the rinse is stirred")
    rinse_temperature: RinseC = Field(default=74.0, description="temperature of the rinse liquor")
    mash_out: Flag = Field(
        default=False, description="whether the mash is heated before it is lifted or drained"
    )


class GrainTable(Table):
    """One line of the grist."""

    grain: Name = Field(description="name of the grain, such as Pilsner malt")
    key: Key | None = Field(default=None, description=KEY_OF_NAME)
    share: Share | None = Field(default=None, description="its share of the grist by mass")
    mass: Kilograms | None = Field(default=None, description="its mass, in place of a share")
    extract: Annotated[float, EXTRACT] | None = Field(
        default=None, description="potential of the dry grain, fine grind"
    )
    extract_scatter: Annotated[float, SCATTER] | None = Field(
        default=None, description="what a lot may differ from that by"
    )
    moisture: Annotated[float, MOISTURE] | None = Field(
        default=None, description="water in the grain as it is weighed"
    )
    colour: Annotated[float, COLOUR] | None = Field(default=None, description="colour of its wort")
    holds_more: HoldsMore | None = Field(default=None, description="wort it holds beyond barley malt")
    kind: GrainKind | None = Field(default=None, description="what kind of grain it is")
    sours_as: SoursAs | None = Field(
        default=None,
        description="kind of malt whose acid and buffering it has; gylebook's own judgement if left out",
    )
    distilled_ph: DistilledPh | None = Field(
        default=None, description="its own pH when mashed in distilled water, if measured"
    )

    @model_validator(mode="after")
    def _known_and_weighed(self, info: ValidationInfo) -> Self:
        if self.share is not None and self.mass is not None:
            raise refuse("both a share and a mass", "give one of them.", "mass")
        if self.share is None and self.mass is None:
            raise refuse(f"“{self.grain}” without amount", 'give share = "70 %" or mass = "7.5 kg".', "share")
        stated = {k: getattr(self, k) for k in ("extract", "moisture", "colour", "kind")}
        lacking = [key for key, value in stated.items() if value is None]
        tables = tables_in(info)
        if lacking and tables.grain(self.grain) is None:
            raise refuse(*not_in_table(tables, "malts", self.grain, or_give(lacking)), "grain")
        return self


class MashTable(Table):
    """One rest."""

    temperature: MashC = Field(description="temperature of the rest")
    time: RestTime = Field(description="length of the rest")


class BoilTable(Table):
    """The boil."""

    time: BoilTime = Field(description="length of the boil")


class HopTable(Table):
    """One hop addition.  Mass or share of the bitterness may be left to be solved."""

    variety: Name = Field(description="hop variety, such as Saaz")
    key: Key | None = Field(
        default=None, description="short name for other files; made from the variety if left out"
    )
    alpha: Annotated[float, ALPHA] | None = Field(
        default=None, description="alpha acids as on the pack; the variety's if left out"
    )
    alpha_scatter: Annotated[float, SCATTER] | None = Field(
        default=None, description="what the alpha acids may differ by"
    )
    use: HopUse = Field(default="boil", description="when it goes in")
    time: HopTime | None = Field(
        default=None, description="boil left, length of the stand, or days of dry hopping"
    )
    form: HopForm = Field(default="pellets", description="pellets or whole hops")
    mass: Weighed | None = Field(default=None, description="mass of hops")
    bitterness_share: Annotated[float, SHARE.like("80 %")] | None = Field(
        default=None, description="its part of the aimed bitterness, for when its mass is solved"
    )
    portion: Key | None = Field(default=None, description="portion that gets it, for dry hops")
    age: HopAge = Field(default=0.0, description="time since its alpha acids were measured")
    stored_at: Annotated[float, STORED_C] = Field(
        default=USUAL_STORE_C, description="temperature it was kept at since"
    )
    storage: HopStorage = Field(
        default="sealed", description="how it was kept: open, wrapped in film, or sealed without air"
    )
    keeps: Keeps | None = Field(
        default=None,
        description="share of its alpha acids that the variety loses in six months at 20 °C in the open; "
        "from the table of hops, else 25 %",
    )
    storage_index: StorageIndex | None = Field(
        default=None, description="storage index as measured now, which settles its age instead"
    )
    confined: Flag = Field(default=False, description="whether it boils in a tight bag")

    @model_validator(mode="after")
    def _known_and_weighed(self, info: ValidationInfo) -> Self:
        tables = tables_in(info)
        if self.alpha is None and tables.hop(self.variety) is None:
            instead = "Or give the alpha on its pack."
            raise refuse(*not_in_table(tables, "hops", self.variety, instead), "variety")
        if self.time is None and self.use != "first wort":
            raise refuse(
                "missing", 'time is wanted, such as time = "60 min" or, for dry hops, "4 d".', "time"
            )
        if self.use == "dry" and (self.mass is None or self.portion is None):
            raise refuse(
                "dry hops without mass or portion",
                'no bitterness settles them: give mass = "30 g" and the portion that gets them.',
                "mass" if self.mass is None else "portion",
            )
        if self.use != "dry" and self.portion is not None:
            raise refuse(f"use = “{self.use}” with a portion", "only dry hops go to one portion.", "portion")
        if self.use != "dry" and self.time is not None and self.time > 360:
            raise refuse(f"time understood as {self.time:g} min", "time lies from 0 to 360 min.", "time")
        return self


class StandTable(Table):
    """A hot stand after the boil."""

    temperature: StandC = Field(description="temperature of the stand")
    time: Annotated[float, MINUTES.like("20 min")] = Field(description="length of the stand")


class ChillTable(Table):
    """The chilling."""

    to: ChillC = Field(default=20.0, description="temperature at which the wort is divided")


def grist_adds_up(grist: list[GrainTable]) -> list[GrainTable]:
    shares = [line.share for line in grist if line.share is not None]
    if shares and len(shares) < len(grist):
        if sum(shares) >= 1.0:
            raise refuse(
                f"the shares add to {100 * sum(shares):.4g} %", "something must be left for the masses."
            )
        return grist
    if shares and abs(sum(shares) - 1.0) > SHARES_MISS:
        raise refuse(f"the shares add to {100 * sum(shares):.4g} %", "they add to 100 %, to half a per cent.")
    return grist


def _bitterness_adds_up(hops: list[HopTable]) -> list[HopTable]:
    total = sum(hop.bitterness_share or 0.0 for hop in hops)
    if total > 1.0 + SHARES_MISS:
        raise refuse(f"the bitterness_shares add to {100 * total:.4g} %", "they add to 100 % at most.")
    return hops


class PlanTable(Table):
    """One gyle as it is meant to be.  Quantities are text with their unit; what is left out is solved."""

    name: Name = Field(description="name of the gyle")
    bitterness_by: BitternessBy = Field(
        default="trade rule", description="what foretells bitterness; the other is shown beside it"
    )
    aims: AimsTable = Field(default_factory=AimsTable, description="what the gyle should be")
    process: ProcessTable = Field(description="how the wort is made")
    liquor: LiquorTable = Field(default_factory=LiquorTable, description="brewing water")
    doses: list[DoseTable] = Field(
        default_factory=list,
        max_length=MOST_DOSES,
        description="salts and acids that go in, one [[doses]] for each",
    )
    grist: Annotated[list[GrainTable], AfterValidator(grist_adds_up)] = Field(
        default_factory=list, max_length=100, description="the grain, one [[grist]] for each"
    )
    mash: list[MashTable] = Field(default_factory=list, max_length=20, description="the rests, in order")
    boil: BoilTable = Field(description="the boil")
    hops: Annotated[list[HopTable], AfterValidator(_bitterness_adds_up)] = Field(
        default_factory=list, max_length=100, description="hop additions"
    )
    additions: list[AdditionTable] = Field(
        default_factory=list, max_length=100, description="sugar, fruit, finings, spices and the like"
    )
    stand: StandTable | None = Field(default=None, description="a hot stand after the boil")
    chill: ChillTable = Field(default_factory=ChillTable, description="the chilling")
    starters: dict[Key, StarterTable] = Field(
        default_factory=dict, max_length=50, description="yeast starters by their key"
    )
    portions: Annotated[dict[Key, PortionTable], AfterValidator(shares_fit)] = Field(
        min_length=1,
        max_length=50,
        description="the beers made of this wort, by their key, one [portions.KEY] each",
    )
    grain_teas: list[GrainTeaTable] = Field(
        default_factory=list, max_length=100, description="grain steeped for one portion"
    )
    hop_teas: list[HopTeaTable] = Field(
        default_factory=list, max_length=100, description="hops boiled apart for one portion"
    )
    blends: dict[Key, BlendTable] = Field(
        default_factory=dict, max_length=50, description="finished portions poured together, by a key"
    )
