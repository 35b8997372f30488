"""House figures go into a brewery file, and nothing else of it changes."""

from __future__ import annotations

import pytest

from exchange.example_files import AMBER, text_of
from gylebook.brewery.site import HouseFigure
from gylebook.errors import Refused
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.house_writer import with_house

SHED = text_of(AMBER / "brewery.toml")
FIGURES = {
    "boil_off_l_per_h": HouseFigure(level=4.31234, scatter=0.31111),
    "conversion": HouseFigure(level=0.9567, scatter=0.0156),
    "mash.temperature_slip_c": HouseFigure(level=-0.31, scatter=0.49),
    "instrument.dipstick.bias": HouseFigure(level=-0.00172, scatter=0.0804),
    "chill.u_w_per_m2_k": HouseFigure(level=712.3, scatter=81.0),
    "refractometer.factor": HouseFigure(level=1.048, scatter=0.0116),
    "instrument.hydrometer.bias": HouseFigure(level=-0.0000712345, scatter=0.00053),
}
UNITS = {
    "boil_off_l_per_h": "L/h",
    "conversion": "share",
    "mash.temperature_slip_c": "°C",
    "instrument.dipstick.bias": "as shown",
    "chill.u_w_per_m2_k": "W/(m²·K)",
    "refractometer.factor": "Brix per °P",
    "instrument.hydrometer.bias": "as shown",
}


def test_what_is_written_reads_back_to_four_digits():
    text = with_house(SHED, FIGURES, UNITS, where="shed")

    house = read_brewery(text, where="shed").house
    assert set(house) == set(FIGURES)
    for name, figure in FIGURES.items():
        assert house[name].level == pytest.approx(figure.level, rel=2e-4)
        assert house[name].scatter == pytest.approx(figure.scatter, rel=2e-4)
    assert 'level = "4.312 L/h"' in text
    assert 'level = "95.67 %"' in text
    assert 'level = "712.3"' in text


def test_the_rest_of_the_file_stays_as_it_was_typed():
    assert with_house(SHED, FIGURES, UNITS, where="shed").startswith(SHED.rstrip("\n"))


def test_writing_again_changes_nothing_and_newer_figures_take_the_place_of_older():
    once = with_house(SHED, FIGURES, UNITS, where="shed", note="learned from 3 brews")
    newer = {"conversion": HouseFigure(level=0.9, scatter=0.02)}

    assert with_house(once, FIGURES, UNITS, where="shed", note="learned from 3 brews") == once
    text = with_house(once, newer, UNITS, where="shed", note="learned from 4 brews")
    assert text.count("[house.conversion]") == 1
    assert read_brewery(text, where="shed").house["conversion"] == newer["conversion"]
    assert read_brewery(text, where="shed").house["boil_off_l_per_h"].level == 4.312


def test_a_brewer_s_own_comments_outlive_the_tables_that_go():
    typed = SHED + (
        '\n# timed it twice\n[house.conversion]\nlevel = "90 %"\nscatter = "2 %"\n'
        '\n# the loft\n[fermenters.loft]\ncapacity = "9 L"\n'
    )

    text = with_house(typed, FIGURES, UNITS, where="shed")

    assert "# timed it twice\n" in text
    assert '# the loft\n[fermenters.loft]\ncapacity = "9 L"\n' in text
    assert read_brewery(text, where="shed").fermenters["loft"].capacity_l == 9.0


def test_another_way_to_state_the_same_figure_goes_with_it():
    typed = SHED + '\n[house.absorption_l_per_kg]\nlevel = "0.6 L/kg"\nscatter = "0.1 L/kg"\n'
    figure = {"retained_l_per_kg": HouseFigure(level=1.0, scatter=0.1)}

    text = with_house(typed, figure, {}, where="shed", instead_of={"absorption_l_per_kg"})

    assert set(read_brewery(text, where="shed").house) == {"retained_l_per_kg"}


@pytest.mark.parametrize(
    "stated",
    [
        'house.conversion = { level = "90 %", scatter = "2 %" }\n' + SHED,
        SHED + '\n[house]\nconversion = { level = "90 %", scatter = "2 %" }\n',
    ],
)
def test_a_figure_that_is_stated_otherwise_is_asked_about(stated):
    with pytest.raises(Refused, match=r"house figure conversion stands in no table.*take it out"):
        with_house(stated, FIGURES, UNITS, where="shed")
