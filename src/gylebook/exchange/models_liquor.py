"""State what a plan file may hold of its liquor: how much, of which waters, what is wanted, what goes in.

In:  the tables `[liquor]` and `[[doses]]` of a plan file.
Out: `LiquorTable` and `DoseTable`, every quantity a number in the unit of its noun, every salt and acid
     its key.

Idea: what is wanted of the liquor and what is put into it are two things, and either may be given alone.
Whether a water exists is asked in `together`; whether a dose is a wise one is chemistry.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any, Self

from pydantic import AfterValidator, Field, GetCoreSchemaHandler, ValidationInfo, model_validator
from pydantic_core import CoreSchema, core_schema

from gylebook.brewery.plan import Liquor
from gylebook.brewery.water import AgainstChlorine, Dose, DoseInto, IonAim
from gylebook.errors import QuantityRefused
from gylebook.exchange.concentrations import Concentration, alkalinity, alkalinity_as_caco3
from gylebook.exchange.quantities import LITRES, SHARES_MISS, Key, Litres, Name, Quantity, Table, refuse
from gylebook.exchange.substances import ALKALINE, ALKALIS, Substance, acids, found, salts, why_not_found
from gylebook.figures.units import Dimension, read_quantity

USUAL = Liquor()
MOST_SALTS = 9
MOST_DOSES = 50
NO_ALKALI = "none"

MOST_MG_PER_L = 2000.0
ION = Concentration(MOST_MG_PER_L, "mg/L", "100 mg/L")
ALKALINITY = alkalinity_as_caco3(1000.0, "60 mg/L CaCO3")
Drawn = Annotated[float, Quantity(Dimension.SHARE, 0, 1, "", "60 %")]
RinseAlkalinity = Annotated[float, alkalinity(20, "25 mg/L CaCO3")]
WEIGHED = Quantity(Dimension.MASS, 1e-3, 1000, "g", "8 g", scale=1000)
POURED = Quantity(Dimension.VOLUME, 1e-3, 2000, "mL", "10 mL", scale=1000)


class IonAimTable(Table):
    """What an ion is to be, and between which bounds it stays; read by `_IonWanted`, which knows the ion."""

    aim: Any = Field(description="what is aimed at", json_schema_extra=ION.as_schema())
    least: Any = Field(
        default=None, description="the least of it that will do", json_schema_extra=ION.as_schema()
    )
    most: Any = Field(
        default=None, description="the most of it that will do", json_schema_extra=ION.as_schema()
    )


@dataclass(frozen=True, slots=True)
class _IonWanted:
    """An ion's aim in short, "100 mg/L", or as a table with its bounds.

    Numbers are mg/L, of alkalinity as CaCO3.
    """

    read: Concentration

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_wrap_validator_function(self._field, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(schema), self.read.as_schema()]}

    def _field(self, given: object, inner: Any, info: ValidationInfo) -> IonAimTable:
        ion, read = info.field_name or "ion", self.read
        if not isinstance(given, dict | IonAimTable):
            return IonAimTable.model_construct(aim=read.value_of(given, ion), least=0.0, most=None)
        table = inner(given)
        aim = read.value_of(table.aim, "aim", "aim")
        least = 0.0 if table.least is None else read.value_of(table.least, "least", "least")
        most = None if table.most is None else read.value_of(table.most, "most", "most")
        if least > aim:
            raise refuse(f"least {least:g} mg/L of an aim of {aim:g}", "the aim lies between both.", "least")
        if most is not None and most < aim:
            raise refuse(f"most {most:g} mg/L of an aim of {aim:g}", "the aim lies between both.", "most")
        return IonAimTable.model_construct(aim=aim, least=least, most=most)


def _wanted(formula: str) -> _IonWanted:
    return _IonWanted(replace(ION, own=formula))


class IonsTable(Table):
    """What the liquor should hold; an ion that is left out is free."""

    calcium: Annotated[IonAimTable, _wanted("Ca")] | None = Field(default=None, description="calcium")
    magnesium: Annotated[IonAimTable, _wanted("Mg")] | None = Field(default=None, description="magnesium")
    sodium: Annotated[IonAimTable, _wanted("Na")] | None = Field(default=None, description="sodium")
    chloride: Annotated[IonAimTable, _wanted("Cl")] | None = Field(default=None, description="chloride")
    sulphate: Annotated[IonAimTable, _wanted("SO4")] | None = Field(default=None, description="sulphate")
    alkalinity: Annotated[IonAimTable, _IonWanted(ALKALINITY)] | None = Field(
        default=None, description="alkalinity, which diluting brings down"
    )

    def nouns(self) -> tuple[IonAim, ...]:
        """The aims, in the order of this table."""
        stated = ((name, getattr(self, name)) for name in type(self).model_fields)
        return tuple(
            IonAim(ion=name, mg_per_l=table.aim, least=table.least, most=table.most)
            for name, table in stated
            if table is not None
        )


def _salt(name: str) -> str:
    salt = found(name, salts().values())
    if salt is None:
        raise refuse(*why_not_found(name, salts().values(), "salt"))
    if salt.key in ALKALINE:
        accepted = "alkali raises the pH and is found for the mash pH; name it as alkali."
        if salt.key not in ALKALIS:
            able = " or ".join(salts()[key].name for key in ALKALIS)
            accepted = f"it raises the pH and hardly dissolves; name {able} as alkali, or dose it yourself."
        raise refuse(f"“{salt.name}” for the ions", accepted)
    return salt.key


def _acid(name: str) -> str:
    acid = found(name, acids().values())
    if acid is None:
        raise refuse(*why_not_found(name, acids().values(), "acid"))
    return acid.key


def _alkali(name: str) -> str:
    """Its key, or nothing where none is to be used."""
    if name == NO_ALKALI:
        return ""
    able = [salts()[key] for key in ALKALIS]
    alkali = found(name, able)
    if alkali is None:
        known = f"known: {', '.join(f'“{it.name}”' for it in able)}, or “{NO_ALKALI}”."
        raise refuse(f"“{name}” as alkali", known)
    return alkali.key


def _once_each(keys: list[str]) -> list[str]:
    for index, key in enumerate(keys):
        if key in keys[:index]:
            raise refuse(f"“{salts()[key].name}” stands twice", "name each salt once.", index)
    return keys


def _make_a_whole(waters: dict[str, float]) -> dict[str, float]:
    total = sum(waters.values())
    if waters and abs(total - 1.0) > SHARES_MISS:
        raise refuse(f"the shares add to {100 * total:.4g} %", "they add to 100 %, to half a per cent.")
    return waters


Salt = Annotated[Name, AfterValidator(_salt)]


class LiquorTable(Table):
    """Brewing water at 20 °C by where it goes, and how it is treated; what is left out is solved."""

    mash: Litres | None = Field(default=None, description="liquor into the mash")
    rinse: Annotated[float, LITRES.like("14 L")] | None = Field(
        default=None, description="liquor for the rinse"
    )
    kettle: Annotated[float, LITRES.like("2 L")] = Field(
        default=0.0, description="liquor into the kettle at the end of the boil"
    )
    waters: Annotated[dict[Key, Drawn], AfterValidator(_make_a_whole)] = Field(
        default_factory=dict,
        max_length=20,
        description="shares of the brewery's waters by their key; its own water if left out",
        examples=[{"mains": "60 %", "soft": "40 %"}],
    )
    diluted_with: Key | None = Field(
        default=None, description="a purer water of the brewery, whose share is solved for the ions wanted"
    )
    ions: IonsTable = Field(default_factory=IonsTable, description="what all liquor should hold")
    rinse_ions: IonsTable = Field(
        default_factory=IonsTable, description="what the rinse should hold, where it differs"
    )
    salts: Annotated[list[Salt], AfterValidator(_once_each)] = Field(
        default_factory=lambda: list(USUAL.salts),
        max_length=MOST_SALTS,
        description="salts at hand for the ions, by name; "
        "gypsum, calcium chloride, common salt and Epsom salt if left out",
    )
    acid: Annotated[Name, AfterValidator(_acid)] = Field(
        default=USUAL.acid, description="acid at hand, by name", examples=["lactic acid 88 %"]
    )
    alkali: Annotated[Name, AfterValidator(_alkali)] = Field(
        default=USUAL.alkali,
        description="what raises the pH of a mash: baking soda, slaked lime or none",
        examples=["baking soda"],
    )
    rinse_alkalinity: RinseAlkalinity | None = Field(
        default=None, description="alkalinity that the acid may leave in the rinse"
    )
    against_chlorine: AgainstChlorine = Field(
        default=USUAL.against_chlorine, description="what takes chlorine and chloramine out"
    )

    def noun(self, doses: list[DoseTable]) -> Liquor:
        """The liquor, with what is put into it."""
        return Liquor(
            mash_l=self.mash,
            rinse_l=self.rinse,
            kettle_l=self.kettle,
            waters=tuple(self.waters.items()),
            diluted_with=self.diluted_with,
            ions=self.ions.nouns(),
            rinse_ions=self.rinse_ions.nouns(),
            salts=tuple(self.salts),
            acid=self.acid,
            alkali=self.alkali,
            rinse_alkalinity=self.rinse_alkalinity,
            against_chlorine=self.against_chlorine,
            doses=tuple(dose.noun() for dose in doses),
        )


class DoseTable(Table):
    """A salt or an acid that goes into the liquor or the kettle."""

    of: Name = Field(description="salt or acid, by name", examples=["gypsum"])
    into: DoseInto = Field(
        description="where it goes; what is held back goes into the mash once its pH was read"
    )
    amount: Any = Field(
        description="how much: weighed, or measured where an acid is poured",
        json_schema_extra={
            "type": "string",
            "examples": ["8 g"],
            "$comment": f"mass {WEIGHED.range_in_words()}, volume {POURED.range_in_words()}",
        },
    )

    @model_validator(mode="after")
    def _known_and_measured(self) -> Self:
        self.noun()
        return self

    def noun(self) -> Dose:
        """The dose, in grams or millilitres."""
        every = [*salts().values(), *acids().values()]
        substance = found(self.of, every)
        if substance is None:
            raise refuse(*why_not_found(self.of, every, "salt or acid"), "of")
        amount = _amount(self.amount, substance)
        return Dose(of=substance.key, kind=substance.kind, into=self.into, amount=amount)


def _amount(given: object, of: Substance) -> float:
    """Grams, or millilitres of what is poured; the other is refused, since no density is guessed."""
    right, wrong = (POURED, WEIGHED) if of.poured else (WEIGHED, POURED)
    if isinstance(given, str) and _is(wrong.dimension, given):
        how = "poured: write mL" if of.poured else "weighed: write g"
        accepted = f"{of.name} is {how}, such as “{right.example}”."
        raise refuse(f"“{given.strip()}” of {of.name}", accepted, "amount")
    return right.value_of(given, "amount", "amount")


def _is(dimension: Dimension, text: str) -> bool:
    try:
        return read_quantity(text)[1] is dimension
    except QuantityRefused:
        return False
