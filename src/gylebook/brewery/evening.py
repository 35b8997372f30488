"""Describe an evening with water alone, run through the gear to learn what it does.

In:  what the brewer is told to do.
Out: `Evening`, frozen.

Idea: everything that the evening decides is a field; what is read on it replaces what was told.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Evening:
    """Water in two pours, warmed, boiled, chilled and drained. [L at 20 °C, °C, min]

    `warm_c` is passed on the way to `hot_c`, where the lid comes off before the boil.  `beside_l` is heated
    to `beside_c` in the second vessel on a fire of its own; None where it has none.
    """

    first_l: float
    second_l: float
    warm_c: float
    hot_c: float
    boil_minutes: float
    chill_c: float
    beside_l: float | None = None
    beside_c: float = 75.0
