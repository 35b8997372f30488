"""A portion is packed from its page: refused in a sentence, packed against it only with a typed reason."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from playwright.sync_api import expect

from gylebook.tasks.brews import look_at_brew, take_reading
from gylebook.tasks.typed import reading_typed
from web.conftest import BREW, looking

FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")
HOME = "/cellar/Orchard%20amber%2C%20first%20time/bottles"


@pytest.fixture
def finished(brewing):
    """The brew with a portion whose gravity stood still."""
    taken = [("fermenters", "33 L", 0)]
    taken += [("portion.bottles ferment", v, d) for v, d in (("1.016", 5), ("1.012", 9), ("1.012", 20))]
    for step, value, day in taken:
        outlook = look_at_brew(brewing.location, BREW).outlook
        at = (FILLED + timedelta(days=day)).isoformat()
        take_reading(brewing.location, BREW, reading_typed(outlook, step, value, None, None, at))
    return brewing


def written(served):
    return [event for event in look_at_brew(served.location, BREW).events if event.kind == "packed"]


def test_a_portion_is_packed_without_script_and_its_papers_are_printed(finished, chromium, faults):
    with looking(chromium, {"width": 390, "height": 844}, java_script_enabled=False) as page:
        page.goto(finished.address + HOME)
        page.get_by_role("link", name="Into bottles and kegs").click()
        page.get_by_label("Volumes of CO₂").fill("2.0")
        page.get_by_label("The warmest the bottles will ever stand at").fill("18 °C")
        page.get_by_role("button", name="Work it out", exact=True).click()

        expect(page.locator(".sugar")).to_contain_text("g of table sugar")
        expect(page.locator("main")).to_contain_text("Pressure in glass injures")
        link = page.get_by_role("link", name="The sheet, to print").get_attribute("href")
        sheet = page.request.get(finished.address + link)
        assert sheet.body().startswith(b"%PDF")
        assert written(finished) == []

        page.get_by_label("Packed at").fill("2026-04-11T12:00")
        page.get_by_role("button", name="Write down that it is packed").click()

        expect(page.locator("main")).to_contain_text("Packed 2026-04-11.")
        labels = page.get_by_role("link", name="Card and labels, to print").get_attribute("href")
        assert page.request.get(finished.address + labels).body().startswith(b"%PDF")
    (event,) = written(finished)
    assert event.body["co2_volumes"] == 2.0


def test_a_refusal_gives_no_sugar_until_a_reason_is_typed(finished, phone):
    phone.goto(f"{finished.address}{HOME}/pack?count.0=all&kind.0=thin-bottle&volumes=3.2&store=25+°C")

    expect(phone.locator(".state")).to_contain_text("▲ No priming sheet: the odds that a bottle passes")
    expect(phone.locator(".instead")).to_contain_text("Stronger bottles")
    expect(phone.locator("main")).not_to_contain_text("g of table sugar")
    expect(phone.get_by_role("button", name="Write down that it is packed")).to_have_count(0)
    sheet = phone.request.get(phone.url.replace("/pack?", "/priming.pdf?"))
    assert sheet.status == 422
    assert "Less sugar" in sheet.text()

    phone.get_by_label("Why it is packed all the same").fill("why not")
    phone.get_by_role("button", name="Work it out with this reason").click()
    expect(phone.locator(".state")).to_contain_text("▲ No priming sheet")

    phone.get_by_label("Why it is packed all the same").fill("drunk cold within the week")
    phone.get_by_role("button", name="Work it out with this reason").click()
    expect(phone.locator(".state")).to_contain_text("▲ Against the odds")
    phone.get_by_role("button", name="Write down that it is packed").click()

    phone.wait_for_url(f"**{HOME}")
    (event,) = written(finished)
    assert event.reason == "drunk cold within the week"


def test_no_other_page_of_the_cellar_tells_sugar_without_its_odds(finished, phone):
    for page in (HOME, "/cellar"):
        phone.goto(finished.address + page)
        expect(phone.locator("main")).to_contain_text("Hedge amber")
        expect(phone.locator("main")).not_to_contain_text("g sucrose")


def test_a_form_sent_past_the_page_is_refused_too(finished, phone):
    phone.goto(finished.address + HOME)
    answer = phone.request.post(
        f"{finished.address}{HOME}/pack",
        form={"count.0": "all", "kind.0": "thin-bottle", "volumes": "3.2", "store": "25 °C"},
        headers={"origin": finished.address},
    )

    assert answer.status == 422
    assert "10 letters or more why it was packed" in answer.text()
    assert written(finished) == []


def test_what_was_typed_stays_and_is_answered_beside_its_field(finished, phone):
    phone.goto(f"{finished.address}{HOME}/pack")
    phone.get_by_label("Number", exact=True).fill("a few")
    phone.get_by_label("The scale shows steps of").fill("fine")
    phone.evaluate("document.querySelector('#pack').setAttribute('novalidate', '')")
    phone.get_by_role("button", name="Work it out", exact=True).click()

    expect(phone.get_by_label("Number", exact=True)).to_have_value("a few")
    expect(phone.get_by_label("The scale shows steps of")).to_have_attribute("aria-invalid", "true")
    expect(phone.locator("#wrong-bottles")).to_contain_text("write a number or “all”", ignore_case=True)
    phone.complaints.clear()  # the browser calls the 422 an error


@pytest.mark.parametrize(
    "query",
    [
        "",
        "?count.0=all&kind.0=beer-bottle&volumes=2&store=18+°C&kegs=3+L",
        "?count.0=x&kegs=2",
        "?count.0=9999",
    ],
)
def test_every_state_of_the_page_is_without_fault(finished, phone, faults, query):
    phone.goto(f"{finished.address}{HOME}/pack{query}")

    assert faults(phone) == []
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
    phone.complaints.clear()


def test_beer_that_nobody_read_is_sent_to_its_reading(brewing, phone):
    phone.goto(f"{brewing.address}{HOME}/pack")

    expect(phone.get_by_role("alert")).to_contain_text("Say first when the yeast went in")
    assert phone.request.get(f"{brewing.address}{HOME}x/pack").status == 404
