"""Strength, gravity and density against the Plato table and what else is known of sugar solutions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.matter.extract import (
    density_from_plato,
    density_from_sg,
    plato_from_sg,
    sg_from_plato,
    sugar_density,
    wort_density,
)
from gylebook.matter.water import water_density
from published_tables import published

WATER_AT_4 = 999.972  # what a relative density d20/4 is relative to [kg/m³]


@pytest.mark.parametrize(("plato", "relative"), published("phys_plato_sg", "P_mass_pct", "d20_4"))
def test_gravity_follows_the_plato_table(plato, relative, check):
    # Weighed in air of 1.2 kg/m³, as the definition of an apparent gravity has it; water is the table's own.
    water = published("phys_plato_sg", "d20_4")[0][0] * WATER_AT_4
    gravity = (relative * WATER_AT_4 - 1.2) / (water - 1.2)

    # 2e-5 and 0.005 °P: half a last digit of a gravity; the largest are at 1 °P, where the table has a kink.
    at, source = f"{plato:g} °P", "plato-table"
    check("gravity of wort", sg_from_plato(plato), gravity, within=2e-5, unit="SG", at=at, source=source)
    check("strength of wort", plato_from_sg(gravity), plato, within=0.005, unit="°P", at=at, source=source)
    density = density_from_plato(plato)
    check("density", density, relative * WATER_AT_4, within=0.025, unit="kg/m³", at=at, source=source)


@pytest.mark.parametrize(
    ("plato", "at_15", "at_20"),
    published("phys_plato_sg", "P_mass_pct", "rho15_table_kg_m3", "rho20_table_kg_m3"),
)
def test_wort_density_follows_a_university_table_of_sucrose(plato, at_15, at_20, check):
    # 0.05: the table is a relative density times 1000, so 0.028 too high as kg/m³, and the fit has 0.02.
    at, source = f"{plato:g} °P", "sucrose-table-umk"
    cold, warm = wort_density(plato, 15.0), wort_density(plato, 20.0)
    check("density at 15 °C", cold, at_15, within=0.05, unit="kg/m³", at=at, source=source)
    check("density at 20 °C", warm, at_20, within=0.05, unit="kg/m³", at=at, source=source)


@pytest.mark.parametrize(("fraction", "relative"), [(0.4, 1.17645), (0.5, 1.22957), (0.6, 1.28646)])
def test_syrup_density_follows_the_circular(fraction, relative, check):
    # NBS Circular 440, d20/4, from memory; not beyond 66.7 %, where sucrose crystallises at 20 °C.
    # 0.25: ICUMSA's values exceed Plato's by more the stronger the solution, 0.08 kg/m³ at 30 %; 0.25 is
    # 0.02 % of a syrup's volume.
    density, at = sugar_density(fraction, 20.0), f"{100 * fraction:g} %"
    expected = relative * WATER_AT_4
    check("density of syrup", density, expected, within=0.25, unit="kg/m³", at=at, source="plato-table")


@given(st.floats(0.0, 105.0))
def test_a_syrup_with_no_sugar_is_water(temp_c):
    assert sugar_density(0.0, temp_c) == pytest.approx(float(water_density(temp_c)), rel=1e-12)
    # One water at 20 °C in both scales: 0 °P is water at every temperature.
    assert wort_density(0.0, temp_c) == pytest.approx(float(water_density(temp_c)), rel=1e-12)


@pytest.mark.parametrize("percent", [5.0, 12.0, 20.0, 30.0])
def test_the_two_density_scales_differ_by_a_hundredth_of_a_degree(percent):
    # ICUMSA against Plato: up to 0.08 kg/m³ at 30 %, which is 0.02 °P; the 0.028 of d20/4 comes on top.
    assert sugar_density(percent / 100.0, 20.0) == pytest.approx(float(density_from_plato(percent)), abs=0.12)


@given(st.floats(-2.0, 35.0))
def test_strength_to_gravity_and_back_is_exact(plato):
    assert plato_from_sg(sg_from_plato(plato)) == pytest.approx(plato, abs=1e-11)


@given(st.floats(0.9924, 1.1535))
def test_gravity_to_strength_and_back_is_exact(sg):
    assert sg_from_plato(plato_from_sg(sg)) == pytest.approx(sg, abs=1e-14)


@given(st.floats(-2.0, 34.9), st.floats(1e-4, 0.1))
def test_more_extract_is_always_heavier(plato, more):
    assert sg_from_plato(plato + more) > sg_from_plato(plato)
    assert density_from_plato(plato + more) > density_from_plato(plato)


@given(st.floats(-2.0, 35.0))
def test_density_is_the_same_by_way_of_gravity(plato):
    assert density_from_sg(sg_from_plato(plato)) == pytest.approx(float(density_from_plato(plato)), rel=1e-14)


def test_draws_and_single_numbers_take_the_same_path():
    plato = np.linspace(-2.0, 35.0, 23)

    np.testing.assert_array_equal(sg_from_plato(plato), [sg_from_plato(p) for p in plato])
    np.testing.assert_allclose(wort_density(plato, 66.0), [wort_density(p, 66.0) for p in plato], rtol=1e-15)
    assert isinstance(sg_from_plato(12.0), float)
    assert isinstance(wort_density(12.0, 66.0), float)


def test_the_draws_given_are_left_as_they_were():
    plato = np.linspace(0.0, 30.0, 7)
    before = plato.copy()

    wort_density(plato, 66.0)
    sg_from_plato(plato)

    np.testing.assert_array_equal(plato, before)


@pytest.mark.parametrize(
    ("given_value", "words"),
    [(50.0, "gravity points, it is 12.4 °P"), (1050.0, "SG times 1000, it is 12.4 °P")],
)
def test_gravity_given_as_strength_is_recognised(given_value, words):
    with pytest.raises(
        OutsideValidity, match=rf"plato is {given_value:g} °P.*-2 to 35 °P\. If that was {words}"
    ):
        sg_from_plato(given_value)


@pytest.mark.parametrize(
    ("given_value", "words"), [(12.0, "°P, it is 1.0484 SG"), (1048.0, "SG times 1000, it is 1.0480 SG")]
)
def test_strength_given_as_gravity_is_recognised(given_value, words):
    with pytest.raises(OutsideValidity, match=rf"sg is {given_value:g} SG.*1\.1536 SG\. If that was {words}"):
        plato_from_sg(given_value)


def test_a_gravity_no_beer_has_is_refused():
    with pytest.raises(OutsideValidity, match=r"sg is 0\.95 SG, but the fit to the Plato table"):
        density_from_sg(np.array([1.05, 0.95]))


def test_syrup_in_per_cent_is_recognised():
    with pytest.raises(
        OutsideValidity, match=r"mass_fraction is 65 .*If that was per cent, it is 0\.650 kg/kg"
    ):
        sugar_density(65.0, 20.0)
