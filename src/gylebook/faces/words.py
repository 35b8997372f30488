"""Turn numbers into the words that every face uses.

In:  floats and `Summary` in base units (L, kg, °C, SG, min, shares 0..1), and the brewer's `Units`.
Out: short texts, such as “34.0 L”, “1 h 20 min”, “91 in 100”, “38.6 – 40.7”.

Idea: how many digits a number deserves is decided here and nowhere else, once for each kind of quantity, so
that the same figure reads the same on the page, in the terminal and on paper.  Whole sentences about
limits, aims and remedies stand in `findings`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from gylebook.faces.odds_words import count as count
from gylebook.faces.odds_words import odds as odds
from gylebook.faces.odds_words import odds_in_a_column as odds_in_a_column
from gylebook.faces.odds_words import odds_pair as odds_pair
from gylebook.faces.odds_words import spelled as spelled
from gylebook.figures.draws import Summary
from gylebook.figures.unit_table import SPECS, Dimension, plato_from_sg, sg_from_plato

MINUS, DASH = "−", "–"
_PER_DAY = 1440
AS_TYPED = 1e-4  # of the last digit: what is left of it after its way through the base unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """The units that a brewer likes to read; what is computed stays in base units."""

    volume: Literal["L", "gal"] = "L"
    mass: Literal["kg", "lb"] = "kg"
    temperature: Literal["°C", "°F"] = "°C"
    gravity: Literal["SG", "°P"] = "SG"
    colour: Literal["EBC", "SRM"] = "EBC"


METRIC = Units()
US = Units(volume="gal", mass="lb", temperature="°F", colour="SRM")

_EBC_PER_SRM = 1.0 / float(
    next(u for u in SPECS[Dimension.COLOUR].units if u.name == "SRM").from_base(Fraction(1))
)
_FACTORS = {
    unit.name: float(unit.from_base(Fraction(1)))
    for dimension in (Dimension.MASS, Dimension.VOLUME)
    for unit in SPECS[dimension].units
}
# What is read in place of these where volumes are in gallons, and how many of it make one of them.
_US = {
    "L/kg": ("qt/lb", 4.0 * _FACTORS["gal"] / _FACTORS["lb"]),
    "L/h": ("gal/h", _FACTORS["gal"]),
    "g/L": ("oz/gal", _FACTORS["oz"] / 1000.0 / _FACTORS["gal"]),
    "kJ/L": ("kJ/gal", 1.0 / _FACTORS["gal"]),
    "kcal/100 g": ("kcal/oz", 10.0 / _FACTORS["oz"]),
    "cm": ("in", 1.0 / 2.54),
}


def fixed(value: float, digits: int) -> str:
    """A number with so many decimals, a true minus sign, and no minus before a zero.

    >>> fixed(-0.04, 1), fixed(-1.25, 2)
    ('0.0', '−1.25')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that can be shown")
    text = f"{value:.{digits}f}"
    if text[0] != "-":
        return text
    return MINUS + text[1:] if text.strip("-0.") else text[1:]


def number(value: float, unit: str, units: Units = METRIC) -> str:
    """The bare number that `amount` would write before this unit."""
    return fixed(_shown(value, unit, units), _digits(unit, units))


def unit_word(unit: str, units: Units = METRIC) -> str:
    """The unit in which a base unit is read by this brewer; nothing for a specific gravity."""
    if unit == "L":
        return units.volume
    if unit == "kg":
        return units.mass
    if unit in ("°C", "K"):
        return units.temperature if unit == "°C" or units.temperature == "°F" else "K"
    if unit in ("SG", "°P"):
        return "°P" if units.gravity == "°P" else ""
    if unit == "SRM":
        return units.colour
    if unit in _US and units.volume == "gal":
        return _US[unit][0]
    return unit


