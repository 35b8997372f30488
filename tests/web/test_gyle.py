"""Write a plan in a browser: it follows the fingers, loses nothing, and is kept as versions."""

from __future__ import annotations

import re
import zlib

import pytest

from gylebook.tasks.brews import look_at_brew
from gylebook.tasks.drafts import draft_with
from gylebook.tasks.plan_versions import copy_plan, keep_plan, look_at_plan
from web.gyle_pages import HOME, NAME, field, kept, on_change, opened, pressed, until


def test_a_change_moves_picture_and_odds_and_the_fingers_stay_where_they_are(brewing, seen):
    opened(seen, brewing)
    before = seen.locator("#forecast svg desc").text_content()
    grain = seen.locator("[data-solved='grist.0.mass']").inner_text()
    volume = field(seen, "aims.fermenters")
    volume.click()

    volume.press("Home")
    on_change(seen, lambda: volume.press("Delete"))
    on_change(seen, lambda: volume.press("2"))

    until(seen, "document.querySelector('#brief').textContent.includes('24.0 L')")
    assert volume.input_value() == "24 L"
    assert seen.evaluate("[document.activeElement.id, document.activeElement.selectionStart]") == [
        "f.aims.fermenters",
        1,
    ]
    assert seen.locator("#forecast svg desc").text_content() != before
    assert seen.locator("[data-solved='grist.0.mass']").inner_text() != grain
    assert kept(brewing)["aims.fermenters"] == "34 L"


def test_what_cannot_be_read_is_said_beside_its_field_and_the_last_picture_stays(brewing, seen):
    opened(seen, brewing)
    field(seen, "boil.time").fill("75 min")
    picture = "document.querySelector('#forecast svg desc').textContent"
    until(seen, f"{picture}.includes('1 h 15 min')")

    on_change(seen, lambda: field(seen, "aims.gravity").fill("1052"))

    gravity = field(seen, "aims.gravity")
    assert gravity.get_attribute("aria-invalid") == "true"
    said = seen.locator(f"[id='{gravity.get_attribute('aria-describedby').split()[-1]}']")
    assert "Did you mean 1.052?" in said.inner_text()
    assert "▲" in said.inner_text()
    assert "1 h 15 min" in seen.evaluate(picture)
    assert seen.get_by_text("shows the plan as it was before").is_visible()
    assert field(seen, "boil.time").input_value() == "75 min"

    on_change(seen, lambda: gravity.fill("1.050"))

    assert gravity.get_attribute("aria-invalid") is None
    assert said.inner_text() == ""
    assert not seen.get_by_text("shows the plan as it was before").is_visible()


def test_where_the_book_does_not_answer_what_is_typed_stays(brewing, phone):
    opened(phone, brewing)
    phone.route("**/preview", lambda route: route.abort())

    field(phone, "aims.fermenters").fill("30 L")

    until(phone, "document.querySelector('#said').textContent.includes('does not answer')")
    assert field(phone, "aims.fermenters").input_value() == "30 L"
    phone.complaints.clear()  # of the request that was cut off


def test_a_limit_that_is_not_kept_comes_first_with_what_may_be_done(brewing, phone):
    opened(phone, brewing)

    on_change(phone, lambda: field(phone, "aims.fermenters").fill("38 L"))

    first = phone.locator(".failing strong").first
    assert first.inner_text().startswith("▲")
    assert "▲" in phone.locator("#brief").inner_text()
    phone.get_by_text("What fixes this?").first.click()
    assert phone.locator(".failing details[open] p").last.is_visible()
    until(phone, "document.querySelector('#carries').textContent.includes('carries')")


def test_what_was_unfolded_stays_so_while_one_types(brewing, phone):
    opened(phone, brewing)
    phone.get_by_text("The picture's numbers as a table").click()

    on_change(phone, lambda: field(phone, "boil.time").fill("80 min"))

    assert phone.get_by_role("cell", name="1 h 20 min").is_visible()


