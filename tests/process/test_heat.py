"""Hold heating and its losses to heat transfer's correlations and to plain integration."""

from __future__ import annotations

import numpy as np
import pytest

from gylebook.errors import OutsideValidity
from gylebook.process import heat
from published_tables import published, published_rows

WALL_M2, TOP_M2 = np.pi * 0.40 * 0.48, np.pi * 0.04  # the tabled kettle of 60 L


def churchill_chu_wall_w_per_m2(surface_c: float, room_c: float, height_m: float, emissivity: float) -> float:
    """Free convection on a vertical plate (Churchill and Chu 1975, all Rayleigh numbers) and radiation."""
    surface, room = surface_c + 273.15, room_c + 273.15
    film = (surface + room) / 2
    viscosity = 1.458e-6 * film**1.5 / (film + 110.4)  # Sutherland [Pa s]
    density, conductivity, prandtl = (
        353.0 / film,
        2.64e-3 * film**1.5 / (film + 245.4 * 10 ** (-12 / film)),
        0.707,
    )
    kinematic = viscosity / density
    rayleigh = 9.81 / film * (surface - room) * height_m**3 / kinematic**2 * prandtl
    nusselt = (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    return nusselt * conductivity / height_m * (surface - room) + emissivity * 5.670e-8 * (
        surface**4 - room**4
    )


@pytest.mark.parametrize("temp_c", [50.0, 60.0, 67.0, 76.0, 85.0, 95.0, 100.0])
def test_a_bare_wall_loses_what_churchill_and_chu_say(temp_c, check):
    # 3 %: properties of air from Sutherland's forms here, from tables there, and straight lines between rows.
    expected = churchill_chu_wall_w_per_m2(temp_c, 20.0, 0.48, 0.25)

    what, at, found = "loss of a bare wall", f"{temp_c:g} °C", 1000 * heat.wall_loss(1.0, temp_c)
    check(what, found, expected, rel=0.03, unit="W/m²", at=at, source="churchill-chu-1975")


@pytest.mark.parametrize("row", published_rows("hot_heat_loss"), ids=lambda row: row["T_C"])
def test_the_tabled_kettle_loses_what_its_table_says(row, check):
    temp_c = float(row["T_C"])

    of = {"rel": 1e-9, "unit": "W", "at": f"{temp_c:g} °C", "kind": "slip"}
    wall = heat.wall_loss(WALL_M2, temp_c), heat.wall_loss(WALL_M2, temp_c, insulated=True)
    lid, surface = heat.lid_loss(TOP_M2, temp_c), heat.open_surface_loss(TOP_M2, temp_c)
    for what, kilowatts, column, source in (
        ("loss of the tabled wall", wall[0], "side_bare_W", "churchill-chu-1975"),
        ("loss of the tabled wall, insulated", wall[1], "side_25mm_insulated_W", "churchill-chu-1975"),
        ("loss of the tabled lid", lid, "lid_W", "churchill-chu-1975"),
        ("loss of the tabled open surface", surface, "open_surface_total_W", "bower-saylor-2009"),
    ):
        check(what, 1000 * kilowatts, float(row[column]), source=source, **of)


def test_losses_grow_with_heat_and_end_at_room_temperature():
    temps = np.linspace(0.0, 105.0, 211)

    for loss in (heat.wall_loss(1.0, temps), heat.lid_loss(1.0, temps), heat.open_surface_loss(1.0, temps)):
        assert np.all(np.diff(loss) >= 0)
        assert np.all(loss[temps <= 20.0] == 0)


def test_an_insulated_kettle_under_its_lid_loses_least():
    covered = heat.vessel_loss(WALL_M2, TOP_M2, 67.0)

    assert covered == pytest.approx(0.240, abs=1e-6)
    assert heat.vessel_loss(WALL_M2, TOP_M2, 67.0, insulated=True) < covered
    assert heat.vessel_loss(WALL_M2, TOP_M2, 67.0, lid=False) == pytest.approx(0.673, abs=1e-6)
    assert heat.vessel_loss(WALL_M2, TOP_M2, 67.0, 5.0) > covered


def test_a_kitchen_burner_heats_with_less_than_half_of_its_gas(check):
    # "Measured efficiency of a gas hob heating water": 42 %, within the spread of 0.40 ± 0.08.
    level, scatter = heat.NET_SHARE["gas"]

    check("share of a gas hob's heat that arrives", level, 0.42, within=scatter, source="burner-tests")
    assert heat.net_power("element", 3.5) == pytest.approx(3.43)


def covered(temp_c):
    return heat.vessel_loss(WALL_M2, TOP_M2, temp_c)


def uncovered(temp_c):
    return heat.vessel_loss(WALL_M2, TOP_M2, temp_c, lid=False)


@pytest.mark.parametrize(
    ("net_kw", "minutes"), published("hot_heating_time", "net_kW", "min_15_to_72C_50kg_water")
)
def test_liquor_heats_as_in_a_second_program(net_kw, minutes, check):
    found = heat.heating_minutes(50.0 * 4.19 + 4.0, 15.0, 72.0, net_kw, covered)

    # A slip-catcher: 0.3 %, as the other program drew straight lines where losses curve.
    of = {"unit": "min", "at": f"{net_kw:g} kW", "source": "derived", "kind": "slip"}
    check("time to heat liquor", found, minutes, rel=0.003, **of)


@pytest.mark.parametrize(
    ("net_kw", "minutes"), published("hot_heating_time", "net_kW", "min_67_to_100C_50kg_wort")
)
def test_open_wort_comes_to_the_boil_as_in_a_second_program(net_kw, minutes, check):
    # 50 L of wort, 52.75 kg, for all that the column says 50 kg.
    found = heat.heating_minutes(52.75 * 3.98 + 4.0, 67.0, 100.0, net_kw, uncovered)

    if np.isnan(minutes):
        assert found == np.inf
    else:
        # 1.5 % from 3.5 kW up; below, what is left over after the losses is small and the way they are
        # interpolated counts: 4 % at 3 kW, 15 % at 2.5.
        share = {2.5: 0.15, 3.0: 0.04}.get(net_kw, 0.015)
        of = {"unit": "min", "at": f"{net_kw:g} kW", "source": "derived", "kind": "slip"}
        check("time to bring wort to the boil", found, minutes, rel=share, **of)


def test_heating_without_losses_is_heat_over_power():
    assert heat.heating_minutes(210.0, 15.0, 65.0, 3.5, lambda t: 0.0 * t) == pytest.approx(50.0, rel=1e-12)


def test_heating_time_equals_an_adaptive_integral():
    from scipy.integrate import quad

    for net_kw in (2.5, 3.0, 5.5):
        expected, _ = quad(lambda t, p=net_kw: 214.0 / (p - uncovered(t)) / 60.0, 67.0, 98.0, limit=200)
        found = heat.heating_minutes(214.0, 67.0, 98.0, net_kw, uncovered)
        assert found == pytest.approx(expected, rel=1e-3)


def test_draws_are_heated_each_for_itself():
    power = np.array([1.0, 2.6, 3.5])
    found = heat.heating_minutes(214.0, np.array([67.0, 67.0, 99.0]), 98.0, power, uncovered)

    assert found[0] == np.inf
    assert found[1] == pytest.approx(heat.heating_minutes(214.0, 67.0, 98.0, 2.6, uncovered), rel=1e-12)
    assert found[2] == 0.0


def test_more_power_never_takes_longer():
    minutes = heat.heating_minutes(214.0, 15.0, 98.0, np.linspace(2.6, 9.0, 60), uncovered)

    assert np.all(np.diff(minutes) < 0)


def test_a_target_in_fahrenheit_is_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"to_c is 158 °C.*it is 70\.0 °C"):
        heat.heating_minutes(214.0, 15.0, 158.0, 3.5, covered)


def test_few_points_give_the_minutes_of_many_where_half_the_power_is_left():
    temps = np.linspace(15.0, 95.0, 4001)
    for net_kw in (2.02 * covered(95.0), 4.0 * covered(95.0)):
        finely = np.trapezoid(210.0 / (net_kw - covered(temps)), temps) / 60.0

        assert heat.heating_minutes(210.0, 15.0, 95.0, net_kw, covered) == pytest.approx(finely, rel=3e-4)
