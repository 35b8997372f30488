"""Hold what is told of the liquor to what a brewer could check against the report."""

from __future__ import annotations

import pytest

from example_gyles import aimed, brewery, dose, plan, water, watered
from gylebook.brewery.instruments import Reading
from gylebook.brewery.water import ReportLine, Water
from gylebook.tasks.liquor import liquor_view, report_views
from gylebook.tasks.order_view import amounts_to_weigh, order_view
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.remedy_view import ways_to_the_mash_ph
from gylebook.tasks.run_view import aim_views


def ahead(a_plan, on=None, readings=()):
    return look_ahead(a_plan, on or watered(), readings, draws=1000)


def test_a_gyle_without_a_water_report_has_no_liquor_to_tell_of():
    assert liquor_view(ahead(plan(), brewery())) is None


def test_a_report_is_told_as_it_was_written_with_what_follows_from_it():
    (found,) = report_views(watered(water("tap", 150.0, 70.0)))

    assert found.alkalinity == pytest.approx(150.0, abs=0.1)
    assert found.hardness == pytest.approx(70.0 * 2.497, abs=0.2)  # 2.497 mg/L as CaCO3 for each mg/L
    # Kolbach: 150 less 174.8/3.5 of calcium hardness.
    assert found.residual_alkalinity == pytest.approx(150.0 - 174.8 / 3.5, abs=0.2)
    assert found.verdict == "balanced"
    assert found.balanced_mg_per_l is None


def test_a_report_a_little_out_of_balance_is_shown_as_each_figure_giving_way():
    lines = [
        ReportLine(what="alkalinity", value=150.0, unit="mg/L CaCO3"),
        ReportLine(what="calcium", value=70.0, unit="mg/L"),
        ReportLine(what="sulphate", value=40.0, unit="mg/L"),
    ]
    (found,) = report_views(watered(Water(key="tap", name="tap", report=tuple(lines))))

    assert found.verdict == "cations missing"
    even = found.balanced_mg_per_l
    assert even is not None
    charges = even["calcium"] / 20.039 - even["alkalinity"] / 50.043 - even["sulphate"] / 48.028
    assert charges == pytest.approx(0.0, abs=1e-9)
    assert "ph" in found.inferred


def test_the_mash_ph_is_an_aim_like_any_other():
    outlook = ahead(aimed(5.4))

    (aim,) = [view for view in aim_views(outlook) if view.name == "mash pH"]

    assert aim.forecast.median == pytest.approx(5.4, abs=0.01)
    assert 0.3 < aim.odds < 0.7  # 0.15 of scatter, a tenth either side
    assert outlook.numbers["mash.ph"].median == aim.forecast.median


def test_doses_go_by_their_names_wherever_they_are_weighed():
    treated = aimed(5.4, doses=(dose("gypsum", 4.0), dose("epsom-salt", 1.0, "rinse")))

    names = {amount.what for amount in amounts_to_weigh(order_view(ahead(treated)))}

    assert {"gypsum", "Epsom salt"} <= names


def test_a_ph_reading_is_answered_with_what_it_takes_to_finish():
    low = ahead(aimed(5.35), readings=[Reading(step="mash", quantity="ph", value=5.6, instrument="ph meter")])

    ways = {view.deed: view for _, view in ways_to_the_mash_ph(low)}

    assert ways["finish the mash pH"].odds_mash_ph > ways["leave it"].odds_mash_ph
    assert ways["finish the mash pH"].of == "lactic acid 88 %"


def test_without_a_reading_of_the_mash_nothing_is_said_about_finishing_it():
    assert ways_to_the_mash_ph(ahead(aimed(5.35))) == ()


def test_lactate_is_told_in_milligrams():
    found = liquor_view(ahead(aimed(None, doses=(dose("lactic-88", 28.0),))))

    # 28 mL in 28 L: 1.206 g/mL of 88 %, of which 0.96 acts, 89.07 of 90.08 being the anion.
    assert found is not None
    assert found.lactate_mg_per_l == pytest.approx(1206.0 * 0.88 * 0.96 * 89.07 / 90.08, rel=0.01)


@pytest.mark.parametrize("off", [0.0, 0.1, 0.2])
def test_the_paper_asks_for_what_the_forecast_would_ask_for(off):
    before = ahead(aimed(5.35))
    step = next(s for s in order_view(before).steps if s.key == "finish the mash pH")
    told = min(step.amounts, key=lambda amount: abs(amount.at_ph - step.amounts[1].at_ph - off))

    reading = Reading(step="mash", quantity="ph", value=told.at_ph, instrument="ph meter")
    ways = {view.deed: view for _, view in ways_to_the_mash_ph(ahead(aimed(5.35), readings=[reading]))}

    # The line through the draws against conditioning on the reading: a third of a millilitre is 0.01 pH.
    asked = ways.get("finish the mash pH")
    planned = sum(d.amount for d in before.plan.liquor.doses if d.into == "held back")
    assert 1000.0 * told.amount == pytest.approx(1000.0 * asked.amount if asked else planned, abs=0.35)
