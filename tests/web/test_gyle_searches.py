"""What takes longer than the picture is searched for when it is asked: fixes of a limit, ways of rinsing."""

from __future__ import annotations

import re

import pytest

from gylebook.tasks.plan_versions import look_at_plan
from web.gyle_pages import HOME, NAME, field, kept, on_change, opened, pressed, until

BRIM = "[data-key='mash brim']"


def test_what_would_keep_a_limit_is_searched_for_and_taken(brewing, seen):
    opened(seen, brewing)
    on_change(seen, lambda: field(seen, "aims.fermenters").fill("42 L"))
    limit = seen.locator(BRIM)

    limit.locator("summary").click()
    limit.get_by_text("Use a kettle of").wait_for()
    row = limit.locator("li", has_text="Make ")
    litres = re.search(r"Make ([\d.]+ L)", row.inner_text())[1]
    row.get_by_role("button").click()

    until(seen, f"document.getElementById('f.aims.fermenters').value.startsWith('{litres.split('.')[0]}')")
    until(seen, f'!document.querySelector("{BRIM}")')
    until(seen, "document.activeElement.id === 'f.aims.fermenters'")
    top = field(seen, "aims.fermenters").bounding_box()["y"]
    assert 60 < top < seen.viewport_size["height"] - 60
    assert seen.locator("#note").input_value().startswith("Make ")
    assert "not yet kept" in seen.locator("#said").inner_text()
    assert kept(brewing)["aims.fermenters"] == "34 L"


def test_a_change_of_gear_is_told_and_cannot_be_taken_into_the_plan(brewing, phone):
    opened(phone, brewing)
    on_change(phone, lambda: field(phone, "aims.fermenters").fill("42 L"))
    limit = phone.locator(BRIM)

    limit.locator("summary").click()
    limit.get_by_text("Use a kettle of").wait_for()

    assert limit.locator("li", has_text="Use a kettle of").get_by_role("button").count() == 0
    assert limit.locator("li").get_by_role("button").count() > 1


def test_what_fixes_a_limit_is_found_and_taken_without_script(brewing, bare):
    bare.goto(brewing.address + HOME)
    field(bare, "aims.fermenters").fill("42 L")
    pressed(bare, "Forecast this")
    bare.locator(BRIM).locator("summary").click()

    with bare.expect_navigation():
        bare.locator(BRIM).get_by_role("button", name="Search for the least change").click()
    with bare.expect_navigation():
        bare.locator(BRIM).locator("li", has_text="Make ").get_by_role("button").click()

    assert float(field(bare, "aims.fermenters").input_value().removesuffix(" L")) < 42.0
    assert bare.locator(BRIM).count() == 0


def test_a_search_for_a_limit_that_went_away_says_so(brewing, phone):
    opened(phone, brewing)
    sent = {"base": "", "fixes": "no such limit", "on": ""}
    text = look_at_plan(brewing.location, NAME).own.text

    answer = phone.request.post(
        f"{brewing.address}{HOME}/fixes", form={**sent, "base": text}, headers={"origin": brewing.address}
    )

    assert answer.status == 200
    assert "gone from the plan" in answer.text()


@pytest.mark.parametrize("told", ["", "x", "[]", "{}", '{"no.such": "1"}', '{"aims.fermenters": 3}'])
def test_a_change_that_no_button_offers_is_refused_in_words(brewing, phone, told):
    text = look_at_plan(brewing.location, NAME).own.text

    answer = phone.request.post(
        brewing.address + HOME, form={"base": text, "take": told}, headers={"origin": brewing.address}
    )

    assert answer.status == 422
    assert "no change of fields" in answer.text()


def test_what_a_rinse_is_worth_is_told_in_malt_and_gravity(brewing, seen, faults):
    opened(seen, brewing)

    seen.get_by_text("What a rinse is worth").click()
    seen.get_by_text("Dunk rinse: saves").wait_for()

    rows = seen.get_by_role("region", name="Ways of rinsing").locator("tbody tr")
    assert [row.locator("th").inner_text() for row in rows.all()] == [
        "full volume",
        "dunk rinse",
        "poured rinse",
    ]
    assert faults(seen) == []


def test_ways_of_rinsing_are_compared_without_script(brewing, bare):
    bare.goto(brewing.address + HOME)
    bare.get_by_text("What a rinse is worth").click()

    pressed(bare, "Compare the ways")

    assert bare.get_by_text("Dunk rinse: saves").is_visible()
