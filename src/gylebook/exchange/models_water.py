"""State what a brewery file may hold of its waters: a report, or the membrane that made it.

In:  the tables `[waters.KEY]` and `[waters.KEY.report]` of a brewery file.
Out: `WaterTable`; `water_faults`, for what only all waters together can tell.

Idea: a report is taken in every unit that laboratories write, and kept in it.  Whether its charges balance is
chemistry and asked elsewhere; here stands what no report can say.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Self

from pydantic import Field, model_validator

from gylebook.brewery.water import ReportLine, Water
from gylebook.exchange.concentrations import Concentration, Told
from gylebook.exchange.lines import Path
from gylebook.exchange.quantities import Flag, Key, Name, Quantity, Table, refuse
from gylebook.exchange.references import unknown
from gylebook.figures.units import Dimension

MOST_WATERS = 20

_DEGREES = ("°dH", "°f", "°e", "gpg")
ION = ("mg/L", "mmol/L", "mEq/L")
HARD_ION = (*ION, "mg/L CaCO3", *_DEGREES)
HARDNESS = ("mg/L CaCO3", "mg/L Ca", "mmol/L", "mEq/L", *_DEGREES)
ALKALINITY = ("mg/L CaCO3", "mg/L HCO3", "mg/L Ca", "mmol/L", "mEq/L", *_DEGREES)

PH = Quantity(Dimension.PH, 0, 14, "", "7.6")
SCATTER = Quantity(Dimension.SHARE, 0, 0.5, "", "10 %")
Passed = Annotated[float, Quantity(Dimension.SHARE, 0, 0.5, "", "4 %")]
Chlorine = Annotated[float, Concentration(20, "mg/L", "0.5 mg/L", "Cl2")]

Line = ReportLine | None
Hardness = Annotated[Line, Told(HARDNESS, "12 °dH")]


class ReportTable(Table):
    """A water report, each figure as it is written there."""

    ph: Annotated[float, PH] | None = Field(default=None, description="pH")
    alkalinity: Annotated[Line, Told(ALKALINITY, "180 mg/L CaCO3")] = Field(
        default=None, description="alkalinity, also called acid capacity to pH 4.3"
    )
    hardness: Hardness = Field(default=None, description="total hardness")
    calcium_hardness: Hardness = Field(default=None, description="the part of it that is calcium")
    magnesium_hardness: Hardness = Field(default=None, description="the part of it that is magnesium")
    carbonate_hardness: Hardness = Field(
        default=None, description="temporary hardness, which stands in for an alkalinity that is not told"
    )
    calcium: Annotated[Line, Told(HARD_ION, "80 mg/L", "Ca")] = Field(default=None, description="calcium")
    magnesium: Annotated[Line, Told(HARD_ION, "9 mg/L", "Mg")] = Field(default=None, description="magnesium")
    sodium: Annotated[Line, Told(ION, "15 mg/L", "Na")] = Field(default=None, description="sodium")
    potassium: Annotated[Line, Told(ION, "2 mg/L", "K")] = Field(default=None, description="potassium")
    ammonium: Annotated[Line, Told((*ION, "mg/L N"), "0.1 mg/L", "NH4")] = Field(
        default=None, description="ammonium"
    )
    chloride: Annotated[Line, Told(ION, "30 mg/L", "Cl")] = Field(default=None, description="chloride")
    sulphate: Annotated[Line, Told((*ION, "mg/L S"), "12 mg/L S", "SO4")] = Field(
        default=None, description="sulphate; as sulphur where the report says SO4-S"
    )
    nitrate: Annotated[Line, Told((*ION, "mg/L N"), "20 mg/L", "NO3")] = Field(
        default=None, description="nitrate; as nitrogen where the report says NO3-N"
    )
    bicarbonate: Annotated[Line, Told(HARD_ION, "220 mg/L", "HCO3")] = Field(
        default=None, description="bicarbonate, in place of the alkalinity"
    )
    carbonate: Annotated[Line, Told(HARD_ION, "0 mg/L", "CO3")] = Field(default=None, description="carbonate")
    fluoride: Annotated[Line, Told(ION, "0.2 mg/L", "F")] = Field(default=None, description="fluoride")

    @model_validator(mode="after")
    def _tells_something(self) -> Self:
        if not self.lines():
            raise refuse("an empty report", 'give what it tells, such as alkalinity = "180 mg/L CaCO3".')
        return self

    def lines(self) -> tuple[ReportLine, ...]:
        """What the report tells; a pH has no unit."""
        ph = () if self.ph is None else (ReportLine(what="ph", value=self.ph),)
        rest = (getattr(self, name) for name in type(self).model_fields if name != "ph")
        return (*ph, *(line for line in rest if line is not None))


class WaterTable(Table):
    """A water to brew with."""

    name: Name | None = Field(default=None, description="name of it; its key if left out")
    report: ReportTable | None = Field(default=None, description="its report")
    scatter: Annotated[float, SCATTER] = Field(
        default=0.1, description="what all its ions together may be off by on the day"
    )
    membrane_of: Key | None = Field(
        default=None, description="key of the water that a reverse-osmosis membrane makes it of"
    )
    passed: Passed = Field(default=0.04, description="share of each ion that gets through that membrane")
    chlorine: Chlorine = Field(default=0.0, description="the utility's total chlorine, as Cl2")
    chloramine: Flag = Field(default=True, description="whether that is chloramine, or may be")

    @model_validator(mode="after")
    def _known_one_way(self) -> Self:
        if self.report is not None and self.membrane_of is not None:
            raise refuse(
                "both a report and membrane_of", "give one: measured, or made of another water.", "report"
            )
        if self.report is None and self.membrane_of is None:
            raise refuse(
                "neither a report nor membrane_of",
                "give it a report, or name the water that a membrane makes it of.",
            )
        if self.membrane_of is None and "passed" in self.model_fields_set:
            raise refuse(
                "passed without a membrane", "name the water it is made of as membrane_of.", "passed"
            )
        return self

    def noun(self, key: str) -> Water:
        """The water that this table tells."""
        return Water(
            key=key,
            name=self.name or key,
            report=self.report.lines() if self.report else (),
            scatter=self.scatter,
            membrane_of=self.membrane_of,
            passed=self.passed,
            chlorine_mg_per_l=self.chlorine,
            chloramine=self.chloramine,
        )


def water_drawn(water: str | None, waters: Mapping[str, WaterTable]) -> str | None:
    """Key of the water drawn where a plan names none: the one named, else the only one."""
    return next(iter(waters)) if water is None and len(waters) == 1 else water


def water_faults(
    water: str | None, waters: Mapping[str, WaterTable]
) -> Iterator[tuple[Path, tuple[str, str]]]:
    """Waters that are named but not there, and a choice that was not made."""
    if water is not None and water not in waters:
        yield ("water",), unknown(water, waters, "water")
    if water is None and len(waters) > 1:
        listed = ", ".join(f"“{key}”" for key in waters)
        accepted = f"name the one that is drawn where a plan names none: one of {listed}."
        yield ("water",), (f"{len(waters)} waters, and none is named", accepted)
    reported = [key for key, other in waters.items() if other.report is not None]
    for key, made in waters.items():
        of = made.membrane_of
        if of is not None and of not in reported:
            path: Path = ("waters", key, "membrane_of")
            if of not in waters:
                yield path, unknown(of, reported, "water")
            else:
                what = "itself" if of == key else f"“{of}”, which has no report"
                listed = ", ".join(f"“{name}”" for name in reported) or "none yet"
                yield path, (f"made of {what}", f"name a water that has one: {listed}.")
