"""A reading is understood as it is typed, also where it stood off the scale."""

from __future__ import annotations

import pytest

from command_line import EXAMPLE
from gylebook.errors import Refused
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.reading_words import reading_in_words
from gylebook.tasks.typed import reading_typed


@pytest.fixture(scope="module")
def outlook():
    return look_ahead(load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml"), draws=200)


@pytest.mark.parametrize(
    ("typed", "quantity", "value", "beyond", "words"),
    [
        (">38 L", "volume", 38.0, "above", "volume at preboil, above 38.0 L"),
        ("above 38 L", "volume", 38.0, "above", "volume at preboil, above 38.0 L"),
        ("< 12 °Bx", "gravity", 12.0, "below", "gravity at preboil, below 12.0 °Bx"),
        ("over 12 °Bx", "gravity", 12.0, "above", "gravity at preboil, above 12.0 °Bx"),
        ("38 L", "volume", 38.0, "", "volume at preboil, 38.0 L"),
    ],
)
def test_a_value_off_the_scale_says_on_which_side(outlook, typed, quantity, value, beyond, words):
    reading = reading_typed(outlook, "preboil", typed, None, None, "")

    assert (reading.quantity, reading.value, reading.beyond) == (quantity, value, beyond)
    assert reading_in_words(reading, outlook.brewery) == words


@pytest.mark.parametrize("typed", ["above", ">", "above above 38 L", "> 38", "beyond 38 L", "above 3000 L"])
def test_what_is_no_bound_is_refused(outlook, typed):
    with pytest.raises(Refused, match="value"):
        reading_typed(outlook, "preboil", typed, None, None, "")
