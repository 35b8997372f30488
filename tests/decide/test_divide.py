"""Divide a wort among wanted beers.  What a solution promises is held against its plan run forward anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_wishes import EXAMPLE, SHED, wish
from gylebook.brewery.ingredients import HopTea
from gylebook.decide.divide import divide
from gylebook.exchange.wish_file import read_wish
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import limits

DRAWS = 400
PALE = 'gravity = ["1.046", "1.054"]\nbitterness = ["25 IBU", "40 IBU"]\ncolour = ["6 EBC", "16 EBC"]'


def found(asked, **more):
    return divide(asked, SHED, draws=DRAWS, seed=1, **more)


def forecast(plan, seed=7):
    """A plan run forward on draws that no search has seen."""
    model = Model(plan, SHED)
    return model.forecast(standard_normal_latents(4000, len(model.figures), seed))


def middle(numbers, name):
    return float(np.median(numbers[name]))


@pytest.fixture(scope="module")
def trio():
    text = (EXAMPLE / "wish.toml").read_text(encoding="utf-8")
    return found(read_wish(text, where="wish"))


def test_beers_alike_come_from_the_kettle_as_they_are():
    best = found(wish(one=PALE, two=PALE)).solutions[0]

    assert best.served
    assert [beer.choice.treatments for beer in best.beers] == [(), ()]


def test_a_weak_and_a_strong_beer_part_by_the_liquor_that_the_balance_of_points_asks_for():
    strong, weak = (
        'gravity = ["1.059", "1.061"]\nmay = []',
        'gravity = ["1.039", "1.041"]\nmay = ["dilution"]',
    )

    best = found(wish(strong=strong, weak=weak)).solutions[0]

    diluted = {beer.choice.beer.key: beer.choice.dilution_l for beer in best.beers}
    assert diluted["strong"] == 0.0
    # Points times litres stay: 40 points are left of 60, so a third of 8 L is liquor; to half a decilitre.
    assert diluted["weak"] == pytest.approx(8.0 / 3.0, abs=0.2)


def test_every_promise_of_a_solution_holds_on_its_plan_run_forward(trio):
    for solution in trio.solutions:
        numbers = forecast(solution.plan)
        for beer in solution.beers:
            for near in beer.nearness:
                seen = numbers[f"portion.{beer.choice.beer.key}.{near.quality}"]
                low, high = near.span
                inside = np.mean((seen >= (low or -1)) & (seen <= (high or 1e9)))
                assert inside == pytest.approx(near.odds_inside, abs=0.08)  # 400 draws, 3 sd


def test_the_best_of_the_example_serves_all_three_within_the_brewery(trio):
    best = trio.solutions[0]

    assert best.served
    assert trio.conflicts == ()
    model = Model(best.plan, SHED)
    rows = standard_normal_latents(2000, len(model.figures), 5)
    kept = limits(best.plan, SHED, model.draw(rows), model.course(rows))
    assert min(limit.odds_kept for limit in kept) >= 0.85


def test_solutions_differ_in_what_is_done_and_come_best_first(trio):
    work = [tuple(beer.choice.treatments for beer in one.beers) for one in trio.solutions]

    assert len(work) >= 3
    assert len(set(work)) == len(work)
    costs = [one.cost for one in trio.solutions]
    assert costs == sorted(costs)


def test_fermenters_hold_at_the_middle_what_was_asked_for(trio):
    numbers = forecast(trio.solutions[0].plan)

    for beer in trio.solutions[0].beers:
        volume = middle(numbers, f"portion.{beer.choice.beer.key}.volume_l")
        assert volume == pytest.approx(beer.choice.volume_l, rel=0.03)


def test_what_a_beer_may_not_get_it_does_not_get():
    dark = 'gravity = ["1.046", "1.054"]\nbitterness = ["25 IBU", "40 IBU"]\ncolour = ["60 EBC", "90 EBC"]'

    may_not = found(wish(pale=PALE, dark=f'{dark}\nmay = ["hop tea"]'))
    may = found(wish(pale=PALE, dark=f'{dark}\nmay = ["grain tea"]'))

    assert not may_not.solutions[0].served
    for solution in may_not.solutions:
        assert not any(beer.choice.grain_tea_kg for beer in solution.beers)
    assert may.solutions[0].served
    assert may.solutions[0].beers[1].choice.grain_tea_kg > 0.0


def test_a_conflict_names_both_beers_and_an_amount_that_would_bridge_it():
    mild, bitter = (
        'bitterness = ["10 IBU", "16 IBU"]\nmay = []',
        'bitterness = ["60 IBU", "70 IBU"]\nmay = []',
    )

    division = found(wish(mild=f'{mild}\ngravity = ["1.050"]', bitter=f'{bitter}\ngravity = ["1.050"]'))

    (conflict,) = division.conflicts
    assert not division.solutions[0].served
    assert (conflict.matter, conflict.less.key, conflict.more.key) == ("bitterness", "mild", "bitter")
    assert conflict.at_most < 20.0 < 50.0 < conflict.at_least
    tea = HopTea(
        key="bridge", variety="Perle", at="bitter", mass_kg=conflict.amount, water_l=1.0, minutes=30.0,
        alpha=0.0825, alpha_scatter=0.0,
    )  # fmt: skip
    plan = division.solutions[0].plan
    # From the wort that the mild beer could just bear, the tea must bring the other to its least.
    at_most = replace(plan, hops=tuple(replace(hop, mass_kg=0.0) for hop in plan.hops), hop_teas=(tea,))
    brought = middle(forecast(at_most), "portion.bitter.ibu")
    assert brought + conflict.at_most == pytest.approx(
        60.0, abs=4.0
    )  # 7 %: the tea's own spread and rounding


def test_strengths_that_no_dilution_brings_together_are_a_conflict_told_in_liquor():
    strong, weak = (
        'gravity = ["1.078", "1.082"]\nmay = []',
        'gravity = ["1.030", "1.034"]\nmay = ["dilution"]',
    )

    (conflict,) = found(wish(strong=strong, weak=weak)).conflicts

    assert (conflict.matter, conflict.bridge, conflict.bridged.key) == ("strength", "dilution", "weak")
    # 34 points at most of a wort of 78 at least: more than half of 8 L would be liquor.
    assert conflict.amount == pytest.approx(8.0 * (1.0 - 34.0 / 78.0), abs=0.4)


def test_beers_that_are_wanted_by_their_alcohol_alone_quarrel_about_strength_too():
    strong, weak = 'alcohol = ["9 %", "10 %"]\nmay = []', 'alcohol = ["2 %", "3 %"]\nmay = ["dilution"]'

    (conflict,) = found(wish(strong=strong, weak=weak)).conflicts

    assert (conflict.matter, conflict.less.key, conflict.more.key) == ("strength", "weak", "strong")
    # Alcohol goes with the extract but for a little: 3 of 9 parts of the 8 L would be wort.
    assert conflict.amount == pytest.approx(8.0 * (1.0 - 3.0 / 9.0), abs=0.5)


def test_a_beer_that_no_wort_serves_is_named_and_blamed_on_no_other():
    beyond = found(wish(pale=PALE, beyond='gravity = ["1.148"]\nmay = []'))

    assert beyond.conflicts == ()
    (alone,) = beyond.unmade
    assert (alone.matter, alone.beer.key) == ("strength", "beyond")
    assert alone.most < 34.0  # °P, of 1.148


def test_beers_that_no_kettle_of_this_size_makes_as_they_are_come_from_a_stronger_wort():
    roomy = wish("", volume="14 L", one=PALE, two=PALE, three=PALE)
    small = replace(
        SHED, vessels={**SHED.vessels, "kettle": replace(SHED.vessels["kettle"], capacity_l=46.0)}
    )

    best = divide(roomy, small, draws=DRAWS, seed=1).solutions[0]

    assert sum(beer.choice.dilution_l for beer in best.beers) > 2.0
    assert best.served


def test_the_same_seed_gives_the_same_division():
    asked = wish(one=PALE, two=PALE.replace("25 IBU", "30 IBU"))

    first, second = found(asked, most=1), found(asked, most=1)

    assert first.solutions[0].plan == second.solutions[0].plan


def test_a_beer_of_its_own_bitterness_may_have_a_part_of_its_wort_boiled_apart():
    plain = 'gravity = ["1.046", "1.054"]\nbitterness = ["10 IBU", "15 IBU"]\nmay = []'
    bitter = 'gravity = ["1.046", "1.056"]\nbitterness = ["35 IBU", "40 IBU"]\nmay = ["hop tea"]'
    asked = wish(plain=plain, bitter=bitter)
    apart = replace(asked, hop_tea=replace(asked.hop_tea, of_wort=True, water_l=2.0, boiled_off_l=0.4))

    best = found(apart).solutions[0]

    (tea,) = best.plan.hop_teas
    assert best.served
    assert tea.of_wort
    assert tea.at == "bitter"
    numbers = forecast(best.plan)
    assert middle(numbers, "portion.bitter.volume_l") == pytest.approx(8.0, rel=0.04)
    # 0.4 of 8 L gone as steam leaves the beer a twentieth stronger than the other.
    points = [1000.0 * (middle(numbers, f"portion.{key}.og") - 1.0) for key in ("bitter", "plain")]
    assert points[0] / points[1] == pytest.approx(8.4 / 8.0, abs=0.01)
