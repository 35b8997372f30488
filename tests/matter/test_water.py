"""Water against the IAPWS formulation, by a table and by a library that shares no coefficient with us."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95

from gylebook.errors import OutsideValidity
from gylebook.matter.water import (
    SPECIFIC_HEAT,
    boiling_point,
    latent_heat,
    pressure_at_altitude,
    water_density,
)
from published_tables import published


@pytest.mark.parametrize(("temp_c", "density"), published("phys_water"))
def test_density_agrees_with_a_published_formulation(temp_c, density, check):
    # 0.02 kg/m³: the two temperature scales differ by 0.026 °C at the boil, worth that much.
    found, at = water_density(temp_c), f"{temp_c:g} °C"
    check("density of water", found, density, within=0.02, unit="kg/m³", at=at, source="iapws-95")


@pytest.mark.parametrize("temp_c", [1.0, 12.5, 20.0, 37.0, 66.0, 78.0, 99.0])
def test_density_agrees_with_the_iapws_library(temp_c, check):
    judge = IAPWS95(T=temp_c + 273.15, P=0.101325).rho

    found, at = water_density(temp_c), f"{temp_c:g} °C"  # within as above
    check("density, by a library", found, judge, within=0.02, unit="kg/m³", at=at, source="iapws-95")


@pytest.mark.parametrize("temp_c", [102.0, 105.0])
def test_water_above_its_boiling_point_under_sugar_is_still_known(temp_c, check):
    judge = IAPWS95(T=temp_c + 273.15, x=0).rho  # its own vapour pressure adds 0.01 kg/m³

    found, at = water_density(temp_c), f"{temp_c:g} °C"
    what = "density under its own vapour"
    check(what, found, judge, within=0.03, unit="kg/m³", at=at, source="iapws-95")


@pytest.mark.parametrize("temp_c", [8.0, 20.0, 66.0, 90.0, 100.0, 103.0])
def test_latent_heat_agrees_with_the_iapws_library(temp_c, check):
    steam, liquid = (IAPWS95(T=temp_c + 273.15, x=x).h for x in (1, 0))

    # 0.5 kJ/kg is the stated error of the fit: 0.02 % of a boil-off.
    what, at = "latent heat, by a library", f"{temp_c:g} °C"
    found = latent_heat(temp_c)
    check(what, found, steam - liquid, within=0.5, unit="kJ/kg", at=at, source="iapws-95")


@pytest.mark.parametrize(("temp_c", "heat"), published("phys_latent_heat"))
def test_latent_heat_agrees_with_a_published_formulation(temp_c, heat, check):
    found, at = latent_heat(temp_c), f"{temp_c:g} °C"  # within as above
    check("latent heat", found, heat, within=0.5, unit="kJ/kg", at=at, source="iapws-95")


@pytest.mark.parametrize("pressure_kpa", [60.5, 70.0, 84.5, 95.0, 101.325, 107.5])
def test_water_boils_where_the_iapws_library_says(pressure_kpa, check):
    judge = IAPWS95(P=pressure_kpa / 1000.0, x=0).T - 273.15

    # Stated 4e-5 °C for the fit; the library's own saturation iteration is good to about 1e-4.
    what, at = "boiling point, by a library", f"{pressure_kpa:g} kPa"
    check(what, boiling_point(pressure_kpa), judge, within=1e-3, unit="°C", at=at, source="iapws-95")


@pytest.mark.parametrize(("pressure_kpa", "temp_c"), published("phys_boiling_pressure"))
def test_water_boils_as_a_published_formulation_has_it(pressure_kpa, temp_c, check):
    # 0.002: one row's pressure is rounded to 101.33, worth 0.0014 °C.
    what, at = "boiling point", f"{pressure_kpa:g} kPa"
    check(what, boiling_point(pressure_kpa), temp_c, within=0.002, unit="°C", at=at, source="iapws-95")


@pytest.mark.parametrize(("altitude_m", "pressure_kpa", "temp_c"), published("phys_boiling_altitude"))
def test_water_boils_cooler_up_a_mountain(altitude_m, pressure_kpa, temp_c, check):
    pressure = pressure_at_altitude(altitude_m)

    # 6e-4: the table's last digit.
    at, boils = f"{altitude_m:g} m", boiling_point(pressure)
    check("pressure of air", pressure, pressure_kpa, within=6e-4, unit="kPa", at=at, source="iso-2533")
    check("boiling point up high", boils, temp_c, within=6e-4, unit="°C", at=at, source="iapws-95")


@pytest.mark.parametrize("temp_c", [20.0, 45.0, 66.0, 78.0, 95.0])
def test_one_specific_heat_serves_from_tap_to_boil(temp_c, check):
    judge = IAPWS95(T=temp_c + 273.15, P=0.101325).cp

    # 0.8 %: what the constant gives away at the boil; the wort formula at 0 °P has no more.
    what, at = "specific heat of water", f"{temp_c:g} °C"
    check(what, SPECIFIC_HEAT, judge, rel=0.008, unit="kJ/(kg K)", at=at, source="iapws-95")


@given(st.floats(4.5, 149.0), st.floats(0.1, 1.0))
def test_warmer_water_is_lighter_above_four_degrees(temp_c, step):
    assert water_density(temp_c + step) < water_density(temp_c)


@given(st.floats(-500.0, 4100.0), st.floats(1.0, 100.0))
def test_higher_up_the_air_is_thinner_and_water_boils_cooler(altitude_m, step):
    low, high = pressure_at_altitude(altitude_m), pressure_at_altitude(altitude_m + step)

    assert high < low
    assert boiling_point(high) < boiling_point(low)


def test_draws_take_the_same_path_as_a_single_temperature():
    temps = np.array([[10.0, 20.0], [66.0, 100.0]])
    for equation in (water_density, latent_heat):
        np.testing.assert_array_equal(equation(temps), [[equation(t) for t in row] for row in temps])


def test_a_fahrenheit_reading_is_refused_and_recognised():
    with pytest.raises(
        OutsideValidity, match=r"temp_c is 212 °C.*Kell.*0 to 150 °C\. If that was °F.*100\.0 °C"
    ):
        water_density(212.0)


def test_one_cold_draw_among_many_is_refused_by_its_value():
    with pytest.raises(OutsideValidity, match=r"temp_c is -3\.5 °C.*0 to 150 °C\.$"):
        water_density(np.array([20.0, -3.5, 66.0]))


def test_a_missing_number_is_refused():
    with pytest.raises(OutsideValidity, match="temp_c is nan"):
        water_density(np.array([20.0, np.nan]))


def test_feet_given_as_metres_are_recognised():
    with pytest.raises(OutsideValidity, match=r"altitude_m is 5280 m.*If that was feet, it is 1609 m"):
        pressure_at_altitude(5280.0)


@pytest.mark.parametrize(
    ("pressure", "words"),
    [(1.013, "bar, it is 101.3"), (1013.0, "hPa or mbar, it is 101.3"), (14.7, "psi, it is 101.4")],
)
def test_other_units_of_pressure_are_recognised(pressure, words):
    with pytest.raises(OutsideValidity, match=f"60 to 108 kPa. If that was {words} kPa"):
        boiling_point(pressure)


def test_inches_of_mercury_are_recognised():
    with pytest.raises(OutsideValidity, match=r"If that was inches of mercury, it is 101\.3 kPa"):
        boiling_point(29.92)


def test_no_latent_heat_is_invented_for_ice():
    with pytest.raises(OutsideValidity, match=r"temp_c is 0 °C.*8 to 103 °C"):
        latent_heat(0.0)
