"""Say what was foretold of a brew against what it became.

In:  a `Told` and the brewer's `Units`.
Out: short texts, the same on every face.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.named_numbers import unit_of_name
from gylebook.faces.words import METRIC, Units
from gylebook.figures.draws import Summary
from gylebook.tasks.ledger import Told

_CALLED = {
    "fermenters.volume_l": "into the fermenters",
    "volume_l": "into the fermenter",
    "og": "original gravity",
    "fg": "final gravity",
    "packaged_l": "packed",
}


def called(told: Told) -> str:
    """What the number is of: “original gravity”."""
    return _CALLED.get(told.name) or _CALLED[told.name.rpartition(".")[2]]


def foretold(told: Told, units: Units = METRIC) -> str:
    """“34.1 L (32.0 – 36.2)”, as it was forecast before the day."""
    return _text(told.name, told.foretold, units)


def became(told: Told, units: Units = METRIC) -> str:
    """The same by all that was read."""
    return _text(told.name, told.became, units)


def against(told: Told) -> str:
    """Where the result lies in what was foretold; nothing where all that can be said is that it agrees."""
    if told.became.median < told.foretold.low:
        where = "below what was foretold"
    elif told.became.median > told.foretold.high:
        where = "above what was foretold"
    elif told.measured:
        where = "within what was foretold"
    else:
        return ""
    return f"read, {where}" if told.measured else f"{where}, by the other readings"


def _text(name: str, summary: Summary, units: Units) -> str:
    return words.median_and_interval(summary, unit_of_name(name), units)
