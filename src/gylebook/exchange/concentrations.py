"""Let a field of a file be a concentration in text.

In:  the text of one field, the units it may be told in, what they are worth in the unit of the noun.
Out: pydantic field types: `Concentration`, which answers in one unit, and `Told`, a line of a water report,
     which keeps the unit it was written in.

Idea: text is read in one place, `figures.concentration`; here stands which units a key takes and the range
that makes sense there.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from gylebook.brewery.water import ReportLine
from gylebook.errors import QuantityRefused
from gylebook.exchange.quantities import UNIT_MARK, refuse, unquoted
from gylebook.figures.concentration import ALKALINITY_MEQ, read_concentration


@dataclass(frozen=True, slots=True)
class Concentration:
    """A concentration from 0 to `high` in `unit`; `worth` is how many of that one of each unit is.

    `own` is the formula of what is told: it may stand behind the unit.
    """

    high: float
    unit: str
    example: str
    own: str = ""
    worth: tuple[tuple[str, float], ...] = ()  # that unit alone

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._field)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {**self.as_schema(), UNIT_MARK: self.unit}

    def as_schema(self) -> dict[str, Any]:
        """How a JSON Schema tells of it."""
        return {
            "type": "string",
            "examples": [self.example],
            "$comment": f"concentration {self.range_in_words()}",
        }

    def _field(self, given: object, info: ValidationInfo) -> float:
        return self.value_of(given, info.field_name or "value")

    def value_of(self, given: object, key: str, *at: str | int) -> float:
        """Number in `unit` of a value given for a key, or a refusal."""
        worth = dict(self.worth) or {self.unit: 1.0}
        number, unit = _read(given, key, tuple(worth), self.own, self.example, *at)
        value = number * worth[unit]
        if value > self.high:
            understood = f"“{str(given).strip()}” understood as {value:.6g} {self.unit}"
            raise refuse(understood, f"{_in_words(key)} lies {self.range_in_words()}.", *at)
        return value

    def range_in_words(self) -> str:
        return f"from 0 to {self.high:g} {self.unit}"


@dataclass(frozen=True, slots=True)
class Told:
    """A line of a water report, in one of `units`; `own` is the formula of the ion that it tells."""

    units: tuple[str, ...]
    example: str
    own: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._field)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"type": "string", "examples": [self.example], "$comment": f"in {', '.join(self.units)}"}

    def _field(self, given: object, info: ValidationInfo) -> ReportLine:
        key = info.field_name or "value"
        number, unit = _read(given, key, self.units, self.own, self.example)
        return ReportLine(what=_in_words(key), value=number, unit=unit)


def alkalinity(high: float, example: str) -> Concentration:
    """An alkalinity, told in any of its units, as charges. [mEq/L]"""
    return Concentration(high, "mEq/L", example, worth=tuple(ALKALINITY_MEQ.items()))


def alkalinity_as_caco3(high: float, example: str) -> Concentration:
    """An alkalinity, told in any of its units, as calcium carbonate. [mg/L]"""
    own = "mg/L CaCO3"
    worth = {unit: 1.0 if unit == own else meq / ALKALINITY_MEQ[own] for unit, meq in ALKALINITY_MEQ.items()}
    return Concentration(high, own, example, worth=tuple(worth.items()))


def _read(
    given: object, key: str, units: Collection[str], own: str, example: str, *at: str | int
) -> tuple[float, str]:
    if not isinstance(given, str):
        raise refuse(unquoted(given), f'write it in quotes with its unit: {key} = "{example}".', *at)
    try:
        return read_concentration(given, units, of=_in_words(key), own=own)
    except QuantityRefused as refused:
        understood = f"“{refused.text}” is {refused.problems[0].understood}"
        raise refuse(understood, refused.problems[0].accepted, *at) from None


def _in_words(key: str) -> str:
    return key.replace("_", " ")
