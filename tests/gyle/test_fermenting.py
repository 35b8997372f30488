"""A portion's curve is the gyle's own: its gravities, its pitch, its instruments, its warmth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_ferments import ALE, SHED, gravity, warmth
from example_gyles import latents, pinned, plan, portion, yeast
from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Later
from gylebook.errors import Refused
from gylebook.figures.draws import standard_normal_latents
from gylebook.gyle.fermenting import GAS_PLATO, Fermentation, Followed, Warmth, curve_figures
from gylebook.gyle.forecast import Model
from gylebook.gyle.observe import ferment_places, is_of_fermentation, observables
from gylebook.matter.extract import plato_from_sg, sg_from_plato
from gylebook.process import ferment_curve as shape

LATE = Later(kind="Brettanomyces", after_days=21.0, attenuation=0.92, attenuation_scatter=0.03, months=6.0)


def steady(temp_c=19.0):
    return Warmth(np.zeros(1), np.array([temp_c]))


def fermentation(a_plan=ALE, on=SHED, *, warm=None, readings=(), hours=(), day=(), **other):
    seen = observables(readings, a_plan, on)
    followed = [
        Followed(observable=replace(o, name=f"read.{n}"), hours=h)
        for n, (o, h) in enumerate(zip(seen, hours, strict=True))
    ]
    models = (Model(a_plan, on, observables(day, a_plan, on)),)
    return Fermentation(models, "one", warm or steady(), followed, **other)


def middle(of):
    return np.zeros((1, of.day + len(of.figures)))


def drawn(of, draws=300):
    return standard_normal_latents(draws, of.day + len(of.figures), 1)


def apparent(of, *hours, at=None):
    return of.curve(middle(of) if at is None else at).at(np.array(hours))[:, 0]


def test_the_curve_runs_from_the_portions_own_original_to_its_own_final_gravity():
    of = fermentation()
    day = of.model.forecast(middle(of)[:, : of.day])

    began, ended = apparent(of, 0.0, 5000.0)

    assert sg_from_plato(began) == pytest.approx(float(day["portion.one.og"][0]), abs=1e-9)
    assert sg_from_plato(ended) == pytest.approx(float(day["portion.one.fg"][0]), abs=1e-9)


def test_every_draw_keeps_the_gravities_it_has_in_the_forecast_of_the_day():
    of = fermentation()
    rows = drawn(of)
    day = of.model.forecast(rows[:, : of.day])

    curve = of.curve(rows)

    np.testing.assert_allclose(sg_from_plato(curve.original), day["portion.one.og"], rtol=1e-12)
    np.testing.assert_allclose(sg_from_plato(curve.expected_end), day["portion.one.fg"], rtol=1e-9)


def test_two_portions_of_one_wort_share_their_original_gravity_draw_by_draw():
    one = fermentation()
    other = Fermentation(one.models, "two", steady())
    rows = drawn(one)

    apart = one.curve(rows).original - other.curve(rows).original

    assert np.std(apart) < 1e-9 < np.std(one.curve(rows).original)


def test_less_yeast_is_later_and_a_bigger_starter_sooner():
    few, many = (
        fermentation(plan(portions=(portion("one", yeast=yeast(packs=packs)), portion("two"))))
        for packs in (0.4, 4.0)
    )

    assert apparent(few, 40.0)[0] > apparent(fermentation(), 40.0)[0] > apparent(many, 40.0)[0]


def test_warm_beer_is_ahead_and_a_cold_night_puts_it_back():
    nights = Warmth(np.array([0.0, 20.0, 30.0, 40.0]), np.array([19.0, 19.0, 10.0, 19.0]))

    cold, usual, warm = (apparent(fermentation(warm=w), 48.0)[0] for w in (nights, steady(), steady(22.0)))

    assert warm < usual < cold


def test_beyond_the_top_of_its_range_yeast_is_not_counted_as_faster():
    top, beyond = (apparent(fermentation(warm=steady(c)), 36.0)[0] for c in (22.0, 32.0))

    assert beyond == top


def test_steady_warmth_written_down_often_is_steady_warmth():
    often = Warmth(np.array([0.0, 11.0, 30.0, 31.0]), np.full(4, 17.0))

    assert apparent(fermentation(warm=often), 25.0, 60.0) == pytest.approx(
        apparent(fermentation(warm=steady(17.0)), 25.0, 60.0), abs=1e-9
    )


def test_hours_may_be_asked_in_any_order():
    of = fermentation()

    assert apparent(of, 90.0, 10.0, 50.0)[[1, 2, 0]] == pytest.approx(apparent(of, 10.0, 50.0, 90.0))


# ---- what instruments show


def test_both_instruments_show_the_same_beer():
    readings = [gravity(60.0, 1.02), gravity(60.0, 6.0, "refractometer")]
    of = fermentation(readings=readings, hours=(60.0, 60.0))
    shown = of.readings_forecast(middle(of))

    there = apparent(of, 60.0)[0]

    assert plato_from_sg(shown["read.0"][0]) == pytest.approx(there, abs=1e-6)
    assert shown["read.1"][0] > there + 1.0  # alcohol bends light, and no brewer may take it for extract


def test_gas_lifts_a_hydrometer_and_leaves_a_refractometer_alone():
    readings = [
        gravity(60.0, 1.02, **other)
        for other in ({}, {"gassy": True}, {"instrument": "refractometer"},
                      {"instrument": "refractometer", "gassy": True})
    ]  # fmt: skip
    of = fermentation(readings=readings, hours=(60.0,) * 4)
    flat, lifted, clear, still_clear = (
        float(of.readings_forecast(middle(of))[f"read.{n}"][0]) for n in range(4)
    )

    assert plato_from_sg(lifted) - plato_from_sg(flat) == pytest.approx(GAS_PLATO, abs=0.01)
    assert still_clear == clear


def test_readings_of_the_day_are_forecast_beside_those_of_the_fermentation():
    day = (Reading(step="fermenters", quantity="gravity", value=12.0, instrument="hydrometer"),)
    of = fermentation(readings=[gravity(60.0, 1.02)], hours=(60.0,), day=day)
    rows = drawn(of)

    together = of.readings_forecast(rows)

    alone = of.model.readings_forecast(rows[:, : of.day])
    assert set(together) == {"reading.0", "read.0"}
    np.testing.assert_array_equal(together["reading.0"], alone["reading.0"])


def test_a_bias_of_the_hydrometer_is_one_bias_on_the_day_and_after_it():
    of = fermentation(readings=[gravity(60.0, 1.02)], hours=(60.0,))
    biased = middle(of)
    names = [figure.name for figure in of.model.figures]
    biased[0, names.index("instrument.hydrometer.bias")] = 2.0

    shift = of.readings_forecast(biased)["read.0"][0] - of.readings_forecast(middle(of))["read.0"][0]

    assert shift == pytest.approx(2.0 * 0.0007, abs=1e-9)


# ---- what goes on after the yeast


def test_brettanomyces_begins_after_its_lag_and_ends_at_the_final_gravity():
    of = fermentation(plan(portions=(portion("one", later=LATE), portion("two"))))
    day = of.model.forecast(middle(of)[:, : of.day])

    weeks = apparent(of, *(24.0 * 7 * np.array([3.0, 4.9, 8.0, 20.0, 200.0])))

    first, final = (float(day[f"portion.one.{name}"][0]) for name in ("first_fg", "fg"))
    assert sg_from_plato(weeks[:2]) == pytest.approx(first, abs=1e-4)
    assert np.all(np.diff(weeks[1:]) < -0.02)
    assert sg_from_plato(weeks[-1]) == pytest.approx(final, abs=1e-5)


def test_diastatic_yeast_takes_what_any_yeast_takes_and_then_goes_on_slowly():
    kind = yeast(
        diastatic=True, attenuation=0.93, attenuation_scatter=0.05, days=17.5, low_c=20.0, high_c=33.0
    )
    of = fermentation(plan(portions=(portion("one", yeast=kind, ferment_c=26.0), portion("two"))))
    curve = of.curve(middle(of))

    assert curve.first[0] == pytest.approx(0.22 * curve.original[0], rel=1e-6)
    assert curve.end[0] == pytest.approx(0.07 * curve.original[0], rel=0.05)
    slow = apparent(of, 24.0 * 14, 24.0 * 28, 24.0 * 400)
    assert np.all(np.diff(slow) < 0.0)


def test_bacteria_that_only_sour_leave_the_curve_alone():
    sour = replace(LATE, kind="Pediococcus", attenuation=None)
    of = fermentation(plan(portions=(portion("one", later=sour), portion("two"))))

    assert {figure.name for figure in of.figures} == {f.name for f in curve_figures(portion("one"))}
    assert apparent(of, 3000.0)[0] == pytest.approx(apparent(fermentation(), 3000.0)[0], abs=1e-9)


@pytest.mark.parametrize(("way", "sign"), [(shape.STOPS_EARLY, 1.0), (shape.GOES_FURTHER, -1.0)])
def test_a_fermentation_gone_amiss_misses_the_end_expected_of_the_same_draw(way, sign):
    of = fermentation(way=way)
    curve = of.curve(drawn(of))

    assert np.all(sign * (curve.first - curve.expected_first) > 0.0)
    assert np.all(curve.end >= shape.lowest_end(curve.original) - 1e-9)
    assert np.all(curve.end <= curve.original)


def test_a_yeast_well_known_to_the_house_has_a_narrow_end():
    known = pinned(SHED, portion__one__attenuation=0.77, attenuation__limit_shift=0.0)

    spread = {}
    for name, on in (("known", known), ("unknown", SHED)):
        curve = fermentation(on=on).curve(drawn(fermentation(on=on)))
        spread[name] = np.std(curve.end / curve.original)

    assert spread["known"] < 0.5 * spread["unknown"]


# ---- the places


def test_every_portion_can_be_read_while_it_ferments():
    steps = {(place.step, place.quantity) for place in ferment_places(ALE)}

    assert steps == {
        (f"portion.{key} ferment", quantity)
        for key in ("one", "two")
        for quantity in ("gravity", "temperature")
    }
    assert is_of_fermentation(gravity(1.0, 1.02))
    assert is_of_fermentation(warmth(1.0, 19.0))
    assert not is_of_fermentation(replace(gravity(1.0, 1.02), step="portion.one end"))


def test_a_step_one_letter_off_is_refused_with_the_right_one():
    slip = replace(gravity(1.0, 1.02), step="portion.one fermet")

    with pytest.raises(Refused, match=r"perhaps “portion\.one ferment” is meant"):
        observables([slip], ALE, SHED)


def test_the_forecast_of_the_day_does_not_name_what_speaks_of_a_moment():
    named = Model(ALE, SHED).forecast(latents(Model(ALE, SHED)))

    assert not [name for name in named if "ferment." in name]
