"""Hold the readings that a day asks for first to the doubts of that day."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from command_line import EXAMPLE, PRACTICE
from gylebook.brewery.instruments import Reading
from gylebook.decide.remedies import MET_AT, position
from gylebook.faces import telling
from gylebook.gyle.observe import places
from gylebook.gyle.order import running_order
from gylebook.tasks.files import load_brewery, load_plan
from gylebook.tasks.order_view import order_view
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.worth import readings_worth_taking


@pytest.fixture(scope="module", params=[EXAMPLE, PRACTICE])
def outlook(request):
    return look_ahead(load_plan(request.param / "plan.toml"), load_brewery(request.param / "brewery.toml"))


@pytest.fixture(scope="module")
def tight():
    """A day on which the foam room is an open question and nothing else is."""
    return look_ahead(load_plan(PRACTICE / "plan.toml"), load_brewery(PRACTICE / "brewery.toml"))


def odds(outlook, name: str) -> float:
    return next(limit.odds_kept for limit in outlook.limits if limit.name == name)


def test_the_reading_that_settles_the_open_limit_is_asked_for_first(tight):
    assert 0.2 < odds(tight, "foam room") < 0.8

    first = readings_worth_taking(tight)[0]

    assert (first.step, first.quantity) == ("lift", "mass")
    assert first.settles[0].name == "foam room"
    assert first.settles[0].settled > 0.5
    assert "of the doubt about the foam room" in telling.settled_sentence(first)


def test_the_doubt_is_settled_as_far_as_it_says_when_the_reading_is_taken(tight):
    # Draw what the scale would show, condition on it as on a real reading, and see how far the odds move.
    view = readings_worth_taking(tight)[0]
    rng, before = np.random.default_rng(5), odds(tight, "foam room")
    shown = tight.draws["bag.drained_kg"]
    scale = tight.brewery.instruments["scale"]
    after = []
    for kilograms in rng.choice(shown, 30) + scale.error * rng.standard_normal(30):
        reading = Reading(step="lift", quantity="mass", value=float(kilograms), instrument="scale")
        then = look_ahead(tight.plan, tight.brewery, [reading], draws=1000)
        after.append(odds(then, "foam room"))

    settled = np.mean((np.array(after) - before) ** 2) / (before * (1.0 - before))
    # 30 days know a mean square to a quarter of itself at worst.
    assert settled == pytest.approx(view.settles[0].settled, abs=0.2)


def test_no_reading_is_credited_with_a_limit_already_met_when_it_is_taken(outlook):
    for view in readings_worth_taking(outlook, most=12, least=0.0):
        for one in view.settles:
            if one.settled > 0.0 and one.name in MET_AT:
                assert position(view.step) < position(MET_AT[one.name])


def test_the_few_that_pay_are_marked_and_nothing_asked_for_is_dropped(outlook):
    pay = {(view.step, view.quantity) for view in readings_worth_taking(outlook)}
    plain = running_order(outlook.plan, outlook.brewery, outlook.figures, outlook.course)
    asked = [(r.step, r.quantity) for step in order_view(outlook).steps for r in step.reading]
    marked = {(r.step, r.quantity) for step in order_view(outlook).steps for r in step.reading if r.pays}

    assert marked == pay
    assert 1 <= len(pay) <= 3
    known = {(place.step, place.quantity) for place in places(outlook.plan, outlook.brewery)}
    assert set(asked) == {where for step in plain for where in step.read if where in known} | pay


def test_what_pays_and_is_not_asked_for_is_asked_beside_what_is_read_there(tight, monkeypatch):
    level = replace(readings_worth_taking(tight)[0], step="mash", quantity="volume")
    monkeypatch.setattr("gylebook.tasks.order_view.readings_worth_taking", lambda _: (level,))

    steps = order_view(tight).steps

    (where,) = [step for step in steps if any(r.pays for r in step.reading)]
    assert [(r.step, r.quantity) for r in where.reading if r.pays] == [("mash", "volume")]
    assert any(r.quantity == "gravity" for r in where.reading)


def test_the_mark_is_said_and_printed(tight):
    from gylebook.faces.sheets.day import page_data
    from gylebook.tasks.sheet import sheet_view

    asked = next(r for step in order_view(tight).steps for r in step.reading if r.pays)
    page = page_data(sheet_view(tight))

    assert telling.asked_sentence(asked).endswith(f" {telling.PAYS}.")
    assert not telling.asked_sentence(replace(asked, pays=False)).endswith(f" {telling.PAYS}.")
    marked = [r for step in page["steps"] for r in step["readings"] if r["pays"]]
    assert len(marked) == len(readings_worth_taking(tight))