def test_a_row_is_added_and_taken_out(brewing, seen):
    opened(seen, brewing)
    field(seen, "aims.bitterness").fill("25 IBU")

    on_change(seen, lambda: seen.get_by_role("button", name="Add a grain").click())
    until(seen, "document.activeElement.id === 'f.grist.3.grain'")
    assert field(seen, "aims.bitterness").input_value() == "25 IBU"

    seen.keyboard.type("Pilsner malt")
    on_change(seen, lambda: field(seen, "grist.0.share").fill("52 %"))
    on_change(seen, lambda: field(seen, "grist.3.share").fill("10 %"))
    until(seen, "!document.querySelector('#wrong li')")

    on_change(seen, lambda: seen.get_by_role("button", name="Take out Grain 2").click())
    until(seen, "document.querySelectorAll('[name=out][value^=\"grist.\"]').length == 3")
    grains = [field(seen, f"grist.{place}.grain").input_value() for place in range(3)]
    assert grains == ["Vienna malt", "caramel malt, medium", "Pilsner malt"]
    assert "add to 69 %" in seen.get_by_role("region", name="Grist").inner_text()
    assert "▲ One thing cannot be read." in seen.locator("#brief").inner_text()


def test_a_portion_is_added_with_a_fermenter_that_is_free(brewing, phone):
    opened(phone, brewing)

    on_change(phone, lambda: phone.get_by_role("button", name="Add a portion").click())

    until(phone, "document.activeElement.id === 'f.portions.beer.name'")
    assert field(phone, "portions.beer.fermenter").input_value() == "tall"


def test_without_script_a_draft_is_looked_at_added_to_and_kept(brewing, bare):
    bare.goto(brewing.address + HOME)
    field(bare, "aims.fermenters").fill("24 L")
    pressed(bare, "Forecast this")
    assert "24.0 L" in bare.locator("#brief").inner_text()

    pressed(bare, "Add a rest")
    assert field(bare, "mash.1.temperature").is_visible()
    assert "▲" in bare.locator("#brief").inner_text()
    field(bare, "mash.1.temperature").fill("72 °C")
    field(bare, "mash.1.time").fill("15 min")
    pressed(bare, "Take out Grain 3")
    field(bare, "grist.0.share").fill("69 %")
    bare.get_by_label("What is new in it").fill("a second rest")
    pressed(bare, "Keep this version")

    assert "Kept as version 3." in bare.locator("main").inner_text()
    fields = kept(brewing)
    assert fields["aims.fermenters"] == "24 L"
    assert fields["mash.1.time"] == "15 min"
    assert "grist.2.grain" not in fields
    assert look_at_plan(brewing.location, NAME).own.note == "a second rest"


def test_keeping_makes_the_next_version_and_remarks_stay(brewing, desktop):
    before = look_at_plan(brewing.location, NAME).own.text
    opened(desktop, brewing)

    on_change(desktop, lambda: field(desktop, "aims.fermenters").fill("30 L"))
    field(desktop, "liquor.acid").fill("")
    desktop.get_by_label("common salt").check()
    desktop.get_by_role("button", name="Keep this version").click()
    desktop.get_by_text("Kept as version 3.").wait_for()

    after = look_at_plan(brewing.location, NAME).own.text
    assert after.startswith(before[: before.index("name =")])
    assert kept(brewing)["aims.fermenters"] == "30 L"
    assert "liquor.acid" not in kept(brewing)
    assert kept(brewing)["liquor.salts"] == ["gypsum", "calcium chloride", "common salt"]


def test_keeping_what_cannot_be_read_shows_it_again_as_typed(brewing, bare):
    bare.goto(brewing.address + HOME)
    field(bare, "aims.fermenters").fill("a lot")
    field(bare, "aims.gravity").fill("1.049")
    pressed(bare, "Keep this version")

    assert field(bare, "aims.fermenters").input_value() == "a lot"
    assert field(bare, "aims.gravity").input_value() == "1.049"
    assert field(bare, "aims.fermenters").get_attribute("aria-invalid") == "true"
    assert len(look_at_plan(brewing.location, NAME).versions) == 2


