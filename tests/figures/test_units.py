"""Hold the reader of quantities to what a brewer writes, and to what must be asked back.

The factors themselves are held against Pint in test_unit_table.py.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gylebook.errors import QuantityRefused
from gylebook.figures.unit_table import SPECS, Dimension, Unit
from gylebook.figures.units import base_unit, read, read_quantity, unit_names, write

LB, OZ = 0.45359237, 0.028349523125  # international pound of 1959 and its sixteenth

ACCEPTED = [
    ("33 L", Dimension.VOLUME, 33.0),
    ("33l", Dimension.VOLUME, 33.0),
    ("8.7 gal", Dimension.VOLUME, 8.7 * 3.785411784),
    ("1 gal 2 qt", Dimension.VOLUME, 1.5 * 3.785411784),
    ("1 imp gal", Dimension.VOLUME, 4.54609),
    ("5 fl. oz.", Dimension.VOLUME, 5 * 3.785411784 / 128),
    ("2 cups", Dimension.VOLUME, 3.785411784 / 8),
    ("5 lb 3 oz", Dimension.MASS, 5 * LB + 3 * OZ),
    ("5lb3oz", Dimension.MASS, 5 * LB + 3 * OZ),
    ("1,5 kg", Dimension.MASS, 1.5),
    ("0,500 kg", Dimension.MASS, 0.5),
    ("1.500 kg", Dimension.MASS, 1.5),
    ("1.500,5 kg", Dimension.MASS, 1500.5),
    ("1,500.5 kg", Dimension.MASS, 1500.5),
    ("1,500,000 mg", Dimension.MASS, 1.5),
    ("1\u202f500 g", Dimension.MASS, 1.5),
    (".5 lb", Dimension.MASS, LB / 2),
    ("1/2 lb", Dimension.MASS, LB / 2),
    ("½ lb", Dimension.MASS, LB / 2),
    ("1 1/2 oz", Dimension.MASS, 1.5 * OZ),
    ("1½oz", Dimension.MASS, 1.5 * OZ),
    ("57\u00a0g", Dimension.MASS, 0.057),
    ("149 °F", Dimension.TEMPERATURE, 65.0),
    ("149 ° F", Dimension.TEMPERATURE, 65.0),
    ("149degF", Dimension.TEMPERATURE, 65.0),
    ("149 degrees fahrenheit", Dimension.TEMPERATURE, 65.0),
    ("66 C", Dimension.TEMPERATURE, 66.0),
    ("66℃", Dimension.TEMPERATURE, 66.0),
    ("\u22122 °C", Dimension.TEMPERATURE, -2.0),
    ("-2ºC", Dimension.TEMPERATURE, -2.0),
    ("9 °F", Dimension.TEMPERATURE_DIFFERENCE, 5.0),
    ("-3 K", Dimension.TEMPERATURE_DIFFERENCE, -3.0),
    ("13 °P", Dimension.GRAVITY, 13.0),
    ("13.2 Plato", Dimension.GRAVITY, 13.2),
    ("12 °Bx", Dimension.GRAVITY, 12.0),
    ("1.000", Dimension.GRAVITY, 0.0),
    ("1 h 30 min", Dimension.DURATION, 90.0),
    ("2 weeks 3 d", Dimension.DURATION, 17 * 1440.0),
    ("90 s", Dimension.DURATION, 1.5),
    ("2 ft 6 in", Dimension.LENGTH, 0.762),
    ("0.5 m²", Dimension.AREA, 0.5),
    ("4.5 L / h", Dimension.EVAPORATION, 4.5),
    ("600 L/h", Dimension.FLOW, 10.0),
    ("35 %", Dimension.SHARE, 0.35),
    ("0.35", Dimension.SHARE, 0.35),
    ("1/3", Dimension.SHARE, 1 / 3),
    ("12.7 SRM", Dimension.COLOUR, 25.0),
    ("35 IBU", Dimension.BITTERNESS, 35.0),
    ("pH 5.4", Dimension.PH, 5.4),
    ("5.4", Dimension.PH, 5.4),
    ("200 billion", Dimension.CELLS, 200.0),
    ("800 mbar", Dimension.PRESSURE, 0.8),
    ("3", Dimension.NUMBER, 3.0),
]

REFUSED = [
    ("149 °F", Dimension.VOLUME, r"understood as 65 °C; here a volume is wanted: .* 33 L or 8\.7 gal"),
    ("12 gallon jugs", Dimension.VOLUME, r"12 of “gallon jugs”, which is not a unit known"),
    ("8 oz", Dimension.VOLUME, r"0\.226796 kg; oz is a mass, the volume is written fl oz"),
    ("1,500 kg", Dimension.MASS, r"either 1\.5 kg or 1500 kg; which\?"),
    ("-1,500 kg", Dimension.MASS, r"either -1\.5 kg or -1500 kg"),
    ("1,50,000 mg", Dimension.MASS, "not a number with a unit"),
    ("12", Dimension.MASS, r"a number without a unit; here a mass is wanted"),
    ("2 t", Dimension.MASS, r"tonne, a ton or a teaspoon"),
    ("3 tsp", Dimension.MASS, r"weigh it and write g"),
    ("5 Mg", Dimension.MASS, r"a capital M is a million"),
    ("1 bbl", Dimension.VOLUME, r"117\.3 L in the US and 163\.7 L in Britain"),
    ("1 lb 200 g", Dimension.MASS, r"made of lb and g"),
    ("3 kg 2 °C", Dimension.MASS, r"units of different kinds"),
    ("5 lb 3", Dimension.MASS, r"a 3 without a unit beside others"),
    ("5 lb 16 oz", Dimension.MASS, r"16 oz beside lb; .* between 0 and 1 lb"),
    ("5.5 lb 2 oz", Dimension.MASS, r"only the last number may have a fraction"),
    ("3 oz 5 lb", Dimension.MASS, r"the larger unit comes first"),
    ("2-3 kg", Dimension.MASS, r"write it like 10\.7 kg"),
    ("1/0 kg", Dimension.MASS, r"not a number with a unit"),
    ("nan kg", Dimension.MASS, r"not a number with a unit"),
    ("inf L", Dimension.VOLUME, r"not a number with a unit"),
    ("", Dimension.MASS, r"not a number with a unit"),
    ("9" * 70 + " kg", Dimension.MASS, r"not a number with a unit"),
    ("9999999999 kg", Dimension.MASS, r"a mass lies from 0 to 1 000 000 kg"),
    ("-3 L", Dimension.VOLUME, r"understood as -3 L; a volume is not below zero"),
    ("-1 lb 3 oz", Dimension.MASS, r"a mass is not below zero"),
    ("-300 °C", Dimension.TEMPERATURE, r"nothing is colder than -273\.15 °C"),
    ("66", Dimension.TEMPERATURE, r"a number without a unit.*66 °C or 149 °F"),
    ("66 °", Dimension.TEMPERATURE, r"a degree of what\?"),
    ("1052", Dimension.GRAVITY, r"a gravity of 1052; did you mean 1\.052\?"),
    ("13", Dimension.GRAVITY, r"a gravity of 13; .*13 °P is written with its °P"),
    ("1.3", Dimension.GRAVITY, r"the scale runs from 0\.98 to 1\.153"),
    ("52 pt", Dimension.GRAVITY, r"a US pint or a point of gravity"),
    ("4 °L", Dimension.COLOUR, r"needs a relation, not a factor"),
    ("35", Dimension.SHARE, r"did you mean 35 %\? Here a share is wanted"),
    ("120 %", Dimension.SHARE, r"understood as 1\.2; a share lies from 0 to 1"),
    ("15", Dimension.PH, r"a pH lies from 0 to 14"),
]


@pytest.mark.parametrize(("text", "dimension", "value"), ACCEPTED)
def test_what_a_brewer_writes_is_understood(text: str, dimension: Dimension, value: float) -> None:
    # 1e-12: the expected values are sums of rounded decimals, good to a few units of the sixteenth figure.
    assert read(text, dimension) == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(("text", "dimension", "answer"), REFUSED)
def test_what_could_be_misread_is_refused_with_what_was_understood(
    text: str, dimension: Dimension, answer: str
) -> None:
    with pytest.raises(QuantityRefused, match=answer) as refused:
        read(text, dimension)
    assert SPECS[dimension].examples in str(refused.value)


@pytest.mark.parametrize("text", ["1.052", "1.052 SG", "1.052SG", "SG 1.052", "1,052"])
def test_a_hydrometer_reading_lands_on_the_published_sugar_table(text: str) -> None:
    # NBS Circular 440 (after Plato): 12 °P 1.04837 and 15 °P 1.06111, interpolated 12.86 °P at 1.052;
    # 0.01: linear interpolation over 3 °P bends by that much.
    assert read(text, Dimension.GRAVITY) == pytest.approx(
        12 + 3 * (1.052 - 1.04837) / (1.06111 - 1.04837), abs=0.01
    )


@pytest.mark.parametrize(
    ("plato", "sg"), [(5, 1.01968), (10, 1.04003), (12, 1.04837), (15, 1.06111), (20, 1.08297), (30, 1.12913)]
)
def test_the_two_gravity_scales_agree_with_the_published_sugar_table(plato: float, sg: float, check) -> None:
    # Apparent SG 20/20 from NBS Circular 440 (1942), after Plato; the fit claims 0.005 °P and 2e-5 SG.
    understood, written = (
        read(f"{sg}", Dimension.GRAVITY),
        float(write(plato, Dimension.GRAVITY, "SG", digits=6)),
    )
    at, source = f"{plato:g} °P", "plato-table"
    check("gravity as it is read", understood, plato, within=0.005, unit="°P", at=at, source=source)
    check("gravity as it is written", written, sg, within=2e-5, unit="SG", at=at, source=source)


def test_a_refusal_names_the_place_and_repeats_the_text() -> None:
    with pytest.raises(
        QuantityRefused, match=r"^plan\.toml, line 3, volume: “149 °F” is understood as 65 °C"
    ):
        read("149 °F", Dimension.VOLUME, where="plan.toml, line 3, volume")


def test_a_unit_tells_its_own_dimension_on_the_command_line() -> None:
    assert read_quantity("24.5L") == (24.5, Dimension.VOLUME)
    assert read_quantity("149F") == (65.0, Dimension.TEMPERATURE)
    assert read_quantity("11.8P") == (11.8, Dimension.GRAVITY)
    assert read_quantity("4.5 L/h") == (4.5, Dimension.EVAPORATION)
    assert read_quantity("1.047SG") == (read("1.047", Dimension.GRAVITY), Dimension.GRAVITY)


def test_a_bare_number_is_a_gravity_only_where_one_is_expected() -> None:
    with pytest.raises(QuantityRefused, match=r"a number without a unit; write the unit with it, like 33 L"):
        read_quantity("1.052")
    assert read_quantity("1.052", gravity_expected=True)[1] is Dimension.GRAVITY
    assert read_quantity("33 L", gravity_expected=True) == (33.0, Dimension.VOLUME)


EVERY_UNIT = [(dimension, unit) for dimension, spec in SPECS.items() for unit in spec.units]


@st.composite
def written(draw: st.DrawFn) -> tuple[Dimension, Unit, float, int]:
    dimension, unit = draw(st.sampled_from(EVERY_UNIT))
    low, high = SPECS[dimension].low, SPECS[dimension].high
    if unit.name == "SG":
        low, high = -5.0, 34.5  # the scale ends before the dimension does
    return dimension, unit, draw(st.floats(low, high)), draw(st.integers(0, 9))


@given(written())
def test_what_is_printed_reads_back_to_the_printed_precision(
    case: tuple[Dimension, Unit, float, int],
) -> None:
    dimension, unit, value, digits = case
    exact = unit.from_base(Fraction(value))
    half = Fraction(1, 2 * 10**digits)  # of the last decimal printed
    low, high = sorted((unit.to_base(exact - half), unit.to_base(exact + half)))
    # Rounding may carry a value over the edge of what can be (0.98 printed as 1.0); that is then refused.
    assume(SPECS[dimension].low <= low and high <= SPECS[dimension].high)
    assume(unit.name != "SG" or digits >= 3)

    back = unit.from_base(Fraction(read(write(value, dimension, unit.name, digits=digits), dimension)))

    # Beyond half a decimal only the one rounding to a float, a few 1e-16 of the value (of 273 for °F).
    assert abs(back - exact) <= half + abs(exact) * Fraction(1, 10**15) + Fraction(1, 10**12)


@given(written())
def test_six_figures_are_kept_where_no_decimals_are_asked_for(
    case: tuple[Dimension, Unit, float, int],
) -> None:
    dimension, unit, value, _ = case
    assume(SPECS[dimension].low < value < 0.99999 * SPECS[dimension].high)
    exact = float(unit.from_base(Fraction(value)))

    back = float(unit.from_base(Fraction(read(write(value, dimension, unit.name), dimension))))

    # 5e-6: half a unit of the sixth figure, at its coarsest (1.00000); 1e-12: nothing is printed below that.
    assert back == pytest.approx(exact, rel=5.01e-6, abs=1e-12)


def test_units_are_printed_as_brewers_write_them() -> None:
    assert write(33, Dimension.VOLUME, "L") == "33 L"
    assert write(33, Dimension.VOLUME, "gal", digits=1) == "8.7 gal"
    assert write(65, Dimension.TEMPERATURE, "°F", digits=0) == "149 °F"
    assert write(-0.01, Dimension.TEMPERATURE, "°C", digits=1) == "0.0 °C"
    assert write(13, Dimension.GRAVITY, "SG", digits=3) == "1.053"
    assert write(0.35, Dimension.SHARE, "%") == "35 %"
    assert write(0.35, Dimension.SHARE, "") == "0.35"
    assert write(5.4, Dimension.PH, "pH", digits=2) == "pH 5.40"
    assert write(1e6, Dimension.MASS, "kg") == "1000000 kg"


def test_a_caller_who_asks_for_no_unit_of_the_kind_is_stopped() -> None:
    with pytest.raises(ValueError, match="a volume is written in L, hL"):
        write(1, Dimension.VOLUME, "kg")
    with pytest.raises(ValueError, match="cannot be written"):
        write(float("nan"), Dimension.VOLUME, "L")


def test_every_dimension_has_one_base_unit_in_which_its_examples_are_read() -> None:
    assert base_unit(Dimension.MASS) == "kg"
    for dimension, spec in SPECS.items():
        assert unit_names(dimension)[0] == base_unit(dimension)
        for example in spec.examples.replace(" or ", ", ").split(", "):
            assert spec.low <= read(example, dimension) <= spec.high