def amount(value: float, unit: str, units: Units = METRIC) -> str:
    """Any number with its unit: L, kg, °C, SG, °P, min, IBU, %, pH, “billion cells”, or none.

    >>> amount(42.94, "L"), amount(1.0524, "SG"), amount(28.3, "IBU")
    ('42.9 L', '1.052', '28 IBU')
    """
    if unit == "kg":
        return mass(value, units)
    if unit == "min":
        return duration(value)
    text, word = number(value, unit, units), unit_word(unit, units)
    return f"pH {text}" if word == "pH" else f"{text} {word}".rstrip()


def volume(litres: float, units: Units = METRIC) -> str:
    """“34.0 L”, or “8.98 gal”."""
    return amount(litres, "L", units)


def capacity(litres: float, units: Units = METRIC) -> str:
    """What a vessel holds to the brim: “50 L”, “11.5 L”, “13.2 gal”."""
    shown = _shown(litres, "L", units)
    return f"{fixed(shown, 0 if abs(shown - round(shown)) < 0.05 else 1)} {units.volume}"


def gravity(sg: float, units: Units = METRIC, *, finer: bool = False) -> str:
    """“1.052”, or “12.9 °P”; one digit more where an instrument was read so finely."""
    return _gravity(sg, "SG", units, finer)


def gravity_read(plato: float, units: Units = METRIC) -> str:
    """A gravity as it was read, with the digits it was typed in: “1.0115”, “1.012”."""
    return _gravity(plato, "°P", units, read_finely(plato, "°P", units))


def brix_read(brix: float) -> str:
    """What a refractometer showed: “6.4 °Bx”, “6.25 °Bx”."""
    return f"{fixed(brix, 2 if read_finely(brix, '°Bx') else 1)} °Bx"


def read_finely(value: float, unit: str, units: Units = METRIC) -> bool:
    """Whether a reading has exactly one digit more than is usually shown; a reckoned number never has.

    >>> read_finely(1.0115, "SG"), read_finely(1.012, "SG"), read_finely(1.01234567, "SG")
    (True, False, False)
    """
    shown, digits = _shown(value, unit, units), _digits(unit, units)
    off, off_finer = (abs(shown - round(shown, kept)) * 10.0**kept for kept in (digits, digits + 1))
    return off > AS_TYPED and off_finer <= AS_TYPED


def _gravity(value: float, unit: str, units: Units, finer: bool) -> str:
    digits = _digits(unit, units) + finer
    return f"{fixed(_shown(value, unit, units), digits)} {unit_word(unit, units)}".rstrip()


def temperature(celsius: float, units: Units = METRIC) -> str:
    """“66 °C”, “70.3 °C” where a tenth is known, or “151 °F”."""
    shown = round(_shown(celsius, "°C", units), 1 if units.temperature == "°C" else 0)
    return f"{fixed(shown, 0 if shown == round(shown) else 1)} {units.temperature}"


def abv(per_cent: float) -> str:
    """Alcohol by volume: “5.4 %”."""
    return amount(per_cent, "%")


def mass(kilograms: float, units: Units = METRIC, *, weighed: bool = False) -> str:
    """“8.2 kg”, “320 g”, “4.5 g”; “18 lb 1 oz”, “2.01 oz”.  What is to be `weighed` gets one digit more.

    >>> mass(8.24), mass(0.32), mass(4.3549, weighed=True), mass(2.353, US)
    ('8.2 kg', '320 g', '4.35 kg', '5 lb 3 oz')
    """
    size = abs(kilograms)
    if units.mass == "lb":
        return _pounds(kilograms, weighed)
    if size >= 0.9995:
        return f"{fixed(kilograms, 2 if weighed else 1)} kg"
    halved = weighed and size < 0.09995 and fixed(1000 * kilograms, 1)[-2:] != ".0"
    return f"{fixed(1000 * kilograms, 1 if halved or 0 < size < 0.00995 else 0)} g"


