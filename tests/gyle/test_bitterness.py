"""Ask what hops bring in worts that change while they boil."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, hop, middling, plan, sugar
from gylebook.brewery.plan import Liquor, Plan, Stand
from gylebook.gyle.bitter import equivalent_minutes
from gylebook.gyle.forecast import Model
from gylebook.gyle.kettle import boil_temperature

SHED = brewery()


def bitterness(a_plan: Plan) -> float:
    """Of the wort at the end of the boil, at the middle of all figures. [IBU]"""
    model = Model(a_plan, SHED)
    return float(np.max(model.forecast(middling(model))["kettle.end.ibu"]))


def extract_gyle(minutes: float, at: str = "boil") -> Plan:
    dried = sugar("dried extract", 5.0, extract=0.96, fermentable=0.6, minutes=minutes, at=at)
    return plan("extract only", additions=(dried,))


def test_extract_from_the_start_of_the_boil_hops_as_a_mash_of_that_strength_does():
    # 32 L of water and 4.8 kg of extract, boiled to 1.062: a mean of 1.057, in which 60 min use 21.6 %
    # (Tinseth 1997: 1.65 * 0.000125^0.057 * 0.9093 / 4.15) of 40 g at 6 % in 29.9 L.
    expected = 1.65 * 0.000125**0.057 * (1 - np.exp(-2.4)) / 4.15 * 2400.0

    model = Model(extract_gyle(60.0), SHED)
    litres = float(np.max(model.forecast(middling(model))["kettle.end.volume_l"]))

    # Half a point of the mean gravity is half a per cent of utilisation.
    assert bitterness(extract_gyle(60.0)) == pytest.approx(expected / litres, rel=0.01)


def test_extract_added_late_leaves_the_boil_thin_and_the_hops_better_used():
    early, late, last = (bitterness(p) for p in (extract_gyle(60.0), extract_gyle(15.0), extract_gyle(0.0)))

    assert early < late < last
    assert bitterness(extract_gyle(0.0, "kettle end")) == pytest.approx(last)


def test_liquor_after_the_boil_thins_bitterness_and_changes_no_utilisation():
    plain = plan("full volume")
    thinned = replace(plain, liquor=Liquor(mash_l=40.0, kettle_l=6.0))
    model, other = Model(plain, SHED), Model(thinned, SHED)
    before, after = model.forecast(middling(model)), other.forecast(middling(other))

    milligrams = [float(np.max(n["kettle.end.ibu"] * n["kettle.end.volume_l"])) for n in (before, after)]

    # The mean of two gravities against the mean of the gravities of the same two strengths: the same.
    assert milligrams[0] == pytest.approx(milligrams[1], rel=1e-9)


def test_more_hops_longer_boiled_or_in_the_first_wort_are_more_bitter():
    weak, strong = (bitterness(plan(hops=(hop(mass_kg=kg),))) for kg in (0.02, 0.04))
    short, long = (bitterness(plan(hops=(hop(minutes=m),))) for m in (10.0, 60.0))

    assert strong == pytest.approx(2.0 * weak)
    assert short < 0.5 * long
    assert bitterness(plan(hops=(hop(use="first wort"),))) == pytest.approx(long)
    assert bitterness(plan(hops=(hop(use="dry", portion="one"),))) == 0.0


@pytest.mark.parametrize(("stand_c", "share"), [(100.0, 1.0), (90.0, 0.417), (80.0, 0.165)])
def test_a_stand_counts_its_minutes_at_the_speed_of_its_temperature(stand_c, share, check):
    # Malowicki and Shellhammer (2005): exp(11858/373.15 - 11858/T).
    gyle = plan(stand=Stand(temperature_c=stand_c, minutes=30.0))

    at_sea = equivalent_minutes(gyle, boil_temperature(SHED), "stand", 30.0)

    # The boiling point by IAPWS lies 0.03 K under 100 °C: 0.3 % of a rate.
    what, at = "half an hour's stand in minutes of boil", f"{stand_c:g} °C"
    check(what, at_sea, 30.0 * share, rel=0.005, unit="min", at=at, source="malowicki-2005", kind="slip")
    assert equivalent_minutes(gyle, boil_temperature(SHED), "boil", 60.0) == pytest.approx(60.0 + at_sea)
    assert equivalent_minutes(gyle, boil_temperature(SHED), "stand", 10.0) == pytest.approx(at_sea / 3.0)
