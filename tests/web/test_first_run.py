"""From an empty book to a forecast, on a phone and without script."""

from __future__ import annotations

import re

import pytest

from gylebook.exchange.brewery_file import read_brewery
from gylebook.exchange.plan_file import read_plan
from gylebook.record.store import open_book
from gylebook.tasks.outlook import look_ahead

GO = "Show what comes of it"


def kept(served):
    with open_book(served.location) as book:
        plan = read_plan(book.plans()[-1].text, where="plan")
        return plan, read_brewery(book.breweries()[-1].text, where="brewery")


def submit(page):
    """Send the form; the browser's own line about a page that says no (or is not there yet) is no fault."""
    page.get_by_role("button", name=GO).click()
    page.wait_for_timeout(150)
    page.complaints.clear()


def test_an_empty_book_leads_to_a_forecast_in_one_page(empty_book, phone, faults):
    phone.goto(empty_book.address)
    assert phone.url.endswith("/start")
    assert faults(phone) == []

    phone.get_by_role("button", name="A kettle, a bag, and a second pot").click()
    phone.get_by_label("Kettle, to the brim").fill("45 L")
    phone.get_by_label("stout").check()
    phone.get_by_label("What the beer is called").fill("Coal Hole / Nº 1")
    submit(phone)

    assert "/gyle/Coal%20Hole%20%2F%20N" in phone.url
    plan, brewery = kept(empty_book)
    assert (plan.name, brewery.rinse, brewery.vessels["kettle"].capacity_l) == (
        "Coal Hole / Nº 1",
        "second",
        45.0,
    )
    assert look_ahead(plan, brewery, draws=400).limits_kept


def test_it_works_without_script(empty_book, chromium):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{empty_book.address}/start?shape=extract")
    page.get_by_role("button", name=GO).click()

    assert "/gyle/First%20pale%20ale" in page.url
    context.close()
    assert kept(empty_book)[0].process.kind == "extract only"


def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(empty_book, phone, faults):
    phone.goto(f"{empty_book.address}/start?shape=tun")
    phone.get_by_label("Kettle, to the brim").fill("fifty")
    phone.get_by_text("The rest of it").click()
    phone.get_by_label("Water from the tap").fill("12")
    phone.get_by_label("What the beer is called").fill("Still <here>")
    submit(phone)

    kettle = phone.get_by_label("Kettle, to the brim")
    assert kettle.input_value() == "fifty"
    assert kettle.get_attribute("aria-invalid") == "true"
    assert "“fifty” is not a number with a unit" in phone.locator("#p-kettle").inner_text()
    assert phone.get_by_label("Water from the tap").is_visible()  # its part of the page is open again
    assert "“12”" in phone.locator("#p-tap").inner_text()
    assert phone.get_by_label("What the beer is called").input_value() == "Still <here>"
    assert phone.get_by_role("button", name="A kettle and a tun").get_attribute("aria-current") == "true"
    assert faults(phone) == []


def test_who_reads_gallons_is_offered_gallons(empty_book, desktop, faults):
    desktop.goto(f"{empty_book.address}/start")
    desktop.get_by_label("Numbers in").select_option("us")
    desktop.get_by_role("button", name="Show so").click()

    assert desktop.get_by_label("Kettle, to the brim").input_value() == "11 gal"
    submit(desktop)
    assert kept(empty_book)[0].aims.volume_l == pytest.approx(18.93, abs=0.01)  # 5 US gallons
    desktop.goto(f"{empty_book.address}/start")
    assert faults(desktop) == []


def test_an_unknown_shape_and_a_beer_that_cannot_be_made_are_said(empty_book, phone):
    phone.goto(f"{empty_book.address}/start?shape=cauldron")
    assert phone.get_by_role("button", name="One kettle and a bag").get_attribute("aria-current") == "true"

    phone.get_by_role("button", name="A kettle and a tun").click()
    phone.get_by_label("Gravity before the yeast").fill("30 °P")
    submit(phone)

    assert "The strongest wort at this volume" in phone.get_by_role("alert").inner_text()
    assert phone.get_by_label("Gravity before the yeast").input_value() == "30 °P"


def test_another_shape_changes_only_what_the_brewer_had_not(empty_book, chromium):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{empty_book.address}/start")
    page.get_by_label("Kettle, to the brim").fill("45 L")
    page.get_by_label("What the beer is called").fill("Kept so")
    page.get_by_label("stout").check()
    page.get_by_text("The rest of it").click()
    page.get_by_label("The bag, dry").fill("0.4 kg")

    page.get_by_role("button", name="A kettle and a tun").click()
    assert page.get_by_label("Kettle, to the brim").input_value() == "45 L"
    assert page.get_by_label("What the beer is called").input_value() == "Kept so"
    assert page.get_by_label("stout").is_checked()
    assert page.get_by_label("Into the fermenters").input_value() == "23 L"  # usual for a tun
    assert page.url.endswith("#on")

    page.get_by_role("button", name="One kettle and a bag").click()
    assert page.get_by_label("The bag, dry").input_value() == "0.4 kg"  # though a tun has none
    assert page.get_by_label("Into the fermenters").input_value() == "20 L"
    context.close()


def test_units_are_chosen_at_the_top_and_nothing_typed_is_lost(empty_book, phone):
    phone.goto(f"{empty_book.address}/start?shape=tun")
    phone.get_by_label("What the beer is called").fill("Kept so")
    phone.get_by_label("Kettle, to the brim").fill("45 L")
    assert phone.get_by_label("Numbers in").bounding_box()["y"] < 844  # seen before anything is typed
    phone.get_by_label("Numbers in").select_option("us")
    phone.get_by_role("button", name="Show so").click()

    assert phone.get_by_label("Into the fermenters").input_value() == "6 gal"
    assert phone.get_by_label("Kettle, to the brim").input_value() == "45 L"
    assert phone.get_by_label("What the beer is called").input_value() == "Kept so"
    phone.goto(f"{empty_book.address}/start")  # the device keeps it
    assert phone.get_by_label("Kettle, to the brim").input_value() == "11 gal"


def test_enter_in_a_field_sends_the_form_and_chooses_no_shape(empty_book, phone):
    phone.goto(f"{empty_book.address}/start?shape=tun")
    phone.get_by_label("What the beer is called").fill("By Enter")
    phone.get_by_label("What the beer is called").press("Enter")
    phone.wait_for_url("**/gyle/By%20Enter")
    phone.complaints.clear()
    assert kept(empty_book)[0].process.kind == "fly rinse"


def test_a_book_begun_in_us_units_has_its_plan_in_them(empty_book, desktop):
    desktop.goto(f"{empty_book.address}/start")
    desktop.get_by_label("Numbers in").select_option("us")
    submit(desktop)

    with open_book(empty_book.location) as book:
        text = book.plans()[-1].text
    assert "151 °F" in text
    assert "66 °F" in text
    assert "°C" not in text
    rinse = desktop.get_by_label("Rinse liquor at")
    assert rinse.get_attribute("placeholder") == "165 °F"
    assert desktop.get_by_label("Into the kettle at the end").get_attribute("placeholder") == "none"
    form = desktop.locator("#plan")
    hints = form.evaluate(
        "(f) => [...f.querySelectorAll('[placeholder]')].map((x) => x.placeholder).join('|')"
        " + [...f.querySelectorAll('small, option')].map((x) => x.textContent).join('|')"
    )
    assert not re.search(r"\d (?:L|kg|g|°C|EBC)\b", hints), hints