def test_of_two_tabs_the_later_one_is_told_and_loses_nothing(brewing, bare):
    bare.goto(brewing.address + HOME)
    field(bare, "aims.fermenters").fill("30 L")
    meanwhile = draft_with(look_at_plan(brewing.location, NAME).own.text, {"boil.time": "70 min"})
    keep_plan(brewing.location, NAME, meanwhile, "longer boil")

    pressed(bare, "Keep this version")

    assert "Version 3 was kept meanwhile, “longer boil”" in bare.get_by_role("alert").inner_text()
    assert field(bare, "aims.fermenters").input_value() == "30 L"
    assert kept(brewing)["aims.fermenters"] == "34 L"

    pressed(bare, "Keep mine anyway")

    assert "Kept as version 4." in bare.locator("main").inner_text()
    assert kept(brewing)["aims.fermenters"] == "30 L"
    assert [one.version for one in look_at_plan(brewing.location, NAME).versions] == [1, 2, 3, 4]


def test_the_file_itself_and_the_fields_come_together(brewing, desktop):
    opened(desktop, brewing)
    on_change(desktop, lambda: field(desktop, "aims.fermenters").fill("30 L"))
    desktop.get_by_text("All of the plan as text").click()
    file = desktop.get_by_label("Text of the plan")
    until(desktop, "document.querySelector('#file').value.includes('30 L')")

    file.fill(file.input_value().replace('time = "60 min"\n\n[[hops]]', 'time = "90 min"\n\n[[hops]]'))
    desktop.get_by_role("button", name="Put it into the fields").click()
    until(desktop, "document.querySelector('[id=\"f.boil.time\"]').value === '90 min'")

    assert field(desktop, "aims.fermenters").input_value() == "30 L"


def test_a_file_that_is_no_toml_stays_as_it_was_typed(brewing, bare):
    bare.goto(brewing.address + HOME)
    bare.get_by_text("All of the plan as text").click()
    bare.get_by_label("Text of the plan").fill("name = \nboil = 3")
    field(bare, "aims.gravity").fill("1.049")
    pressed(bare, "Forecast this")

    assert bare.get_by_label("Text of the plan").input_value() == "name = \nboil = 3"
    assert field(bare, "aims.gravity").input_value() == "1.049"
    assert "not TOML" in bare.locator("#wrong").inner_text()


def test_an_earlier_version_is_looked_at_and_made_the_newest(brewing, phone):
    text = draft_with(look_at_plan(brewing.location, NAME).own.text, {"boil.time": "70 min"})
    keep_plan(brewing.location, NAME, text)

    opened(phone, brewing, f"{HOME}?version=1")
    assert field(phone, "boil.time").is_disabled()
    assert field(phone, "boil.time").input_value() == "60 min"
    pressed(phone, "Make this the newest")

    phone.get_by_text("Kept as version 4.").wait_for()
    assert kept(brewing)["boil.time"] == "60 min"


def test_versions_side_by_side(brewing, phone):
    changes = {"aims.fermenters": "38 L", "grist.0.share": "52 %", "grist.1.share": "41 %"}
    text = draft_with(look_at_plan(brewing.location, NAME).own.text, changes)
    keep_plan(brewing.location, NAME, text, "more of it")

    opened(phone, brewing, f"{HOME}/versions?a=1&b=3")

    written = phone.get_by_role("table", name="What is written otherwise").inner_text()
    assert re.search(r"Aims: wort into the fermenters\s+34 L\s+38 L", written)
    assert re.search(r"Grist, Vienna malt: share of the mass\s+62 %\s+52 %", written)
    becomes = phone.get_by_role("table", name="What becomes of it").inner_text()
    assert re.search(r"Gate amber\s+[\d.]+ → [\d.]+", becomes)
    odds = phone.get_by_role("table", name="Odds").inner_text()
    assert "▲" in odds


