"""Hold the losses on the way to the glass to what breweries and brewers find."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gylebook.errors import OutsideValidity
from gylebook.process import bitterness, hops, isomerisation


def kinetics(minutes):
    boil = isomerisation.held(minutes, 100.0)
    return isomerisation.isomerised(boil.then(isomerisation.chilled(100.0, 15.0, 8.0, 20.0)), [0])[0].iso


def test_two_ounces_of_weak_hops_in_eleven_gallons_bitter_as_brewers_find(check):
    # Common practice, no source: 57 g of 5.5 % alpha for an hour in 41.6 L of 1.057 (14 °P) give about 16 BU.
    formed = hops.iso_alpha_mg(0.057, 0.055, kinetics(60.0)) / 41.6

    in_beer = formed * bitterness.share_in_beer(14.0)

    # Within the one standard deviation, 25 % (Jacobsen & Hage 1989), that the losses claim to be known to.
    check(
        "logarithm of bitterness, kinetics with losses, over 16 BU",
        np.log(in_beer / 16.0),
        0.0,
        within=bitterness.OVERALL_SCATTER,
        source="common-practice",
        kind="practice",
    )


@pytest.mark.parametrize("minutes", [30.0, 60.0])
def test_losses_bring_the_kinetics_to_the_trades_utilisation(minutes, check):
    # Tinseth (1997) was fitted to beers: the two must meet within the spread from 30 to 60 min.
    utilisation = kinetics(minutes) * bitterness.share_in_beer(12.4)

    trade = hops.utilisation_tinseth1997(1.050, minutes)
    what, at = "logarithm of utilisation, kinetics with losses over trade's", f"{minutes:g} min"
    off = np.log(utilisation / trade)
    check(what, off, 0.0, within=bitterness.OVERALL_SCATTER, at=at, source="tinseth-1997")


def test_six_breweries_saw_no_gravity_effect_where_they_looked(check):
    # Jacobsen & Hage 1989, 10.5 to 13.5 °P: ours is 3 %, far below the scatter between breweries.
    left = bitterness.left_by_trub(np.array([10.5, 13.5, 20.0]))

    what, found = "bitterness left at 13.5 °P over that at 10.5 °P", left[1] / left[0]
    check(what, found, 1.0, within=0.03, source="jacobsen-hage-1989")
    assert left[2] < left[1]


@given(st.floats(0.0, 30.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_no_loss_gives_anything_back(plato, one, other):
    share = bitterness.share_in_beer(plato, extracted=one, by_yeast=other)

    assert 0.0 <= share <= min(one, other)


def test_a_loss_in_per_cent_is_refused_and_recognised():
    with pytest.raises(OutsideValidity, match=r"a share left is 80.*it is 0\.80"):
        bitterness.share_in_beer(12.0, by_yeast=80.0)


def test_a_beer_without_dry_hops_reads_about_its_iso_alpha_acids(check):
    # ASBC Beer-23A against Beer-23C, by custom within 10 to 30 %: 30 mg/L, 3 g/L of kettle hops, some alpha.
    read = bitterness.bitter_units(30.0, alpha_mg_per_l=2.0, hops_g_per_l=3.0)

    what, source = "BU read over iso-alpha acids, without dry hops", "common-practice"
    check.between(what, read / 30.0, 1.0, 1.3, source=source, kind="practice")


def test_humulinones_taste_two_thirds_as_bitter(check):
    # Algazzali & Shellhammer 2016: 13.5 mg/L are worth 8.9.
    what, found = (
        "iso-alpha acids that 13.5 mg/L of humulinones taste like",
        bitterness.tasted_mg_per_l(0.0, 13.5),
    )
    check(what, found, 8.9, within=0.05, unit="mg/L", source="algazzali-2016", kind="slip")
