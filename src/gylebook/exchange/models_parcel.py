"""State what a parcel may hold: whose it is, the beer's own numbers, a forecast, and two plans as text.

In:  the tables of a parcel whose seal was found whole.
Out: `ParcelTable`, every number finite and within what a beer can be.

Idea: a parcel comes from a stranger, so nothing in it is taken for granted, not even that its parts speak of
the same portions.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, StringConstraints, model_validator

from gylebook.brewery.beer import Beer, PortionOfBeer
from gylebook.exchange.models_liquor import IonsTable
from gylebook.exchange.quantities import Key, Table, refuse
from gylebook.figures.draws import Summary

MOST_NAME, MOST_NOTE = 80, 500  # characters
MOST_LITRES = 5000.0
PRINTED = r"^[^\x00-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]*$"

Litres = Annotated[float, Field(gt=0, le=MOST_LITRES, allow_inf_nan=False)]
Positive = Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)]
Told = Annotated[float, Field(ge=-1e9, le=1e9, allow_inf_nan=False)]
Sender = Annotated[str, StringConstraints(max_length=MOST_NAME, pattern=PRINTED)]
Words = Annotated[str, StringConstraints(max_length=MOST_NOTE, pattern=PRINTED)]
NumberName = Annotated[str, StringConstraints(max_length=120, pattern=r"^[\w. -]+$")]
PlanText = Annotated[str, StringConstraints(min_length=1, max_length=150_000)]


class PortionTable(Table):
    """One portion of the beer."""

    key: Key = Field(description="key of the portion in the plan")
    volume_l: Litres = Field(description="its litres, the middle of the forecast")
    most_l: Litres = Field(description="the most of them, at the odds the plan asks for")
    pitched: Positive = Field(description="yeast given over yeast needed")
    packs_needed: Positive = Field(description="packs that the usual pitch takes")


class BeerTable(Table):
    """What must stay the same wherever it is brewed."""

    volume_l: Litres = Field(description="litres into all fermenters, reached at the odds the plan asks for")
    kettle_l: Litres = Field(description="litres of wort as its boil ends there")
    plato: Annotated[float, Field(gt=0, le=35)] = Field(description="strength of the wort")
    ibu: Annotated[float, Field(ge=0, le=500)] = Field(description="bitterness from the kettle")
    colour_srm: Annotated[float, Field(gt=0, le=1000)] = Field(description="colour")
    mash_ph: Annotated[float, Field(ge=4, le=7.5)] | None = Field(
        default=None, description="pH of the mash, cooled; left out where the water was not known"
    )
    late_ibu: Positive = Field(description="what late hops bring while the wort cools, by the kinetics")
    chill_min: Positive = Field(description="minutes of cooling there")
    ions: dict[str, Positive] = Field(
        default_factory=dict, max_length=10, description="mg/L of the mash liquor as it was treated"
    )
    hop_ibu: dict[Key, Positive] = Field(
        default_factory=dict, max_length=200, description="bitterness that each addition brings, by its key"
    )
    portions: list[PortionTable] = Field(
        min_length=1, max_length=50, description="the portions, one [[beer.portions]] each"
    )

    @model_validator(mode="after")
    def _ions_known(self) -> Self:
        for ion in self.ions:
            if ion not in IonsTable.model_fields:
                raise refuse(f"“{ion}”", f"one of {', '.join(IonsTable.model_fields)} is wanted.", "ions")
        return self

    def noun(self) -> Beer:
        """The beer."""
        return Beer(
            volume_l=self.volume_l,
            kettle_l=self.kettle_l,
            plato=self.plato,
            ibu=self.ibu,
            colour_srm=self.colour_srm,
            mash_ph=self.mash_ph,
            ions=tuple(self.ions.items()),
            hop_ibu=tuple(self.hop_ibu.items()),
            late_ibu=self.late_ibu,
            chill_min=self.chill_min,
            portions=tuple(PortionOfBeer(**portion.model_dump()) for portion in self.portions),
        )


class ParcelTable(Table):
    """A beer for another brewery."""

    parcel: int = Field(description="number of this format")
    made_by: Annotated[str, StringConstraints(max_length=40, pattern=r"^[\w.+-]*$")] = Field(
        default="", description="version of gylebook that wrote it"
    )
    sender: Sender = Field(default="", description="the name its sender chose")
    note: Words = Field(default="", description="a line to whoever receives it")
    seal: str = Field(description="SHA-256 over all the rest, which finds damage and proves no author")
    beer: BeerTable = Field(description="what must stay the same")
    forecast: dict[NumberName, Annotated[list[Told], Field(min_length=5, max_length=5)]] = Field(
        max_length=500,
        description="numbers forecast there, each as middle, low and high end of 90 in 100, mean and scatter",
    )
    plan: PlanText = Field(description="the plan as it was typed, a plan file")
    amounts: PlanText = Field(description="the plan as it was solved there, a plan file")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        for name, (middle, low, high, _, scatter) in self.forecast.items():
            if not low <= middle <= high or scatter < 0:
                accepted = "the middle of a forecast lies between its ends."
                raise refuse("not middle, low, high", accepted, "forecast", name)
        return self

    def numbers(self) -> dict[str, Summary]:
        """The forecast there."""
        return {name: Summary(*five) for name, five in self.forecast.items()}