def to_measure(value: float, dimension: str, units: Units = METRIC) -> str:
    """What to weigh or measure out, as finely as a kitchen can: “4.35 kg”, “57 g”, “250 mL”, “71.5 °C”."""
    if dimension == Dimension.MASS:
        return mass(value, units, weighed=True)
    if dimension == Dimension.VOLUME:
        if value >= 0.9995 or value == 0:
            return volume(value, units)
        if units.volume == "gal":
            return f"{fixed(value * _FACTORS['fl oz'], 1)} fl oz"
        return f"{fixed(1000 * value, 0 if value >= 0.00995 else 1)} mL"
    if dimension == Dimension.TEMPERATURE:
        return temperature(value, units)
    if dimension == Dimension.SHARE:
        return share(value)
    if dimension == "cells":
        return amount(value, "billion cells")
    if dimension in ("dose mass", "dose volume"):  # what a fine scale or a syringe shows, in any house
        fine = 1000.0 * value
        return f"{fixed(fine, 2 if 0 < fine < 0.995 else 1)} {'g' if dimension == 'dose mass' else 'mL'}"
    if dimension == "load":
        return mass(value, units)  # to be lifted, not weighed out
    return amount(value, SPECS[Dimension(dimension)].base.name, units)


def grain_colour(ebc: float, units: Units = METRIC) -> str:
    """What grain or sugar gives to wort: “3.5 EBC”, “120 EBC”, “1.8 SRM”."""
    shown = _shown(ebc / _EBC_PER_SRM, "SRM", units)
    return f"{fixed(shown, 1 if shown < 9.95 else 0)} {units.colour}"


def duration(minutes: float) -> str:
    """“60 min”, “1 h 20 min”, “14 days”; a quarter of a minute at most is lost below ten.

    >>> duration(60), duration(80), duration(14 * 1440), duration(2.5)
    ('60 min', '1 h 20 min', '14 days', '2.5 min')
    """
    sign, size = (MINUS if minutes < 0 else ""), abs(minutes)
    if size >= 2 * _PER_DAY:
        return f"{sign}{fixed(size / _PER_DAY, 0)} days"
    halves = round(size * 2)
    if size < 10 and halves % 2:
        return f"{sign}{fixed(halves / 2, 1)} min"
    whole = round(size)
    if whole <= 60:
        return f"{sign if whole else ''}{whole} min"
    hours, rest = divmod(whole, 60)
    return f"{sign}{hours} h {rest} min" if rest else f"{sign}{hours} h"


def clock(minutes: float) -> str:
    """Time on the clock, from minutes since midnight of the day of pitching.

    >>> clock(847), clock(-90), clock(-2 * 1440 + 600)
    ('14:07', 'the day before, 22:30', '2 days before, 10:00')
    """
    days, rest = divmod(round(minutes), _PER_DAY)
    time = f"{rest // 60:02d}:{rest % 60:02d}"
    if days == 0:
        return time
    if days == -1:
        return f"the day before, {time}"
    if days == 1:
        return f"the day after, {time}"
    return f"{abs(days)} days {'before' if days < 0 else 'after'}, {time}"


def until_pitching(start_min: float) -> str:
    """When a step starts, from pitching on: “−5 h 40 min”, “2 days before”, “+10 min”, “21 days after”.

    A brew day may begin the day before pitching, so hours are told of it up to a day and a half.
    """
    if start_min <= -1.5 * _PER_DAY:
        return f"{round(-start_min / _PER_DAY)} days before"
    if start_min >= _PER_DAY:
        days = round(start_min / _PER_DAY)
        return f"{days} day{'s' if days > 1 else ''} after"
    if round(start_min) == 0:
        return "0"
    return f"{MINUS if start_min < 0 else '+'}{duration(abs(start_min))}"


def share(value: float) -> str:
    """A part of a whole that is not a chance, such as an efficiency: “75 %”."""
    return f"{fixed(100 * value, 0)} %"


def interval(summary: Summary, unit: str, units: Units = METRIC) -> str:
    """The 90 % interval without its unit: “38.6 – 40.7”."""
    return f"{number(summary.low, unit, units)} {DASH} {number(summary.high, unit, units)}"


def interval_with_unit(summary: Summary, unit: str, units: Units = METRIC) -> str:
    """The 90 % interval with its unit behind: “38.6 – 40.7 L”."""
    return f"{interval(summary, unit, units)} {unit_word(unit, units)}".rstrip()


