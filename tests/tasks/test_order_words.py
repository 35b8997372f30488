"""Read the running order as the brewer does: it speaks of this day's gear and no other."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from example_days import SHED, amounts, day, keys, step
from example_gyles import only_fire, plan
from gylebook.gyle.steps import Step
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
