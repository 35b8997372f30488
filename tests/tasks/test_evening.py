"""What an evening tells of the gear is true as often as it says, and no more than one evening can know."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewery, only_fire, vessel
from gylebook.brewery.gear import Chiller, KnownCooling
from gylebook.brewery.instruments import Reading
from gylebook.brewery.site import HouseFigure
from gylebook.errors import Refused
from gylebook.gyle.belonging import belongings
from gylebook.gyle.evening import water_plan
from gylebook.infer.learn import learn
from gylebook.tasks.evening import look_at_evening
from gylebook.tasks.evening_readings import evening_readings
from gylebook.tasks.evening_told import told_by_evening
from gylebook.tasks.evening_view import evening_view, readings_that_pay
from gylebook.tasks.learning import evidence_from, expected_of, line_of, states_of
from simulated_evenings import inside, of_gear, read_evening, true_evening

GEAR = ("boil_off_l_per_h", "kettle.left_l", "heat.ring.net_share", "chill.u_w_per_m2_k")


def names(outlook):
    return [figure.name for figure in outlook.model.figures]


@pytest.fixture(scope="module")
def told():
    """An evening that came out beyond what is usual in four figures, with all its readings."""
    on, rng = brewery(), np.random.default_rng(8)
    before = look_at_evening(on, draws=200)
    truth = np.zeros((1, len(names(before))))
    truth[0, [names(before).index(name) for name in GEAR]] = [1.8, -1.5, -1.6, 1.7]
    return look_at_evening(on, read_evening(on, truth, rng)), truth


def test_figures_that_are_far_off_are_found_from_an_evening(told):
    outlook, truth = told
    for name in GEAR:
        k = names(outlook).index(name)
        mean, sd = outlook.latents[:, k].mean(), outlook.latents[:, k].std()

        assert sd < 0.7, name
        assert abs(mean - truth[0, k]) < 2.5 * sd, name
        assert abs(mean) > 0.8, name


@pytest.mark.parametrize("evenings", [80, pytest.param(600, marks=pytest.mark.long)])
def test_the_truth_of_an_evening_lies_in_its_interval_nine_times_in_ten(evenings):
    found = [inside(brewery(), number) for number in range(evenings)]
    that_evening, next_brew = (np.mean(part, axis=0) for part in zip(*found, strict=True))

    assert 0.85 <= that_evening.mean() <= 0.95
    assert 0.85 <= next_brew.mean() <= 0.95
    # One figure alone: 3.5 sds of counting beside the nine in ten.
    far = 3.5 * np.sqrt(0.09 / evenings)
    assert np.abs(that_evening - 0.9).max() < far
    assert np.abs(next_brew - 0.9).max() < far


def test_the_next_brew_keeps_the_scatter_that_one_evening_cannot_know(told):
    outlook, _ = told
    k = names(outlook).index("kettle.left_l")
    share, evening = outlook.shares[k], outlook.latents[:, k]
    mean, sd = outlook.next_brew[k]

    assert share == 0.8
    assert mean == pytest.approx(0.8 * evening.mean())
    # Were the evening known to the drop, a fifth of the level's variance and the brew's scatter would remain.
    assert sd > np.sqrt(1.0 - 0.8**2)
    assert sd**2 == pytest.approx(0.64 * evening.var() + 0.36)


def test_an_evening_alone_tells_what_learning_from_it_would(told):
    outlook, _ = told
    on, plan = brewery(), water_plan(30.0)
    one = told_by_evening(on, outlook.readings, when=2026.0)
    states = states_of([one], plan, on)
    learned = learn(states.house(), evidence_from(states, [one], [one.line]), seed=1)
    line = line_of(states, learned, one)  # a second look, as learning from a book takes
    learned = learn(states.house(), evidence_from(states, [one], [line]), seed=1)
    columns, figures = expected_of(states, learned, belongings(plan, on))
    found = belongings(plan, on)

    for name in GEAR:
        row = next(i for i, k in enumerate(columns) if found[k].figure.name == name)
        mean, sd = outlook.next_brew[names(outlook).index(name)]
        # Along a straight line and with its scatter to be guessed, so not to the digit.
        assert figures.mean[row] == pytest.approx(mean, abs=0.25), name
        assert np.sqrt(figures.covariance[row, row]) == pytest.approx(sd, abs=0.1), name


def test_a_figure_that_the_brewer_stated_is_where_an_evening_starts():
    stated = {"boil_off_l_per_h": HouseFigure(level=3.0, scatter=0.1)}
    on = replace(brewery(), house=stated)
    rng = np.random.default_rng(4)
    published = brewery()
    truth = true_evening(published, rng)
    outlook = look_at_evening(on, read_evening(published, truth, rng))
    k = names(outlook).index("boil_off_l_per_h")

    assert outlook.model.figures[k].level == 3.0
    # So narrow a spread is less than brews scatter anyway: no level is left to learn.
    assert outlook.shares[k] == 0.0
    assert "boil_off_l_per_h" not in {figure.name for figure in evening_view(outlook).figures}
    assert evening_view(outlook).stated == ("boil_off_l_per_h",)


def test_a_wide_spread_of_the_brewers_own_leaves_as_much_to_learn_as_a_published_one():
    on = replace(brewery(), house={"kettle.left_l": HouseFigure(level=1.0, scatter=0.9)})
    outlook = look_at_evening(on, draws=200)

    assert outlook.shares[names(outlook).index("kettle.left_l")] == 0.8


def test_more_water_than_was_told_is_believed_from_the_scale():
    on, rng = brewery(), np.random.default_rng(5)
    truth = true_evening(on, rng) * 0.0
    usual = read_evening(on, truth, rng)
    more = [
        replace(r, value=r.value + 6.0) if (r.step, r.quantity) == ("evening first", "mass") else r
        for r in usual
        if (r.step, r.quantity) in {("evening first", "mass"), ("evening full", "mass")}
    ]
    outlook = look_at_evening(on, more)

    assert outlook.latents is not outlook.prior
    poured = np.median(outlook.model.draw(outlook.latents)["evening.first_kg"])
    assert poured == pytest.approx(more[0].value, abs=0.05)


def test_the_readings_that_pay_are_the_ones_that_narrow_most():
    outlook = look_at_evening(brewery())
    paying = [(view.step, view.quantity) for view in readings_that_pay(outlook)]
    rng = np.random.default_rng(6)
    truth = true_evening(brewery(), rng)
    all_of_them = read_evening(brewery(), truth, rng)

    def gone(readings):
        found = look_at_evening(brewery(), readings)
        return sum(1.0 - found.next_brew[k][1] for k in of_gear(found))

    best = gone([r for r in all_of_them if (r.step, r.quantity) in paying[:6]])
    others = [r for r in all_of_them if (r.step, r.quantity) not in paying[:6]]
    assert 3 <= len(paying) <= 8
    assert best > 1.5 * gone(others[:6])


def test_what_one_clock_has_told_makes_the_other_worth_less():
    on, rng = only_fire(brewery(), kind="gas", power_kw=6.0), np.random.default_rng(12)
    readings = read_evening(on, true_evening(on, rng) * 0.0, rng)

    def worth_of_clocks(outlook):
        told = [view for view in readings_that_pay(outlook) if view.step in ("evening warm", "evening heat")]
        return max((view.narrows["heat.ring.net_share"] for view in told), default=0.0)

    first = worth_of_clocks(look_at_evening(on))
    second = worth_of_clocks(look_at_evening(on, [r for r in readings if r.step == "evening warm"]))
    assert first > 0.15
    assert second < 0.5 * first


def test_a_reading_that_was_taken_pays_no_more():
    on, rng = brewery(), np.random.default_rng(7)
    readings = read_evening(on, true_evening(on, rng), rng)
    left = [(view.step, view.quantity) for view in readings_that_pay(look_at_evening(on, readings[:6]))]

    assert not {(r.step, r.quantity) for r in readings[:6]} & set(left)


def test_a_slip_of_the_pen_is_told_by_its_name():
    on, rng = brewery(), np.random.default_rng(9)
    readings = [
        replace(r, value=r.value + 2.0) if r.step == "evening boil end" else r
        for r in read_evening(on, true_evening(on, rng) * 0.0, rng)
    ]
    found = look_at_evening(on, readings)
    worst = max(range(len(readings)), key=lambda k: abs(found.diagnostic.misfits[k].from_rest))

    assert readings[worst].step == "evening boil end"
    assert abs(found.diagnostic.misfits[worst].from_rest) > 3.0


def test_a_reading_that_cannot_be_true_beside_the_rest_is_named_and_left_out():
    on, rng = brewery(), np.random.default_rng(9)
    readings = [
        replace(r, value=r.value * 10.0) if (r.step, r.quantity) == ("evening drained", "mass") else r
        for r in read_evening(on, true_evening(on, rng) * 0.0, rng)
    ]

    doubted = [view for view in evening_readings(look_at_evening(on, readings)) if view.doubtful]

    assert [(view.step, view.quantity) for view in doubted] == [("evening drained", "mass")]
    assert doubted[0].odds_slip > 0.95


@pytest.mark.parametrize(
    "on",
    [
        only_fire(brewery(rinse=None, chiller=Chiller(kind="none")), kind="gas", power_kw=6.0),
        brewery(chiller=Chiller(kind="counterflow", area_m2=0.6)),
        brewery(chiller=Chiller(kind="coil", known=KnownCooling(volume_l=25.0, to_c=25.0, minutes=20.0))),
        brewery(altitude_m=2400.0, liquor_c=24.0),
        vessel(brewery(), "kettle", capacity_l=12.0, mass_kg=1.5, metal="aluminium"),
    ],
    ids=["gas alone, no chiller", "counterflow", "timed coil", "mountain", "small kettle"],
)
def test_other_gear_has_its_evening_and_learns_from_it(on):
    rng = np.random.default_rng(10)
    truth = true_evening(on, rng) * 0.5
    outlook = look_at_evening(on, read_evening(on, truth, rng), draws=1000)
    view = evening_view(outlook)

    assert not view.too_slow
    assert {"kettle.left_l", "boil_off_l_per_h"} <= {figure.name for figure in view.figures}
    told = {figure.name for figure in view.figures if figure.name.startswith("chill.")}
    assert bool(told) is (on.chiller.kind != "none")


def test_a_fire_too_weak_to_boil_it_is_told_before_the_evening():
    weak = only_fire(brewery(), kind="hotplate", power_kw=0.8)

    assert evening_view(look_at_evening(weak, draws=200)).too_slow


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"litres": 58.0}, "litres: 58 L; take 1 to 54 L"),
        ({"boil_minutes": 0.0}, "boil: 0 min; take 5 to 180 min"),
        ({"litres": 6.0, "boil_minutes": 120.0}, "no element runs dry"),
        ({"draws": 10}, "draws: 10; take 200"),
    ],
)
def test_water_that_the_kettle_cannot_have_is_refused(asked, words):
    with pytest.raises(Refused, match=words):
        look_at_evening(brewery(), **asked)


def test_a_reading_of_a_brew_day_is_refused_with_the_steps_of_an_evening():
    reading = Reading(step="preboil", quantity="volume", value=30.0, instrument="dipstick")
    with pytest.raises(Refused, match="the steps are evening first, evening full"):
        look_at_evening(brewery(), [reading])
