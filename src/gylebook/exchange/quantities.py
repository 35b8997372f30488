"""Let a field of a file be a quantity in text, and refuse what cannot be meant.

In:  the text of one field, its dimension and the range that makes sense there.
Out: pydantic field types that answer in the unit of the nouns (`Litres`, `Quantity(...)`), the base class
     `Table` of every table in a file, and `refuse` for rules that span several keys.

Idea: text becomes a number in one place, `figures.units`; here stands only what is sensible in a
brewery.  A number without quotes has lost its unit and is refused with the way to write it.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, StringConstraints, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from gylebook.errors import QuantityRefused
from gylebook.figures.units import Dimension, read

DAY_MIN = 1440.0
UNIT_MARK = "x-unit"  # taken out again by `schema`, which writes defaults with it


class Table(BaseModel):
    """One table of a file: no key is allowed that is not named in its model."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


def refuse(understood: str, accepted: str, *at: str | int) -> PydanticCustomError:
    """A refusal in our words; `at` leads from the table being checked to the key that is wrong."""
    return PydanticCustomError(
        "refused", "{accepted}", {"understood": understood, "accepted": accepted, "at": at}
    )


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity in text, `low` to `high` in `unit`, the unit of the noun.

    `scale` is how many of that unit make one of the unit that `read` answers in.  `example` shows how to
    write it; `optional_word` may follow a plain number (2.4 volumes).
    """

    dimension: Dimension
    low: float
    high: float
    unit: str
    example: str
    scale: float = 1.0
    optional_word: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._field)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {
            "type": "string",
            "examples": [self.example],
            UNIT_MARK: self.unit,
            "$comment": f"{self.dimension} {self.range_in_words()}",
        }

    def like(self, example: str) -> Quantity:
        """The same quantity with the example that fits one key."""
        return replace(self, example=example)

    def _field(self, given: object, info: ValidationInfo) -> float:
        return self.value_of(given, info.field_name or "value")

    def value_of(self, given: object, key: str, *at: str | int) -> float:
        """Number in `unit` of a value given for a key, or a refusal."""
        if not isinstance(given, str):
            raise refuse(unquoted(given), f'write it in quotes with its unit: {key} = "{self.example}".', *at)
        text = given
        if self.optional_word:
            text = re.sub(rf"\s*(?:{self.optional_word})$", "", given.strip())
        try:
            value = _number(text, self.dimension)
        except QuantityRefused as refused:
            understood = f"“{refused.text}” is {refused.problems[0].understood}"
            raise refuse(understood, refused.problems[0].accepted, *at) from None
        # The detour over another unit must not leave 30 d as 29.999999999999996 d.
        value = value if self.scale == 1.0 else round(value * self.scale, 9)
        if not self.low <= value <= self.high:
            understood = f"“{given.strip()}” understood as {self._in_words(value)}"
            raise refuse(understood, f"{key} lies {self.range_in_words()}.{self._hint(given, value)}", *at)
        return value

    def _in_words(self, value: float) -> str:
        if self.dimension is Dimension.SHARE:
            return f"{_said(100 * value)} %"
        return f"{_said(value)} {self.unit}".rstrip()

    def range_in_words(self) -> str:
        if self.dimension is Dimension.SHARE:
            return f"from {_said(100 * self.low)} to {_said(100 * self.high)} %"
        return f"from {_said(self.low)} to {_said(self.high)} {self.unit}".rstrip()

    def _hint(self, given: str, value: float) -> str:
        if self.dimension is not Dimension.TEMPERATURE or "F" in given.upper():
            return ""
        celsius = (value - 32.0) / 1.8
        if not self.low <= celsius <= self.high:
            return ""
        return f" If that was Fahrenheit, write “{_said(value)} °F” ({celsius:.1f} °C)."


@lru_cache(maxsize=4096)
def _number(text: str, dimension: Dimension) -> float:
    """A quantity read once: the same ones stand in most plans, and a book of many brews is read at once."""
    return read(text, dimension)


@dataclass(frozen=True, slots=True)
class Count:
    """A plain number, with or without quotes, such as a number of packs or of months."""

    low: float
    high: float
    example: str
    optional_word: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._field)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        bounds = {"minimum": self.low, "maximum": self.high}
        return {"anyOf": [{"type": "number", **bounds}, {"type": "string"}], "examples": [self.example]}

    def _field(self, given: object, info: ValidationInfo) -> float:
        word = self.optional_word
        as_text = Quantity(Dimension.NUMBER, self.low, self.high, "", self.example, optional_word=word)
        if isinstance(given, (int, float)) and not isinstance(given, bool):
            if not self.low <= given <= self.high:
                raise refuse(f"{_said(given)} given", f"{info.field_name} lies {as_text.range_in_words()}.")
            return float(given)
        return as_text.value_of(given, info.field_name or "value")


def unquoted(given: object) -> str:
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, float) and not math.isfinite(given):
        return f"{given} is not a quantity"
    if isinstance(given, (int, float)):
        return f"{_said(given)} without quotes has no unit"
    kind = "a table" if isinstance(given, dict) else "a list" if isinstance(given, list) else "a date or time"
    return f"{kind} is not a quantity"


def _said(value: float) -> str:
    try:
        return f"{value:.6g}"
    except OverflowError:  # an integer of hundreds of digits
        return "a number too large to write"


NAME_PATTERN = r"^[^\x00-\x1f\x7f]+$"
KEY_PATTERN = r"^\w+(?:[ -]\w+)*$"

Name = Annotated[str, StringConstraints(min_length=1, max_length=120, pattern=NAME_PATTERN)]
Key = Annotated[str, StringConstraints(min_length=1, max_length=60, pattern=KEY_PATTERN)]
Flag = Annotated[bool, Field(strict=True)]

LITRES = Quantity(Dimension.VOLUME, 0, 2000, "L", "34 L")
KILOGRAMS = Quantity(Dimension.MASS, 0, 1000, "kg", "7.5 kg")
SHARE = Quantity(Dimension.SHARE, 0, 1, "", "70 %")
MINUTES = Quantity(Dimension.DURATION, 0, 1440, "min", "60 min")
DAYS = Quantity(Dimension.DURATION, 0, 1500, "d", "21 d", scale=1 / DAY_MIN)
AGE = Quantity(Dimension.DURATION, 0, 3650, "d", "30 d", scale=1 / DAY_MIN)
SHARES_MISS = 0.005  # shares are written in whole per cent: three of 33 % are a whole
USUAL_STORE_C = 4.0  # a refrigerator
USUAL_SLURRY_L = 0.15
STORED_C = Quantity(Dimension.TEMPERATURE, -30, 40, "°C", "4 °C")

Litres = Annotated[float, LITRES]
Kilograms = Annotated[float, KILOGRAMS]
Weighed = Annotated[float, KILOGRAMS.like("30 g")]
Share = Annotated[float, SHARE]
Minutes = Annotated[float, MINUTES]
Days = Annotated[float, DAYS]
