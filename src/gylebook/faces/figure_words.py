"""Say a figure of the house: its level and scatter, as finely as its spread deserves.

In:  values in the figure's unit.
Out: “4.31 ± 0.31 L/h”, “95.7 ± 1.6 %”, and the name of the figure in words.

Idea: a figure may be anything from a millesimal of a gravity to hundreds of watts, so the digits follow the
scatter (two of it) where `words` has them by the unit.
"""

from __future__ import annotations

import math
import re

from gylebook.faces import words
from gylebook.faces.words import METRIC, Units
from gylebook.tasks.table_names import name_of

NAMES = {
    "conversion": "Conversion in the mash",
    "mash.temperature_slip_c": "Mash warmer than meant",
    "mash.displacement_l_per_kg": "Room the grain takes",
    "retained_l_per_kg": "Wort the grain holds",
    "lift_kg_per_kg": "Bag at lifting",
    "mash.ph": "Mash pH",
    "mash.ph_shift": "Mash pH beyond its balance",
    "mash.ph_per_k": "Mash pH by its warmth",
    "mash.calcium_divisor": "Calcium for a proton",
    "mash.magnesium_divisor": "Magnesium for a proton",
    "mash.carbonate_kept": "Carbonate kept in the mash",
    "distilled_ph": "Own pH of a malt",
    "acidity": "Acid of a malt",
    "buffering": "Buffering of a malt",
    "boil_off_l_per_h": "Boil-off",
    "trub_l_per_kg": "Kept by trub",
    "hop_retention_l_per_kg": "Kept by hops",
    "kettle.left_l": "Left in the kettle",
    "walls_l": "Left on walls and in hoses",
    "attenuation.limit_shift": "Fermentable beyond the rule",
    "attenuation": "Attenuation",
    "later_attenuation": "Attenuation, later organism",
    "fermenter.sediment": "Kept by sediment",
    "package.loss_l": "Lost in packing",
    "heat.loss_factor": "Heat lost by the kettle",
    "chill.u_w_per_m2_k": "Heat through the chiller",
    "chill.time_factor": "Chilling time, against the timed one",
    "refractometer.factor": "Refractometer factor for wort",
    "rinse.mixing": "Mixing in the rinse",
    "rinse.bypass": "Rinse that runs by",
}
_OF = {
    "water.": {
        "strength": "Strength of the water",
        "alkalinity": "Alkalinity of the water",
        "passed": "Passed by the membrane of",
    },
    "acid.": {"strength": "Strength of the"},
    "salt.": {"acting": "What acts of the"},
    "grist.": {
        "extract": "Extract of",
        "distilled_ph": "Own pH of",
        "acidity": "Acid of",
        "buffering": "Buffering of",
    },
}
ACIDS = {"other": "other acids"}  # of several kinds
PLAIN = ("share", "factor", "as shown", "Brix per °P", "kg/kg", "L/L")  # units that are not said behind it
MOST_DIGITS = 5
PH = re.compile(r"\bph\b")


def figure_name(family: str) -> str:
    """What a family of figures is called: “Boil-off”, “Bias of the dipstick”, “Net heat of the ring”."""
    if family.startswith("instrument."):
        return f"Bias of the {in_words(family.removeprefix('instrument.').removesuffix('.bias'))}"
    if family.startswith("heat.") and family.endswith(".net_share"):
        return f"Net heat of the {family.removeprefix('heat.').removesuffix('.net_share')}"
    if family.startswith(tuple(_OF)):
        of, key, what = family.split(".", 1)[0], *family.split(".", 1)[1].rsplit(".", 1)
        if what in _OF[f"{of}."]:
            return f"{_OF[f'{of}.'][what]} {key if of == 'water' else ACIDS.get(key) or name_of(key)}"
    return NAMES.get(family, family)


def in_words(gear: str) -> str:
    """Gear as it is written in a sentence, where a file has it by its key: “pH meter ± 0.02”."""
    return PH.sub("pH", gear)


def figure_unit(unit: str, units: Units = METRIC) -> str:
    """The unit behind a figure: “L/h”, “%” for a share, nothing for a factor."""
    if unit == "share":
        return "%"
    return "" if unit in PLAIN else words.unit_word("K" if unit == "°C" else unit, units)


def level_and_scatter(level: float, scatter: float, unit: str, units: Units = METRIC) -> str:
    """“4.31 ± 0.31”, without its unit; `figure_unit` heads it.

    >>> level_and_scatter(4.3123, 0.3111, "L/h"), level_and_scatter(0.9567, 0.0156, "share")
    ('4.31 ± 0.31', '95.7 ± 1.6')
    """
    size = 100.0 if unit == "share" else words.units_in_one(unit, units)
    digits = _digits(size * scatter)
    return f"{words.fixed(size * level, digits)} ± {words.fixed(size * scatter, digits)}"


def _digits(scatter: float) -> int:
    """Decimals that show two digits of a scatter."""
    if scatter <= 0.0:
        return 2
    return min(max(1 - math.floor(math.log10(scatter)), 0), MOST_DIGITS)
