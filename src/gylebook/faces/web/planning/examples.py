"""Write the examples and usual values of a plan's form in the units of who reads it.

In:  a text of the form that may name metric quantities, and the reader's `Units`.
Out: the text as a brewer with those units would write it.

Idea: an example is a round number, and stays one: each has its partner here, which a test holds to be the
same quantity, near enough.
"""

from __future__ import annotations

import re

from gylebook.faces.words import METRIC, Units

QUANTITY = re.compile(r"\d+(?:\.\d+)? (?:L|kg|g|°C|EBC)(?![\w/])")
PARTNERS = {
    "34 L": "9 gal",
    "14 L": "3.7 gal",
    "12 L": "3.2 gal",
    "2 L": "2 qt",
    "0.5 L": "17 fl oz",
    "7.5 kg": "16.5 lb",
    "300 g": "10.5 oz",
    "20 g": "0.7 oz",
    "8 g": "0.28 oz",
    "80 °C": "176 °F",
    "74 °C": "165 °F",
    "66 °C": "151 °F",
    "20 °C": "68 °F",
    "19 °C": "66 °F",
    "18 °C": "64 °F",
    "3.5 EBC": "1.8 SRM",
}


def as_read(text: str, units: Units) -> str:
    """The text with its metric quantities in the reader's units."""
    own = {
        "L": units.volume == METRIC.volume,
        "kg": units.mass == METRIC.mass,
        "g": units.mass == METRIC.mass,
        "°C": units.temperature == METRIC.temperature,
        "EBC": units.colour == METRIC.colour,
    }

    def partner(found: re.Match[str]) -> str:
        return found[0] if own[found[0].partition(" ")[2]] else PARTNERS[found[0]]

    return QUANTITY.sub(partner, text)
