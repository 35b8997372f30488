"""Fill fermenters and packages.  What a filling promises is held against a portion run forward."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, plan, portion
from gylebook.brewery.gear import Fermenter
from gylebook.brewery.plan import Package
from gylebook.decide.fillings import fillings
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import HEAD_ROOM

GALLON = 3.785


def gear(*capacities):
    made = {f"f{n}": Fermenter(key=f"f{n}", name=f"f{n}", capacity_l=c) for n, c in enumerate(capacities)}
    return replace(brewery(), fermenters=made)


def packaged_l(shed, filling, package):
    """What a plan whose portion holds that much wort gives to its package, at the middle. [L]"""
    one = portion("one", share=None, volume_l=filling.wort_l, fermenter=filling.fermenter, package=package)
    model = Model(plan(portions=(one,)), shed)
    numbers = model.forecast(np.zeros((1, len(model.figures)), order="F"))
    assert numbers["portion.one.volume_l"][0] == pytest.approx(filling.wort_l, abs=1e-6)
    return float(numbers["portion.one.packaged_l"][0])


def test_a_keg_is_filled_to_what_it_holds():
    shed = gear(15.0, 30.0)

    best = fillings(shed, kegs_l=[9.5, 19.0], bottle_l=None)[0]

    assert {filling.kegs_l for filling in best.fillings} == {(9.5,), (19.0,)}
    for filling in best.fillings:
        beer = packaged_l(shed, filling, Package(kind="keg"))
        assert beer == pytest.approx(sum(filling.kegs_l), abs=0.1)  # the strength of this wort differs


def test_bottles_are_whole_and_nothing_is_left_over():
    shed = gear(15.0, 12.5, 25.0)

    for one in fillings(shed, kegs_l=[], bottle_l=0.5):
        assert one.orphan_l == 0.0
        for filling in one.fillings:
            beer = packaged_l(shed, filling, Package(kind="bottles", bottle_l=0.5))
            assert beer == pytest.approx(0.5 * filling.bottles, abs=0.1)


def test_no_fermenter_is_filled_into_its_head_room():
    shed = gear(15.0, 12.5, 25.0)

    for one in fillings(shed, kegs_l=[9.5], bottle_l=0.75):
        for filling in one.fillings:
            room = shed.fermenters[filling.fermenter].capacity_l - filling.wort_l
            assert room >= HEAD_ROOM * filling.wort_l - 1e-6


def test_three_small_kegs_ask_for_three_small_fermenters_and_a_large_with_a_small_for_two_sizes():
    small = gear(*[3.4 * GALLON] * 3)
    mixed = gear(6.5 * GALLON, 3.4 * GALLON)

    three = fillings(small, kegs_l=[2.5 * GALLON] * 3, bottle_l=None)[0]
    two = fillings(mixed, kegs_l=[5.0 * GALLON, 2.5 * GALLON], bottle_l=None)[0]

    assert [filling.kegs_l for filling in three.fillings] == [(2.5 * GALLON,)] * 3
    assert [filling.kegs_l for filling in two.fillings] == [(5.0 * GALLON,), (2.5 * GALLON,)]
    assert three.beer_l == pytest.approx(7.5 * GALLON)
    assert two.beer_l == pytest.approx(7.5 * GALLON)


def test_no_keg_is_filled_twice():
    for one in fillings(gear(15.0, 15.0, 15.0), kegs_l=[9.5], bottle_l=0.5):
        assert sum(len(filling.kegs_l) for filling in one.fillings) <= 1


def test_the_wanted_litres_are_met_or_nothing_is_proposed():
    shed = gear(15.0, 15.0, 12.5, 25.0)

    found = fillings(shed, kegs_l=[], bottle_l=0.5, wanted_l=34.0)

    assert found
    assert all(one.wort_l == pytest.approx(34.0, rel=0.03) for one in found)
    assert fillings(shed, kegs_l=[], bottle_l=0.5, wanted_l=200.0) == ()
