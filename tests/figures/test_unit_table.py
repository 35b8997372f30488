"""Hold every factor against Pint, which shares no number with ours.

Pint reads unit names here, one at a time, never the brewer's text: it takes `5 lb 3 oz` for 15 pound-ounces
and `1,5 kg` for 15 kg, silently (0.25).  Its `quart`, `pint` and `cup` are US liquid ones, as here.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from gylebook.figures.quantity_text import plain_word
from gylebook.figures.unit_table import REFUSED_WORDS, SPECS, Dimension, plato_from_sg, sg_from_plato

# (dimension, our unit): Pint's name of the same unit
PINT_NAMES = {
    (Dimension.MASS, "g"): "gram",
    (Dimension.MASS, "mg"): "milligram",
    (Dimension.MASS, "lb"): "pound",
    (Dimension.MASS, "oz"): "ounce",
    (Dimension.VOLUME, "hL"): "hectoliter",
    (Dimension.VOLUME, "cL"): "centiliter",
    (Dimension.VOLUME, "mL"): "milliliter",
    (Dimension.VOLUME, "gal"): "gallon",
    (Dimension.VOLUME, "qt"): "quart",
    (Dimension.VOLUME, "pint"): "pint",
    (Dimension.VOLUME, "cup"): "cup",
    (Dimension.VOLUME, "fl oz"): "fluid_ounce",
    (Dimension.VOLUME, "imp gal"): "imperial_gallon",
    (Dimension.VOLUME, "imp qt"): "imperial_quart",
    (Dimension.VOLUME, "imp pint"): "imperial_pint",
    (Dimension.VOLUME, "imp fl oz"): "imperial_fluid_ounce",
    (Dimension.TEMPERATURE, "°F"): "degF",
    (Dimension.TEMPERATURE_DIFFERENCE, "°F"): "delta_degF",
    (Dimension.DURATION, "s"): "second",
    (Dimension.DURATION, "h"): "hour",
    (Dimension.DURATION, "d"): "day",
    (Dimension.DURATION, "weeks"): "week",
    (Dimension.POWER, "W"): "watt",
    (Dimension.POWER, "BTU/h"): "Btu_it / hour",
    (Dimension.LENGTH, "cm"): "centimeter",
    (Dimension.LENGTH, "mm"): "millimeter",
    (Dimension.LENGTH, "ft"): "foot",
    (Dimension.LENGTH, "in"): "inch",
    (Dimension.AREA, "cm2"): "centimeter ** 2",
    (Dimension.AREA, "ft2"): "foot ** 2",
    (Dimension.AREA, "in2"): "inch ** 2",
    (Dimension.EVAPORATION, "gal/h"): "gallon / hour",
    (Dimension.EVAPORATION, "imp gal/h"): "imperial_gallon / hour",
    (Dimension.FLOW, "gal/min"): "gallon / minute",
    (Dimension.FLOW, "imp gal/min"): "imperial_gallon / minute",
    (Dimension.FLOW, "L/h"): "liter / hour",
    (Dimension.FLOW, "gal/h"): "gallon / hour",
    (Dimension.VOLUME_PER_MASS, "mL/g"): "milliliter / gram",
    (Dimension.VOLUME_PER_MASS, "qt/lb"): "quart / pound",
    (Dimension.VOLUME_PER_MASS, "gal/lb"): "gallon / pound",
    (Dimension.SHARE, "%"): "percent",
    (Dimension.PRESSURE, "mbar"): "millibar",
    (Dimension.PRESSURE, "kPa"): "kilopascal",
    (Dimension.PRESSURE, "hPa"): "hectopascal",
    (Dimension.PRESSURE, "psi"): "psi",
    (Dimension.PRESSURE, "atm"): "standard_atmosphere",
}
PINT_BASES = {
    Dimension.MASS: "kilogram",
    Dimension.VOLUME: "liter",
    Dimension.TEMPERATURE: "degC",
    Dimension.TEMPERATURE_DIFFERENCE: "kelvin",
    Dimension.DURATION: "minute",
    Dimension.POWER: "kilowatt",
    Dimension.LENGTH: "meter",
    Dimension.AREA: "meter ** 2",
    Dimension.EVAPORATION: "liter / hour",
    Dimension.FLOW: "liter / minute",
    Dimension.VOLUME_PER_MASS: "liter / kilogram",
    Dimension.SHARE: "dimensionless",
    Dimension.PRESSURE: "bar",
}
# Scales of the brewhouse that Pint does not know: checked by hand below or in test_units.py.
NOT_IN_PINT = {Dimension.GRAVITY, Dimension.COLOUR, Dimension.CELLS}


@pytest.fixture(scope="module")
def pint_units() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("dimension", "unit"), PINT_NAMES)
def test_a_factor_is_the_one_that_pint_has(
    pint_units: pint.UnitRegistry[float], dimension: Dimension, unit: str
) -> None:
    ours = next(u for u in SPECS[dimension].units if u.name == unit)
    for number in (0, 1, 149):
        theirs = pint_units.Quantity(float(number), PINT_NAMES[dimension, unit]).to(PINT_BASES[dimension])
        # 1e-13: both are exact up to Pint's own chain of float products.
        assert float(ours.to_base(Fraction(number))) == pytest.approx(theirs.magnitude, rel=1e-13, abs=1e-13)


def test_no_factor_escapes_the_comparison() -> None:
    ours = {(d, u.name) for d, spec in SPECS.items() if d not in NOT_IN_PINT for u in spec.units[1:]}

    assert ours == set(PINT_NAMES)


def test_colour_and_cells_have_the_factors_of_their_definitions() -> None:
    # SRM = 12.7 and EBC = 25 times the absorbance at 430 nm over 1 cm: the trade's definitions.
    srm = SPECS[Dimension.COLOUR].units[1]
    assert srm.to_base(Fraction("12.7")) == 25
    assert [u.to_base(Fraction(1)) for u in SPECS[Dimension.CELLS].units] == [
        1,
        Fraction(1, 1000),
        Fraction(1, 10**9),
    ]


@pytest.mark.parametrize("dimension", SPECS)
def test_every_unit_goes_there_and_back_exactly(dimension: Dimension) -> None:
    for unit in SPECS[dimension].units:
        for number in (Fraction(-1, 7), Fraction(1), Fraction("1.052")):
            assert unit.from_base(unit.to_base(number)) == number


def test_the_gravity_scale_goes_there_and_back_exactly() -> None:
    for plato in (Fraction(-2), Fraction(0), Fraction(13), Fraction(35)):
        assert plato_from_sg(sg_from_plato(plato)) == plato


@pytest.mark.parametrize("dimension", SPECS)
def test_no_word_means_two_units_of_one_dimension_or_is_refused_elsewhere(dimension: Dimension) -> None:
    words = [{plain_word(word) for word in unit.words} for unit in SPECS[dimension].units]

    assert sum(map(len, words)) == len(set().union(*words))
    assert not set().union(*words) & set(REFUSED_WORDS)
