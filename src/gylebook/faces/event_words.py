"""Say what happened in a brew, event by event.

In:  an event's kind and body, the kinds of the instruments.
Out: short texts, the same on every face.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gylebook.faces import telling
from gylebook.faces.words import METRIC, Units


def event_text(body: Mapping[str, Any], kinds: Mapping[str, str], units: Units = METRIC) -> str:
    """“preboil: volume 40.2 L on the dipstick”, “after preboil” of a changed plan; `kinds` by instrument."""
    quantity, value = body.get("quantity"), body.get("value")
    if isinstance(quantity, str) and isinstance(value, int | float):
        instrument = str(body.get("instrument"))
        beyond = str(body.get("beyond", ""))
        shown = telling.reading_text(quantity, float(value), units, kinds.get(instrument, ""), beyond)
        what = shown if quantity == "ph" else f"{quantity} {shown}"
        return f"{body.get('step')}: {what} on the {instrument}"
    if "after_step" in body:
        return f"after {body['after_step']}"
    return str(body.get("portion", ""))