def median_and_interval(summary: Summary, unit: str, units: Units = METRIC) -> str:
    """“39.6 L (38.6 – 40.7)”, or the median alone where nothing is uncertain."""
    middle, around = amount(summary.median, unit, units), interval(summary, unit, units)
    if unit == "kg":
        middle, around = _mass_and_interval(summary, units)
    low, high = around.split(f" {DASH} ")
    return middle if low == high else f"{middle} ({around})"


def _mass_and_interval(summary: Summary, units: Units) -> tuple[str, str]:
    """“946 g”, “720 – 1100”; “41.9 lb”, “37.0 – 47.5”."""
    large, small, parts = ("lb", "oz", 16.0) if units.mass == "lb" else ("kg", "g", 1000.0)
    low, middle, high = (_shown(x, "kg", units) for x in (summary.low, summary.median, summary.high))
    if abs(middle) >= 0.9995:
        return f"{fixed(middle, 1)} {large}", f"{fixed(low, 1)} {DASH} {fixed(high, 1)}"
    digits = 0 if small == "g" and abs(parts * middle) >= 9.95 else 1
    low, middle, high = (parts * x for x in (low, middle, high))
    return f"{fixed(middle, digits)} {small}", f"{fixed(low, digits)} {DASH} {fixed(high, digits)}"


def within(size: float, aim: float, unit: str, units: Units = METRIC) -> str:
    """A distance from an aim, as a bare number in the unit in which the aim is told: “0.003”, “0.7”, “3”."""
    apart = abs(_shown(aim + size, unit, units) - _shown(aim, unit, units))
    return fixed(apart, _digits(unit, units))


_DIGITS = {"L": 1, "gal": 2, "kg": 1, "lb": 1, "°C": 1, "°F": 0, "K": 1, "": 2, "SG": 3, "°P": 1}
_DIGITS |= {
    "min": 0,
    "EBC": 0,
    "SRM": 0,
    "IBU": 0,
    "%": 1,
    "pH": 2,
    "L/kg": 2,
    "billion cells": 0,
    "bottles": 0,
}
_DIGITS |= {"qt/lb": 2, "gal/h": 2, "oz/gal": 2, "kJ/L": 0, "kJ/gal": 0, "kcal/100 g": 0}


def _digits(unit: str, units: Units) -> int:
    if unit in ("SG", "°P"):
        return _DIGITS[units.gravity]
    return _DIGITS.get(unit_word(unit, units), 1)


def _shown(value: float, unit: str, units: Units) -> float:
    """The number in the unit that this brewer reads."""
    if unit == "L" and units.volume != "L":
        return value * _FACTORS[units.volume]
    if unit in _US and units.volume == "gal":
        return value * _US[unit][1]
    if unit == "kg" and units.mass != "kg":
        return value * _FACTORS[units.mass]
    if units.temperature == "°F" and unit in ("°C", "K"):
        return value * 9 / 5 + (32 if unit == "°C" else 0)
    if unit == "SRM" and units.colour == "EBC":
        return value * _EBC_PER_SRM
    if unit == "SG" and units.gravity == "°P":
        return float(plato_from_sg(Fraction(value)))
    if unit == "°P" and units.gravity == "SG":
        return float(sg_from_plato(Fraction(value)))
    return value


def units_in_one(unit: str, units: Units = METRIC) -> float:
    """How many of what this brewer reads make a difference of one base unit: 0.264 gal, 1.8 °F."""
    return _shown(1.0, "K" if unit == "°C" else unit, units)


def _pounds(kilograms: float, weighed: bool) -> str:
    ounces = abs(kilograms) * _FACTORS["oz"]
    sign = MINUS if kilograms < 0 else ""
    if ounces < 15.995:
        return f"{sign}{fixed(ounces, 2)} oz"
    digits = 1 if weighed else 0
    pounds, rest = divmod(round(ounces, digits), 16)
    tail = f" {fixed(rest, digits)} oz" if rest else ""
    return f"{sign}{fixed(pounds, 0)} lb{tail}"
