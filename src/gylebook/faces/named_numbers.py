"""Say a number of a forecast by its stable name.

In:  a name such as `kettle.preboil.volume_l`, and a value in base units.
Out: the unit that its last word tells; the value as `words` says it.
"""

from __future__ import annotations

from gylebook.faces import words
from gylebook.faces.words import METRIC, Units


def unit_of_name(name: str) -> str:
    """Base unit of a forecast by its stable name, whose last word tells it (`kettle.preboil.volume_l`).

    >>> unit_of_name("kettle.preboil.volume_l"), unit_of_name("portion.keg.og"), unit_of_name("abv")
    ('L', 'SG', '%')
    """
    last = name.rsplit(".", 1)[-1]
    if last in ("og", "fg", "gravity"):
        return "SG"
    if name.startswith("efficiency."):
        return "share"
    for ending, unit in _ENDINGS.items():
        if last == ending.lstrip("_") or last.endswith(ending):
            return unit
    return ""


def by_name(name: str, value: float, units: Units = METRIC) -> str:
    """The value of a forecast, worded by its stable name."""
    unit = unit_of_name(name)
    return words.share(value) if unit == "share" else words.amount(value, unit, units)


_ENDINGS = {
    **{
        "_l_per_kg": "L/kg",
        "_l_per_h": "L/h",
        "_l": "L",
        "_kg": "kg",
        "_c": "°C",
        "_min": "min",
        "minutes": "min",
    },
    **{
        "abv": "%",
        "ibu": "IBU",
        "plato": "°P",
        "ph": "pH",
        "colour_srm": "SRM",
        "volume": "L",
        "bitterness": "IBU",
        "bottles": "bottles",
    },
}
