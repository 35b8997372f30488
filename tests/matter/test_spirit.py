"""Ethanol in water against the international table, and alcohol by volume against by mass."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95

from gylebook.errors import OutsideValidity
from gylebook.matter.extract import density_from_sg
from gylebook.matter.spirit import (
    ETHANOL_DENSITY,
    abv_from_mass_percent,
    abv_of_ethanol_water,
    ethanol_water_density,
    mass_percent_of_ethanol_water,
)
from published_tables import published


@pytest.mark.parametrize(("mass_percent", "temp_c", "density"), published("phys_ethanol_density"))
def test_density_follows_the_international_formula(mass_percent, temp_c, density, check):
    # 0.002 kg/m³ is far below any use; the table itself is rounded to 0.0001.
    what, at = "density of ethanol in water", f"{mass_percent:g} % and {temp_c:g} °C"
    found = ethanol_water_density(mass_percent / 100.0, temp_c)
    check(what, found, density, within=0.002, unit="kg/m³", at=at, source="oiml-r22", kind="slip")


@pytest.mark.parametrize(
    ("abv", "mass_percent", "density"),
    [(10.0, 8.01, 984.71), (20.0, 16.21, 973.56), (40.0, 33.30, 948.05), (100.0, 100.0, 789.24)],
)
def test_known_rows_of_the_international_tables_come_out(abv, mass_percent, density, check):
    # OIML R 22, tables, from memory; each to half its last digit and rounding of the strength.
    at, source, found = f"{abv:g} % vol", "oiml-r22-tables", mass_percent_of_ethanol_water(abv)
    check("alcohol by mass", found, mass_percent, within=0.006, unit="%", at=at, source=source)
    weighs = ethanol_water_density(found / 100.0, 20.0)
    check("density of spirit", weighs, density, within=0.006, unit="kg/m³", at=at, source=source)


@pytest.mark.parametrize("temp_c", [1.0, 4.0, 10.0, 20.0, 30.0, 40.0])
def test_a_spirit_of_no_strength_is_water(temp_c, check):
    judge = IAPWS95(T=temp_c + 273.15, P=0.101325).rho

    # 0.01: the formula rests on an older water and on IPTS-68, 0.01 °C off at 40, worth 0.004 kg/m³.
    what, at = "density of a spirit of no strength", f"{temp_c:g} °C"
    found = ethanol_water_density(0.0, temp_c)
    check(what, found, judge, within=0.01, unit="kg/m³", at=at, source="iapws-95")


@pytest.mark.parametrize(
    ("abv", "mass_percent", "density"),
    published("phys_ethanol_abv_abw", "abv_pct", "mass_pct", "rho20_kg_m3"),
)
def test_alcohol_by_volume_and_by_mass_agree_with_the_table(abv, mass_percent, density, check):
    found = mass_percent_of_ethanol_water(abv)

    # 0.001: a fiftieth of the 0.05 % vol on a label.
    at, source, weighs = f"{abv:g} % vol", "oiml-r22", ethanol_water_density(found / 100.0, 20.0)
    check("alcohol by mass", found, mass_percent, within=0.001, unit="%", at=at, source=source, kind="slip")
    assert abv_of_ethanol_water(found) == pytest.approx(abv, abs=1e-9)
    check("density of spirit", weighs, density, within=0.002, unit="kg/m³", at=at, source=source, kind="slip")


@given(st.floats(0.0, 100.0))
def test_volume_to_mass_and_back_is_exact(abv):
    # 1e-9: terms of the formula reach 7e5 kg/m³ and cancel, which leaves 1e-11 % vol.
    assert abv_of_ethanol_water(mass_percent_of_ethanol_water(abv)) == pytest.approx(abv, abs=1e-9)


@given(st.floats(0.0, 99.0), st.floats(1e-3, 1.0))
def test_stronger_by_volume_is_stronger_by_mass(abv, more):
    assert mass_percent_of_ethanol_water(abv + more) > mass_percent_of_ethanol_water(abv)


@given(st.floats(0.0, 0.99), st.floats(-20.0, 40.0))
def test_one_temperature_for_all_draws_is_the_same_as_one_for_each(fraction, temp_c):
    fractions = np.array([fraction, 0.04, 0.0])

    # 1e-11: powers of p to the eleventh with factors to 7e5 cancel, in one order or the other.
    np.testing.assert_allclose(
        ethanol_water_density(fractions, temp_c),
        ethanol_water_density(fractions, np.full(3, temp_c)),
        rtol=1e-11,
    )


@pytest.mark.parametrize(("mass_percent", "sg"), [(3.2, 1.004), (4.0, 1.010), (6.5, 1.020), (10.0, 1.030)])
def test_beer_has_as_much_alcohol_by_volume_as_its_density_says(mass_percent, sg):
    exact = mass_percent * density_from_sg(sg) / ETHANOL_DENSITY

    # 0.7907 has four digits and leaves out the buoyancy of air: 1.5e-4 of the value, 0.001 % vol in 5.
    assert abv_from_mass_percent(mass_percent, sg) == pytest.approx(exact, rel=1.5e-4)


def test_five_per_cent_by_volume_is_four_by_mass(check):
    # Common practice: a beer of 5 % vol finishing at 1.010 has 3.9 % by mass.
    what, found = "alcohol by volume of 3.9 % by mass", abv_from_mass_percent(3.92, 1.010)
    check(what, found, 5.0, within=0.02, unit="% vol", source="common-practice", kind="practice")


def test_per_cent_given_as_a_fraction_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"mass_fraction is 4\.5 .*0 to 1.*If that was per cent, it is 0\.045 kg/kg"
    ):
        ethanol_water_density(4.5, 20.0)


def test_proof_given_as_volume_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"abv is 151 % vol.*If that was proof \(US\), it is 75\.5 % vol"
    ):
        mass_percent_of_ethanol_water(151.0)


def test_negative_alcohol_is_refused():
    with pytest.raises(OutsideValidity, match=r"alcohol_mass_percent is -0\.5 %"):
        abv_from_mass_percent(np.array([4.0, -0.5]), 1.010)


def test_final_strength_given_as_final_gravity_is_recognised():
    with pytest.raises(OutsideValidity, match=r"beer_sg is 2\.5 SG.*If that was °P, it is 1\.010 SG"):
        abv_from_mass_percent(4.0, 2.5)


def test_a_warm_room_in_fahrenheit_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"temp_c is 68 °C.*-20 to 40 °C\. If that was °F, it is 20\.0 °C"
    ):
        ethanol_water_density(0.04, 68.0)
