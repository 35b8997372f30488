"""List the units that a brewer may write, with their exact factors.

In:  nothing.
Out: `Dimension`, and for each its base unit, its bounds, examples and the units that it is written in.

Idea: a unit is a name, the words it goes by, and the way to its base unit in exact fractions, so that a
text is rounded once, at the very end.  How a text is taken apart stands in `quantity_text`, what is
accepted in `units`; nothing here reads or prints.

Sources of the factors: pound, yard and inch by the international agreement of 1959 (0.45359237 kg,
0.9144 m); US gallon 231 cubic inches; imperial gallon 4.54609 L (Weights and Measures Act 1985);
IT BTU 1055.05585262 J; standard gravity 9.80665 m/s2 and atmosphere 101325 Pa (CGPM); SRM and EBC both
from the absorbance at 430 nm, 12.7 and 25 times.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Dimension(StrEnum):
    """What a quantity is a quantity of.  Values are the words used in errors."""

    MASS = "mass"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    GRAVITY = "gravity"
    DURATION = "duration"
    POWER = "power"
    LENGTH = "length"
    AREA = "area"
    EVAPORATION = "rate of evaporation"
    FLOW = "flow"
    VOLUME_PER_MASS = "volume per mass"
    SHARE = "share"
    COLOUR = "colour"
    BITTERNESS = "bitterness"
    PH = "pH"
    CELLS = "number of cells"
    PRESSURE = "pressure"
    COUNT = "count"
    NUMBER = "plain number"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: the name it is printed with, the words it is read by, and the way to the base unit.

    Units of one `family` may be written together, larger first (5 lb 3 oz).
    """

    name: str
    words: tuple[str, ...]
    to_base: Callable[[Fraction], Fraction]
    from_base: Callable[[Fraction], Fraction]
    family: str = ""


@dataclass(frozen=True, slots=True)
class Spec:
    """What a text of one dimension may be.  `low` and `high` in the base unit, which is the first of `units`.

    `high` is far above any small brewery: beyond it a unit or a decimal sign has slipped.
    """

    low: float
    high: float
    examples: str
    units: tuple[Unit, ...]

    @property
    def base(self) -> Unit:
        return self.units[0]


def _unit(
    name: str, factor: str | int | Fraction, *words: str, family: str = "", zero: str | int = 0
) -> Unit:
    """A unit whose base value is (written - zero) x factor."""
    slope, start = Fraction(factor), Fraction(zero)
    return Unit(name, (name, *words), lambda x: (x - start) * slope, lambda y: y / slope + start, family)


# The scale of a hydrometer: P = A x / (1 + B x), x = SG - 1, see `plato_from_sg`.
_A, _B = Fraction("258.55214"), Fraction("0.8750763")
SG_LOW, SG_HIGH = Fraction("0.98"), Fraction("1.153")  # water at 70 °C on a cold scale; 35 °P


def plato_from_sg(sg: Fraction) -> Fraction:
    """°P of an apparent specific gravity 20/20. [°P]

    P = 258.55214 x / (1 + 0.8750763 x), x = SG - 1, -2 to 35 °P.  Fit to the table of Plato (Kaiserliche
    Normal-Eichungs-Kommission 1900; NBS Circular 440, 1942, tables 113-114), within 0.005 °P.  Here it is
    only the reading of a scale; as physics the same formula stands in `matter`, tests hold both together.
    Below -2 °P it runs on smoothly, which a hydrometer in hot water needs.
    """
    x = sg - 1
    return _A * x / (1 + _B * x)


def sg_from_plato(plato: Fraction) -> Fraction:
    """Apparent specific gravity 20/20 of a °P, the exact inverse of `plato_from_sg`."""
    return 1 + plato / (_A - _B * plato)


_LB = Fraction("0.45359237")
_INCH = Fraction("0.0254")
_GAL = 231 * _INCH**3 * 1000
_IMP_GAL = Fraction("4.54609")
_BTU_PER_H = Fraction("1055.05585262") / 3600 / 1000
_PSI = _LB * Fraction("9.80665") / _INCH**2 / 100_000

