"""Hold the trade's utilisation and the speed of a stand to what is published of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import hops
from published_tables import published, published_rows

K1_AT_100_C = 0.01249  # 1/min, from the published constants


@pytest.mark.parametrize(
    ("sg", "minutes", "share"),
    [(1.050, 30, 0.177), (1.060, 30, 0.162), (1.080, 60, 0.176), (1.080, 15, 0.087)],
)
def test_utilisation_agrees_with_a_handbooks_reprint_of_the_table(sg, minutes, share, check):
    # Tinseth's table of 1997 as a brewing handbook reprints it, to three decimals.
    found, at = hops.utilisation_tinseth1997(sg, minutes), f"{sg:.3f} and {minutes:g} min"
    check("utilisation", found, share, within=5.1e-4, at=at, source="tinseth-1997")


def test_utilisation_equals_a_second_program(check):
    # A slip-catcher: half of the last printed digit.
    gravities = [f"SG_1.{g:03d}" for g in range(30, 140, 10)]
    for minutes, *shares in published("beer_tinseth_table", "boil_min", *gravities):
        for name, share in zip(gravities, shares, strict=True):
            used = hops.utilisation_tinseth1997(float(name[3:]), minutes)
            of = {"at": f"{minutes:g} min, {name}", "source": "tinseth-1997", "kind": "slip"}
            check("utilisation, the whole table", used, share, within=5.1e-4, **of)


def test_two_ounces_of_weak_hops_in_eleven_gallons_bitter_as_brewers_find(check):
    # Common practice, no source: 57 g of 5.5 % alpha for an hour in 41.6 L of 1.057 gives about 16 BU.
    share = hops.utilisation_tinseth1997(1.057, 60.0)

    what, found = "bitterness of two ounces in eleven gallons", hops.iso_alpha_mg(0.057, 0.055, share) / 41.6
    check(what, found, 16.0, within=0.5, unit="BU", source="common-practice", kind="practice")


def test_alpha_acids_in_per_cent_are_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"alpha is 5\.5 kg/kg.*it is 0\.055 kg/kg"):
        hops.iso_alpha_mg(0.05, 5.5, 0.2)


def test_a_gravity_in_points_is_refused():
    with pytest.raises(OutsideValidity, match=r"sg is 1057 SG.*it is 1\.057 SG"):
        hops.utilisation_tinseth1997(1057.0, 60.0)


def test_isomerisation_has_the_activation_energy_of_the_abstract(check):
    # Malowicki & Shellhammer 2005: 98.6 kJ/mol.
    ratio = hops.isomerisation_rate(110.0) / hops.isomerisation_rate(100.0)

    energy = 8.314462e-3 * np.log(ratio) / (1 / 373.15 - 1 / 383.15)
    what = "activation energy of the isomerisation"
    check(what, energy, 98.6, within=0.05, unit="kJ/mol", source="malowicki-2005")
    assert hops.isomerisation_rate(100.0) == pytest.approx(K1_AT_100_C, rel=1e-3)


def test_a_stand_at_the_boil_counts_in_full_and_a_cooler_one_less():
    minutes = hops.effective_minutes(30.0, np.array([60.0, 80.0, 95.0, 100.0]))

    # 95 °C: 0.65 of the boil, as for a boil at altitude.
    assert minutes == pytest.approx([0.66, 4.95, 19.5, 30.0], abs=0.1)
    assert np.all(np.diff(minutes) > 0)


@pytest.mark.parametrize("row", published_rows("beer_isomerisation_histories"))
def test_boil_stand_and_chill_leave_as_much_alpha_as_a_second_program(row, check):
    boil_min, stand, tau, room, chill, coolant, left = (float(row[c]) for c in list(row)[:7])

    cooled_to = room + (100.0 - room) * np.exp(-stand / tau)
    total = (
        boil_min
        + hops.effective_minutes_cooling(stand, 100.0, room, tau)
        + hops.effective_minutes_cooling(60.0, cooled_to, coolant, chill)
    )

    # A slip-catcher.  The chill's length in the table was inferred (60 or 120 min): 6e-5 of alpha.
    kept = np.exp(-hops.isomerisation_rate(100.0) * total)
    at = f"boil {boil_min:g}, stand {stand:g}, {tau:g}, chill {chill:g} min"
    check("alpha acids left by minutes", kept, left, within=2e-4, at=at, source="malowicki-2005", kind="slip")


@pytest.mark.parametrize(("minutes", "tau", "within"), [(45, 180, 1e-6), (45, 15, 1e-3), (60, 8, 0.02)])
def test_a_cooling_stand_equals_an_adaptive_integral(minutes, tau, within):
    from scipy.integrate import quad

    def speed(t):
        return float(hops.effective_minutes(1.0, 15.0 + 80.0 * np.exp(-t / tau)))

    expected, _ = quad(speed, 0.0, minutes, epsabs=1e-10)

    assert hops.effective_minutes_cooling(minutes, 95.0, 15.0, tau) == pytest.approx(expected, abs=within)


@given(st.floats(0.0, 90.0), st.floats(60.0, 100.0), st.floats(5.0, 400.0))
def test_a_cooling_stand_is_worth_less_than_one_kept_hot(minutes, start_c, tau):
    cooling = hops.effective_minutes_cooling(minutes, start_c, 20.0, tau)

    assert 0.0 <= cooling <= hops.effective_minutes(minutes, start_c) + 1e-9
