"""The House in a real browser: gear over its file, house figures, and an evening with water."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from gylebook.record.store import open_book
from gylebook.tasks.brews import take_reading
from gylebook.tasks.files import load_readings

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
BREW, SHED = "Orchard amber, first time", "The shed behind the orchard"
HOUSE = "/house/The%20shed%20behind%20the%20orchard"
SAVE = "Save as the next version"


def versions(served):
    with open_book(served.location) as book:
        return [kept for kept in book.breweries() if kept.name == SHED]


def part(page, key):
    page.locator(f"#{key} > summary").click()


def refused(page):
    """The browser's own line about a page that says no is no fault of the page."""
    page.wait_for_timeout(150)
    page.complaints.clear()


def brewed(served):
    """The example's readings on the brew that was started."""
    for reading in load_readings(EXAMPLE / "readings.toml"):
        take_reading(served.location, BREW, replace(reading, at="2026-03-14T12:00+01:00"))


def an_evening():
    read = tomllib.loads((EXAMPLE / "evening.toml").read_text())["reading"]
    return {f"{one['step']} {one['quantity']}": one["value"] for one in read}


def test_the_house_leads_to_everything_in_it(brewing, phone, faults):
    phone.goto(f"{brewing.address}/house")

    assert faults(phone) == []
    for name, address in (("Gear", HOUSE), ("House figures", f"{HOUSE}/figures"), ("Devices", "/devices")):
        assert phone.get_by_role("link", name=name).get_attribute("href") == address
    assert phone.get_by_role("link", name="Begin another brewery").get_attribute("href") == "/start"


def test_changed_gear_becomes_the_next_version_with_its_comments_kept(brewing, phone, faults):
    phone.goto(f"{brewing.address}{HOUSE}")
    part(phone, "vessels")
    phone.locator("[name='vessels.kettle.capacity']").fill("13 gal")
    phone.get_by_label("What changed").first.fill("the new one")
    assert faults(phone) == []
    phone.get_by_role("button", name=SAVE).click()

    kept = versions(brewing)
    assert [one.version for one in kept] == [1, 2]
    assert 'capacity = "13 gal"' in kept[1].text
    assert kept[1].text.count("# An invented shed brewery") == 1
    told = phone.get_by_role("listitem").filter(has_text="Version 2").first.inner_text()
    assert "the new one" in told
    assert "kettle, to the brim: 50 L → 13 gal" in told


def test_saving_what_did_not_change_makes_no_version(brewing, phone):
    phone.goto(f"{brewing.address}{HOUSE}")
    phone.get_by_role("button", name=SAVE).click()

    assert len(versions(brewing)) == 1


def test_rows_come_and_go_before_anything_is_kept(brewing, desktop, faults):
    desktop.goto(f"{brewing.address}{HOUSE}")
    part(desktop, "fermenters")
    desktop.get_by_label("Short name of another fermenter").fill("cask")
    desktop.locator("[value='add.fermenters']").click()
    desktop.locator("[name='fermenters.cask.capacity']").fill("41 L")
    desktop.get_by_role("button", name="Take glass out").click()

    assert "Nothing is kept until you save" in desktop.inner_text("main")
    assert faults(desktop) == []
    assert len(versions(brewing)) == 1
    desktop.get_by_role("button", name=SAVE).click()
    fermenters = tomllib.loads(versions(brewing)[-1].text)["fermenters"]
    assert set(fermenters) == {"tall", "squat", "wide", "cask"}
    assert fermenters["cask"] == {"capacity": "41 L"}


def test_what_cannot_be_read_stands_beside_its_field(brewing, phone, faults):
    phone.goto(f"{brewing.address}{HOUSE}")
    part(phone, "heat")
    part(phone, "chiller")
    phone.locator("[name='heat_sources.plate.vessels']").fill("second pot, bath tub")
    phone.locator("[name='chiller.flow']").fill("brisk")
    phone.get_by_role("button", name=SAVE).click()
    refused(phone)

    flow = phone.locator("[name='chiller.flow']")
    assert flow.is_visible()
    assert flow.input_value() == "brisk"
    assert flow.get_attribute("aria-invalid") == "true"
    assert "“brisk” is not a number with a unit" in phone.inner_text("main")
    assert phone.locator("[name='heat_sources.plate.vessels']").input_value() == "second pot, bath tub"
    assert faults(phone) == []
    assert len(versions(brewing)) == 1


