"""Find what would keep a limit.  What a fix promises is held against the plan solved anew with it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from gylebook.decide.fix_deeds import BEARING, HALF_LITRE
from gylebook.decide.fixes import fixes
from gylebook.decide.solve import solve
from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.house import figures_of
from gylebook.gyle.limits import limits

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
SHED = read_brewery((EXAMPLE / "brewery.toml").read_text(encoding="utf-8"), where="brewery")
AMBER = read_plan((EXAMPLE / "plan.toml").read_text(encoding="utf-8"), where="plan")
ALL_IN = replace(AMBER, liquor=replace(AMBER.liquor, kettle_l=0.0))
TOO_MUCH = replace(AMBER, aims=replace(AMBER.aims, volume_l=45.0))
COLD = replace(AMBER, portions=tuple(replace(p, ferment_c=p.yeast.low_c - 4.0) for p in AMBER.portions))
STARVED = replace(
    AMBER,
    starters=(),
    portions=tuple(replace(p, yeast=replace(p.yeast, packs=0.3, starter=None)) for p in AMBER.portions),
)
DRAWS = 1600


def latents(plan, seed=1):
    """Draws for every figure of a plan."""
    return standard_normal_latents(DRAWS, len(figures_of(plan, SHED)), seed)


def odds_kept(plan, brewery, name, portion):
    """Odds of a limit on draws that the plan was not solved with; 1 where there is no such limit."""
    solved, fresh = solve(plan, brewery, latents(plan)), latents(plan, seed=2)
    model = Model(solved, brewery)
    found = limits(solved, brewery, model.draw(fresh), model.course(fresh))
    return next((x.odds_kept for x in found if (x.name, x.portion) == (name, portion)), 1.0)


STOPPED = [
    (ALL_IN, "foam room", None),
    (TOO_MUCH, "mash brim", None),
    (TOO_MUCH, "rinse vessel brim", None),
    (TOO_MUCH, "bag weight", None),
    (TOO_MUCH, "head room", "keg"),
    (STARVED, "yeast count", "keg"),
    (COLD, "fermentation temperature", "long"),
]


@pytest.mark.parametrize(("plan", "name", "portion"), STOPPED, ids=[name for _, name, _ in STOPPED])
def test_every_fix_keeps_the_limit_on_other_draws_too(plan, name, portion):
    found = fixes(plan, SHED, latents(plan), name, portion)

    assert found
    assert odds_kept(plan, SHED, name, portion) < plan.aims.odds
    for fix in found:
        assert fix.odds_kept >= plan.aims.odds, fix.deed
        # Two sets of 1,600 draws know odds of 0.9 to 0.011 of each other.
        assert odds_kept(fix.plan, fix.brewery, name, portion) > plan.aims.odds - 0.033, fix.deed


def test_half_a_litre_less_held_back_would_not_do():
    z = latents(ALL_IN)
    (fix,) = [fix for fix in fixes(ALL_IN, SHED, z, "foam room", None) if fix.deed == "hold liquor back"]
    less = replace(fix.plan.liquor, kettle_l=fix.plan.liquor.kettle_l - HALF_LITRE)

    assert odds_kept(replace(fix.plan, liquor=less), SHED, "foam room", None) < ALL_IN.aims.odds + 0.01
    assert fix.amount == fix.plan.liquor.kettle_l


def test_a_fix_that_breaks_another_limit_says_so_and_stands_last():
    hasty = replace(SHED, patience_heat_min=80.0)
    found = fixes(TOO_MUCH, hasty, latents(TOO_MUCH), "rinse vessel brim", None)

    # A larger pot takes more liquor than its plate heats in that time; less beer does not.
    assert [(fix.deed, [limit.name for limit in fix.lost]) for fix in found] == [
        ("make less", []),
        ("another way", ["heating the rinse"]),
        ("larger vessel", ["heating the rinse"]),
    ]
    assert all(limit.odds_kept < TOO_MUCH.aims.odds for fix in found for limit in fix.lost)


def test_every_limit_has_changes_that_could_bear_on_it():
    named = {limit.name for limit in _every_limit()}

    assert named - {"fermentation temperature"} <= set(BEARING)


def _every_limit():
    z = latents(AMBER)
    solved = solve(AMBER, SHED, z)
    model = Model(solved, SHED)
    return limits(solved, SHED, model.draw(z), model.course(z))


def test_a_limit_that_is_not_there_has_no_fix():
    assert fixes(AMBER, SHED, latents(AMBER), "bursting", None) == ()


def test_a_fermenter_that_is_too_full_gets_less_and_the_others_take_it():
    held_back = replace(
        AMBER,
        aims=replace(AMBER.aims, volume_l=36.0),
        liquor=replace(AMBER.liquor, kettle_l=7.0),
    )

    found = {fix.deed: fix for fix in fixes(held_back, SHED, latents(held_back), "head room", "bottles")}

    shares = {portion.key: portion.share for portion in found["less of it here"].plan.portions}
    assert shares["bottles"] == pytest.approx(found["less of it here"].amount)
    assert shares["bottles"] < 0.31
    assert sum(shares.values()) == pytest.approx(1.0, abs=2e-3)
    assert shares["keg"] / shares["long"] == pytest.approx(44.0 / 25.0, rel=5e-3)
    # So much less that nothing could be solved for it is no reason to find no smaller volume.
    assert 30.0 < found["make less"].amount < 36.0
