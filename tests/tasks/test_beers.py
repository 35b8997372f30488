"""Sum up beers by both models on the same draws, before readings and after."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from command_line import EXAMPLE
from example_gyles import brewery, plan, portion, yeast
from gylebook.brewery.ingredients import Starter
from gylebook.brewery.plan import Aims, Blend, Package
from gylebook.figures.draws import Summary
from gylebook.tasks.beers import FORMULAS, beer_views, blend_views
from gylebook.tasks.files import load_brewery, load_plan, load_readings
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.yeast_view import yeast_views

PLAN, BREWERY = load_plan(EXAMPLE / "plan.toml"), load_brewery(EXAMPLE / "brewery.toml")
READINGS = load_readings(EXAMPLE / "readings.toml")


@pytest.fixture(scope="module", params=["before readings", "after readings"])
def outlook(request):
    return look_ahead(PLAN, BREWERY, READINGS if request.param.startswith("after") else (), draws=2000)


def test_the_other_model_shares_every_draw(outlook):
    key = f"portion.{PLAN.portions[0].key}.ibu"
    other = outlook.by_the_other_model

    assert {outlook.plan.bitterness_by, other.plan.bitterness_by} == {"trade rule", "kinetics"}
    for same in ("og", "fermenters.volume_l", "colour_srm"):
        np.testing.assert_array_equal(outlook.draws[same], other.draws[same])
    one, two = np.log(outlook.draws[key]), np.log(other.draws[key])
    # The yield of the brewery, alpha acids and volume are common to both; the rates are not.
    assert np.std(one - two) < 0.5 * min(np.std(one), np.std(two))


def test_the_other_of_the_other_is_the_first(outlook):
    there_and_back = outlook.by_the_other_model.by_the_other_model

    np.testing.assert_array_equal(there_and_back.draws["ibu"], outlook.draws["ibu"])


def test_a_plan_by_kinetics_is_told_by_the_trade_s_rule_as_well():
    kinetic = look_ahead(replace(PLAN, bitterness_by="kinetics"), BREWERY, READINGS, draws=400)

    views = beer_views(kinetic)

    for view in views:
        assert list(view.ibu_by) == ["kinetics", "trade rule"]
        assert view.ibu_by["trade rule"].median == pytest.approx(view.ibu_by["kinetics"].median, rel=0.3)


def test_the_models_never_move_anything_but_bitterness(outlook):
    moved = {
        name
        for name, draws in outlook.draws.items()
        if not np.array_equal(draws, outlook.by_the_other_model.draws[name])
    }

    assert all(name.endswith("ibu") for name in moved)


def test_every_portion_is_told_as_a_beer(outlook):
    views = beer_views(outlook)

    assert [view.key for view in views] == [p.key for p in PLAN.portions]
    for view in views:
        assert tuple(view.abv_by) == FORMULAS
        assert view.fg.median < view.og.median
        assert view.real_attenuation.median < view.attenuation.median
        assert all(0 <= part <= 255 for part in view.srgb)
        assert (view.sucrose_g is not None) == (view.package == "bottles")
        for field in fields(view):
            value = getattr(view, field.name)
            if isinstance(value, Summary):
                assert value.low <= value.median <= value.high, field.name


def test_readings_narrow_what_they_speak_of():
    before, after = (beer_views(look_ahead(PLAN, BREWERY, r, draws=1000)) for r in ((), READINGS))

    for one, other in zip(before, after, strict=True):
        assert other.og.sd < one.og.sd


def test_less_beer_in_the_glass_is_paler():
    outlook = look_ahead(PLAN, BREWERY, draws=200)
    thin, thick = (beer_views(outlook, path_cm=cm)[0].srgb for cm in (1.0, 10.0))

    assert all(one >= other for one, other in zip(thin, thick, strict=True))
    assert sum(thin) > sum(thick)
    assert beer_views(outlook, path_cm=0.0)[0].srgb == (255, 255, 255)


def test_a_blend_is_told_with_the_numbers_of_the_course():
    house = Blend(key="house", name="house", parts=(("one", 0.5), ("two", 0.5)), package=Package(kind="keg"))
    gyle = plan(blends=(house,), aims=Aims(volume_l=30.0, plato=12.0, bitterness_ibu=20.0))

    outlook = look_ahead(gyle, brewery(), draws=200)
    (view,) = blend_views(outlook)

    assert (view.key, view.name) == ("house", "house")
    assert view.volume_l == outlook.numbers["blend.house.volume_l"]
    assert view.abv.median > 3.0
    assert blend_views(look_ahead(PLAN, BREWERY, draws=200)) == ()


def drinkers(starter: Starter):
    each = yeast(form="liquid", packs=1.0, cells_billion=150.0, starter="flask")
    gyle = plan(
        portions=(portion("one", 0.6, yeast=each), portion("two", 0.4, yeast=each)),
        starters=(starter,),
        aims=Aims(volume_l=30.0, plato=12.0, bitterness_ibu=20.0),
    )
    return yeast_views(look_ahead(gyle, brewery(), draws=400))


def test_a_settled_starter_is_poured_by_millilitres_and_by_grams():
    whole = drinkers(Starter(key="flask", kind="stirred", volume_l=2.0))
    settled = drinkers(Starter(key="flask", kind="stirred", volume_l=2.0, cold_crash=True, slurry_l=0.2))

    assert sum(view.poured_l for view in whole) == pytest.approx(2.0, rel=1e-3)
    assert sum(view.poured_l for view in settled) == pytest.approx(0.2, rel=1e-3)
    for one, other in zip(whole, settled, strict=True):
        assert other.poured_kg == pytest.approx(1.06 * other.poured_l)
        # Three parts to two, whatever is poured.
        assert one.poured_l / 2.0 == pytest.approx(other.poured_l / 0.2, rel=1e-9)
        assert other.given.median == pytest.approx(0.95 * one.given.median)
    assert whole[0].poured_l / whole[1].poured_l == pytest.approx(1.5, rel=0.01)


def test_a_portion_with_its_own_packs_pours_nothing_from_a_flask():
    gyle = plan(aims=Aims(volume_l=30.0, plato=12.0, bitterness_ibu=20.0))

    for view in yeast_views(look_ahead(gyle, brewery(), draws=200)):
        assert (view.starter, view.poured_l, view.poured_kg) == (None, None, None)
        assert 0.0 <= view.odds_enough <= 1.0
