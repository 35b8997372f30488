"""Break each limit once and keep it once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import brewed, brewery, grain, latents, only_fire, plan, portion, vessel, yeast
from gylebook.brewery.gear import Bag, Chiller, Fermenter, Vessel
from gylebook.brewery.ingredients import Starter
from gylebook.brewery.plan import Liquor, Plan
from gylebook.brewery.site import Brewery
from gylebook.gyle.forecast import Model
from gylebook.gyle.limits import Limit, limits
from gylebook.gyle.pitch import pitches, viable_cells

Case = tuple[Plan, Brewery]
AMBER, SHED = plan(), brewery()


def all_limits(a_plan: Plan, on: Brewery) -> list[Limit]:
    model = Model(a_plan, on)
    rows = latents(model)
    return list(limits(a_plan, on, model.draw(rows), model.course(rows)))


def odds_of(name: str, case: Case) -> list[float]:
    return [limit.odds_kept for limit in all_limits(*case) if limit.name == name]


def fermenter(capacity_l: float) -> Brewery:
    return replace(
        SHED, fermenters={k: replace(f, capacity_l=capacity_l) for k, f in SHED.fermenters.items()}
    )


def with_yeast(**other: object) -> Plan:
    return replace(AMBER, portions=tuple(replace(p, yeast=yeast(**other)) for p in AMBER.portions))


THICK = replace(AMBER, liquor=Liquor(mash_l=14.0, rinse_l=20.0))
BY_HAND = replace(SHED, bag=Bag(mass_kg=0.3, person_kg=12.0))

# limit: what breaks it, what keeps it.
CASES: dict[str, tuple[Case, Case]] = {
    "mash brim": ((AMBER, vessel(SHED, "kettle", capacity_l=33.0)), (AMBER, SHED)),
    "mash thickness": ((THICK, SHED), (AMBER, SHED)),
    "bag weight": ((AMBER, BY_HAND), (AMBER, SHED)),
    "rinse vessel brim": ((AMBER, vessel(SHED, "pot", capacity_l=19.0)), (AMBER, SHED)),
    "foam room": ((AMBER, vessel(SHED, "kettle", capacity_l=38.0)), (AMBER, SHED)),
    "kettle brim at the end": (
        (replace(AMBER, liquor=replace(AMBER.liquor, kettle_l=35.0)), SHED),
        (AMBER, SHED),
    ),
    "heating the liquor": ((AMBER, only_fire(SHED, power_kw=0.8)), (AMBER, SHED)),
    "heating the rinse": ((AMBER, only_fire(SHED, power_kw=0.3)), (AMBER, SHED)),
    "heating to the boil": ((AMBER, only_fire(SHED, power_kw=0.8)), (AMBER, SHED)),
    "cooling": ((AMBER, replace(SHED, chiller=Chiller(kind="coil", area_m2=0.05))), (AMBER, SHED)),
    "head room": ((AMBER, fermenter(12.0)), (AMBER, SHED)),
    "yeast count": ((with_yeast(packs=1.0, cells_billion=50.0), SHED), (with_yeast(packs=3.0), SHED)),
}


@pytest.mark.parametrize("name", CASES)
def test_a_limit_is_broken_where_it_is_exceeded(name):
    assert max(odds_of(name, CASES[name][0])) < 0.05


@pytest.mark.parametrize("name", CASES)
def test_a_limit_is_kept_where_there_is_room(name):
    assert min(odds_of(name, CASES[name][1])) > 0.95


def test_every_limit_that_a_gyle_can_have_is_tried_here():
    names = {limit.name for kind in ("dunk rinse", "extract only") for limit in all_limits(plan(kind), SHED)}

    assert names == set(CASES)


def test_a_limit_has_a_margin_in_a_unit_and_a_vessel_by_its_name():
    for limit in all_limits(AMBER, SHED):
        assert limit.unit in ("L", "L/kg", "kg", "min", "billion cells")
        assert limit.vessel in ("kettle", "pot", "hoist", "one", "two")
        assert 0.0 <= limit.odds_kept <= 1.0
        assert np.all(np.isfinite(limit.margin))


def test_the_head_room_of_each_portion_is_its_own():
    tight = replace(
        SHED, fermenters={**SHED.fermenters, "two": Fermenter(key="two", name="two", capacity_l=8.0)}
    )

    by_portion = {x.portion: x.odds_kept for x in all_limits(AMBER, tight) if x.name == "head room"}

    assert by_portion["one"] > 0.95
    assert by_portion["two"] < 0.05


def test_an_ageing_portion_may_ask_for_less_head_room_than_a_fermenting_one():
    tight, gyle = fermenter(17.0), AMBER
    full = replace(gyle, portions=tuple(replace(p, head_room=0.02) for p in gyle.portions))

    assert max(odds_of("head room", (gyle, tight))) < 0.8 < min(odds_of("head room", (full, tight)))


def test_arms_lift_less_than_a_hoist_and_a_hoist_keeps_a_reserve_of_two():
    def bag(of: Bag) -> Limit:
        (found,) = [x for x in all_limits(AMBER, replace(SHED, bag=of)) if x.name == "bag weight"]
        return found

    arms, hoist = bag(Bag(person_kg=20.0)), bag(Bag(hoist_kg=40.0))

    assert (arms.vessel, hoist.vessel) == ("arms", "hoist")
    np.testing.assert_allclose(arms.margin, hoist.margin, rtol=1e-12)
    # 7 kg of grain weigh about 2.1 times as much when lifted.
    assert np.median(20.0 - np.asarray(arms.margin)) == pytest.approx(2.1 * 7.0 + 0.3, rel=0.02)


def test_nobody_lifts_a_mash_tun():
    assert odds_of("bag weight", (plan("fly rinse", "tun"), SHED)) == []


def test_a_full_volume_mash_fills_no_second_vessel_and_extract_no_mash():
    full = {x.name for x in all_limits(plan("full volume"), SHED)}
    extract = {x.name for x in all_limits(plan("extract only"), SHED)}

    assert "rinse vessel brim" not in full
    assert "heating the rinse" not in full
    assert not {"mash brim", "mash thickness", "bag weight", "heating the liquor"} & extract
    assert {"foam room", "heating to the boil", "cooling", "head room", "yeast count"} <= extract


def test_an_element_too_weak_for_the_losses_never_boils_and_the_odds_say_so():
    weak = only_fire(vessel(SHED, "kettle", diameter_cm=60.0), kind="element", power_kw=0.4)

    assert odds_of("heating to the boil", (AMBER, weak)) == [0.0]


def test_a_tap_warmer_than_pitching_temperature_never_cools_the_wort():
    summer = replace(SHED, chiller=replace(SHED.chiller, tap_c=24.0))

    assert odds_of("cooling", (AMBER, summer)) == [0.0]
    assert odds_of("cooling", (replace(AMBER, chill_c=32.0), summer))[0] > 0.95


@pytest.mark.parametrize("tap_c", [12.0, 24.0])
def test_a_counterflow_cooler_obeys_the_tap_as_a_coil_does(tap_c):
    plate = replace(SHED, chiller=Chiller(kind="counterflow", area_m2=0.6, tap_c=tap_c))

    (kept,) = odds_of("cooling", (AMBER, plate))

    assert kept > 0.9 if tap_c < 20.0 else kept == 0.0


def test_without_a_chiller_cooling_takes_a_day():
    assert odds_of("cooling", (AMBER, replace(SHED, chiller=Chiller(kind="none")))) == [0.0]


def sharing(*rates: float, packs: float = 1.0, litres: float = 2.0) -> Plan:
    """Portions that drink from one stirred flask, at these pitching rates."""
    keys = ("one", "two", "three")
    return plan(
        portions=tuple(
            portion(
                key,
                1.0 / len(rates),
                yeast=yeast(
                    form="liquid",
                    packs=packs,
                    cells_billion=100.0,
                    starter="flask",
                    pitch_million_per_ml_plato=r,
                ),
            )
            for key, r in zip(keys, rates, strict=False)
        ),
        starters=(Starter(key="flask", kind="stirred", volume_l=litres),),
    )


def test_one_starter_is_shared_by_need():
    gyle = sharing(0.75, 1.5)
    course, figures = brewed(gyle, SHED)
    ale, lager = pitches(gyle, figures, course.portions)

    np.testing.assert_allclose(ale.share + lager.share, 1.0, rtol=1e-12)
    assert np.median(lager.share / ale.share) == pytest.approx(2.0, rel=0.01)
    # A wrong count moves both alike: what each gets of its need is the same.
    np.testing.assert_allclose(ale.given / ale.needed, lager.given / lager.needed, rtol=1e-9)


def test_a_bigger_starter_keeps_the_yeast_count_that_a_small_one_breaks():
    small, big = sharing(0.75, 0.75, litres=0.3, packs=0.5), sharing(0.75, 0.75, litres=3.0, packs=0.5)

    assert max(odds_of("yeast count", (small, SHED))) < 0.2
    assert min(odds_of("yeast count", (big, SHED))) > 0.9


@pytest.mark.parametrize(
    ("form", "age_days", "at_least", "at_most"),
    # Common practice: dry yeast keeps for years, liquid packs lose a fifth a month, slurry fastest when warm.
    [("dry", 365.0, 0.95, 0.97), ("liquid", 30.0, 0.79, 0.81), ("slurry", 30.0, 0.2, 0.75)],
)
def test_yeast_in_hand_dies_by_its_kind(form, age_days, at_least, at_most, check):
    alive = viable_cells(yeast(form=form, packs=1.0, cells_billion=100.0, age_days=age_days)) / 100.0

    of = {"at": f"{form}, {age_days:g} d", "source": "common-practice", "kind": "practice"}
    check.between("yeast alive by its kind", alive, at_least, at_most, **of)


def test_an_open_starter_is_a_slip_of_the_program_not_of_the_brewer():
    gyle = replace(sharing(0.75), starters=(Starter(key="flask", kind="stirred"),))
    course, figures = brewed(gyle, SHED)

    with pytest.raises(ValueError, match="starter flask is left open"):
        pitches(gyle, figures, course.portions)


def test_heavier_grists_ask_more_of_every_mash_limit():
    heavy = replace(AMBER, grist=(grain(mass_kg=10.0),))

    light_by, heavy_by = ({x.name: np.median(x.margin) for x in all_limits(p, SHED)} for p in (AMBER, heavy))

    for name in ("mash brim", "mash thickness", "bag weight", "rinse vessel brim"):
        assert heavy_by[name] < light_by[name]


@pytest.mark.parametrize(("ferment_c", "outside_k"), [(26.0, 4.0), (12.0, 4.0), (19.0, None)])
def test_yeast_outside_its_range_is_told(ferment_c, outside_k):
    warm = replace(
        AMBER,
        portions=tuple(
            replace(p, ferment_c=ferment_c, yeast=yeast(low_c=16.0, high_c=22.0)) for p in AMBER.portions
        ),
    )
    told = [limit for limit in all_limits(warm, SHED) if limit.name == "fermentation temperature"]
    assert len(told) == (0 if outside_k is None else len(AMBER.portions))
    for limit in told:
        assert np.median(limit.margin) == -outside_k
        assert limit.odds_kept == 0.0


def with_tun(capacity_l: float) -> Brewery:
    tun = Vessel(key="tun", name="tun", capacity_l=capacity_l, mass_kg=5.0)
    return replace(SHED, vessels={**SHED.vessels, "tun": tun}, tun="tun")


def test_a_fly_rinse_is_mashed_in_its_tun():
    fly = plan("fly rinse", "tun")
    assert odds_of("mash brim", (fly, with_tun(100.0))) == [1.0]
    assert odds_of("mash brim", (fly, with_tun(12.0))) == [0.0]
    # The bag's mash stays in the kettle, whatever tun stands by.
    assert odds_of("mash brim", (AMBER, with_tun(12.0))) == [1.0]


def test_a_cold_tun_asks_for_a_hotter_strike():
    fly = plan("fly rinse", "tun")
    kettle, tun = (float(np.median(brewed(fly, on)[0].mash.strike_c)) for on in (SHED, with_tun(100.0)))
    assert 0.5 < tun - kettle < 5.0


def test_cooling_that_never_ends_stops_every_volume_and_so_bounds_none():
    warm = replace(SHED, chiller=Chiller(kind="coil", area_m2=0.5, tap_c=24.0))
    (never,) = [limit for limit in all_limits(AMBER, warm) if limit.name == "cooling"]
    (ends,) = [limit for limit in all_limits(AMBER, SHED) if limit.name == "cooling"]
    assert (never.sized, never.odds_kept) == (False, 0.0)
    assert ends.sized