_MASS = (
    _unit("kg", 1, "kilo", "kilos", "kilogram", "kilograms", family="metric"),
    _unit("g", "0.001", "gram", "grams", family="metric"),
    _unit("mg", "0.000001", "milligram", "milligrams", family="metric"),
    _unit("lb", _LB, "lbs", "pound", "pounds", family="pound"),
    _unit("oz", _LB / 16, "ounce", "ounces", family="pound"),
)
_VOLUME = (
    _unit("L", 1, "l", "liter", "liters", "litre", "litres", family="metric"),
    _unit("hL", 100, "hectoliter", "hectoliters", "hectolitre", "hectolitres", family="metric"),
    _unit("cL", "0.01", "centiliter", "centiliters", "centilitre", "centilitres", family="metric"),
    _unit("mL", "0.001", "milliliter", "milliliters", "millilitre", "millilitres", family="metric"),
    _unit("gal", _GAL, "gallon", "gallons", "US gal", "US gallon", "US gallons", family="US"),
    _unit("qt", _GAL / 4, "quart", "quarts", "US qt", "US quart", "US quarts", family="US"),
    _unit("pint", _GAL / 8, "pints", "US pint", "US pints", family="US"),
    _unit("cup", _GAL / 16, "cups", "US cup", "US cups", family="US"),
    _unit("fl oz", _GAL / 128, "floz", "fluid ounce", "fluid ounces", "US fl oz", family="US"),
    _unit("imp gal", _IMP_GAL, "imperial gallon", "imperial gallons", "UK gal", family="imperial"),
    _unit("imp qt", _IMP_GAL / 4, "imperial quart", "imperial quarts", "UK qt", family="imperial"),
    _unit("imp pint", _IMP_GAL / 8, "imp pints", "imperial pint", "imperial pints", family="imperial"),
    _unit("imp fl oz", _IMP_GAL / 160, "imperial fluid ounce", "imperial fluid ounces", family="imperial"),
)
_TEMPERATURE = (
    _unit("°C", 1, "C", "celsius", "°celsius"),
    _unit("°F", Fraction(5, 9), "F", "fahrenheit", "°fahrenheit", zero=32),
)
_TEMPERATURE_DIFFERENCE = (
    _unit("K", 1, "kelvin", "°C", "C"),
    _unit("°F", Fraction(5, 9), "F"),
)
_GRAVITY = (
    _unit("°P", 1, "P", "plato", "°plato", "°Bx", "Bx", "brix", "°brix"),
    Unit("SG", ("SG",), plato_from_sg, sg_from_plato),
)
_DURATION = (
    _unit("min", 1, "mins", "minute", "minutes", family="time"),
    _unit("s", Fraction(1, 60), "sec", "secs", "second", "seconds", family="time"),
    _unit("h", 60, "hr", "hrs", "hour", "hours", family="time"),
    _unit("d", 1440, "day", "days", family="time"),
    _unit("weeks", 10080, "week", "wk", "wks", family="time"),
)
_POWER = (
    _unit("kW", 1, "kilowatt", "kilowatts"),
    _unit("W", "0.001", "watt", "watts"),
    _unit("BTU/h", _BTU_PER_H, "BTU/hr", "BTU/hour"),
)
_LENGTH = (
    _unit("m", 1, "meter", "meters", "metre", "metres", family="metric"),
    _unit("cm", "0.01", "centimeter", "centimeters", "centimetre", "centimetres", family="metric"),
    _unit("mm", "0.001", "millimeter", "millimeters", "millimetre", "millimetres", family="metric"),
    _unit("ft", 12 * _INCH, "foot", "feet", family="foot"),
    _unit("in", _INCH, "inch", "inches", family="foot"),
)
_AREA = (
    _unit("m2", 1, "sq m"),
    _unit("cm2", "0.0001", "sq cm"),
    _unit("ft2", 144 * _INCH**2, "sq ft"),
    _unit("in2", _INCH**2, "sq in"),
)
_EVAPORATION = (
    _unit("L/h", 1, "l/h", "L/hr", "L/hour"),
    _unit("gal/h", _GAL, "gal/hr", "gal/hour", "US gal/h"),
    _unit("imp gal/h", _IMP_GAL, "imp gal/hr", "imp gal/hour"),
)
_FLOW = (
    _unit("L/min", 1, "l/min"),
    _unit("gal/min", _GAL, "US gal/min"),
    _unit("imp gal/min", _IMP_GAL),
    _unit("L/h", Fraction(1, 60), "l/h", "L/hr", "L/hour"),
    _unit("gal/h", _GAL / 60, "gal/hr", "gal/hour", "US gal/h"),
)
_VOLUME_PER_MASS = (
    _unit("L/kg", 1, "l/kg"),
    _unit("mL/g", 1),
    _unit("qt/lb", _GAL / 4 / _LB),
    _unit("gal/lb", _GAL / _LB),
)
_PRESSURE = (
    _unit("bar", 1, "bars"),
    _unit("mbar", "0.001"),
    _unit("kPa", "0.01"),
    _unit("hPa", "0.001"),
    _unit("psi", _PSI),
    _unit("atm", "1.01325"),
)
_SHARE = (
    _unit("", 1),
    _unit("%", "0.01", "percent", "per cent"),
)
_COLOUR = (
    _unit("EBC", 1),
    _unit("SRM", 25 / Fraction("12.7")),
)
_CELLS = (
    _unit("billion cells", 1, "billion"),
    _unit("million cells", "0.001", "million"),
    _unit("cells", Fraction(1, 10**9)),
)

