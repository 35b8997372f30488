"""The cellar tells where every portion is and what is next, and takes readings without script."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import expect

from gylebook.faces.cellar_words import due_text, early_sentence, wait_sentence
from gylebook.faces.pictures.ferment import ferment_picture
from gylebook.faces.pictures.themes import WEB
from gylebook.tasks.brews import look_at_brew, make_book, start_brew, take_reading
from gylebook.tasks.cellar import cellar_of, write_pitched
from gylebook.tasks.typed import reading_typed
from web.conftest import EXAMPLE, serving

BREW = "Orchard amber, first time"
AT = "/cellar/Orchard%20amber%2C%20first%20time"


FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")


def read(served, step: str, value: str, at: str) -> None:
    outlook = look_at_brew(served.location, BREW).outlook
    take_reading(served.location, BREW, reading_typed(outlook, step, value, None, None, at))


def gravities(served, key: str, *taken: tuple[int, str]) -> None:
    """Gravities of a portion by the day since pitching, which was read in the fermenters."""
    for day, value in taken:
        read(served, f"portion.{key} ferment", value, (FILLED + timedelta(days=day)).isoformat())


@pytest.fixture
def pitched(brewing):
    """The brew with its fermenters filled."""
    read(brewing, "fermenters", "33 L", "2026-03-14T16:00+01:00")
    return brewing


def portion(served, key: str):
    return next(one for one in cellar_of(served.desk.hand, BREW) if one.key == key)


def test_a_brew_whose_pitching_nobody_told_is_asked_for_it_once(brewing, phone):
    phone.goto(f"{brewing.address}/cellar")
    expect(phone.locator("main")).to_contain_text("Nothing tells when Gate amber, Hedge amber, Loft amber")

    phone.get_by_label("Pitched at").fill("2026-03-14T17:00")
    phone.get_by_role("button", name="Write it down").click()

    expect(phone.locator("article h3")).to_have_text(["Gate amber", "Hedge amber", "Loft amber"])
    expect(phone.get_by_label("Pitched at")).to_have_count(0)
    assert portion(brewing, "keg").pitched.startswith("2026-03-14T17:00")


def test_a_brew_whose_day_is_going_on_is_not_asked_yet(tmp_path, phone):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", "2026-03-14T09:00+01:00")
    with serving(location, clock=lambda: FILLED) as served:
        phone.goto(f"{served.address}/cellar")

        expect(phone.locator("main")).to_contain_text("not pitched yet")
        expect(phone.locator("main")).not_to_contain_text("Nothing tells when")
        phone.get_by_text("Pitched already?").click()
        phone.get_by_label("Pitched at").fill("2026-03-14T15:30")
        phone.get_by_role("button", name="Write it down").click()
        expect(phone.locator("article h3")).to_have_count(3)


def test_a_pitching_said_again_takes_the_place_of_the_first(brewing):
    for hour in (16, 19):
        write_pitched(brewing.location, BREW, "keg", f"2026-03-14T{hour}:00+01:00")

    assert portion(brewing, "keg").pitched == "2026-03-14T19:00+01:00"
    assert portion(brewing, "bottles").pitched == ""


def test_every_portion_tells_what_is_next_and_when(pitched):
    steps = {
        key: [(step.key, step.at[:10]) for step in portion(pitched, key).ahead]
        for key in ("keg", "bottles", "long")
    }

    assert steps == {
        "keg": [("keg", "2026-04-07")],
        "bottles": [("bottles", "2026-04-11")],
        "long": [("second organism", "2026-04-04")],
    }


def test_packing_before_gravity_stood_still_is_a_risk(pitched):
    gravities(pitched, "bottles", (20, "1.020"), (26, "1.016"))

    found = portion(pitched, "bottles")
    (step,) = found.ahead

    assert step.early_days > 0.0
    assert found.at_risk
    assert early_sentence(step, "2026-04-10T12:00+02:00").startswith("▲ Not yet safe")
    assert datetime.fromisoformat(found.safe_at) > datetime.fromisoformat(step.at)


def test_a_stuck_beer_is_never_given_a_day_to_be_packed(pitched):
    gravities(pitched, "bottles", (4, "1.034"), (9, "1.031"), (14, "1.031"))

    found = portion(pitched, "bottles")

    assert found.ferment.verdict == "stuck"
    assert found.at_risk
    assert wait_sentence(found, "2026-09-01T12:00+02:00").startswith("▲ Not to be packed")


def test_a_packed_portion_asks_for_nothing_more(pitched, phone):
    gravities(pitched, "keg", (5, "1.016"), (9, "1.012"), (14, "1.012"))
    read(pitched, "portion.keg end", "1.012", "2026-04-07T12:00+02:00")

    assert portion(pitched, "keg").packed_at.startswith("2026-04-07")
    assert portion(pitched, "keg").ahead == ()
    phone.goto(f"{pitched.address}/cellar")
    expect(phone.locator("article").first).to_contain_text("Packed 2026-04-07")


def test_days_are_counted_from_today(pitched):
    (step,) = portion(pitched, "keg").ahead

    assert due_text(step, "2026-04-04T23:59+02:00") == "on 2026-04-07, in 3 days"
    assert due_text(step, "2026-04-07T00:01+02:00") == "today"
    assert due_text(step, "2026-04-08T12:00+02:00") == "was meant for 2026-04-07, 1 day ago"


def test_a_reading_is_taken_without_script_and_moves_the_curve(pitched, chromium):
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{pitched.address}{AT}/keg")

    page.get_by_label("Gravity, or the warmth").fill("1.019")
    page.locator("form.take [name=at]").fill("2026-03-19T18:00")
    page.get_by_role("button", name="Write it down").first.click()

    expect(page.locator("main")).to_contain_text("Read so far")
    (taken,) = portion(pitched, "keg").ferment.taken
    assert taken.sg == pytest.approx(1.019, abs=0.001)
    assert taken.at.startswith("2026-03-19T18:00")
    context.close()


def test_the_same_form_sent_twice_is_one_reading(pitched, phone):
    phone.goto(f"{pitched.address}{AT}/keg")
    form = phone.evaluate("Object.fromEntries(new FormData(document.querySelector('form.take')))")
    form = {**form, "value": "1.019", "at": "2026-03-19T18:00"}
    for _ in range(2):
        answer = phone.request.post(
            f"{pitched.address}{AT}/keg", form=form, headers={"sec-fetch-site": "same-origin"}
        )
        assert answer.ok

    assert len(portion(pitched, "keg").ferment.taken) == 1


def test_the_warmth_of_the_beer_is_taken_in_the_same_place(pitched, phone):
    phone.goto(f"{pitched.address}{AT}/keg")
    phone.get_by_label("Gravity, or the warmth").fill("13 °C")
    phone.locator("form.take [name=at]").fill("2026-03-16T18:00")
    phone.get_by_role("button", name="Write it down").first.click()

    expect(phone.locator("h1")).to_have_text("Gate amber")
    (reading,) = look_at_brew(pitched.location, BREW).outlook.followed
    assert (reading.quantity, reading.value) == ("temperature", 13.0)


def test_what_was_typed_wrongly_is_still_there_with_what_to_do(pitched, phone):
    phone.goto(f"{pitched.address}{AT}/keg")
    phone.get_by_label("Gravity, or the warmth").fill("1019")
    phone.get_by_label("Sample at").fill("21 °C")
    phone.get_by_role("button", name="Write it down").first.click()

    expect(phone.get_by_label("Gravity, or the warmth")).to_have_value("1019")
    expect(phone.get_by_label("Sample at")).to_have_value("21 °C")
    expect(phone.get_by_role("alert")).to_contain_text("1019")
    phone.complaints.clear()  # the browser complains of every 422
    assert look_at_brew(pitched.location, BREW).outlook.followed == ()


def test_the_curve_stands_in_the_page_without_a_style_of_its_own(pitched):
    view = portion(pitched, "keg").ferment

    assert "style=" not in ferment_picture(view, theme=WEB)
    assert "style=" in ferment_picture(view)
    assert "#f7f2e8" not in ferment_picture(view, theme=WEB)


def test_a_portion_is_called_amiss_where_one_thing_is(pitched):
    found = portion(pitched, "keg")

    assert not found.at_risk
    assert replace(found, ferment=replace(found.ferment, verdict="runaway")).at_risk


@pytest.mark.parametrize("path", ["/cellar/none/keg", f"{AT}/none"])
def test_what_is_not_in_the_cellar_is_not_there(pitched, phone, path):
    assert phone.request.get(f"{pitched.address}{path}").status == 404


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_nobody_is_shut_out(pitched, faults, request, size):
    gravities(pitched, "bottles", (4, "1.034"), (9, "1.031"), (14, "1.031"))
    page = request.getfixturevalue(size)
    for path in ("/cellar", f"{AT}/bottles", f"{AT}/long"):
        page.goto(f"{pitched.address}{path}")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_on_a_phone_the_instrument_is_not_cut(pitched, phone):
    phone.goto(f"{pitched.address}{AT}/keg")
    assert phone.get_by_label("Read on").bounding_box()["width"] > 300
