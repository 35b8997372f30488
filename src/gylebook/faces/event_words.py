"""Say what happened in a brew, event by event.

In:  an event's kind and body, the kinds of the instruments.
Out: short texts, the same on every face.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gylebook.faces import telling, words
from gylebook.faces.words import METRIC, Units


def event_text(
    body: Mapping[str, Any],
    kinds: Mapping[str, str],
    units: Units = METRIC,
    names: Mapping[str, str] | None = None,
) -> str:
    """“preboil: volume 40.2 L on the dipstick”, “after preboil” of a changed plan; `kinds` by instrument.

    With the `names` of portions by key, their steps are told by name.
    """
    names = names or {}
    quantity, value = body.get("quantity"), body.get("value")
    if isinstance(quantity, str) and isinstance(value, int | float):
        instrument = str(body.get("instrument"))
        beyond = str(body.get("beyond", ""))
        shown = telling.reading_text(quantity, float(value), units, kinds.get(instrument, ""), beyond)
        what = shown if quantity == "ph" else f"{quantity} {shown}"
        return f"{step_text(str(body.get('step')), names)}: {what} on the {instrument}"
    if "co2_volumes" in body:
        key = str(body.get("portion", ""))
        return _packed_text(body, names.get(key, key), units)
    if "after_step" in body:
        return f"after {step_text(str(body['after_step']), names)}"
    if "poured" in body:  # a tasting; nothing here tells which code is which beer
        return " or ".join(str(beer["name"]) for beer in body["poured"])
    if "taster" in body:
        return f"taster {body['taster']} picked {' '.join(body['picked'])}"
    key = str(body.get("portion", ""))
    return names.get(key, key)


def _packed_text(body: Mapping[str, Any], name: str, units: Units) -> str:
    """“Gate amber: 18 × beer bottle, a keg with 9.0 L”, and a reason where the odds were against it."""
    parts = [f"{one['count']} × {one['kind']}" for one in body.get("bottles", ())]
    parts += [f"a keg with {words.volume(float(one['litres']), units)}" for one in body.get("kegs", ())]
    against = body.get("against")
    return f"{name}: {', '.join(parts)}" + (f"; against the odds: {against}" if against else "")


def step_text(step: str, names: Mapping[str, str]) -> str:
    """“Gate amber, fermenting” of “portion.keg ferment”; a step of the day is said as it is."""
    stem, _, what = step.partition(" ")
    name = names.get(stem.removeprefix("portion."), "") if stem.startswith("portion.") else ""
    if not name:
        return step
    return f"{name}, {_OF_A_PORTION.get(what, what)}" if what else name


_OF_A_PORTION = {"ferment": "fermenting", "end": "at its end", "package": "packed"}
