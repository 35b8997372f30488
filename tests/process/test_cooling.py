"""Hold cooling to the balances of heat that handbooks integrate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import cooling
from published_tables import published_rows

WORT_KG_PER_L, WORT_HEAT = 1.055, 3.98


@pytest.mark.parametrize("row", published_rows("hot_cooling_coil"))
def test_a_coil_cools_as_in_a_second_program(row, check):
    litres, ua, flow, tap, end = (float(row[c]) for c in ("V_L", "UA_W_K", "flow_L_min", "tap_C", "target_C"))

    ua_exact = cooling.coil_ua(float(row["area_m2"]), float(row["U_W_m2K"]))
    minutes = cooling.coil_minutes(WORT_KG_PER_L * litres, WORT_HEAT, ua_exact, flow, tap, 98.0, end)

    # A slip-catcher: half of the last digit, and 0.3 % as the area is printed to 0.001 m² and the wort's mass
    # and heat (1.055 kg/L, 3.98 kJ/kg K) had to be inferred.
    of = {
        "at": f"{row['case']}, tap {tap:g}, flow {flow:g}, to {end:g}",
        "source": "kern-1950",
        "kind": "slip",
    }
    effect, used = cooling.coil_effectiveness(ua_exact, flow), cooling.water_used_l(flow, minutes)
    check("heat transfer of a coil", ua_exact, ua, within=1.0, unit="W/K", **of)
    check("effectiveness of a coil", effect, float(row["effectiveness"]), within=1.2e-3, **of)
    within = 0.05 + 3e-3 * float(minutes)
    check("time to cool by a coil", minutes, float(row["minutes"]), within=within, unit="min", **of)
    within = 0.5 + 5e-3 * flow * float(minutes)
    check("water to cool by a coil", used, float(row["water_L"]), within=within, unit="L", **of)


@pytest.mark.parametrize("row", published_rows("hot_cooling_counterflow"))
def test_a_counterflow_cooler_works_as_in_a_second_program(row, check):
    ua, wort, water, tap = (float(row[c]) for c in ("UA_W_K", "wort_L_min", "water_L_min", "tap_C"))

    outlet = cooling.counterflow_outlet(ua, WORT_KG_PER_L * wort, WORT_HEAT, water, tap, 98.0)

    # A slip-catcher: half of the last digit, and 0.1 °C for the density and heat inferred.
    of = {
        "unit": "°C",
        "at": f"{row['case']}, {wort:g} and {water:g} L/min",
        "source": "derived",
        "kind": "slip",
    }
    check("wort out of a counterflow cooler", outlet, float(row["wort_out_C"]), within=0.1, **of)


def test_a_coil_obeys_the_heat_balance_step_by_step():
    # Solved as an equation of motion by SciPy: the water leaves at tap + ε (wort - tap), Kern's batch coil.
    from scipy.integrate import solve_ivp

    mass, ua, flow, tap = 46.4, 318.0, 10.0, 12.0
    water = flow / 60 * 4180.0

    def slope(_, wort):
        outlet = wort - (wort - tap) * np.exp(-ua / water)
        return -water * (outlet - tap) / (mass * 3980.0)

    minutes = cooling.coil_minutes(mass, 3.98, ua, flow, tap, 98.0, 20.0)
    path = solve_ivp(slope, (0.0, 60.0 * float(minutes)), [98.0], rtol=1e-9, atol=1e-9)

    assert path.y[0, -1] == pytest.approx(20.0, abs=1e-5)


def test_a_counterflow_cooler_obeys_the_heat_balance_along_its_length():
    # The classical check by the logarithmic mean: UA · ΔT_lm is the heat that changes hands.
    ua, wort, water, tap, start = 400.0, 3.0, 8.0, 12.0, 96.0
    outlet = cooling.counterflow_outlet(ua, wort, 3.98, water, tap, start)

    heat = wort / 60 * 3980 * (start - outlet)
    warm = tap + heat / (water / 60 * 4180)
    mean = ((start - warm) - (outlet - tap)) / np.log((start - warm) / (outlet - tap))
    assert heat == pytest.approx(ua * mean, rel=1e-9)


def test_two_equal_streams_meet_half_way_with_one_transfer_unit():
    # N/(1 + N) of the handbooks, which the general form reaches only as a limit.
    outlet = cooling.counterflow_outlet(4.18 * 1000 / 60 * 5.0, 5.0, 4.18, 5.0, 10.0, 90.0)

    assert outlet == pytest.approx(50.0, abs=1e-5)


@given(st.floats(20.0, 3000.0), st.floats(2.0, 20.0), st.floats(4.0, 20.0), st.floats(1.5, 60.0))
def test_wort_run_as_fast_as_told_leaves_as_cold_as_asked(ua, water, tap, above_tap):
    flow = cooling.counterflow_wort_flow(ua, 3.9, water, tap, 98.0, tap + above_tap)

    assert flow > 0
    # 1e-6 °C: Newton's rule ends at rounding, which is magnified where both flows weigh alike.
    outlet = cooling.counterflow_outlet(ua, flow, 3.9, water, tap, 98.0)
    assert outlet == pytest.approx(tap + above_tap, abs=1e-6)


def test_a_tap_as_warm_as_the_aim_lets_no_wort_through():
    flow = cooling.counterflow_wort_flow(400.0, 3.9, 8.0, np.array([20.0, 25.0, 12.0]), 98.0, 20.0)

    assert flow[:2].tolist() == [0.0, 0.0]
    assert flow[2] > 0
    assert cooling.counterflow_wort_flow(400.0, 3.9, 8.0, 12.0, 18.0, 20.0) == np.inf


@given(
    st.floats(10.0, 80.0),
    st.floats(50.0, 900.0),
    st.floats(3.0, 15.0),
    st.floats(4.0, 18.0),
    st.floats(20.0, 60.0),
)
def test_a_known_cooling_time_gives_the_coil_back(mass, ua, flow, tap, end):
    if cooling.coil_effectiveness(ua, flow) > 0.99:
        return
    minutes = cooling.coil_minutes(mass, 3.9, ua, flow, tap, 98.0, end)

    found = cooling.coil_ua_from_known_time(mass, 3.9, minutes, flow, tap, 98.0, end)
    assert found == pytest.approx(ua, rel=1e-6)


def test_a_cooling_time_that_the_water_cannot_explain_is_refused():
    with pytest.raises(OutsideValidity, match="share of heat taken up"):
        cooling.coil_ua_from_known_time(46.0, 3.98, 3.0, 5.0, 12.0, 98.0, 20.0)


def test_wort_never_gets_colder_than_the_tap():
    ends = np.array([14.0, 15.0, 16.0, 99.0])

    minutes = cooling.coil_minutes(46.0, 3.98, 318.0, 10.0, 15.0, 98.0, ends)

    assert minutes[:2].tolist() == [np.inf, np.inf]
    assert np.isfinite(minutes[2])
    assert minutes[3] == 0.0


def test_a_warm_tap_takes_half_as_long_again():
    # To 20 °C from 98: logarithms 3.69 against 2.38.
    cold, warm = (cooling.coil_minutes(46.0, 3.98, 318.0, 10.0, tap, 98.0, 20.0) for tap in (12.0, 18.0))

    assert warm / cold == pytest.approx(1.55, abs=0.005)


def test_half_the_flow_saves_water_and_costs_time():
    flows = np.linspace(2.0, 20.0, 40)
    minutes = cooling.coil_minutes(46.0, 3.98, 318.0, flows, 12.0, 98.0, 20.0)

    assert np.all(np.diff(minutes) < 0)
    assert np.all(np.diff(cooling.water_used_l(flows, minutes)) > 0)


def test_fifteen_metres_of_thin_coil_have_less_than_half_a_square_metre():
    # 15 m of 9.5 mm, as in the table; 12.7 mm is a third more.
    assert cooling.coil_area_m2(15.0, 0.0095) == pytest.approx(0.448, abs=0.001)


def test_ice_takes_up_by_melting_and_warming_what_the_wort_gives():
    # By hand: 40 kg from 23 to 18 °C give 796 kJ; a kilogram of ice takes 334 + 4.19 · 18 = 409.4 kJ.
    assert cooling.ice_kg(40.0, 3.98, 23.0, 18.0) == pytest.approx(1.944, abs=0.001)
    assert cooling.ice_kg(40.0, 3.98, 17.0, 18.0) == 0.0


def test_ice_brings_a_small_boil_to_pitching_temperature_as_brewers_find():
    # Common practice, from memory: 18 lb of clean ice brings 3.25 gal off the boil to 5.5 gal at 70 to 75 °F.
    # Wort of 18 °P, as small boils are: 12.3 L of 1.03 kg/L when hot, 3.83 kJ/(kg K).  10 %: the quarter of a
    # gallon (4 %), the five degrees (3 %) and what the wort loses while the ice is stirred in.
    ice = cooling.ice_kg(12.3 * 1.03, 3.83, 98.0, 22.5)

    assert ice == pytest.approx(18 * 0.4536, rel=0.10)
    # What melted makes up the 5.5 gal: wort and ice together within a quarter of a gallon.
    assert (12.3 + ice) / 3.785 == pytest.approx(5.5, abs=0.25)


@given(st.floats(5.0, 80.0), st.floats(1.0, 90.0), st.floats(0.5, 10.0))
def test_ice_and_wort_mix_to_the_temperature_asked(mass, end, above):
    ice = cooling.ice_kg(mass, 4.19, end + above, end)

    # Melted ice at 0 °C short of its heat of melting, mixed with water: the classical rule of mixtures.
    mixed = (mass * 4.19 * (end + above) - ice * 334.0) / ((mass + ice) * 4.19)
    assert mixed == pytest.approx(end, rel=1e-9)
