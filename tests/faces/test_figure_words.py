"""A figure of the house is told as finely as its scatter deserves."""

from __future__ import annotations

import pytest

from gylebook.faces.figure_words import figure_name, figure_unit, level_and_scatter
from gylebook.faces.learned_words import gone
from gylebook.faces.words import METRIC, US
from gylebook.gyle.belonging import RULES


@pytest.mark.parametrize(
    ("level", "scatter", "unit", "told"),
    [
        (4.3123, 0.3111, "L/h", "4.31 ± 0.31"),
        (0.9567, 0.0156, "share", "95.7 ± 1.6"),
        (712.3, 81.0, "W/(m²·K)", "712 ± 81"),
        (-0.0000712, 0.00053, "as shown", "−0.00007 ± 0.00053"),
        (1.048, 0.0116, "Brix per °P", "1.048 ± 0.012"),
        (5.45, 0.0, "pH", "5.45 ± 0.00"),
    ],
)
def test_two_digits_of_the_scatter_are_told(level, scatter, unit, told):
    assert level_and_scatter(level, scatter, unit, METRIC) == told


def test_litres_an_hour_become_gallons_and_a_difference_of_temperature_has_no_zero_point():
    assert level_and_scatter(4.0, 0.4, "L/h", US) == "1.06 ± 0.11"
    assert level_and_scatter(0.5, 0.5, "°C", US) == "0.90 ± 0.90"
    assert (figure_unit("L/h", US), figure_unit("°C", US), figure_unit("°C", METRIC)) == ("gal/h", "°F", "K")
    assert (figure_unit("share"), figure_unit("factor")) == ("%", "")


@pytest.mark.parametrize(
    ("family", "name"),
    [
        ("acid.lactic.strength", "Strength of the lactic acid"),
        ("salt.calcium-chloride.acting", "What acts of the calcium chloride"),
        ("instrument.ph meter.bias", "Bias of the pH meter"),
        ("grist.vienna-malt.buffering", "Buffering of Vienna malt"),
        ("water.mains.strength", "Strength of the water mains"),
    ],
)
def test_what_the_tables_name_goes_by_that_name(family, name):
    assert figure_name(family) == name


def test_a_doubt_that_grew_is_none_gone():
    assert [gone(share) for share in (0.43, 0.004, -0.01)] == ["43 %", "none", "none"]


def test_every_figure_that_can_be_learned_has_a_name_in_words():
    for family in (*RULES, "attenuation", "instrument.dipstick.bias", "heat.ring.net_share"):
        assert figure_name(family) != family
        assert "_" not in figure_name(family)
