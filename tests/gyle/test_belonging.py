"""Each figure belongs to what makes it what it is: the house, its gear, the way of working, or one brew."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from example_gyles import brewery, grain, plan, portion, vessel, yeast
from gylebook.brewery.gear import Bag
from gylebook.brewery.plan import Process
from gylebook.gyle.belonging import MOST_DOUBLINGS, RULES, Belonging, belongings
from gylebook.gyle.house import figures_of


def of(family: str, a_plan=None, on=None) -> Belonging:
    """The belonging of a family's first figure."""
    found = belongings(a_plan or plan(), on or brewery())
    return next(one for one in found if one is not None and one.family == family)


def test_there_is_one_for_each_figure_in_their_order():
    found = belongings(plan(), brewery())

    figures = figures_of(plan(), brewery())
    assert len(found) == len(figures)
    assert all(one is None or one.figure == figure for one, figure in zip(found, figures, strict=True))


@pytest.mark.parametrize(
    "name", ["grist.pale.extract", "hops.bitter.alpha", "moisture_shift", "portion.one.share_slip"]
)
def test_a_sack_a_bale_and_a_slip_of_the_hand_belong_to_their_brew(name):
    for figure, one in zip(figures_of(plan(), brewery()), belongings(plan(), brewery()), strict=True):
        if figure.name == name:
            assert one is None
            return
    raise AssertionError(f"there is no figure {name}")


def test_another_kettle_or_fire_makes_another_boil_off_but_another_name_does_not():
    here = of("boil_off_l_per_h")

    assert of("boil_off_l_per_h", on=vessel(brewery(), "kettle", capacity_l=70.0)).gear != here.gear
    assert of("boil_off_l_per_h", on=vessel(brewery(), "kettle", diameter_cm=45.0)).gear != here.gear
    fire, ring = brewery().heat_sources
    stronger = replace(brewery(), heat_sources=(replace(fire, power_kw=6.0), ring))
    assert of("boil_off_l_per_h", on=stronger).gear != here.gear
    assert of("boil_off_l_per_h", on=vessel(brewery(), "kettle", name="the old one")).gear == here.gear


def test_draining_otherwise_is_another_kind_and_another_bag_is_other_gear():
    hung, pressed = of("retained_l_per_kg"), of("retained_l_per_kg", plan(drain="pressed"))
    heavier = of("retained_l_per_kg", on=replace(brewery(), bag=Bag(mass_kg=0.8)))

    assert (hung.kind, pressed.kind) == ("hung", "pressed")
    assert hung.gear != heavier.gear
    assert hung.rule.tied_kind < hung.rule.tied_gear


def test_crush_and_mash_out_make_kinds_of_conversion():
    coarse = plan(process=Process(kind="dunk rinse", crush="coarse", mash_out=True))

    assert of("conversion", coarse).kind == "coarse crush and a mash-out"


def test_portions_with_the_same_yeast_share_its_attenuation():
    a_plan = plan(portions=(portion("one"), portion("two"), portion("three", yeast=yeast(kind="saison"))))

    kinds = [
        one.kind for one in belongings(a_plan, brewery()) if one is not None and one.family == "attenuation"
    ]

    assert kinds == ["clean ale", "clean ale", "saison"]


def test_an_instrument_is_one_and_the_same_in_every_brew():
    bias = of("instrument.dipstick.bias")

    assert bias.rule.share == 1.0
    assert bias.rule.tied_gear == 0.0


def test_a_batch_twice_as_large_is_one_doubling_further():
    small, large = (plan(grist=(grain(mass_kg=mass),)) for mass in (3.0, 6.0))

    assert of("conversion", large).doublings - of("conversion", small).doublings == pytest.approx(1.0)
    wide = vessel(brewery(), "kettle", diameter_cm=40.0 * math.sqrt(2.0))
    assert of("boil_off_l_per_h", on=wide).doublings - of("boil_off_l_per_h").doublings == pytest.approx(1.0)
    assert of("conversion", plan(grist=(grain(mass_kg=500.0),))).doublings == MOST_DOUBLINGS


def test_every_rule_leaves_room_for_both_house_and_brew_and_holds_over_all_sizes():
    for name, rule in RULES.items():
        assert 0.0 < rule.share < 1.0, name
        assert rule.tied_kind <= rule.tied_gear, name
        # Beyond a quarter turn a small batch would tell the contrary of a large one.
        assert rule.turn * 2.0 * MOST_DOUBLINGS <= math.pi / 2.0, name
        assert (rule.turn > 0.0) == (rule.measure is not None), name
