"""The curve of a fermentation and its heat, against worked figures, the mass balance and integration."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from gylebook.errors import OutsideValidity
from gylebook.matter.extract import density_from_plato, plato_from_sg, wort_specific_heat
from gylebook.process import ferment
from gylebook.process import ferment_heat as heat
from published_tables import published

ALE = {"start": 12.6, "end": 2.8, "rate": 0.085, "midpoint": 40.0}
curves = st.tuples(st.floats(6.0, 25.0), st.floats(-1.0, 5.0), st.floats(0.01, 0.3), st.floats(5.0, 200.0))


@pytest.mark.parametrize(("hours", "apparent"), published("beer_logistic_curve"))
def test_gravity_falls_as_in_a_second_program(hours, apparent, check):
    of = {"unit": "°P", "at": f"{hours:g} h", "source": "speers-2003", "kind": "slip"}
    found = heat.apparent_extract_at(hours, **ALE)
    check("fall of gravity", found, apparent, within=6e-5, **of)  # rounding


def test_the_ale_of_the_example_ends_after_three_and_a_half_days(check):
    # Within 0.2 °P of its end after 85.5 h, printed to 0.1.
    what, found = "hours to within 0.2 °P of the end", heat.hours_until_within(0.2, **ALE)
    check(what, found, 85.5, within=0.05, unit="h", source="speers-2003", kind="slip")
    # 95 % at M + ln 19/B, 99 % at M + ln 99/B; half at M.
    assert heat.hours_until_share(0.95, 0.085, 40.0) == pytest.approx(40 + np.log(19) / 0.085, rel=1e-12)
    assert heat.hours_until_share(0.99, 0.085, 40.0) == pytest.approx(40 + np.log(99) / 0.085, rel=1e-12)
    assert heat.hours_until_share(0.5, 0.085, 40.0) == pytest.approx(40.0, rel=1e-12)


@given(curves, st.floats(0.01, 4.0))
def test_at_the_hour_told_beer_is_as_near_its_end_as_asked(curve, within):
    hours = heat.hours_until_within(within, *curve)

    left = heat.apparent_extract_at(hours, *curve) - curve[1]

    assert left <= within * (1 + 1e-6)
    if hours > 0:
        assert left == pytest.approx(within, rel=1e-6)


@given(curves, st.floats(0.0, 400.0), st.floats(0.01, 20.0))
def test_gravity_only_falls_and_stays_between_its_ends(curve, hours, later):
    now, then = (heat.apparent_extract_at(t, *curve) for t in (hours, hours + later))

    assert curve[1] <= then <= now <= curve[0]


@given(curves, st.floats(0.0, 300.0))
def test_the_speed_of_the_fall_is_the_slope_of_the_curve(curve, hours):
    step = 0.001 / curve[2]
    before, after = (heat.apparent_extract_at(hours + dt, *curve) for dt in (-step, step))

    # The curve's third derivative makes the difference quotient 1e-6 of the steepest fall wrong at most.
    slope = heat.fall_per_hour_at(hours, *curve)
    steepest = heat.steepest_fall(*curve[:3])
    assert slope == pytest.approx((before - after) / (2 * step), abs=1e-6 * steepest + 1e-10)
    assert slope <= steepest * (1 + 1e-12)
    assert heat.fall_per_hour_at(curve[3], *curve) == pytest.approx(steepest, rel=1e-9)


@given(curves)
def test_the_curve_obeys_its_own_law_of_growth(curve):
    # d(AE)/dt = -B (P0 - AE)(AE - Pe)/(P0 - Pe), integrated by an adaptive rule.
    start, end, rate, midpoint = curve
    begun = heat.apparent_extract_at(midpoint - 2 / rate, *curve)

    judge = solve_ivp(
        lambda _, ae: -rate * (start - ae) * (ae - end) / (start - end),
        (0, 6 / rate),
        [begun],
        rtol=1e-9,
        atol=1e-9,
    )

    assert heat.apparent_extract_at(midpoint + 4 / rate, *curve) == pytest.approx(judge.y[0, -1], abs=1e-6)


def test_no_hour_is_too_late_to_ask_for():
    assert heat.apparent_extract_at(1e6, **ALE) == 2.8
    assert heat.apparent_extract_at(-1e6, **ALE) == pytest.approx(12.6, rel=1e-14)


def test_what_is_near_its_end_already_takes_no_hours():
    assert heat.hours_until_within(10.0, **ALE) == 0.0
    assert heat.hours_until_within(0.2, 2.8, 2.8, 0.085, 40.0) == 0.0


@pytest.mark.parametrize(("litres", "watts"), [(5.0, 1.5), (10.0, 3.0), (20.0, 6.1), (40.0, 12.2)])
def test_the_greatest_power_comes_out_as_worked_less_the_weight_that_leaves(litres, watts, check):
    # 12.6 to 2.8 °P at 0.085 an hour.  The worked figures take 2.0665 g of extract for each gram that alcohol
    # rises in 100 g, of the wort's whole weight; the beer gets lighter, twice over, and that is 4.4 % here.
    wort_kg = litres * density_from_plato(12.6) / 1000
    at_midpoint = 7.7
    real = ferment.real_extract(12.6, at_midpoint)
    forgotten = ((1 - 0.005161 * 12.6) / (1 - 0.005161 * real)) ** 2

    power = heat.heat_power(wort_kg, 12.6, at_midpoint, heat.steepest_fall(12.6, 2.8, 0.085))

    # Half a printed digit, and 1 % for a weight that they do not state.
    of = {"unit": "W", "at": f"{litres:g} L", "source": "fermentation-heat", "kind": "slip"}
    check("greatest power, weight forgotten", power / forgotten, watts, within=0.05 + 0.01 * watts, **of)
    check("greatest power", power, watts, rel=0.06, **of)


def test_the_heat_of_an_ale_comes_out_as_worked(check):
    # 1030 kJ for 20 L with the same weight forgotten (once, to the end: 4.2 %), 12.2 K if none is shed.
    wort_kg = 20 * density_from_plato(12.6) / 1000
    real = ferment.real_extract(12.6, 2.8)

    evolved = heat.heat_evolved(wort_kg, 12.6, real)

    of, warmed = {"source": "fermentation-heat", "kind": "slip"}, wort_kg * wort_specific_heat(12.6, 20.0)
    forgetful = evolved / ((1 - 0.005161 * 12.6) / (1 - 0.005161 * real))
    check("heat of 20 L of ale, weight forgotten", forgetful, 1030, rel=0.01, unit="kJ", **of)
    check("warming of 20 L of ale", evolved / warmed, 12.2, within=0.1, unit="K", **of)


def test_a_fermenter_warms_itself_as_in_the_worked_example(check):
    # 20 L of 1.050, 66 % of its extract: 1.71 kg, a third (35 %) of it in the busiest day is 4.1 W, and over
    # 2.5, 3.5 and 5 W/K 1.6, 1.2 and 0.8 K.
    original, share = plato_from_sg(1.050), 0.66
    real = original * (1 - share) / (1 - share * 0.0051609 * original)
    evolved = heat.heat_evolved(20 * density_from_plato(original) / 1000, original, real)
    watts = 0.35 * evolved / 86.4

    of = {"source": "fermentation-heat", "kind": "slip"}
    check("extract fermented", evolved / heat.HEAT_PER_EXTRACT, 1.71, within=0.006, unit="kg", **of)
    check("power in the busiest day", watts, 4.1, within=0.05, unit="W", **of)
    excess = heat.warmest_excess(watts, np.array([2.5, 3.5, 5.0]))
    check("warmth above the room", excess, [1.6, 1.2, 0.8], within=0.05, unit="K", **of)


@given(st.floats(8.0, 20.0), st.floats(0.3, 0.85))
def test_heat_follows_the_extract_that_the_balance_takes(original, attenuation):
    real = original * (1 - attenuation)
    out = ferment.ferment(20 * (1 - original / 100), 20 * original / 100, real)

    gone = 20 * original / 100 - out.extract_kg

    assert heat.heat_evolved(20.0, original, real) == pytest.approx(587 * gone, rel=1e-12)


@given(st.floats(8.0, 20.0), st.floats(0.6, 0.95))
def test_power_over_time_adds_up_to_the_heat(original, attenuation):
    end = original * (1 - attenuation)
    hours = np.linspace(0.0, 200.0, 4001)
    curve = (original, end, 0.085, 40.0)
    apparent = heat.apparent_extract_at(hours, *curve)

    power = heat.heat_power(20.0, original, apparent, heat.fall_per_hour_at(hours, *curve))

    first, last = (
        heat.heat_evolved(20.0, original, ferment.real_extract(original, ae)) for ae in apparent[[0, -1]]
    )
    # The trapezoidal rule at 0.05 h on a curve of 12 h is good to 1e-6.
    assert np.trapezoid(power, hours) * 3.6 == pytest.approx(last - first, rel=1e-5)


def test_the_heat_agrees_with_heats_of_combustion_and_with_the_trade(check):
    # Handbooks, from memory: glucose 2803, ethanol 1367, heats of solution +11 and -10 kJ/mol.
    from_combustion = (2803 - 2 * 1367 + 11 + 2 * 10) / 0.180156
    from_trade = 252 * 1.055056 / 0.45359237  # 252 BTU/lb

    what, found, unit = "heat of extract fermented", heat.HEAT_PER_EXTRACT, "kJ/kg"
    check(what, found, from_combustion, within=heat.HEAT_SPREAD, unit=unit, source="combustion-heats")
    check(what, found, from_trade, within=2.0, unit=unit, source="trade-heat")


def test_beer_that_must_warm_itself_first_stays_below_the_bound():
    # C dT/dt = P - UA T, integrated: 20 L of ale at 2 W/K peaks 13 % below P/UA.
    wort_kg, ua = 20 * density_from_plato(12.6) / 1000, 2.0

    def power(hours):
        fall = heat.fall_per_hour_at(hours, **ALE)
        return heat.heat_power(wort_kg, 12.6, heat.apparent_extract_at(hours, **ALE), fall)

    course = solve_ivp(
        lambda t, k: (power(t) - ua * k) * 3.6 / (4.0 * wort_kg), (0, 150), [0.0], max_step=1.0
    )

    bound = heat.warmest_excess(power(40.0), ua)
    assert np.max(course.y) / bound == pytest.approx(0.87, abs=0.01)


def test_ten_degrees_warmer_is_more_than_twice_as_fast(check):
    # Q10 2.2 ± 0.4, common practice.
    what, of = "speed ten degrees warmer", {"source": "common-practice", "kind": "slip"}
    check(what, heat.speed_at(30.0), 2.2, rel=1e-12, **of)
    assert heat.speed_at(10.0) == pytest.approx(1 / 2.2, rel=1e-12)
    assert heat.speed_at(20.0, 3.0) == 1.0


@given(st.floats(5.0, 35.0), st.floats(1.2, 3.5), st.floats(1.0, 300.0))
def test_steady_warmth_only_stretches_the_clock(temp_c, q10, hours):
    clock = heat.hours_at_reference(np.array([0.0, hours]), np.array([temp_c, temp_c]), q10)[-1]
    speed = heat.speed_at(temp_c, q10)

    assert clock == pytest.approx(hours * speed, rel=1e-9)
    # The curve on the stretched clock is the curve of a yeast with B · speed and M/speed.
    assert heat.apparent_extract_at(clock, **ALE) == pytest.approx(
        heat.apparent_extract_at(hours, 12.6, 2.8, 0.085 * speed, 40.0 / speed), abs=1e-6
    )


def test_a_rest_that_warms_slowly_counts_as_by_plain_summation():
    times, temps = np.array([0.0, 48.0, 72.0, 120.0]), np.array([11.0, 11.0, 17.0, 3.0])

    clock = heat.hours_at_reference(times, temps)

    fine = np.linspace(0.0, 120.0, 120001)
    judge = np.trapezoid(2.2 ** ((np.interp(fine, times, temps) - 20.0) / 10.0), fine)
    assert clock[0] == 0.0
    assert clock[-1] == pytest.approx(judge, rel=1e-8)
    assert np.all(np.diff(clock) > 0)


def test_draws_of_temperature_or_of_yeast_share_one_history():
    times, temps = np.array([0.0, 24.0, 48.0]), np.array([18.0, 20.0, 19.0])
    q10 = np.array([1.8, 2.2, 2.6])

    by_yeast = heat.hours_at_reference(times, temps[:, np.newaxis], q10)
    by_room = heat.hours_at_reference(times, temps[:, np.newaxis] + np.array([0.0, 1.0]))

    assert by_yeast.shape == (3, 3)
    for place in range(3):
        assert by_yeast[:, place] == pytest.approx(
            heat.hours_at_reference(times, temps, q10[place]), rel=1e-13
        )
    assert by_room[:, 1] == pytest.approx(heat.hours_at_reference(times, temps + 1.0), rel=1e-13)


def test_draws_of_the_curve_take_the_same_path_as_numbers():
    start, rate = np.array([10.0, 12.0]), np.array([0.05, 0.1])

    together = heat.hours_until_within(0.2, start, 2.5, rate, 40.0)

    assert together == pytest.approx(
        [heat.hours_until_within(0.2, s, 2.5, r, 40.0) for s, r in zip(start, rate, strict=True)]
    )


def test_slips_are_refused():
    with pytest.raises(OutsideValidity, match=r"start less end is -2 °P, but the curve of Speers"):
        heat.apparent_extract_at(10.0, 10.0, 12.0, 0.08, 40.0)
    with pytest.raises(OutsideValidity, match=r"temp_c is 68 °C.*it is 20\.0 °C"):
        heat.speed_at(68.0)
    with pytest.raises(OutsideValidity, match=r"kj_per_kg is 1217 kJ/kg"):
        heat.heat_evolved(20.0, 12.0, 4.0, 1217.0)
    with pytest.raises(ValueError, match="above 0 and below 1"):
        heat.hours_until_share(1.0, 0.08, 40.0)
    with pytest.raises(ValueError, match="must not run back"):
        heat.hours_at_reference(np.array([0.0, 5.0, 4.0]), np.array([20.0, 20.0, 20.0]))