def test_two_windows_lose_nothing_of_each_other(brewing, phone, desktop):
    for page in (phone, desktop):
        page.goto(f"{brewing.address}{HOUSE}")
    part(phone, "bag")
    phone.locator("[name='bag.hoist']").fill("60 kg")
    phone.get_by_role("button", name=SAVE).click()
    part(desktop, "place")
    desktop.locator("[name='altitude']").fill("1000 ft")
    desktop.get_by_role("button", name=SAVE).click()
    refused(desktop)

    assert "hook or hoist carries: 50 kg → 60 kg" in desktop.get_by_role("alert").inner_text()
    assert len(versions(brewing)) == 2
    desktop.get_by_role("button", name=SAVE).click()
    kept = tomllib.loads(versions(brewing)[-1].text)
    assert (kept["altitude"], kept["bag"]["hoist"]) == ("1000 ft", "60 kg")


def test_the_file_itself_can_be_edited_and_is_judged_by_its_reader(brewing, desktop):
    desktop.goto(f"{brewing.address}{HOUSE}")
    desktop.get_by_text("The file itself").click()
    text = desktop.locator("textarea").input_value()
    desktop.locator("textarea").fill(text.replace('capacity = "50 L"', 'capacity = "50 furlongs"'))
    desktop.get_by_role("button", name="Save the file").click()
    refused(desktop)

    assert "vessels.kettle.capacity" in desktop.get_by_role("alert").inner_text()
    assert "50 furlongs" in desktop.locator("textarea").input_value()
    desktop.locator("textarea").fill(text + "\n# by hand\n")
    desktop.get_by_role("button", name="Save the file").click()
    assert versions(brewing)[-1].text.endswith("# by hand\n")


def test_a_renamed_file_is_not_kept_under_the_old_name(brewing, desktop):
    desktop.goto(f"{brewing.address}{HOUSE}")
    desktop.get_by_text("The file itself").click()
    text = desktop.locator("textarea").input_value()
    desktop.locator("textarea").fill(text.replace(SHED, "The barn"))
    desktop.get_by_role("button", name="Save the file").click()
    refused(desktop)

    assert "The barn" in desktop.get_by_role("alert").inner_text()
    assert len(versions(brewing)) == 1


def test_before_any_reading_the_figures_say_what_would_teach_them(brewing, phone, faults):
    phone.goto(f"{brewing.address}{HOUSE}/figures")

    assert "no reading was written down yet" in phone.inner_text("main")
    assert phone.get_by_role("link", name="an evening with water").is_visible()
    assert faults(phone) == []


def test_readings_teach_figures_that_can_be_kept(brewing, phone, faults):
    brewed(brewing)
    phone.goto(f"{brewing.address}{HOUSE}/figures")

    row = phone.get_by_role("row").filter(has_text="Boil-off").first
    assert "→" in row.inner_text()
    assert phone.locator("svg").count() == 1
    assert faults(phone) == []
    phone.get_by_role("button", name="Keep these").click()

    assert "boil_off_l_per_h" in tomllib.loads(versions(brewing)[-1].text)["house"]
    assert "(version 2)" in phone.get_by_role("listitem").filter(has_text="Boil-off:").last.inner_text()


def test_an_evening_is_read_step_by_step_and_teaches(brewing, phone, faults):
    phone.goto(f"{brewing.address}{HOUSE}/evening")
    assert faults(phone) == []
    labels = [
        label.partition(", ")[0]
        for label in phone.locator(".steps > li").nth(2).locator("label").all_inner_texts()
    ]
    assert len(labels) == 2
    assert len(set(labels)) == 2
    assert all(re.fullmatch(r"Time to [\d.]+ °C", label) for label in labels), labels
    first = phone.locator("main ol").first.locator("li").first.inner_text()
    step = int(re.match(r"[A-Z][^,]+, step (\d+): ", first)[1])
    assert phone.locator(".steps > li").nth(step - 1).locator("input").count() > 0
    assert "▲" in phone.inner_text(".steps")  # the cautions of boiling water stand at its step
    for name, value in an_evening().items():
        phone.locator(f"[name='{name}']").fill(value.partition(" ")[0])  # the unit stands beside the field
    phone.get_by_role("button", name="Write them down").click()

    assert phone.locator("[name='evening heat time']").input_value() == "49 min"
    assert phone.get_by_role("row").filter(has_text="Net heat of the plate").is_visible()
    assert faults(phone) == []
    brewed(brewing)
    phone.goto(f"{brewing.address}{HOUSE}/figures")
    told = phone.inner_text("main")
    assert "17 readings of an evening with water" in told
    assert not re.search(r"[a-z]-malt|acid lactic|calcium-chloride|\bph meter|−\d+ %$", told, re.MULTILINE)
    assert phone.get_by_role("row").filter(has_text="Net heat of the plate").is_visible()


