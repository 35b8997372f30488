"""Say what else a wort could become, held against the plan changed so and run forward."""

from __future__ import annotations

from pathlib import Path

import pytest

from gylebook.errors import Refused
from gylebook.exchange.style_table import StyleRow
from gylebook.tasks.becoming import what_it_becomes
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.outlook import look_ahead

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"


@pytest.fixture(scope="module")
def amber():
    plan, shed = load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml")
    return look_ahead(plan, shed, draws=600)


def style(code, **spans):
    usual = {"og": (1.045, 1.06), "fg": (1.006, 1.018), "abv": (4.0, 6.5), "ibu": (15.0, 45.0)}
    usual["colour_srm"] = (5.0, 20.0)
    return StyleRow(code=code, name=f"Trial {code}", ranges=usual | spans, source="test", how="made up")


def only(amber, *rows):
    return {one.code: one for one in what_it_becomes(amber, "keg", only=rows)}


def test_what_the_wort_is_already_takes_nothing_but_yeast(amber):
    found = only(amber, style("wide"))["wide"]

    assert found.within
    assert found.made.own == ()
    assert found.made.odds_all > 0.6


def test_each_thing_that_is_lacking_is_brought_by_what_brings_it(amber):
    rows = (
        style("weak", og=(1.034, 1.040), abv=(3.0, 4.5), ibu=(10.0, 40.0)),
        style("bitter", ibu=(45.0, 65.0)),
        style("dark", colour_srm=(28.0, 40.0)),
        style("dry", fg=(1.000, 1.004), abv=(6.0, 7.5)),
    )

    found = only(amber, *rows)

    own = {code: {one.treatment for one in view.made.own} for code, view in found.items()}
    assert own["weak"] == {"dilution"}
    assert "hop tea" in own["bitter"]
    assert "grain tea" in own["dark"]
    # Far attenuated: by a yeast that takes dextrins, by Brettanomyces, or by sugar.
    assert own["dry"] & {"long ageing", "sugar"} or "diastatic" in found["dry"].made.yeast.lower()
    assert all(view.within for view in found.values())


def test_the_fermenter_is_filled_as_before(amber):
    before = amber.numbers["portion.keg.volume_l"].median

    weak = only(amber, style("weak", og=(1.034, 1.040), abv=(3.0, 4.5), ibu=(10.0, 40.0)))["weak"]

    assert weak.made.volume_l.median == pytest.approx(before, rel=0.01)


def test_what_is_out_of_reach_comes_last_and_says_by_how_much(amber):
    found = what_it_becomes(amber, "keg", only=(style("pale", colour_srm=(2.0, 3.0)), style("wide")))

    assert [one.code for one in found] == ["wide", "pale"]
    colour = next(near for near in found[1].made.near if near.quality == "colour_srm")
    assert colour.over > 0.5
    assert colour.over == pytest.approx(colour.value - 3.0)


def test_the_published_styles_are_ranked_with_those_within_reach_first(amber):
    found = what_it_becomes(amber, "keg", most=12)

    within = [one.within for one in found]
    assert len(found) == 12
    assert within == sorted(within, reverse=True)
    assert within[0]


def test_a_portion_that_is_not_there_is_refused_with_those_that_are(amber):
    with pytest.raises(Refused, match="Known: “keg”, “bottles”, “long”"):
        what_it_becomes(amber, "kegs")
