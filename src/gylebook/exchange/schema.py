"""Turn a model of a file into the JSON Schema that describes the file as it is written.

In:  the model.
Out: its JSON Schema, with a description of each key and examples of quantities.

Idea: the models hold numbers and a TOML file has no null, so what is left out is simply left out and a
default is shown as it would be written, `"74 °C"`.
"""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from gylebook.exchange.quantities import UNIT_MARK

NULL = {"type": "null"}
DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema_of(model: type[BaseModel], title: str) -> dict[str, Any]:
    """JSON Schema (2020-12) of the TOML file that a model reads."""
    schema = _as_written(model.model_json_schema())
    if not isinstance(schema, dict):
        raise TypeError(f"{model.__name__} has no schema of a table")
    return {"$schema": DRAFT, **schema, "title": title}


def _as_written(part: Any) -> Any:
    if isinstance(part, list):
        return [_as_written(item) for item in part]
    if not isinstance(part, dict):
        return part
    if NULL in part.get("anyOf", []):
        arms = [arm for arm in part["anyOf"] if arm != NULL]
        around = {key: value for key, value in part.items() if key != "anyOf"}
        part = {**arms[0], **around} if len(arms) == 1 else {**around, "anyOf": arms}
    unit = part.get(UNIT_MARK)
    written = {key: _as_written(value) for key, value in part.items() if key != UNIT_MARK}
    default = part.get("default", ...)
    if isinstance(default, (dict, type(None))):
        written.pop("default", None)
    elif unit is not None and isinstance(default, float):
        written["default"] = f"{100 * default:g} %" if unit == "" else f"{default:g} {unit}"
    return written
