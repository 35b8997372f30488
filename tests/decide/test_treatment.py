"""Hold the doses that are found to what the forecast makes of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from example_gyles import aimed, dose, grain, latents, plan, water, watered
from gylebook.brewery.instruments import Reading
from gylebook.brewery.plan import Liquor
from gylebook.brewery.water import IonAim, ReportLine, Water
from gylebook.decide.remedies import remedies
from gylebook.decide.solve import solve
from gylebook.decide.souring import odds_landed
from gylebook.decide.treatment import with_doses
from gylebook.errors import Refused
from gylebook.figures.draws import odds, summarise
from gylebook.gyle.forecast import Model
from gylebook.gyle.liquor import mash_phs, run_liquor
from gylebook.matter.ions import MOLAR_MASS
from gylebook.tasks.outlook import look_ahead

FOR_A_PALE = (
    IonAim(ion="calcium", mg_per_l=100.0),
    IonAim(ion="sulphate", mg_per_l=150.0),
    IonAim(ion="chloride", mg_per_l=60.0),
)


def dosed(a_plan, on, draws=2000):
    model = Model(a_plan, on)
    return with_doses(a_plan, on, latents(model, draws))


def ph_of(a_plan, on, draws=2000):
    model = Model(a_plan, on)
    return np.asarray(mash_phs(a_plan, on, model.draw(latents(model, draws)))[0])


def of(a_plan, into):
    return {d.of: d.amount for d in a_plan.liquor.doses if d.into == into}


@pytest.mark.parametrize("alkalinity", [40.0, 150.0, 300.0])
@pytest.mark.parametrize("acid", ["lactic-88", "phosphoric-10", "hydrochloric-10", "citric-50"])
def test_the_acid_found_brings_the_middle_of_the_mash_to_its_aim(alkalinity, acid):
    on = watered(water("tap", alkalinity, 0.4 * alkalinity))

    found = dosed(aimed(5.35, acid=acid), on)

    # Doses are rounded to 0.1 mL: half of that is 0.6 mEq at most, on 280 mEq a pH.
    assert np.median(ph_of(found, on)) == pytest.approx(5.35, abs=0.005)


def test_a_quarter_of_the_acid_waits_for_the_reading():
    found = dosed(aimed(5.3), watered(water("tap", 150.0)))

    first, later = of(found, "mash")["lactic-88"], of(found, "held back")["lactic-88"]
    assert later / (first + later) == pytest.approx(0.25, abs=0.02)


def test_a_drop_of_acid_goes_in_at_once():
    on = watered(water("tap", 60.0))
    where = float(np.median(ph_of(plan(), on)))

    found = dosed(aimed(round(where - 0.02, 3)), on)

    assert of(found, "mash")
    assert not of(found, "held back")


def test_a_dark_grist_in_soft_water_gets_alkali_instead():
    dark = plan(grist=(grain("pale", 5.0), grain("black", 1.2, kind="roast", sours_as="roasted")))
    on = watered(water("tap", 15.0, 10.0))

    found = dosed(aimed(5.6, dark), on)

    assert set(of(found, "mash")) == {"baking-soda"}
    assert np.median(ph_of(found, on)) == pytest.approx(5.6, abs=0.01)  # soda is weighed to 0.1 g


def test_lime_raises_it_too_and_without_alkali_the_mash_stays_as_sour_as_it_is():
    dark = plan(grist=(grain("pale", 5.0), grain("black", 1.2, kind="roast", sours_as="roasted")))
    on = watered(water("tap", 15.0, 10.0))

    limed, left = dosed(aimed(5.6, dark, alkali="slaked-lime"), on), dosed(aimed(5.6, dark, alkali=""), on)

    assert set(of(limed, "mash")) == {"slaked-lime"}
    assert np.median(ph_of(limed, on)) == pytest.approx(5.6, abs=0.015)
    assert not of(left, "mash")


def test_salts_bring_mash_and_rinse_liquor_to_the_ions_wanted():
    on = watered(water("tap", 60.0, 30.0))

    found = dosed(aimed(None, ions=FOR_A_PALE), on)
    model = Model(found, on)
    liquor = run_liquor(found, on, model.draw(latents(model)))

    for solution in (liquor.mash.solution, liquor.rinse.solution):
        for aim in FOR_A_PALE:
            got = float(np.median(getattr(solution, aim.ion))) * MOLAR_MASS[aim.ion]
            # Three ions and as many salts, each to 0.1 g: some mg/L, and sodium comes with chloride.
            assert got == pytest.approx(aim.mg_per_l, abs=15.0)


def test_the_rinse_may_want_other_ions_than_the_mash():
    on = watered(water("tap", 60.0, 30.0))
    less = (IonAim(ion="calcium", mg_per_l=50.0),)

    found = dosed(aimed(None, ions=FOR_A_PALE, rinse_ions=less), on)

    per_l = {into: sum(of(found, into).values()) / n for into, n in (("mash", 28.0), ("rinse", 12.0))}
    assert per_l["rinse"] < 0.6 * per_l["mash"]


def test_a_bound_is_kept_even_where_another_ion_then_falls_short():
    on = watered(water("tap", 60.0, 30.0))
    bound = (replace(FOR_A_PALE[1], most=80.0, mg_per_l=80.0), FOR_A_PALE[0])

    found = dosed(aimed(None, ions=bound, salts=("gypsum",)), on)
    model = Model(found, on)
    liquor = run_liquor(found, on, model.draw(latents(model)))

    assert float(np.median(liquor.mash.solution.sulphate)) * 96.056 <= 80.0 + 2.0  # gypsum to 0.1 g in 28 L


def test_hard_water_is_diluted_until_its_alkalinity_is_what_was_wanted():
    membrane = Water(key="membrane", name="membrane", membrane_of="tap", passed=0.04)
    on = watered(water("tap", 230.0, 100.0), membrane)
    wanted = (IonAim(ion="alkalinity", mg_per_l=60.0),)

    found = dosed(aimed(None, ions=wanted, diluted_with="membrane"), on)

    # (230 - 60)/(230 - 9.2), a balance of the two waters; whole per cents can be measured out.
    assert dict(found.liquor.waters)["membrane"] == pytest.approx(170.0 / 220.8, abs=0.006)
    assert sum(share for _, share in found.liquor.waters) == pytest.approx(1.0)
    assert found.liquor.diluted_with is None
    assert dosed(found, on) == found


def test_water_soft_enough_is_left_as_it_is():
    membrane = Water(key="membrane", name="membrane", membrane_of="tap")
    on = watered(water("tap", 40.0, 20.0), membrane)

    found = dosed(aimed(None, ions=(IonAim(ion="alkalinity", mg_per_l=60.0),), diluted_with="membrane"), on)

    assert dict(found.liquor.waters) == {"tap": 1.0, "membrane": 0.0}


def test_rinse_liquor_keeps_no_more_alkalinity_than_wanted():
    on = watered(water("tap", 230.0, 100.0))

    found = dosed(aimed(5.4), on)
    model = Model(found, on)
    liquor = run_liquor(found, on, model.draw(latents(model, 2000)))

    # The usual aim: 25 mg/L as CaCO3, 0.5 mEq/L, left in hard chalk water at pH 5.4 to 5.5.
    assert float(np.median(np.asarray(liquor.rinse.left))) == pytest.approx(0.5, abs=0.06)
    assert 5.3 < float(np.median(np.asarray(liquor.rinse.ph))) < 5.6


def test_what_the_brewer_dosed_stays_as_it_is():
    own = (dose("lactic-88", 3.0), dose("gypsum", 2.0))

    found = dosed(aimed(5.3, ions=FOR_A_PALE, doses=own), watered())

    assert of(found, "mash") == {"lactic-88": 3.0, "gypsum": 2.0}


def test_acid_of_the_brewers_own_is_left_alone_though_it_is_held_back():
    own = (dose("lactic-88", 4.0, "held back"),)

    assert dosed(aimed(5.3, doses=own), watered()).liquor.doses[:1] == own
    assert not of(dosed(aimed(5.3, doses=own), watered()), "mash")


def test_an_acid_that_brings_chloride_leaves_room_for_it():
    on = watered(water("tap", 40.0, 20.0))
    wanted = (IonAim(ion="chloride", mg_per_l=100.0, most=130.0), IonAim(ion="calcium", mg_per_l=110.0))

    found = dosed(aimed(5.35, ions=wanted, acid="hydrochloric-10", salts=("gypsum", "calcium-chloride")), on)
    model = Model(found, on)
    liquor = run_liquor(found, on, model.draw(latents(model)))

    # 30 mg/L as drawn and some 70 with the acid; salts that did not know of it would bring it to 165.
    assert float(np.median(liquor.mash.solution.chloride)) * 35.45 < 130.0 + 3.0


def test_a_plan_without_wishes_or_without_water_is_not_dosed():
    from example_gyles import brewery

    assert dosed(plan(), watered()) == plan()
    model = Model(aimed(5.4), brewery())
    assert with_doses(aimed(5.4), brewery(), latents(model)) == aimed(5.4)


def test_doses_are_as_fine_as_the_scale_and_no_finer():
    on = replace(watered(), weighs_to_g=1.0, measures_to_ml=0.5)

    found = dosed(aimed(5.3, ions=FOR_A_PALE), on)

    for d in found.liquor.doses:
        steps = d.amount / (0.5 if d.kind == "acid" else 1.0)
        assert steps == pytest.approx(round(steps), abs=1e-9)


def test_doses_that_were_found_are_found_again_from_the_solved_plan():
    on = watered()
    once = dosed(aimed(5.35, ions=FOR_A_PALE), on)

    assert dosed(once, on) == once


def test_grain_and_liquor_are_solved_before_the_doses_that_depend_on_them():
    base = plan(grist=(replace(grain("pale", None), share=1.0),), liquor=Liquor())
    base = replace(base, aims=replace(base.aims, volume_l=25.0, plato=12.0, mash_ph=5.35))
    on = watered(water("tap", 150.0))
    model = Model(base, on)

    found = solve(base, on, latents(model, 1000))

    assert found.liquor.doses
    assert np.median(ph_of(found, on, 1000)) == pytest.approx(5.35, abs=0.01)


def test_an_impossible_report_is_refused_with_every_fault_at_once():
    lines = (
        ReportLine(what="ph", value=17.0),
        ReportLine(what="calcium", value=-4.0, unit="mg/L"),
        ReportLine(what="hardness", value=2.0, unit="mg/L"),
    )
    on = watered(Water(key="bad", name="bad", report=lines))

    with pytest.raises(Refused) as refused:
        look_ahead(aimed(5.4), on)

    said = str(refused.value)
    assert "17" in said
    assert "-4" in said
    assert "hardness" in said


def after_reading(value):
    a_plan, on = aimed(5.35, plan()), watered(water("tap", 150.0))
    reading = Reading(step="mash", quantity="ph", value=value, instrument="ph meter")
    return look_ahead(a_plan, on, [reading], draws=2000)


def test_a_reading_narrows_the_mash_and_the_rest_of_the_acid_finishes_it():
    before, after = look_ahead(aimed(5.35), watered(water("tap", 150.0)), draws=2000), after_reading(5.62)
    found = remedies(after.plan, after.brewery, after.latents, after.targets, "mash")

    finish = next(remedy for remedy in found if remedy.deed == "finish the mash pH")
    leave = next(remedy for remedy in found if remedy.deed == "leave it")
    ph = np.asarray(
        mash_phs(finish.plan, after.brewery, Model(finish.plan, after.brewery).draw(after.latents))[0]
    )

    # What may be claimed: 0.15 before own readings and 0.07 after.
    assert summarise(before.draws["mash.ph"]).sd == pytest.approx(0.15, abs=0.02)
    assert summarise(after.draws["mash.ph"]).sd < 0.075
    assert np.median(ph) == pytest.approx(5.35, abs=0.01)
    assert finish.loss < leave.loss
    assert odds_landed(finish.plan, ph) > 0.8 > odds_landed(after.plan, after.draws["mash.ph"])
    assert finish.dimension == "dose volume"


def test_a_mash_more_sour_than_thought_is_finished_with_less_acid_or_none():
    after = after_reading(5.2)
    found = remedies(after.plan, after.brewery, after.latents, after.targets, "mash")

    finish = next(remedy for remedy in found if remedy.deed == "finish the mash pH")

    held = sum(of(after.plan, "held back").values())
    assert "lactic-88" not in of(finish.plan, "held back") or of(finish.plan, "held back")["lactic-88"] < held


def test_once_the_bag_is_out_nothing_moves_the_mash_ph():
    after = after_reading(5.62)

    found = remedies(after.plan, after.brewery, after.latents, after.targets, "lift")

    assert "finish the mash pH" not in {remedy.deed for remedy in found}


def test_landing_is_a_share_of_draws_within_a_tenth():
    found = dosed(aimed(5.35), watered())
    ph = ph_of(found, watered())

    assert odds_landed(found, ph) == odds((ph >= 5.25) & (ph <= 5.45))
    assert odds_landed(plan(), ph) is None
