"""Word every fault that pydantic found, with its line and what would be accepted.

In:  a `ValidationError`, the model that was asked, the `Place` that knows the lines.
Out: one `Problem` for each fault.

Idea: pydantic finds all faults at once and knows what kind each is; the words are ours.  What is
sensible in a brewery is decided in the models, not here.
"""

from __future__ import annotations

import difflib
import re
import types
from collections.abc import Sequence
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from gylebook.errors import Problem
from gylebook.exchange.lines import Path, Place
from gylebook.exchange.toml_text import Parsed

T = TypeVar("T", bound=BaseModel)

_SHAPES = {
    "model_type": "a table is wanted here.",
    "model_attributes_type": "a table is wanted here.",
    "dict_type": "a table is wanted here.",
    "list_type": "a list is wanted here: write the heading with two brackets, such as [[grist]].",
    "tuple_type": "a list is wanted here.",
    "string_type": "text in quotes is wanted here.",
    "bool_type": "true or false is wanted here, without quotes.",
    "string_too_short": "it must not be empty.",
}


def judge(model: type[T], parsed: Parsed, *, context: object = None) -> tuple[T | None, list[Problem]]:
    """The tables as a model, or None and every fault; faults of the writing come first.

    A blanked line leaves a key missing that was there: then only values are judged, not what is lacking.
    `context` is handed to the rules of the model, which look names up in it.
    """
    problems = list(parsed.faults)
    try:
        return model.model_validate(parsed.tables, context=context), problems
    except ValidationError as error:
        return None, problems + [
            problem
            for fault, problem in zip(_faults(error), problems_of(error, model, parsed.place), strict=True)
            if not parsed.faults or fault["type"] != "missing"
        ]


def problems_of(error: ValidationError, model: type[BaseModel], place: Place) -> list[Problem]:
    """Every fault in the order in which the file has to be put right."""
    return [_problem(fault, model, place) for fault in _faults(error)]


def _faults(error: ValidationError) -> list[ErrorDetails]:
    return error.errors(include_url=False)


def nearest(word: str, known: Sequence[str]) -> str:
    """A question that names what may have been meant, or nothing."""
    close = difflib.get_close_matches(word.casefold(), [k.casefold() for k in known], n=1, cutoff=0.55)
    meant = [k for k in known if close and k.casefold() == close[0]]
    return f"did you mean “{meant[0]}”? " if meant else ""


def _problem(fault: ErrorDetails, model: type[BaseModel], place: Place) -> Problem:
    path: Path = tuple(part for part in fault["loc"] if part != "[key]")
    context = fault.get("ctx", {})
    kind, given = fault["type"], fault.get("input")
    match kind:
        case "refused":
            return Problem(place.at((*path, *context["at"])), context["understood"], context["accepted"])
        case "extra_forbidden":
            known = known_keys(model, path[:-1])
            return Problem(
                place.at(path),
                f"the key “{path[-1]}” is not known here",
                f"{nearest(str(path[-1]), known)}Known are {', '.join(known)}.",
            )
        case "missing":
            return Problem(place.at(path), "missing", f"{_description(model, path)}.")
        case "literal_error":
            choices = literal_choices(context["expected"])
            return Problem(
                place.at(path),
                _shown(given),
                f"{nearest(_text(given), choices)}One of {_listed(choices)} is wanted.",
            )
        case "string_pattern_mismatch" | "string_too_long":
            return Problem(
                place.at(path),
                _shown(given),
                "up to 120 plain characters are wanted, a key up to 60 letters and digits.",
            )
        case "too_long":
            return Problem(place.at(path), "a very long list", f"at most {context['max_length']} are taken.")
        case "too_short":
            return Problem(place.at(path), "empty", f"{_description(model, path)}.")
    return Problem(place.at(path), _shown(given), _SHAPES.get(kind, f"{fault['msg']}."))


def literal_choices(expected: str) -> list[str]:
    """The choices of a `Literal`, from the words pydantic puts them in: `'a', 'b' or 'c'`."""
    return re.findall("'([^']*)'", expected)


def _listed(choices: Sequence[str]) -> str:
    """Choices with a comma of their own stand in quotes."""
    if any("," in choice for choice in choices):
        return ", ".join(f"“{choice}”" for choice in choices)
    return ", ".join(choices)


def known_keys(model: type[BaseModel], path: Path) -> list[str]:
    """Keys that the table at a path of a model may hold."""
    found = _model_at(model, path)
    return list(found.model_fields) if found else []


def _description(model: type[BaseModel], path: Path) -> str:
    owner = _model_at(model, path[:-1])
    name = str(path[-1])
    if owner is None or name not in owner.model_fields:
        return f"“{name}” is wanted here"
    said = owner.model_fields[name].description or "it is wanted here"
    return said.rstrip(".")


def _model_at(kind: Any, path: Path) -> type[BaseModel] | None:
    """The model behind a path, through lists, dictionaries and what may be left out."""
    origin = get_origin(kind)
    if origin is Annotated:
        return _model_at(get_args(kind)[0], path)
    if origin in (Union, types.UnionType):
        return next((m for arm in get_args(kind) if (m := _model_at(arm, path))), None)
    if origin in (list, tuple, dict):
        inner = get_args(kind)[1] if origin is dict else get_args(kind)[0]
        return _model_at(inner, path[1:]) if path else None
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        if not path:
            return kind
        field = kind.model_fields.get(str(path[0]))
        return _model_at(field.annotation, path[1:]) if field else None
    return None


def _shown(given: object) -> str:
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, dict):
        return "a table"
    if isinstance(given, list):
        return "a list"
    text = _text(given)
    return f"“{text if len(text) <= 60 else text[:57] + '...'}”"


def _text(given: object) -> str:
    try:
        return str(given)
    except ValueError:  # an integer of more digits than Python prints
        return "a number too large to write"
