"""Read the running order as the brewer does: it speaks of this day's gear and no other."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from example_days import SHED, amounts, day, keys, step
from example_gyles import hop, only_fire, plan, portion, yeast
from gylebook.brewery.ingredients import Starter
from gylebook.brewery.plan import Liquor
from gylebook.gyle.steps import Step
from gylebook.tasks.order_view import amounts_to_weigh, order_view
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.step_words import TITLES, detail_of, title_of
from gyles_at_random import plans


def said(steps: list[Step]) -> str:
    return " ".join(f"{title_of(s)}: {detail_of(s)}" for s in steps)


@settings(deadline=None, max_examples=60)
@given(plans())
def test_every_step_has_its_words_and_none_has_a_number(a_plan):
    for one in day(a_plan):
        assert title_of(one)
        assert not any(sign.isdigit() for sign in TITLES[one.key][1])


def test_a_day_of_extract_brings_its_liquor_to_the_boil():
    steps = day(plan("extract only"))

    heat = step(steps, "heat the liquor to the boil")

    assert amounts(heat) == {"kettle liquor": 32.0}
    assert title_of(heat) == "Bring the liquor to the boil"
    assert ("preboil", "gravity") not in heat.read
    assert "heat to the boil" not in keys(steps)
    for word in ("Mill", "grain", "bag", "mash"):
        assert word not in said(steps)


def test_a_mash_of_grain_is_milled():
    assert "Mill the grain" in said(day(plan()))


def test_rinse_liquor_is_poured_aside_where_there_is_no_second_vessel():
    alone = replace(only_fire(SHED, vessels=("kettle",)), rinse=None)
    beside = only_fire(SHED, vessels=("kettle",))

    assert "second vessel" not in said(day(plan("poured rinse"), alone))
    assert "pour it aside" in said(day(plan("poured rinse"), alone))
    assert "second vessel" in said(day(plan("poured rinse"), beside))


@pytest.mark.parametrize("kind", ["poured rinse", "fly rinse", "full volume"])
def test_a_tun_has_no_bag(kind):
    assert "bag" not in said(day(plan(kind, "tun")))
    assert "bag" in said(day(plan(kind)))


def test_all_that_is_measured_out_is_listed_once_and_alike_hops_each():
    gyle = plan(
        liquor=Liquor(mash_l=28.0, rinse_l=12.0, kettle_l=2.0),
        hops=(
            hop("early", 0.03, variety="Saaz", minutes=15.0),
            hop("late", 0.03, variety="Saaz", minutes=5.0),
        ),
        portions=(portion("one", yeast=yeast(starter="flask")),),
        starters=(Starter(key="flask", kind="stirred", volume_l=1.0, first_steps_l=(1.0,)),),
        chill_c=18.0,
    )
    warm = replace(SHED, chiller=replace(SHED.chiller, tap_c=22.0))

    listed = [a.what for a in amounts_to_weigh(order_view(look_ahead(gyle, warm, draws=200)))]

    for what in ("mash liquor", "rinse liquor", "boiled liquor", "ice", "pale"):
        assert listed.count(what) == 1, what
    for what in ("Saaz", "starter wort", "dried malt extract"):
        assert listed.count(what) == 2, what
