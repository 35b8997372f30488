"""The edge of what a brewery can make, against worked capacities, the forward model, and practice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_gyles import vessel
from gylebook.brewery.gear import Bag
from gylebook.decide.boundary import boundary
from gylebook.decide.frontier import frontier
from gylebook.decide.watered import watered
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.forecast import Model
from gylebook.gyle.house import figures_of
from gylebook.gyle.limits import limits
from gylebook.gyle.wort import liquor_to_weaken
from gylebook.matter.extract import plato_from_sg
from pair_of_pots import PLATO, as_worked, asked, big_shed
from published_tables import published_rows

GRAVITIES = np.linspace(8.0, 20.0, 25)


def edge(way, on, plato=(PLATO,), draws=200, odds=None, plan=None):
    """The edge of one way on this gear."""
    a_plan = plan if plan is not None else asked()
    latents = standard_normal_latents(draws, 60, 1)
    return frontier(a_plan, on, way, np.atleast_1d(np.asarray(plato, dtype=float)), latents, odds)


def figures_in(case):
    """The figures that a worked case changes, and its headspace."""
    changed = {}
    for words, name, value in (
        ("squeezed", "retained_l_per_kg", 0.83),
        ("wetter", "retained_l_per_kg", 1.35),
        ("conversion 0.85", "conversion", 0.85),
        ("conversion 0.98", "conversion", 0.98),
        ("displacement", "mash__displacement_l_per_kg", 0.75),
        ("evaporation 3", "boil_off_l_per_h", 3.0),
        ("evaporation 6", "boil_off_l_per_h", 6.0),
        ("losses 1.5", "kettle__left_l", 1.5),
        ("losses 5", "kettle__left_l", 5.0),
    ):
        if words in case:
            changed[name] = value
    return changed


WORKED = [row for row in published_rows("hot_capacity") if row["case"] == "base" or figures_in(row["case"])]


@pytest.mark.parametrize("row", WORKED, ids=lambda row: f"{row['case']}, {row['method']}")
def test_the_edge_is_where_the_worked_capacities_put_it(row, check):
    way = "dunk rinse" if "dunk" in row["method"] else "full volume"
    found = edge(way, as_worked(**figures_in(row["case"])))
    of = {"rel": 0.01, "unit": "L", "at": f"{row['case']}, {way}", "source": "derived", "kind": "slip"}

    check(
        "largest batch of two pots, all gravities at once",
        float(found.volume_l[0]),
        float(row["V_fermenter_L20"]),
        **of,
    )
    binding = {"mash volume in kettle": "mash brim", "boil headspace": "foam room"}[row["binding"]]
    assert found.limits[0][0] == binding


# Beyond, the worked mash is thicker than 2.5 L/kg, which nobody can stir and which is not reached here.
DILUTED = [row for row in published_rows("hot_capacity_diluted") if float(row["water_to_grain"]) >= 2.5]


@pytest.mark.parametrize("row", DILUTED, ids=lambda row: row["kettle_SG"])
def test_stronger_wort_makes_as_much_weaker_beer_as_was_worked_out(row, check):
    strong = float(plato_from_sg(float(row["kettle_SG"])))
    kettle = edge("dunk rinse", as_worked(), strong)
    added = float(liquor_to_weaken(kettle.middle_l[0], strong, PLATO)) / 0.99823
    at = {"at": f"kettle {row['kettle_SG']}", "source": "derived", "kind": "slip", "unit": "L"}

    check(
        "edge of the kettle's wort",
        float(kettle.volume_l[0]),
        float(row["V_kettle_strength_L20"]),
        rel=0.015,
        **at,
    )
    check(
        "after liquor in the fermenters",
        float(kettle.volume_l[0] + added),
        float(row["V_diluted_to_1057_L20"]),
        rel=0.015,
        **at,
    )


def test_wort_held_back_and_fed_in_makes_what_was_worked_out(check):
    # Worked out as 48.8 L, with the end of the boil at the same mark.
    found = edge("fed during the boil", as_worked())
    of = {"rel": 0.01, "unit": "L", "source": "derived", "kind": "slip"}
    check("largest batch with wort held back and fed in", float(found.volume_l[0]), 48.8, **of)


def test_a_dunk_reaches_42_l_and_a_full_mash_does_not(check):
    # Common practice, no source: with such a pair of pots about 42 L of 1.057 is the edge of the possible.
    dunk, full = (edge(way, big_shed(), draws=1000, odds=0.5) for way in ("dunk rinse", "full volume"))
    of = {"within": 2.5, "unit": "L", "source": "common-practice", "kind": "practice"}
    check("the edge of a pair of pots with a dunk rinse", float(dunk.volume_l[0]), 42.0, **of)
    assert full.volume_l[0] < 37.0


@pytest.mark.parametrize("way", ["full volume", "dunk rinse"])
@pytest.mark.parametrize("odds", [0.5, 0.9])
def test_it_is_the_boundary_that_a_plan_by_itself_comes_to(way, odds):
    plan, on = asked(way, odds=odds), big_shed()
    alone = boundary(plan, on, standard_normal_latents(1000, len(figures_of(plan, on)), 1))
    found = edge(way, on, draws=1000, plan=plan)

    # The boundary searches on every fourth draw and ends within 0.2 % of what was wanted.
    assert found.volume_l[0] == pytest.approx(alone.volume_l, rel=0.01)
    assert found.limits[0] == (alone.limit, alone.vessel)


@pytest.mark.parametrize("way", ["full volume", "dunk rinse", "poured rinse"])
def test_its_amounts_run_forward_keep_every_limit_with_the_asked_odds(way):
    on, latents = big_shed(), standard_normal_latents(1000, 60, 1)
    found = frontier(asked(way, odds=0.9), on, way, GRAVITIES, latents)
    for row in range(0, len(GRAVITIES), 6):
        plan = asked(way, odds=0.9, plato=float(GRAVITIES[row]))
        grist = tuple(replace(g, share=None, mass_kg=float(found.grain_kg[row])) for g in plan.grist)
        liquor = replace(
            plan.liquor, mash_l=float(found.mash_l[row]), rinse_l=float(found.rinse_l[row]) or None
        )
        poured = replace(plan, grist=grist, liquor=liquor)
        model = Model(poured, on)
        z = latents[:, : len(model.figures)]
        course = model.course(z)
        judged = limits(poured, on, model.draw(z), course)
        worst = min(
            limit.odds_kept for limit in judged if limit.name not in ("yeast count", "mash thickness")
        )

        assert worst == pytest.approx(0.9, abs=0.02)
        assert np.median(model.forecast(z)["fermenters.plato"]) == pytest.approx(GRAVITIES[row], rel=0.005)
        volume = np.quantile(model.forecast(z)["fermenters.volume_l"], 0.1)
        assert volume == pytest.approx(found.volume_l[row], rel=0.003)


@settings(max_examples=12, deadline=None)
@given(kettle=st.floats(30.0, 120.0), more=st.floats(1.0, 40.0), pot=st.floats(20.0, 60.0))
def test_a_larger_kettle_never_makes_less(kettle, more, pot):
    shed = vessel(vessel(big_shed(), "kettle", capacity_l=kettle), "pot", capacity_l=pot)
    larger = vessel(shed, "kettle", capacity_l=kettle + more)
    few = np.array([10.0, 14.0, 18.0])
    for way in ("full volume", "dunk rinse"):
        small, large = edge(way, shed, few).volume_l, edge(way, larger, few).volume_l
        made = np.isfinite(small)
        assert np.all(large[made] >= small[made] * 0.997)


@settings(max_examples=8, deadline=None)
@given(pot=st.floats(12.0, 50.0), fermenter=st.floats(20.0, 60.0), more=st.floats(1.0, 30.0))
def test_a_larger_pot_or_fermenter_never_makes_less(pot, fermenter, more):
    few, shed = np.array([10.0, 14.0, 18.0]), big_shed()

    def made(pot_l, fermenter_l):
        roomy = replace(shed.fermenters["one"], capacity_l=fermenter_l)
        return edge(
            "dunk rinse", vessel(replace(shed, fermenters={"one": roomy}), "pot", capacity_l=pot_l), few
        )

    small = made(pot, fermenter).volume_l
    for larger in (made(pot + more, fermenter), made(pot, fermenter + more)):
        sound = np.isfinite(small)
        assert np.all(larger.volume_l[sound] >= small[sound] * 0.997)


@settings(max_examples=12, deadline=None)
@given(asked_odds=st.floats(0.5, 0.95), more=st.floats(0.01, 0.04))
def test_more_certainty_never_makes_more(asked_odds, more):
    for way in ("full volume", "dunk rinse"):
        bold = edge(way, big_shed(), GRAVITIES[::6], odds=asked_odds).volume_l
        sure = edge(way, big_shed(), GRAVITIES[::6], odds=asked_odds + more).volume_l
        assert np.all(sure <= bold * 1.003)


def test_liquor_to_grist_and_efficiency_fall_with_the_gravity():
    # Handbooks: stronger wort is mashed thicker and keeps more of its extract in the grain.
    found = edge("full volume", big_shed(), GRAVITIES)
    ratio = found.mash_l / found.grain_kg
    made = found.volume_l * GRAVITIES / found.grain_kg

    assert np.all(np.diff(ratio) < 0.0)
    assert np.all(np.diff(made / made[0]) < 0.0)
    assert ratio[0] > 2.0 * ratio[-1]


def test_efficiency_falls_by_what_the_grain_holds_and_hardly_without_it():
    # Held at 1.1 L/kg, a quarter is lost from 8 to 20 °P; were nothing held, the kettle still keeps some.
    fall = {}
    for held in (1.08, 0.02):
        found = edge("full volume", as_worked(retained_l_per_kg=held), GRAVITIES)
        made = found.volume_l * GRAVITIES / found.grain_kg
        fall[held] = 1.0 - made[-1] / made[0]

    assert 0.2 < fall[1.08] < 0.3
    assert fall[0.02] < 0.07


def test_two_mashes_carry_the_strong_wort_that_one_cannot():
    weak_arms = replace(big_shed(), bag=Bag(mass_kg=0.3, hoist_kg=40.0))
    strong = np.array([18.0, 20.0])

    assert np.all(
        edge("two mashes", weak_arms, strong).volume_l > 1.2 * edge("dunk rinse", weak_arms, strong).volume_l
    )


def test_liquor_in_the_fermenters_stops_where_they_are_full():
    shed = big_shed()
    small = replace(shed, fermenters={"one": replace(shed.fermenters["one"], capacity_l=54.0)})
    found = watered([edge("dunk rinse", small, GRAVITIES)], small)
    full = found.wort_l + found.liquor_l

    assert found.limits[0] == ("head room", "the fermenters")
    assert np.nanmax(full) <= 54.0 / 1.2 + 1e-9
    assert np.isnan(found.volume_l[-1])  # nothing stronger is asked here to thin it from


def test_a_bag_that_nobody_can_lift_leaves_nothing_to_make():
    shed = replace(big_shed(), bag=Bag(mass_kg=0.3, hoist_kg=0.7))
    found = edge("dunk rinse", shed, GRAVITIES[::6])

    assert np.all(np.isnan(found.volume_l))
    assert found.limits == (None,) * len(found.plato)


@pytest.mark.parametrize("way", ["full volume", "dunk rinse", "two mashes"])
def test_where_no_rinse_is_left_the_edge_goes_on_until_little_is_made(way):
    # Strong wort is mashed as thick as can be stirred, and less of it is boiled down by the same litres.
    found = edge(way, big_shed(), np.linspace(20.0, 28.0, 17), odds=0.9)

    assert not np.any(np.isnan(found.volume_l))
    assert np.all(np.diff(found.volume_l) < 0.0)
    assert found.limits[-1] == ("mash thickness", "kettle")
    assert found.mash_l[-1] / found.grain_kg[-1] == pytest.approx(2.5, abs=0.02)


def test_two_mashes_make_no_less_than_one_however_strong():
    strong = np.linspace(20.0, 28.0, 9)
    one, two = (edge(way, big_shed(), strong).volume_l for way in ("dunk rinse", "two mashes"))

    assert np.all(two >= one * 0.99)


def test_many_gravities_at_once_are_those_of_each_alone():
    together = edge("dunk rinse", big_shed(), GRAVITIES).volume_l
    alone = np.array([edge("dunk rinse", big_shed(), plato).volume_l[0] for plato in GRAVITIES[::6]])

    assert together[::6] == pytest.approx(alone, rel=0.003)
