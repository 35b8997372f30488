"""Say what an evening with water asks and tells.

In:  the views of `tasks.evening_view`.
Out: sentences.
"""

from __future__ import annotations

from collections.abc import Sequence

from gylebook.faces import telling, words
from gylebook.faces.figure_words import figure_name, in_words
from gylebook.faces.words import Units
from gylebook.tasks.views import ReadingAsked, StepView, WorthView

NARROWS_LEAST = 0.015  # of a spread, below which a figure is not named behind a reading
QUANTITIES = {
    "mass": "Weight",
    "volume": "Level on the marks",
    "temperature": "Temperature",
}


def asked_label(asked: ReadingAsked, step: StepView, units: Units) -> str:
    """“Weight, on the scale”; a time tells until when: “Time to 55 °C, on the clock”."""
    return f"{_read_at(asked, step, units)}, on the {in_words(asked.instrument)}"


def _read_at(asked: ReadingAsked, step: StepView, units: Units) -> str:
    if asked.quantity != "time":
        return QUANTITIES.get(asked.quantity, asked.quantity)
    # A step names the temperatures that its times lead to in the order in which the clock is read.
    times = [one.step for one in step.reading if one.quantity == "time"]
    until = [amount for amount in step.amounts if amount.dimension == "temperature"]
    if len(until) != len(times):
        return f"Time of “{step.title}”"
    return f"Time to {telling.amount_text(until[times.index(asked.step)], units)}"


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


def worth_in_steps(worth: WorthView, steps: Sequence[StepView], units: Units) -> str:
    """“Time to 55 °C, step 3: Net heat of the element by 40 %”, beside steps that are numbered."""
    number, step, asked = next(
        (number, step, one)
        for number, step in enumerate(steps, 1)
        for one in step.reading
        if (one.step, one.quantity) == (worth.step, worth.quantity)
    )
    return f"{_read_at(asked, step, units)}, step {number}: {_narrowed(worth)}"


def _narrowed(worth: WorthView) -> str:
    named = sorted(worth.narrows.items(), key=lambda item: -item[1])
    return ", ".join(
        f"{figure_name(name)} by {words.share(share)}" for name, share in named if share >= NARROWS_LEAST
    )