def test_an_evening_alone_can_be_kept_as_the_houses_figures_and_begun_anew(brewing, desktop):
    desktop.goto(f"{brewing.address}{HOUSE}/evening")
    for name, value in an_evening().items():
        desktop.locator(f"[name='{name}']").fill(value)
    desktop.get_by_role("button", name="Write them down").click()
    desktop.get_by_role("button", name="Keep these").click()

    assert "chill.u_w_per_m2_k" in tomllib.loads(versions(brewing)[-1].text)["house"]
    desktop.goto(f"{brewing.address}{HOUSE}/evening")
    desktop.get_by_text("Begin a new evening").click()
    desktop.get_by_role("button", name="Begin anew").click()
    assert desktop.locator("[name='evening heat time']").input_value() == ""


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("evening heat time", "soon", "“soon”"),
        ("evening tap temperature", "400", "understood as 400 °C"),
        ("evening heat time", "-4", "not below zero"),
    ],
)
def test_a_reading_that_cannot_be_is_said_beside_its_field(brewing, phone, name, typed, said):
    phone.goto(f"{brewing.address}{HOUSE}/evening")
    phone.locator("[name='evening first mass']").fill("12.5")
    phone.locator(f"[name='{name}']").fill(typed)
    phone.get_by_role("button", name="Write them down").click()
    refused(phone)

    assert said in phone.locator(f"#{name.replace(' ', '-')}-p").inner_text()
    assert phone.locator("[name='evening first mass']").input_value() == "12.5"
    with open_book(brewing.location) as book:
        assert book.evening(SHED) is None


def test_pounds_and_gallons_are_read_where_they_stand_beside_the_field(brewing, phone):
    phone.goto(f"{brewing.address}{HOUSE}/evening")
    phone.get_by_label("Numbers in").select_option("us")
    phone.get_by_role("button", name="Show so").click()
    phone.locator("[name='evening first mass']").fill("27.5")
    phone.get_by_role("button", name="Write them down").click()

    with open_book(brewing.location) as book:
        assert 'value = "27.5 lb"' in book.evening(SHED).text


def test_a_brewery_that_is_not_there_is_said_to_be_so(brewing, phone):
    for address in ("/house/barn", "/house/barn/figures", "/house/barn/evening"):
        phone.goto(f"{brewing.address}{address}")
        assert "nothing in this book under that address" in phone.inner_text("main")
    refused(phone)


def test_a_form_that_saw_no_version_does_not_write_over_the_newest(brewing, phone):
    phone.goto(f"{brewing.address}{HOUSE}")
    phone.locator("[name='seen']").first.evaluate("field => { field.value = '9'.repeat(5000) }")
    phone.get_by_role("button", name=SAVE).click()
    assert len(versions(brewing)) == 1

    for number in ("0", "2", "9" * 30):
        assert phone.request.get(f"{brewing.address}{HOUSE}/versions/{number}").status in (404, 422)
    assert phone.request.get(f"{brewing.address}{HOUSE}/versions/1").text() == versions(brewing)[0].text


def test_an_evening_that_no_longer_fits_changed_gear_is_said_and_begun_anew(brewing, phone, faults):
    phone.goto(f"{brewing.address}{HOUSE}/evening")
    phone.locator("[name='evening beside time']").fill("54")
    phone.locator("[name='evening beside mass']").fill("11.96")
    phone.get_by_role("button", name="Write them down").click()
    phone.goto(f"{brewing.address}{HOUSE}")
    part(phone, "place")
    phone.locator("[name='rinse']").fill("")
    phone.get_by_role("button", name=SAVE).click()
    phone.goto(f"{brewing.address}{HOUSE}/evening")

    assert "evening beside" in phone.get_by_role("alert").inner_text()
    assert faults(phone) == []
    phone.get_by_text("Begin a new evening").click()
    phone.get_by_role("button", name="Begin anew").click()
    assert phone.get_by_role("button", name="Write them down").is_visible()


def test_every_field_is_told_by_what_it_means(brewing, phone):
    phone.goto(f"{brewing.address}{HOUSE}")

    lost = phone.evaluate(
        """[...document.querySelectorAll("[aria-describedby]")].filter((field) =>
        field.getAttribute("aria-describedby").split(" ").some((id) => !document.getElementById(id)))
        .map((field) => field.name)"""
    )
    assert lost == []
