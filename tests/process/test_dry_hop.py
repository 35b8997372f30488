"""Hold dry hopping and hop tea to what was measured in beers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import bitterness, dry_hop, isomerisation

CO2_G_PER_VOLUME = 1.977  # a litre of the gas at 0 °C


def test_dry_hops_take_a_share_from_a_bitter_beer_and_little_from_a_mild_one():
    # Parkin & Shellhammer 2017, Maye & Smith 2016: little below about 20 mg/L, more from bitter beers; the
    # slope of 2 % a g/L and its floor of 0.7 are common practice.
    left = dry_hop.iso_after_dry_hop(np.array([15.0, 20.0, 40.0, 60.0]), 5.0)

    assert left == pytest.approx([15.0, 20.0, 36.0, 54.0])
    assert dry_hop.iso_after_dry_hop(60.0, 25.0) == pytest.approx(0.7 * 60.0)


@given(st.floats(0.0, 150.0), st.floats(0.0, 10.0), st.floats(0.0, 30.0))
def test_the_more_bitter_beer_stays_the_more_bitter(iso, more, dose):
    mild, bitter = (dry_hop.iso_after_dry_hop(value, dose) for value in (iso, iso + more))

    assert mild <= bitter + 1e-12
    assert mild <= iso


def test_humulinones_of_a_usual_dose_taste_like_nine_milligrams(check):
    # Algazzali & Shellhammer 2016: hops of 0.3 %, 90 % extracted; 5 g/L are 13.5 mg/L, as bitter as 8.9.
    gained = dry_hop.humulinone_gained(5.0, 0.003)

    tasted, of = (
        bitterness.tasted_mg_per_l(0.0, gained),
        {"unit": "mg/L", "source": "algazzali-2016", "kind": "slip"},
    )
    check("humulinones of 5 g/L", gained, 13.5, within=0.05, **of)
    check("what they taste like", tasted, 8.9, within=0.05, **of)


def test_dry_hopping_can_raise_the_reading_while_the_taste_falls():
    # Why BU mislead in dry-hopped beer (Maye & Smith 2016): alpha acids are read, hardly tasted.
    before_bu, before_taste = bitterness.bitter_units(60.0), bitterness.tasted_mg_per_l(60.0)
    iso = dry_hop.iso_after_dry_hop(60.0, 10.0)
    alpha = dry_hop.alpha_dissolved(10.0, 0.12)
    humulinone = dry_hop.humulinone_gained(10.0, 0.001)

    assert bitterness.bitter_units(iso, humulinone, alpha, 10.0) > before_bu
    assert bitterness.tasted_mg_per_l(iso, humulinone, alpha) < before_taste


def test_beer_holds_no_more_than_so_much_alpha():
    # From memory: dry-hopped beers hold 10 to 16 mg/L.
    assert 10.0 <= dry_hop.alpha_dissolved(8.0, 0.10) <= 16.0
    assert dry_hop.alpha_dissolved(0.05, 0.10) == pytest.approx(5.0)


def test_a_pound_a_barrel_raises_ph_by_014(check):
    # A trade measurement: 0.14 a pound a US barrel (453.59 g in 117.35 L), linear to two.
    dose = 453.592 / 117.348
    twice, what = dry_hop.ph_rise(dry_hop.PH_LINEAR_TO_G_PER_L), "rise of pH by dry hops"
    check(
        what, dry_hop.ph_rise(dose), 0.14, within=5e-4, at="1 lb a barrel", source="dry-hop-ph", kind="slip"
    )
    check(what, twice, 0.28, within=1e-3, at="2 lb a barrel", source="dry-hop-ph", kind="slip")
    with pytest.raises(OutsideValidity, match=r"hops_g_per_l is 12 g/L.*linear to two pounds a barrel"):
        dry_hop.ph_rise(12.0)


@pytest.mark.parametrize(("form", "low", "high"), [("pellets", 4.0, 7.0), ("whole", 8.0, 12.0)])
def test_spent_hops_keep_as_much_beer_as_brewers_find(form, low, high, check):
    # Common practice: millilitres a gram.
    level, scatter = dry_hop.BEER_KEPT_L_PER_KG[form]

    what, practice = "beer kept by spent hops", {"source": "common-practice", "kind": "practice"}
    check.between(what, level - scatter, low, high, unit="L/kg", at=f"{form}, at the least", **practice)
    check.between(what, level + scatter, low, high, unit="L/kg", at=f"{form}, at the most", **practice)
    assert dry_hop.beer_kept_l(0.1, level) == pytest.approx(0.1 * level)


@pytest.mark.parametrize(("creep", "volumes"), [(0.3, 0.6), (1.2, 2.5)])
def test_gravity_creep_is_a_danger_in_the_bottle(creep, volumes, check):
    # The trade's figures to one decimal, for a beer of usual strength; 2.43 here for the second.
    gained = dry_hop.creep_co2_g_per_l(13.0, 3.0, creep)

    what, found = "CO2 of gravity creep", gained / CO2_G_PER_VOLUME
    of = {"unit": "volumes", "at": f"{creep:g} °P", "source": "common-practice", "kind": "practice"}
    check(what, found, volumes, within=0.08, **of)


def test_hop_tea_brings_what_its_own_boil_made():
    # Mass balance by hand: 20 g of 10 % is 2000 mg, of which the tea turned 0.30 and 0.7 stayed.
    (tea,) = isomerisation.isomerised(isomerisation.held(30.0, 100.0), [0])

    assert tea.iso == pytest.approx(0.298, abs=5e-4)
    assert dry_hop.hop_tea_iso_mg(0.020, 0.10, tea.iso) == pytest.approx(2000.0 * 0.298 * 0.7, rel=2e-3)


def test_humulinones_and_alpha_acids_in_per_cent_are_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"humulinone is 0\.3 kg/kg.*it is 0\.0030 kg/kg"):
        dry_hop.humulinone_gained(5.0, 0.3)
    with pytest.raises(OutsideValidity, match=r"alpha is 12 kg/kg.*it is 0\.120 kg/kg"):
        dry_hop.alpha_dissolved(5.0, 12.0)
