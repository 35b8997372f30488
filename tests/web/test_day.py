"""A brew day on a phone: steps, clocks, readings, what they change, and the same day on two phones."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest

from gylebook.tasks.brews import take_reading
from gylebook.tasks.day import day_order
from gylebook.tasks.day_deeds import begin_step
from web.conftest import BREW, PHONE, looking
from web.day_pages import (
    DAY,
    begin,
    clock,
    go_on,
    open_day,
    post,
    reading,
    title,
    wait_for_title,
    write_down,
    written,
)

AN_ID = "5f0c3f4e-7b0a-4c52-9a51-2f3f5f0e9d11"


def begun_ago(served, step: str, **ago) -> datetime:
    """A step that was begun some time ago, on another device."""
    hand = served.desk.hand
    at = datetime.now().astimezone() - timedelta(**ago)
    order = hand.found(day_order, hand.standing(BREW).outlook)
    begin_step(served.location, BREW, order, step, at.isoformat(timespec="seconds"))
    return at


def seconds(text: str) -> int:
    """Seconds on a clock."""
    total = 0
    for part in text.split(":"):
        total = 60 * total + int(part)
    return total


def too_small(control) -> bool:
    """Whether a wet finger misses it: 44 px, or for the box of a tick 24 px inside a label of 44."""
    return control.bounding_box()["height"] < (24 if control.get_attribute("type") == "checkbox" else 43.5)


def test_a_whole_day_on_a_phone(brewing, phone):
    open_day(phone, brewing)
    assert title(phone) == "Not begun"

    phone.get_by_role("button", name="Begin: Make the starter").click()
    wait_for_title(phone, "Make the starter")
    go_on(phone)
    wait_for_title(phone, "Weigh everything out")
    begin(phone, "mash in.1")
    write_down(phone, "Temperature of the mash", "65.6")
    phone.wait_for_selector("#last:has-text('65.6 °C')")
    assert "agrees" in phone.locator("#last").inner_text()

    begin(phone, "heat to the boil.1")
    write_down(phone, "Level before the boil", "36")
    phone.wait_for_selector("#last:has-text('36.0 L')")
    before, after = phone.locator(".changes tbody tr").first.locator("td").first.inner_text().split(" → ")
    assert float(after) < float(before)

    phone.wait_for_selector(".ways li form")
    adopted = phone.locator(".ways li form button").first.get_attribute("aria-label").removeprefix("Adopt: ")
    phone.locator(".ways li form button").first.click()
    phone.wait_for_selector(f'.log li:has-text("Plan changed: {adopted}")')

    correction = phone.locator(".log li", has_text="Level before the boil")
    correction.get_by_text("Correct", exact=True).click()
    correction.get_by_label("It was").fill("38.5")
    correction.get_by_label("because").first.fill("read at a slant")
    correction.get_by_role("button", name="Put it in its place").click()
    phone.wait_for_selector(".log s:has-text('36.0 L')")
    assert "corrected: read at a slant" in phone.locator(".log").inner_text()

    begin(phone, "pitch.1")
    phone.get_by_role("button", name="End the day").click()
    wait_for_title(phone, "The day is over")
    assert [event.body["value"] for event in written(brewing)] == [65.6, 36.0, 38.5]


def test_the_keypad_takes_back_and_leaves_for_later(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    open_day(phone, brewing)
    box = reading(phone, "Level before the boil")
    for key in ("4", "1", "back", "0", ".", "2"):
        box.locator(f'[data-key="{key}"]').click()
    assert box.locator("input[name=value]").input_value() == "40.2"

    box.locator('[data-key="how"]').click()
    assert "wets the marks" in box.locator(".how p").inner_text()

    box.locator('[data-key="later"]').click()
    assert not box.evaluate("one => one.open")
    assert reading(phone, "Gravity before the boil").evaluate("one => one.open")
    assert written(brewing) == []


def test_what_pays_most_is_asked_first_and_what_was_read_no_more(brewing, phone):
    begun_ago(brewing, "end of the boil.1", minutes=1)
    open_day(phone, brewing)
    asked = phone.locator("#slot details.reading[open] strong")
    first = asked.inner_text()

    write_down(phone, first, "41.0" if first.startswith("Level") else "1.051")
    phone.wait_for_selector(f"#slot details.reading[open] strong:not(:text-is('{first}'))")
    assert "written down" in phone.locator("#slot details.reading", has_text=first).inner_text()


def test_another_instrument_is_expected_elsewhere(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    open_day(phone, brewing)
    box = reading(phone, "Gravity before the boil")
    assert "1.04" in box.locator(".range").inner_text()

    box.locator("select").select_option("refractometer")

    low, high = (float(part) for part in box.locator(".range").inner_text().split(" – "))
    assert 9 < low < high < 16  # °Bx of such a wort
    box.locator("input[name=value]").fill("12.5")
    box.get_by_role("button", name="write it down", exact=True).click()
    phone.wait_for_selector("#last:has-text('12.5 °Bx')")


def test_a_us_reader_types_gallons(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    phone.context.add_cookies([{"name": "gylebook-reads", "value": "us.sg.srm", "url": brewing.address}])
    open_day(phone, brewing)

    write_down(phone, "Level before the boil", "10.5")

    phone.wait_for_selector("#last:has-text('10.50 gal')")
    assert written(brewing)[0].body["value"] == pytest.approx(39.747, abs=0.001)  # 10.5 × 3.785412 L


def test_a_reading_that_is_refused_comes_back_as_it_was_typed(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    open_day(phone, brewing)
    box = reading(phone, "Level before the boil")
    box.locator("input[name=value]").fill("forty litres")
    box.get_by_role("button", name="write it down", exact=True).click()

    phone.wait_for_selector("#slot .wrong:has-text('forty litres')")
    assert box.locator("input[name=value]").input_value() == "forty litres"
    assert written(brewing) == []

    box.locator("input[name=value]").fill("40.1")
    box.get_by_role("button", name="write it down", exact=True).click()
    phone.wait_for_selector("#last:has-text('40.1 L')")
    assert phone.locator("#kept").is_hidden()
    phone.complaints.clear()  # the browser logs the 422


def test_a_likely_slip_is_named_and_the_outlier_left_out(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    open_day(phone, brewing)

    write_down(phone, "Level before the boil", "34.2")

    phone.wait_for_selector("#last:has-text('Two digits the other way round')")
    assert "▲" in phone.locator("#last").inner_text()


def test_the_clock_counts_from_the_wall_clock_and_then_over(brewing, phone):
    began = begun_ago(brewing, "boil.1", minutes=20)
    phone.clock.install(time=began + timedelta(minutes=20))
    open_day(phone, brewing)
    phone.clock.pause_at(began + timedelta(minutes=21, seconds=30))
    assert seconds(clock(phone)) == pytest.approx(38 * 60 + 30, abs=1)

    phone.clock.fast_forward("30:00")
    assert seconds(clock(phone)) == pytest.approx(8 * 60 + 30, abs=1)

    phone.clock.fast_forward("10:00")
    assert "over by that" in phone.locator("#slot .then").inner_text()
    assert seconds(clock(phone)) == pytest.approx(90, abs=1)


def test_the_bell_is_words_as_well(brewing, phone):
    began = begun_ago(brewing, "boil.1", minutes=1)
    phone.clock.install(time=began + timedelta(minutes=59, seconds=50))
    open_day(phone, brewing)
    assert phone.locator("#said").inner_text() == ""

    phone.clock.run_for(15_000)

    assert "its time is up" in phone.locator("#said").inner_text()


def test_a_page_opened_late_does_not_ring(brewing, phone):
    begun_ago(brewing, "boil.1", hours=2)
    open_day(phone, brewing)
    phone.wait_for_timeout(700)

    assert phone.locator("#said").inner_text() == ""
    assert "over by that" in phone.locator("#slot .then").inner_text()


def test_an_addition_shows_the_boil_beside_it_and_when_the_next_is_due(brewing, phone):
    began = begun_ago(brewing, "boil.1", minutes=46)
    begun_ago(brewing, "add to the boil.2", minutes=1)
    open_day(phone, brewing)

    assert f"until {began + timedelta(minutes=60):%H:%M}" in phone.locator("#slot .beside-it").inner_text()
    assert "Coil into the kettle" in phone.locator("#slot .then").inner_text()


def test_cautions_stand_at_the_step_where_they_matter(brewing, phone):
    begun_ago(brewing, "lift and drain.1", minutes=1)
    open_day(phone, brewing)

    told = phone.locator("#slot .risk").all_inner_texts()

    assert any(line.startswith("▲") and "wet bag" in line for line in told)


def test_two_phones_stay_in_step_and_lose_nothing_that_is_typed(brewing, chromium):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    with looking(chromium, PHONE) as one, looking(chromium, PHONE) as other:
        open_day(one, brewing)
        open_day(other, brewing)
        field = reading(other, "Gravity before the boil").locator("input[name=value]")
        field.click()
        field.press_sequentially("1.0")

        write_down(one, "Level before the boil", "40.2")
        other.wait_for_selector("#last:has-text('40.2 L')", timeout=4000)

        assert field.input_value() == "1.0"
        assert field.evaluate("one => one === document.activeElement")
        field.press_sequentially("52")
        field.press("Enter")
        one.wait_for_selector("#last:has-text('1.052')", timeout=4000)
        go_on(one)
        wait_for_title(other, "Boil")


def test_what_the_terminal_writes_is_seen_as_well(brewing, phone):
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    open_day(phone, brewing)
    from gylebook.brewery.instruments import Reading

    at = datetime.now().astimezone().isoformat()
    take_reading(
        brewing.location,
        BREW,
        Reading(step="preboil", quantity="volume", value=40.4, instrument="dipstick", at=at),
    )

    phone.wait_for_selector("#last:has-text('40.4 L')", timeout=4000)


def test_without_script_steps_readings_and_corrections_are_plain_forms(brewing, chromium):
    with looking(chromium, PHONE, java_script_enabled=False) as page:
        open_day(page, brewing)
        page.get_by_role("button", name="Begin: Make the starter").click()
        assert title(page) == "Make the starter"
        begun_ago(brewing, "heat to the boil.1", minutes=0)
        page.reload()
        assert re.fullmatch(r"29:\d\d|30:00", clock(page))

        box = page.locator("#slot details.reading").first
        box.locator("input[name=value]").fill("40 miles")
        box.get_by_role("button", name="Write it down", exact=True).click()
        box = page.locator("#slot details.reading").first
        assert box.locator("input[name=value]").is_visible()
        assert box.locator("input[name=value]").input_value() == "40 miles"
        assert "miles" in box.locator(".wrong").inner_text()

        box.locator("input[name=value]").fill("36.2")
        box.get_by_role("button", name="Write it down", exact=True).click()
        assert "36.2 L" in page.locator("#last").inner_text()
        page.get_by_role("link", name="What can be done?").click()
        assert page.locator(".ways li").count() > 1

        page.locator(".log li", has_text="36.2 L").get_by_text("Correct", exact=True).click()
        page.get_by_label("or withdraw it, because").fill("another pot")
        page.get_by_role("button", name="It counts no more").click()
        assert "withdrawn: another pot" in page.locator(".log").inner_text()

        page.get_by_role("button", name="Too early: back to the step before").click()
        assert title(page) == "Make the starter"
        page.complaints.clear()  # the browser logs the 422


def test_without_script_a_refused_reading_of_another_step_is_found_open(brewing, chromium):
    begun_ago(brewing, "boil.1", minutes=2)
    with looking(chromium, PHONE, java_script_enabled=False) as page:
        open_day(page, brewing)
        page.locator('.order > li[data-id="heat to the boil.1"] > details > summary').click()
        page.locator("summary", has_text="Gravity before the boil").click()
        field = page.locator('form[data-place="preboil gravity"] input[name=value]')
        field.fill("1.52")
        field.press("Enter")

        field = page.locator('form[data-place="preboil gravity"] input[name=value]')
        assert field.is_visible()
        assert field.input_value() == "1.52"
        page.complaints.clear()  # the browser logs the 422


def test_a_form_sent_twice_is_written_once(brewing, phone):
    for _ in range(2):
        answer = post(
            phone, brewing, "reading", step="preboil", quantity="volume", value="40.2", instrument="dipstick",
            at="2026-03-14T11:40:00+01:00", id=AN_ID,
        )  # fmt: skip
        assert answer.ok
    assert len(written(brewing)) == 1


@pytest.mark.parametrize("size", [PHONE, {"width": 1440, "height": 900}])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_bars_anyone(brewing, chromium, faults, size, scheme):
    begun_ago(brewing, "heat to the boil.1", minutes=40)
    with looking(chromium, size, color_scheme=scheme) as page:
        open_day(page, brewing)
        write_down(page, "Level before the boil", "34.2")
        page.wait_for_selector(".ways li")
        page.locator(".log summary").first.click()
        page.locator('.order > li[data-id="divide.1"] > details > summary').click()

        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        controls = page.locator("main button, main summary, main input:not([type=hidden]), main select")
        small = [one for one in controls.all() if one.is_visible() and too_small(one)]
        assert small == []


def test_the_page_and_its_script_are_small(brewing, phone):
    import gzip

    page = phone.request.get(f"{brewing.address}{DAY}").body()
    scripts = [
        phone.request.get(f"{brewing.address}{address}").body()
        for address in re.findall(rb'src="([^"]+\.js)"', page)
        for address in [address.decode()]
    ]
    styles = [
        phone.request.get(f"{brewing.address}{address.decode()}").body()
        for address in re.findall(rb'href="([^"]+\.css)"', page)
    ]
    packed = [len(gzip.compress(part)) for part in (page, *scripts, *styles)]

    assert max(len(gzip.compress(script)) for script in scripts) <= 6 * 1024
    assert sum(packed) <= 60 * 1024
