"""Hold the liquor of a whole gyle to published figures and to what every brewer can check."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import aimed, brewed, brewery, dose, grain, latents, middling, plan, water, watered
from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Liquor
from gylebook.brewery.site import HouseFigure
from gylebook.brewery.water import ReportLine, Water
from gylebook.errors import Refused
from gylebook.gyle.dosing import hold_doses, hold_sourness
from gylebook.gyle.forecast import Model
from gylebook.gyle.house import figures_of, unknown_house_figures
from gylebook.gyle.liquor import drawn, mash_phs, run_liquor
from gylebook.gyle.observe import observables

SOFT, HARD = water("soft", 25.0, 15.0), water("hard", 230.0, 100.0)


def middle_of(a_plan, on):
    """pH of the mash with every figure at its level, all doses in."""
    model = Model(a_plan, on)
    whole, _ = mash_phs(a_plan, on, model.draw(middling(model)))
    return float(np.asarray(whole)[0])


def liquor_of(a_plan, on):
    model = Model(a_plan, on)
    return run_liquor(a_plan, on, model.draw(middling(model)))


@pytest.mark.parametrize(
    ("alkalinity", "calcium"), [(20.0, 10.0), (60.0, 30.0), (120.0, 55.0), (180.0, 80.0)]
)
def test_a_big_pale_mash_with_gypsum_and_lactic_acid_lands_where_mashes_should(alkalinity, calcium):
    # Common practice, no source: about 41 L of liquor on 10.7 kg of pale grist with 8 g of gypsum and 10 mL
    # of lactic acid, 88 %, is a usual treatment; a cooled mash stands well from 5.2 to 5.6.
    big = plan(
        "full volume",
        grist=(grain("pale", 10.0), grain("amber", 0.7, kind="caramel", colour_ebc=50.0, sours_as="caramel")),
        liquor=Liquor(mash_l=41.0, doses=(dose("gypsum", 8.0), dose("lactic-88", 10.0))),
    )

    found = middle_of(big, watered(water("tap", alkalinity, calcium)))

    assert 5.15 < found < 5.6


def test_a_tenth_of_a_ph_takes_a_third_of_a_millilitre_for_each_kilogram():
    # Common practice: 0.1 pH takes 0.35 mL of lactic acid, 88 %, for a kilogram of grist,
    # and the carbonate part on top, which water without carbonate does not have.
    bare = Water(
        key="bare", name="bare", report=(ReportLine(what="alkalinity", value=0.0, unit="mg/L CaCO3"),)
    )
    on = watered(bare)
    grist = (grain("pale", 6.0),)
    none = plan(grist=grist)
    some = replace(none, liquor=replace(none.liquor, doses=(dose("lactic-88", 6.0 * 0.35 / 0.96),)))

    fall = middle_of(none, on) - middle_of(some, on)

    # 40 mEq/(kg pH) of 40 ± 8, and lactic acid gives 0.97 of its protons there.
    assert fall == pytest.approx(0.1, abs=0.005)


def test_before_any_reading_a_mash_is_known_to_fifteen_hundredths():
    a_plan, on = plan(), watered()
    model = Model(a_plan, on)

    whole, _ = mash_phs(a_plan, on, model.draw(latents(model, 4000)))

    # What may be claimed: 0.15 before own readings, no better; this mash has two malts and middling water.
    assert np.std(np.asarray(whole)) == pytest.approx(0.15, abs=0.015)


def test_harder_water_makes_a_less_sour_mash_and_acid_a_more_sour_one():
    base = plan()
    sour = replace(base, liquor=replace(base.liquor, doses=(dose("lactic-88", 6.0),)))

    assert middle_of(base, watered(HARD)) > middle_of(base, watered(SOFT)) + 0.1
    assert middle_of(sour, watered(HARD)) < middle_of(base, watered(HARD)) - 0.1


def test_what_is_held_back_counts_for_the_finished_mash_alone():
    base = plan()
    held = replace(
        base, liquor=replace(base.liquor, doses=(dose("lactic-88", 4.0), dose("lactic-88", 2.0, "held back")))
    )
    at_once = replace(base, liquor=replace(base.liquor, doses=(dose("lactic-88", 6.0),)))
    first_part = replace(base, liquor=replace(base.liquor, doses=(dose("lactic-88", 4.0),)))
    on = watered()

    found = liquor_of(held, on)

    assert float(np.asarray(found.mash_ph)[0]) == pytest.approx(middle_of(at_once, on), abs=1e-9)
    assert float(np.asarray(found.first_ph)[0]) == pytest.approx(middle_of(first_part, on), abs=1e-9)


def test_waters_meet_by_volume_and_a_membrane_lets_a_little_pass():
    membrane = Water(key="membrane", name="membrane", membrane_of="hard", passed=0.05)
    on = watered(HARD, membrane)
    half = plan(liquor=Liquor(mash_l=28.0, rinse_l=12.0, waters=(("hard", 0.5), ("membrane", 0.5))))
    model = Model(half, on)

    mixed = drawn(half, on, model.draw(middling(model)))

    assert float(np.asarray(mixed.calcium)[0]) == pytest.approx(0.525 * 100.0 / 40.078, rel=1e-9)


def test_taking_chlorine_out_costs_alkalinity_and_leaves_sulphate_and_chloride():
    # Stoichiometry: 1.355 mg of sulphate, 0.71 mg of alkalinity as CaCO3, for each mg of chloramine.
    clean, chlorinated = watered(), watered(water(chlorine_mg_per_l=2.0))
    model, other = Model(plan(), clean), Model(plan(), chlorinated)

    before = drawn(plan(), clean, model.draw(middling(model)))
    after = drawn(plan(), chlorinated, other.draw(middling(other)))

    sulphate = float(np.asarray(after.sulphate - before.sulphate)[0]) * 96.056
    alkalinity = float(np.asarray(before.alkalinity - after.alkalinity)[0]) * 50.043
    assert sulphate == pytest.approx(2.0 * 1.355, abs=0.01)
    assert alkalinity == pytest.approx(2.0 * 0.71, abs=0.01)


def test_nothing_of_the_hot_side_depends_on_the_water():
    full = plan("full volume")
    dry, _ = brewed(full, brewery())
    wet, _ = brewed(full, watered())

    # The water's figures stand behind those of mash and boil, so every draw of these is the same.
    np.testing.assert_array_equal(dry.kettle.full.volume_l, wet.kettle.full.volume_l)


def test_a_solver_may_dose_what_it_likes_without_making_a_new_figure():
    base = aimed(5.4)
    dosed = replace(
        base, liquor=replace(base.liquor, doses=(dose("lactic-88", 5.0), dose("calcium-chloride", 4.0)))
    )
    on = watered()

    assert figures_of(base, on) == figures_of(dosed, on)


def test_a_measured_malt_is_known_better_than_its_kind():
    known = replace(plan(), grist=(grain("pale", 6.0, distilled_ph=5.72),))

    by_kind = {f.name: f for f in figures_of(plan(), watered())}["grist.pale.distilled_ph"]
    measured = {f.name: f for f in figures_of(known, watered())}["grist.pale.distilled_ph"]

    assert measured.level == 5.72
    assert measured.scatter < 0.5 * by_kind.scatter


def test_a_house_may_have_its_own_figures_of_water_and_malt():
    own = HouseFigure(level=5.7, scatter=0.03)
    on = replace(
        watered(), house={"grist.pale.distilled_ph": own, "water.other.strength": own, "mash.Ph": own}
    )

    assert unknown_house_figures(plan(), on) == ("mash.Ph",)


@pytest.mark.parametrize(
    ("meter", "value"),
    [
        # 5.45 cooled; hot it is more acid by 0.0065 a kelvin, 0.29 at 65 °C ("corrected"); a meter that does
        # not know its sample is hot reads that further from 7 by (338.15/298.15): `process.ph_meter`.
        ("cooled", 5.45),
        ("hot, corrected", 5.45 - 0.0065 * 45.0),
        ("hot, uncorrected", 7.0 + (5.45 - 0.0065 * 45.0 - 7.0) * 338.15 / 298.15),
    ],
)
def test_a_hot_reading_is_compared_as_the_meter_shows_it(meter, value):
    a_plan, on = plan(), watered()
    reading = Reading(
        step="mash",
        quantity="ph",
        value=value,
        instrument="ph meter",
        temperature_c=20.0 if meter == "cooled" else 65.0,
        meter=meter,
    )
    seen = observables([reading], a_plan, on)
    model = Model(a_plan, on, seen)

    shown = model.readings_forecast(middling(model))[seen[0].name]

    expected = middle_of(a_plan, on)
    assert float(shown[0]) - value == pytest.approx(
        (expected - 5.45) * (338.15 / 298.15 if meter == "hot, uncorrected" else 1.0), abs=1e-9
    )


@pytest.mark.parametrize(
    ("doses", "match"),
    [
        ((dose("sulphuric-96", 400.0),), r"dose 1.*sulphuric acid 96 %.*mEq for each litre"),
        ((dose("gypsum", 200.0),), r"dose 1.*gypsum.*no more than 2\.2 g/L"),
        ((dose("lactic-88", 60.0),), r"mash pH.*below 4\.5"),
        ((dose("lactic-88", -3.0),), r"dose 1"),
    ],
)
def test_a_dose_nobody_can_mean_is_refused_as_it_was_understood(doses, match):
    base, on = plan(), watered()
    absurd = replace(base, liquor=replace(base.liquor, doses=doses))
    model = Model(absurd, on)

    def held():
        hold_doses(absurd)
        hold_sourness(absurd, on, model.draw(middling(model)))

    with pytest.raises(Refused, match=match):
        held()


def test_a_dose_for_a_rinse_that_is_none_is_refused():
    base = plan("full volume")
    lost = replace(base, liquor=replace(base.liquor, doses=(dose("gypsum", 2.0, "rinse"),)))

    with pytest.raises(Refused, match="a rinse that has no liquor"):
        hold_doses(lost)


def test_every_absurd_dose_is_told_at_once():
    base = plan()
    both = replace(
        base, liquor=replace(base.liquor, doses=(dose("gypsum", 200.0), dose("lactic-88", 900.0, "rinse")))
    )

    with pytest.raises(Refused, match=r"(?s)dose 1, .*dose 2, "):
        hold_doses(both)


def test_water_without_a_report_leaves_the_old_figure_of_the_mash_ph():
    names = [figure.name for figure in figures_of(plan(), brewery())]

    assert "mash.ph" in names
    assert "mash.ph_shift" not in names
