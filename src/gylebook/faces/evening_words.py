"""Say what an evening with water asks and tells.

In:  the views of `tasks.evening_view`.
Out: sentences.
"""

from __future__ import annotations

from gylebook.faces import telling, words
from gylebook.faces.figure_words import figure_name
from gylebook.faces.words import Units
from gylebook.tasks.views import ReadingAsked, WorthView

NARROWS_LEAST = 0.015  # of a spread, below which a figure is not named behind a reading
QUANTITIES = {
    "mass": "Weight",
    "volume": "Level on the marks",
    "temperature": "Temperature",
    "time": "Time on the clock",
}


def asked_label(asked: ReadingAsked) -> str:
    """“Weight, on the scale”."""
    return f"{QUANTITIES.get(asked.quantity, asked.quantity)}, on the {asked.instrument}"


def asked_unit(asked: ReadingAsked, units: Units) -> str:
    """The unit that a bare number beside this reading has."""
    return words.unit_word(telling.READ_IN[asked.quantity], units)


def expected_text(asked: ReadingAsked, units: Units) -> str:
    """“expected 46 – 51 min”."""
    if asked.expected is None:
        return ""
    return f"expected {words.interval_with_unit(asked.expected, telling.READ_IN[asked.quantity], units)}"


def worth_sentence(worth: WorthView) -> str:
    """“time at “evening heat” (clock): Net heat of the element by 40 %”, for whom types the step's key."""
    return f"{worth.quantity} at “{worth.step}” ({worth.instrument}): {_narrowed(worth)}"


def worth_in_step(worth: WorthView, number: int) -> str:
    """“Time on the clock, step 4: Net heat of the element by 40 %”, beside steps that are numbered."""
    read = QUANTITIES.get(worth.quantity, worth.quantity)
    return f"{read}, step {number}: {_narrowed(worth)}"


def _narrowed(worth: WorthView) -> str:
    named = sorted(worth.narrows.items(), key=lambda item: -item[1])
    return ", ".join(
        f"{figure_name(name)} by {words.share(share)}" for name, share in named if share >= NARROWS_LEAST
    )
