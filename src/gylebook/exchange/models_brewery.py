"""State what a brewery file may hold: vessels, heat, chiller, bag, fermenters, instruments, house figures.

In:  the tables of a brewery file.
Out: `BreweryTable`, every quantity a number in the unit of its noun.

Idea: each key has a description that the JSON Schema and the errors both show, and a range outside which
a unit has slipped.  Waters stand in `models_water`; what is left out is filled up in `brewery_file`; whether
a house figure's name is known is the flow's to say.
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import Field, field_validator, model_validator

from gylebook.brewery.gear import ChillerKind, HeatKind, Metal
from gylebook.brewery.instruments import InstrumentKind
from gylebook.errors import QuantityRefused
from gylebook.exchange.models_water import MOST_WATERS, WaterTable
from gylebook.exchange.quantities import LITRES, Flag, Key, Name, Quantity, Table, refuse
from gylebook.figures.units import Dimension, read, read_quantity

Altitude = Annotated[float, Quantity(Dimension.LENGTH, 0, 6000, "m", "210 m")]
RoomC = Annotated[float, Quantity(Dimension.TEMPERATURE, -20, 45, "°C", "18 °C")]
WATER_C = Quantity(Dimension.TEMPERATURE, 0, 95, "°C", "12 °C")
TapC = Annotated[float, Quantity(Dimension.TEMPERATURE, 0, 40, "°C", "14 °C")]
CooledC = Annotated[float, Quantity(Dimension.TEMPERATURE, 0, 60, "°C", "25 °C")]
PATIENCE = Quantity(Dimension.DURATION, 1, 1440, "min", "90 min")
Cooling = Annotated[float, Quantity(Dimension.DURATION, 1, 2880, "min", "30 min")]
CAPACITY = Quantity(Dimension.VOLUME, 0.5, 2000, "L", "50 L")
Diameter = Annotated[float, Quantity(Dimension.LENGTH, 5, 300, "cm", "40 cm", scale=100)]
PotMass = Annotated[float, Quantity(Dimension.MASS, 0.1, 500, "kg", "9 kg")]
BagMass = Annotated[float, Quantity(Dimension.MASS, 0, 20, "kg", "0.3 kg")]
LIFT = Quantity(Dimension.MASS, 1, 1000, "kg", "40 kg")
LEAST_STEP, MOST_STEP = 0.001, 50.0  # g or mL: what a dose can be weighed or measured with
ScaleStep = Annotated[float, Quantity(Dimension.MASS, LEAST_STEP, MOST_STEP, "g", "0.1 g", scale=1000)]
MeasureStep = Annotated[float, Quantity(Dimension.VOLUME, LEAST_STEP, MOST_STEP, "mL", "0.1 mL", scale=1000)]
Power = Annotated[float, Quantity(Dimension.POWER, 0.1, 200, "kW", "3.5 kW")]
Efficiency = Annotated[float, Quantity(Dimension.SHARE, 0.05, 1, "", "90 %")]
Area = Annotated[float, Quantity(Dimension.AREA, 0.01, 20, "m2", "0.45 m2")]
Flow = Annotated[float, Quantity(Dimension.FLOW, 0.1, 200, "L/min", "8 L/min")]
FREE_ROOM = Quantity(Dimension.SHARE, 0, 0.5, "", "15 %")

# How error and bias are written on each kind of instrument: an sd, in the unit it shows.
SCALES: dict[InstrumentKind, Quantity] = {
    "hydrometer": Quantity(Dimension.NUMBER, 0, 0.02, "SG", "0.001", optional_word="SG"),
    "refractometer": Quantity(Dimension.GRAVITY, 0, 5, "°Bx", "0.15 °Bx"),
    "dipstick": Quantity(Dimension.VOLUME, 0, 50, "L", "0.35 L"),
    "scale": Quantity(Dimension.MASS, 0, 20, "kg", "50 g"),
    "thermometer": Quantity(Dimension.TEMPERATURE_DIFFERENCE, 0, 20, "K", "0.4 °C"),
    "ph meter": Quantity(Dimension.PH, 0, 2, "pH", "0.04"),
    "clock": Quantity(Dimension.DURATION, 0, 60, "min", "1 min"),
    "tally": Quantity(Dimension.COUNT, 0, 100, "bottles", "1 bottle"),
}


class VesselTable(Table):
    """A pot, kettle or tun."""

    name: Name | None = Field(default=None, description="name of the vessel; its key if left out")
    capacity: Annotated[float, CAPACITY] = Field(description="volume to the brim")
    dead_volume: Annotated[float, LITRES.like("1.2 L")] | None = Field(
        default=None, description="what stays behind when it is emptied"
    )
    diameter: Diameter | None = Field(default=None, description="inner diameter")
    mass: PotMass | None = Field(default=None, description="its mass, empty; 0.16 kg per litre if left out")
    metal: Metal = Field(default="stainless", description="what it is made of")
    may_be_heated: Flag = Field(default=True, description="whether it may stand on heat")
    insulated: Flag = Field(default=False, description="whether it is insulated")

    @model_validator(mode="after")
    def _holds_its_rest(self) -> Self:
        _check_rest(self.dead_volume, self.capacity)
        return self


class HeatSourceTable(Table):
    """An element, plate or burner."""

    name: Name | None = Field(default=None, description="name of it; its key if left out")
    kind: HeatKind = Field(description="what kind of heat it is")
    power: Power = Field(description="power it draws, or heat of its gas")
    efficiency: Efficiency | None = Field(default=None, description="share of it that reaches the liquid")
    vessels: list[Key] = Field(min_length=1, max_length=50, description="keys of the vessels it can heat")


class KnownCoolingTable(Table):
    """A cooling time that was measured with this chiller, from the boil."""

    volume: Annotated[float, CAPACITY.like("24 L")] = Field(description="volume that was cooled")
    to: CooledC = Field(description="temperature it was cooled to")
    time: Cooling = Field(description="time that took")


class ChillerTable(Table):
    """What cools the wort."""

    kind: ChillerKind = Field(description="coil in the kettle, counterflow, or none")
    area: Area | None = Field(default=None, description="surface between wort and cooling water")
    known: KnownCoolingTable | None = Field(default=None, description="a cooling that was timed")
    tap: TapC = Field(default=14.0, description="temperature of the cooling water")
    flow: Flow = Field(default=8.0, description="flow of the cooling water")
    stirred: Flag = Field(default=True, description="whether the wort is stirred meanwhile")
    displaces: Annotated[float, LITRES.like("0.8 L")] = Field(
        default=0.0, description="volume of a coil that stands in the kettle"
    )

    @model_validator(mode="after")
    def _can_be_judged(self) -> Self:
        if self.kind != "none" and self.area is None and self.known is None:
            raise refuse(
                "neither area nor known", 'give area = "0.45 m2" or a cooling that was timed.', "area"
            )
        return self


class BagTable(Table):
    """The mash bag and what lifts it."""

    mass: BagMass = Field(default=0.3, description="mass of the bag, dry and empty")
    hoist: Annotated[float, LIFT] | None = Field(default=None, description="what the hoist may lift")
    person: Annotated[float, LIFT.like("15 kg")] = Field(default=15.0, description="what is lifted by hand")


class FermenterTable(Table):
    """A vessel that wort ferments in."""

    name: Name | None = Field(default=None, description="name of it; its key if left out")
    capacity: Annotated[float, CAPACITY.like("15 L")] = Field(description="volume to the brim")
    dead_volume: Annotated[float, LITRES.like("0.3 L")] = Field(
        default=0.3, description="what cannot be racked out of it"
    )

    @model_validator(mode="after")
    def _holds_its_rest(self) -> Self:
        _check_rest(self.dead_volume, self.capacity)
        return self


LEAST_ERROR = 1e-6  # in whatever an instrument shows; a reading without error would outweigh all else

HYDROMETER_MADE_FOR_C = 10, 25  # as the correction of its readings asks


class InstrumentTable(Table):
    """One instrument; what is left out is usual for its kind."""

    name: Name | None = Field(default=None, description="name of it; its key if left out")
    kind: InstrumentKind = Field(description="what kind of instrument it is")
    error: str | None = Field(
        default=None,
        description="standard deviation from reading to reading, as the scale shows",
        examples=["0.4 °C"],
    )
    bias: str | None = Field(
        default=None, description="standard deviation of what all its readings share", examples=["0.5 °C"]
    )
    calibrated: Annotated[float, WATER_C.like("20 °C")] = Field(
        default=20.0, description="temperature its scale was made for"
    )

    @field_validator("error", "bias", mode="before")
    @classmethod
    def _as_text(cls, given: Any) -> Any:
        if not isinstance(given, str):
            raise refuse(
                "a value without quotes", 'write it in quotes, as the scale shows it, such as "0.4 °C".'
            )
        return given

    @model_validator(mode="after")
    def _in_its_unit(self) -> Self:
        error, _ = self.figure("error"), self.figure("bias")
        if error is not None and error < LEAST_ERROR:
            raise refuse(
                f"“{self.error}”", "no instrument reads without error: give at least a little.", "error"
            )
        least, most = HYDROMETER_MADE_FOR_C
        if self.kind == "hydrometer" and not least <= self.calibrated <= most:
            understood = f"calibrated understood as {self.calibrated:g} °C"
            accepted = f"the scale of a hydrometer is made for {least} to {most} °C."
            raise refuse(understood, accepted, "calibrated")
        return self

    def figure(self, key: str) -> float | None:
        """Error or bias in the unit that this kind of instrument shows."""
        given = getattr(self, key)
        return None if given is None else SCALES[self.kind].value_of(given, key, key)


class HouseFigureTable(Table):
    """A figure of this house, in the unit the figure has."""

    level: str = Field(description="its level, such as 92 % or 4.5 L/h", examples=["92 %"])
    scatter: str = Field(description="its standard deviation from brew to brew", examples=["2 %"])

    @model_validator(mode="after")
    def _alike(self) -> Self:
        self.values()
        return self

    def values(self) -> tuple[float, float]:
        """Level and scatter in the base unit of what the level is written in."""
        key, text = "level", self.level
        try:
            level, dimension = _any_quantity(self.level)
            if dimension is Dimension.TEMPERATURE:
                dimension = Dimension.TEMPERATURE_DIFFERENCE
            key, text = "scatter", self.scatter
            scatter = read(self.scatter, dimension)
        except QuantityRefused as refused:
            problem = refused.problems[0]
            raise refuse(f"“{text}” is {problem.understood}", problem.accepted, key) from None
        if scatter < 0:
            raise refuse(f"“{self.scatter}” is below zero", "a scatter is zero or more.", "scatter")
        return level, scatter


class BreweryTable(Table):
    """One set of gear and its figures.  Quantities are text with their unit."""

    name: Name = Field(description="name of the brewery")
    altitude: Altitude = Field(default=0.0, description="height above the sea")
    room_temperature: RoomC = Field(default=18.0, description="temperature of the room, and of the grain")
    liquor_temperature: Annotated[float, WATER_C] = Field(
        default=12.0, description="temperature of the brewing water"
    )
    kettle: Key = Field(description="key of the vessel that boils")
    rinse: Key | None = Field(default=None, description="key of the vessel for a rinse")
    tun: Key | None = Field(
        default=None, description="key of a vessel to mash in besides the kettle, for a fly rinse"
    )
    stir_room: Annotated[float, FREE_ROOM.like("5 %")] = Field(
        default=0.05, description="share of a vessel kept free while mashing"
    )
    foam_room: Annotated[float, FREE_ROOM] = Field(
        default=0.15, description="share of the kettle kept free while boiling"
    )
    patience_heat: Annotated[float, PATIENCE] = Field(
        default=120.0, description="longest that a heating may take"
    )
    patience_cool: Annotated[float, PATIENCE.like("45 min")] = Field(
        default=60.0, description="longest that the cooling may take"
    )
    basket: Annotated[float, LITRES.like("0.3 L")] = Field(
        default=0.0, description="volume of a hop basket's own material"
    )
    water: Key | None = Field(
        default=None, description="key of the water drawn where a plan names none; the only one if left out"
    )
    weighs_to: ScaleStep = Field(default=0.1, description="step of the finest scale")
    measures_to: MeasureStep = Field(default=0.1, description="step of the finest measure")
    vessels: dict[Key, VesselTable] = Field(
        min_length=1, max_length=50, description="pots by their key, one [vessels.KEY] each"
    )
    heat_sources: dict[Key, HeatSourceTable] = Field(
        min_length=1, max_length=50, description="elements, plates and burners, one [heat_sources.KEY] each"
    )
    chiller: ChillerTable = Field(
        default_factory=lambda: ChillerTable(kind="none"), description="what cools the wort; none if left out"
    )
    bag: BagTable = Field(default_factory=BagTable, description="the mash bag and what lifts it")
    fermenters: dict[Key, FermenterTable] = Field(
        min_length=1, max_length=200, description="fermenters by their key, one [fermenters.KEY] each"
    )
    instruments: dict[Key, InstrumentTable] = Field(
        default_factory=dict,
        max_length=100,
        description="instruments; usual ones are there without being named",
    )
    waters: dict[Key, WaterTable] = Field(
        default_factory=dict,
        max_length=MOST_WATERS,
        description="waters to brew with by their key, one [waters.KEY] each",
    )
    house: dict[Name, HouseFigureTable] = Field(
        default_factory=dict, max_length=200, description="figures of this house by the name of the figure"
    )


def _any_quantity(text: str) -> tuple[float, Dimension]:
    """A quantity of whatever dimension its unit names; a number alone is a plain number."""
    try:
        return read(text, Dimension.NUMBER), Dimension.NUMBER
    except QuantityRefused:
        return read_quantity(text)


def _check_rest(rest: float | None, capacity: float) -> None:
    if rest is not None and rest >= capacity:
        raise refuse(f"{rest:g} L of {capacity:g} L", "less than its capacity stays behind.", "dead_volume")
