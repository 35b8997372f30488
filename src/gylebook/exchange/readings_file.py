"""Read a file of readings.

In:  the text or bytes of a TOML file with [[reading]] tables, and the name to call it by.
Out: `Reading` records in the order written, values in base units; with the ids that a phone gave them.

Idea: the quantity tells how the value is read; a gravity becomes °P as the scale shows it and nothing is
corrected here.  Whether step and instrument exist is asked where readings
are tied to the course.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Any
from uuid import UUID

from pydantic import Field, field_validator, model_validator

from gylebook.brewery.instruments import Beyond, Reading
from gylebook.brewery.instruments import Quantity as What
from gylebook.brewery.water import MeterWay
from gylebook.errors import Refused
from gylebook.exchange.meter_ways import asked_of_meter
from gylebook.exchange.quantities import Key, Name, Quantity, Table, refuse
from gylebook.exchange.refusals import judge
from gylebook.exchange.toml_text import parse
from gylebook.figures.quantity_text import beyond
from gylebook.figures.units import Dimension

UUID_TEXT = "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"
SampleC = Annotated[float, Quantity(Dimension.TEMPERATURE, -5, 110, "°C", "24 °C")]

READ_AS: dict[What, Quantity] = {
    "volume": Quantity(Dimension.VOLUME, 0, 2000, "L", "41.6 L"),
    "gravity": Quantity(Dimension.GRAVITY, -6, 35, "°P", "1.052"),
    "temperature": Quantity(Dimension.TEMPERATURE, -5, 110, "°C", "65.6 °C"),
    "ph": Quantity(Dimension.PH, 4, 7.5, "pH", "5.4"),  # of a mash, cooled or hot, on any meter that works
    "mass": Quantity(Dimension.MASS, 0, 1000, "kg", "17.4 kg"),
    "time": Quantity(Dimension.DURATION, 0, 2880, "min", "62 min"),
    "count": Quantity(Dimension.COUNT, 0, 10_000, "bottles", "48 bottles"),
}


class ReadingTable(Table):
    """One reading."""

    step: Name = Field(description="step of the day, such as preboil or portion.KEY")
    quantity: What = Field(description="what was read")
    value: Any = Field(
        description="the value as the instrument shows it, in quotes, with its unit; "
        "`above` or `below` before it where it was off the scale"
    )
    instrument: Key = Field(description="key of the instrument in the brewery file")
    at: str = Field(default="", max_length=40, description="when it was taken")
    temperature: SampleC | None = Field(default=None, description="temperature of what was measured")

    meter: MeterWay | None = Field(
        default=None, description="how a pH was read; asked for where the sample was above 35 °C"
    )
    gassy: bool = Field(default=False, description="whether its carbon dioxide was still in the sample")
    id: str = Field(
        default="",
        pattern=f"^$|{UUID_TEXT}",
        description="a UUID of its own, by which a book keeps it once, however often it is pasted",
    )

    @field_validator("at", mode="before")
    @classmethod
    def _time_without_quotes(cls, given: Any) -> Any:
        return given.isoformat() if isinstance(given, datetime.time | datetime.date) else given

    @model_validator(mode="after")
    def _in_its_unit(self) -> ReadingTable:
        self.number()
        if asked := asked_of_meter(self.quantity, self.temperature, self.meter):
            key, understood, accepted = asked
            raise refuse(understood, accepted, key)
        return self

    def number(self) -> float:
        """The value in base units."""
        value = beyond(self.value)[1] if isinstance(self.value, str) else self.value
        return READ_AS[self.quantity].value_of(value, "value", "value")

    def beyond(self) -> Beyond:
        """On which side of the value it was off the scale."""
        return beyond(self.value)[0] if isinstance(self.value, str) else ""


class ReadingsTable(Table):
    """Readings of one day, in the order in which they were taken."""

    reading: list[ReadingTable] = Field(
        default_factory=list, max_length=1000, description="the readings, one [[reading]] each"
    )


def read_readings(text: str | bytes, *, where: str) -> tuple[Reading, ...]:
    """The readings that a TOML text holds.

    Raises
    ------
    Refused
        With every fault found: file, line and key, the value as understood, what would be accepted.
    """
    return tuple(reading for _, reading in read_readings_with_ids(text, where=where))


def read_readings_with_ids(text: str | bytes, *, where: str) -> tuple[tuple[UUID | None, Reading], ...]:
    """The readings that a TOML text holds, each with the id that it bears; refused likewise."""
    table, problems = judge(ReadingsTable, parse(text, where=where))
    if table is None or problems:
        raise Refused(problems)
    return tuple((UUID(taken.id) if taken.id else None, _reading(taken)) for taken in table.reading)


def _reading(taken: ReadingTable) -> Reading:
    return Reading(
        step=taken.step,
        quantity=taken.quantity,
        value=taken.number(),
        instrument=taken.instrument,
        at=taken.at,
        temperature_c=taken.temperature,
        meter=taken.meter or "cooled",
        gassy=taken.gassy,
        beyond=taken.beyond(),
    )