# A unit that serves two dimensions (°C, L/h) tells the one that stands first here when nothing else does.
SPECS: Mapping[Dimension, Spec] = {
    Dimension.MASS: Spec(0, 1e6, "10.7 kg, 57 g or 5 lb 3 oz", _MASS),
    Dimension.VOLUME: Spec(0, 1e6, "33 L or 8.7 gal", _VOLUME),
    Dimension.TEMPERATURE: Spec(-273.15, 1000, "66 °C or 149 °F", _TEMPERATURE),
    Dimension.TEMPERATURE_DIFFERENCE: Spec(-1000, 1000, "3 K or 5 °F", _TEMPERATURE_DIFFERENCE),
    Dimension.GRAVITY: Spec(-6, 100, "1.052 or 13 °P", _GRAVITY),
    Dimension.DURATION: Spec(0, 1e8, "60 min, 1 h 30 min or 14 d", _DURATION),
    Dimension.POWER: Spec(0, 1e5, "3.5 kW or 12000 BTU/h", _POWER),
    Dimension.LENGTH: Spec(0, 1e5, "15 m, 40 cm or 16 in", _LENGTH),
    Dimension.AREA: Spec(0, 1e5, "0.45 m2 or 4.8 ft2", _AREA),
    Dimension.EVAPORATION: Spec(0, 1e5, "4.5 L/h or 1.2 gal/h", _EVAPORATION),
    Dimension.FLOW: Spec(0, 1e5, "10 L/min or 2.6 gal/min", _FLOW),
    Dimension.VOLUME_PER_MASS: Spec(0, 1e4, "0.6 L/kg or 0.07 gal/lb", _VOLUME_PER_MASS),
    Dimension.SHARE: Spec(0, 1, "35 % or 0.35", _SHARE),
    Dimension.COLOUR: Spec(0, 1e4, "8 EBC or 4 SRM", _COLOUR),
    Dimension.BITTERNESS: Spec(0, 1e4, "35 IBU", (_unit("IBU", 1, "IBUs"),)),
    Dimension.PH: Spec(0, 14, "5.4 or pH 5.4", (_unit("pH", 1),)),
    Dimension.CELLS: Spec(0, 1e9, "200 billion cells", _CELLS),
    Dimension.PRESSURE: Spec(0, 1e4, "0.8 bar or 12 psi", _PRESSURE),
    Dimension.COUNT: Spec(0, 1e6, "48 bottles", (_unit("bottles", 1, "bottle"),)),
    Dimension.NUMBER: Spec(-1e12, 1e12, "3 or 1/2", (_unit("", 1),)),
}  # fmt: skip

_SPOON = "a spoonful has no certain mass: weigh it and write g"
_TON = "a ton differs from country to country: write kg"
_BARREL = "a barrel of beer is 117.3 L in the US and 163.7 L in Britain: write hL or gal"
_LOVIBOND = "°Lovibond needs a relation, not a factor: take EBC or SRM from the maltster's sheet"

# Words refused for having two meanings, or none that a unit can carry; keys as `plain_word` makes them.
REFUSED_WORDS: Mapping[str, str] = {
    "t": "t can be a tonne, a ton or a teaspoon: write kg, or weigh the spoonful in g",
    **dict.fromkeys(("ton", "tons"), _TON),
    **dict.fromkeys(("tsp", "tbsp"), _SPOON),
    "gr": "gr can be grams or grains: write g",
    "pt": "pt can be a US pint or a point of gravity: write pint, or a gravity like 1.052",
    "pts": "pts can be US pints or points of gravity: write pints, or a gravity like 1.052",
    "points": "a gravity is written like 1.052 or 13 °P, not in points",
    **dict.fromkeys(("bbl", "barrel", "barrels"), _BARREL),
    **dict.fromkeys(("°l", "lovibond", "°lovibond"), _LOVIBOND),
    "°": "a degree of what? Write °C, °F or °P",
}
