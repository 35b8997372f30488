"""Hold every run to its accounts: what goes into a step comes out of it, and nothing is made on the way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_gyles import brewed, brewery, hop, plan, sugar
from gylebook.brewery.ingredients import GrainTea, HopTea
from gylebook.brewery.plan import Blend, Package, Plan, Stand
from gylebook.figures.draws import Array, Value
from gylebook.figures.figure import FigureDraws
from gylebook.gyle.course import Course
from gylebook.gyle.forecast import Model
from gylebook.gyle.mash import WATER_20
from gyles_at_random import plans, tails

SHED = brewery()
GRAIN_TEA = GrainTea(
    key="roast",
    name="roast",
    at="one",
    mass_kg=0.2,
    water_l=1.2,
    extract_dry=0.6,
    moisture=0.04,
    colour_ebc=1300.0,
)
HOP_TEA = HopTea(
    key="late",
    variety="late",
    at="two",
    mass_kg=0.01,
    water_l=1.0,
    minutes=30.0,
    alpha=0.1,
    alpha_scatter=0.01,
)


@st.composite
def runs(draw: st.DrawFn) -> tuple[Plan, Course, FigureDraws]:
    """Any plan, run on any figures."""
    a_plan = draw(plans())
    model = Model(a_plan, SHED)
    rows = draw(tails(len(model.figures)))
    return a_plan, model.course(rows), model.draw(rows)


def ran_off_kg(a_plan: Plan, figures: FigureDraws) -> Value:
    """All tea of grain and hops that is poured in. [kg]

    A kilogram of grain keeps a litre of its tea and a kilogram of hops six; a twentieth runs off whatever.
    No more than the grain's potential is drawn.
    """
    total: Value = 0.0
    for tea in a_plan.grain_teas:
        drawn = (0.50 if tea.hot else 0.22) * tea.mass_kg * figures["tea.extract_yield"]
        drawn = np.minimum(drawn, tea.extract_dry * (1.0 - tea.moisture) * tea.mass_kg)
        total = total + (tea.water_l * WATER_20 + drawn) * max(1.0 - tea.mass_kg / tea.water_l, 0.05)
    for hops in a_plan.hop_teas:
        total = total + (hops.water_l * WATER_20) * max(1.0 - 6.0 * hops.mass_kg / hops.water_l, 0.05)
    return total


def poured_in_kg(a_plan: Plan) -> float:
    """All liquor, grain and sugar of a plan. [kg]"""
    liquor, rinsed = a_plan.liquor, a_plan.process.kind not in ("full volume", "extract only")
    litres = (
        (liquor.mash_l or 0.0)
        + ((liquor.rinse_l or 0.0) if rinsed else 0.0)
        + liquor.kettle_l
        + sum(p.top_up_l for p in a_plan.portions)
    )
    grain_kg = sum(g.mass_kg or 0.0 for g in a_plan.grist)
    # What has no extract (finings, spices) stands in the running order alone.
    return litres * WATER_20 + grain_kg + sum(a.mass_kg for a in a_plan.additions if a.extract)


def at(course: Course, step: str) -> Array:
    """All that came out of the account of one step. [kg]"""
    return np.asarray(sum(sum(e.mass_out_kg) for e in course.ledger if e.step.startswith(step)))


@settings(deadline=None, max_examples=150)
@given(runs())
def test_what_goes_into_each_step_comes_out_of_it(run):
    _, course, _ = run

    worst = max(course.ledger, key=lambda entry: entry.imbalance())

    assert worst.imbalance() <= 1e-9, worst.step


@settings(deadline=None, max_examples=100)
@given(runs())
def test_what_was_poured_in_is_steam_bag_trub_beer_gas_yeast_and_leftovers(run):
    a_plan, course, figures = run
    fermented = at(course, "ferment ")  # water, extract, ethanol, carbon dioxide and yeast of all portions

    out = course.kettle.steam_kg + course.kettle.stays_kg + course.undivided_kg + fermented
    if course.mash is not None:
        out = out + course.mash.bag.wet_kg

    np.testing.assert_allclose(out, poured_in_kg(a_plan) + ran_off_kg(a_plan, figures), rtol=1e-9)


@settings(deadline=None, max_examples=100)
@given(runs())
def test_nothing_anywhere_weighs_less_than_nothing(run):
    _, course, _ = run

    for entry in course.ledger:
        for mass in (*entry.mass_in_kg, *entry.mass_out_kg):
            # Differences of sums of some 50 kg, in double precision.
            assert np.min(mass) >= -1e-11, entry.step


@settings(deadline=None, max_examples=100)
@given(runs())
def test_no_mash_gives_more_than_its_grain_holds(run):
    _, course, _ = run
    if course.mash is not None:
        assert np.all(course.mash.dissolved_kg <= course.mash.potential_kg * (1 + 1e-12))


@settings(deadline=None, max_examples=100)
@given(runs())
def test_what_is_drawn_off_each_portion_is_packed_by_itself_or_blended(run):
    _, course, _ = run

    off = sum(p.packable_l for p in course.portions)
    packed = sum(p.packaged_l for p in course.portions) + sum(b.volume_l for b in course.blends)

    # A drop of each portion goes into its blend even where nothing can be drawn off.
    np.testing.assert_allclose(packed, off, rtol=1e-9, atol=1e-3)


@settings(deadline=None, max_examples=100)
@given(runs())
def test_bitterness_is_neither_made_nor_lost_where_wort_is_divided(run):
    a_plan, course, _ = run
    if a_plan.hop_teas:
        return
    after_hoses = course.kettle.wort

    divided = sum(p.wort.iso_alpha_mg for p in course.portions)
    left = course.undivided_kg / after_hoses.mass_kg * after_hoses.iso_alpha_mg

    # Below 1e-300 mg numbers have no nine digits left to agree in.
    np.testing.assert_allclose(divided + left, after_hoses.iso_alpha_mg, rtol=1e-9, atol=1e-300)
    assert np.all(np.asarray(divided) >= 0.0)


@settings(deadline=None, max_examples=100)
@given(runs())
def test_the_accounts_of_successive_steps_join(run):
    _, course, _ = run
    kettle = course.kettle

    divided = sum(p.wort.extract_kg - p.wort.sugar_kg - p.wort.malt_kg for p in course.portions)
    reached = kettle.wort.extract_kg - kettle.wort.sugar_kg - kettle.wort.malt_kg

    # What portions add is counted as sugar or malt, so the grist's own extract only grows less by what was
    # left.
    assert np.all(divided <= reached * (1 + 1e-9) + 1e-12)
    assert course.ledger[-1].step.startswith("package")


@pytest.mark.parametrize("by", ["trade rule", "kinetics"])
@pytest.mark.parametrize("kind", ["full volume", "dunk rinse", "poured rinse", "fly rinse", "extract only"])
def test_every_figure_may_lie_eight_deviations_off_and_the_run_still_answers(kind, by):
    # What conditioning promises to ask for: rows up to 8 sd beyond the most probable figures.
    a_plan = plan(kind)
    a_plan = replace(
        a_plan,
        additions=(*a_plan.additions, sugar("candy", 0.5, at="one"), sugar("syrup", 0.5)),
        hops=(hop(age_days=300.0), hop("dry", use="dry", portion="one"), hop("stood", use="stand")),
        stand=Stand(temperature_c=85.0, minutes=20.0),
        grain_teas=(GRAIN_TEA,),
        hop_teas=(HOP_TEA, replace(HOP_TEA, key="apart", at="one", of_wort=True, boiled_off_l=0.4)),
        blends=(
            Blend(key="both", name="both", parts=(("one", 0.5), ("two", 1.0)), package=Package(kind="keg")),
        ),
        bitterness_by=by,
    )
    model = Model(a_plan, SHED)
    wide = np.vstack([np.eye(len(model.figures)) * 8.0, np.eye(len(model.figures)) * -8.0])

    numbers = model.forecast(wide)

    for name, values in numbers.items():
        assert np.all(np.isfinite(values)), name


def test_the_same_figures_give_the_same_bits():
    first, _ = brewed(plan(), SHED, seed=7)
    second, _ = brewed(plan(), SHED, seed=7)

    assert first.kettle.wort.extract_kg.tobytes() == second.kettle.wort.extract_kg.tobytes()
    for one, other in zip(first.portions, second.portions, strict=True):
        assert np.asarray(one.packaged_l).tobytes() == np.asarray(other.packaged_l).tobytes()