def test_a_brew_starts_from_a_kept_version(brewing, phone):
    opened(phone, brewing)
    phone.get_by_label("Name of the brew").fill("Orchard amber, again")
    phone.get_by_label("Starts").fill("2026-04-18T08:30")

    with phone.expect_response(re.compile("/day/")):  # the place of the day answers for itself
        phone.get_by_role("button", name="Start the day").click()

    assert phone.url.endswith("/day/Orchard%20amber%2C%20again")
    brew = look_at_brew(brewing.location, "Orchard amber, again").brew
    assert brew.started_at.startswith("2026-04-18T08:30:00")
    phone.wait_for_timeout(300)
    phone.complaints.clear()  # of the day's own page nothing is claimed here


def test_another_plan_begins_from_one_and_the_list_leads_to_both(brewing, phone):
    opened(phone, brewing, "/gyle")
    assert phone.url.endswith(HOME)
    phone.get_by_text("Begin another plan from this one").click()
    phone.get_by_label("Its name").fill("Winter amber")
    phone.get_by_role("button", name="Begin it").click()
    phone.get_by_role("heading", name="Winter amber").wait_for()

    opened(phone, brewing, "/gyle")

    assert phone.get_by_role("link", name="Winter amber").is_visible()
    assert phone.get_by_role("link", name="Orchard amber").is_visible()


def test_the_day_on_paper_is_a_pdf(brewing, phone):
    opened(phone, brewing)
    address = phone.get_by_role("link", name="The day on paper").get_attribute("href")

    answer = phone.request.get(brewing.address + address)

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF")


def test_a_plan_that_is_not_there_is_said(brewing, phone):
    phone.goto(f"{brewing.address}/gyle/Nowhere")

    assert "s not in this book; it holds Orchard amber" in phone.locator("main").inner_text()
    phone.complaints.clear()


@pytest.mark.parametrize(("size", "scheme"), [("phone", "light"), ("desktop", "dark")])
def test_nothing_bars_anyone_from_these_pages(request, brewing, faults, size, scheme):
    seen = request.getfixturevalue(size)
    text = draft_with(look_at_plan(brewing.location, NAME).own.text, {"aims.fermenters": "38 L"})
    keep_plan(brewing.location, NAME, text)
    copy_plan(brewing.location, NAME, "Winter amber")
    seen.emulate_media(color_scheme=scheme)

    for address in ("/gyle", HOME, f"{HOME}?version=1", f"{HOME}/versions?a=1&b=3"):
        opened(seen, brewing, address)
        seen.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        assert faults(seen) == [], address
        assert seen.evaluate("document.documentElement.scrollWidth <= innerWidth"), address

    opened(seen, brewing)
    on_change(seen, lambda: field(seen, "aims.gravity").fill("1052"))
    assert faults(seen) == []


def test_a_page_and_all_it_needs_is_small(brewing, phone):
    page = phone.request.get(brewing.address + HOME).body()
    parts = re.findall(rb'(?:href|src)="(/static/[^"]+)"', page)

    bodies = [page, *(phone.request.get(brewing.address + part.decode()).body() for part in parts)]

    assert sum(len(zlib.compress(body)) for body in bodies) < 60_000


def test_an_address_that_asks_for_no_version_is_told_in_our_words(brewing, phone):
    phone.goto(f"{brewing.address}{HOME}?version=abc")

    told = phone.locator("main").inner_text()
    assert "“abc”" in told
    assert "whole number" in told
    assert "integer" not in told
    phone.complaints.clear()  # the browser tells of the answer's 422


def test_on_a_phone_no_caption_and_no_choice_is_cut(brewing, phone):
    phone.goto(f"{brewing.address}{HOME}/versions?a=1&b=2")
    for n in range(phone.locator("caption > span").count()):
        box = phone.locator("caption > span").nth(n).bounding_box()
        assert box["x"] + box["width"] <= 390

    phone.goto(brewing.address + HOME)
    alkali = field(phone, "liquor.alkali").bounding_box()
    assert alkali["width"] > 300
