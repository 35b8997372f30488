"""Hold boil-off to the steam tables and to the balance of heat."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import boil
from published_tables import published


def test_a_kilowatt_boils_off_what_the_steam_tables_say(check):
    from iapws import IAPWS97

    vapour, liquid = IAPWS97(P=0.101325, x=1), IAPWS97(P=0.101325, x=0)
    litres = 3600.0 / (vapour.h - liquid.h) / 0.998204

    # 2e-4: the fit of the latent heat is good to 0.3 kJ in 2257.
    what, found = "boil-off by a kilowatt", boil.boil_off_rate(1.0, 0.0, 99.97)
    check(what, found, litres, rel=2e-4, unit="L/h", source="iapws-if97")
    assert boil.boil_off_rate(1.0, 0.0) == pytest.approx(1.60, abs=0.005)


def test_twelve_per_cent_off_a_hectolitre_takes_seven_and_a_half_kilowatt_hours(check):
    # A paper on kettle vapour condensers: about 14 kWh/hL in all for 12 %, of which 7.5 leave as steam.
    rate = boil.boil_off_rate(7.5, 0.0)

    check("boil-off by 7.5 kW", rate, 12.0, within=0.1, unit="L/h", source="kettle-vapour")


@pytest.mark.parametrize(
    ("net_kw", "litres"), published("hot_heating_time", "net_kW", "boiloff_L_per_h_at_0.6kW_loss")
)
def test_boil_off_equals_a_second_program(net_kw, litres, check):
    # A slip-catcher: half of the last digit, and 0.03 % as the table took 2257 kJ/kg for the latent heat.
    found, within = boil.boil_off_rate(net_kw, 0.6), 0.0051 + 3e-4 * litres
    of = {"unit": "L/h", "at": f"{net_kw:g} kW", "source": "derived", "kind": "slip"}
    check("boil-off less losses", found, litres, within=within, **of)


def test_nothing_boils_off_where_the_losses_take_all_the_heat():
    assert boil.boil_off_rate(np.array([0.4, 1.6]), 0.6) == pytest.approx([0.0, 1.595], abs=0.01)


def test_an_hour_at_four_litres_takes_four_litres_of_cold_water_away():
    assert boil.evaporated_kg(4.0, 60.0) == pytest.approx(3.9928, abs=1e-4)


@given(st.floats(8.0, 20.0), st.floats(1.01, 1.6), st.floats(1.0, 8.0))
def test_boiling_for_the_time_told_gives_the_strength_asked_for(plato, ratio, rate):
    water, extract = 50.0 * (1 - plato / 100), 50.0 * plato / 100
    target = plato * ratio

    minutes = boil.minutes_to_strength(water, extract, target, rate)
    left = water - boil.evaporated_kg(rate, minutes)

    assert 100 * extract / (left + extract) == pytest.approx(target, rel=1e-9)


def test_wort_that_is_too_strong_asks_for_a_negative_boil_and_no_heat_for_an_endless_one():
    assert boil.minutes_to_strength(42.0, 8.0, 15.0, 4.0) < 0
    assert boil.minutes_to_strength(42.0, 8.0, 17.0, np.array([0.0, 4.0])).tolist()[0] == np.inf
    assert boil.minutes_to_strength(42.0, 8.0, 16.0, 0.0) == 0.0


def test_a_boiling_point_in_fahrenheit_is_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"boil_c is 212 °C.*80 to 105.*it is 100\.0 °C"):
        boil.boil_off_rate(3.0, 0.6, 212.0)
