"""The day goes on without a network: on the page that is open, and on a sheet that was saved."""

from __future__ import annotations

import pytest

from web.conftest import PHONE, looking
from web.day_pages import DAY, begin, go_on, open_day, reading, title, wait_for_kept, write_down, written
from web.test_day import begun_ago


@pytest.fixture
def cut(brewing, chromium):
    """A phone at the mash whose network has just gone, and what brings it back."""
    begun_ago(brewing, "heat to the boil.1", minutes=2)
    with looking(chromium, PHONE) as page:
        open_day(page, brewing)
        page.context.set_offline(True)
        yield page
        page.complaints.clear()  # the browser logs what it could not reach


def test_steps_go_on_and_readings_wait_and_are_each_stored_once(brewing, cut):
    write_down(cut, "Level before the boil", "40.2")
    write_down(cut, "Gravity before the boil", "1.051")
    go_on(cut)
    assert title(cut) == "Boil"
    wait_for_kept(cut, 3)
    cut.wait_for_selector("#reach:has-text('out of reach')")
    assert written(brewing) == []

    cut.context.set_offline(False)

    cut.wait_for_selector("#kept", state="hidden", timeout=10_000)
    cut.wait_for_selector("#last:has-text('1.051')")
    assert [event.body["step"] for event in written(brewing)] == ["preboil", "preboil"]
    assert title(cut) == "Boil"
    assert cut.locator("#reach").inner_text() == ""


def test_what_waits_outlives_the_page(brewing, cut):
    write_down(cut, "Level before the boil", "40.2")
    wait_for_kept(cut, 1)

    cut.goto("about:blank")
    cut.context.set_offline(False)
    open_day(cut, brewing)

    cut.wait_for_selector("#last:has-text('40.2 L')")
    assert len(written(brewing)) == 1


def test_clock_and_hours_go_on_from_when_the_step_began_here(brewing, cut):
    go_on(cut)
    shown = cut.locator("#slot .clock").inner_text()
    assert shown.startswith("59:") or shown in ("60:00", "1:00:00")
    assert "Add to the boil" in cut.locator("#slot .then").inner_text()

    cut.get_by_role("button", name="Too early: back to the step before").click()

    assert title(cut) == "Bring the wort to the boil"
    assert cut.locator("#kept").is_hidden()


def test_expected_ranges_and_cautions_of_later_steps_are_there(brewing, cut):
    begin(cut, "divide.1")

    assert cut.locator("#slot .range").count() >= 4
    assert "hot wort" in cut.locator("#slot .risk").first.inner_text()


def test_a_reading_refused_on_return_stays_until_it_is_mended(brewing, cut):
    box = reading(cut, "Level before the boil")
    box.locator("input[name=value]").fill("40.2 furlongs")
    box.get_by_role("button", name="write it down", exact=True).click()
    write_down(cut, "Gravity before the boil", "1.051")

    cut.context.set_offline(False)

    cut.wait_for_selector("#kept:has-text('refused')", timeout=10_000)
    wait_for_kept(cut, 1)
    assert len(written(brewing)) == 1
    cut.wait_for_selector("#slot .wrong:has-text('furlongs')")
    field = cut.locator('#slot form[data-place="preboil volume"] input[name=value]')
    assert field.input_value() == "40.2 furlongs"
    field.fill("40.2")
    field.press("Enter")
    cut.wait_for_selector("#last:has-text('40.2 L')", timeout=10_000)
    cut.wait_for_selector("#kept", state="hidden")
    assert len(written(brewing)) == 2


def test_a_refused_reading_can_be_let_go(brewing, cut):
    box = reading(cut, "Level before the boil")
    box.locator("input[name=value]").fill("40.2 furlongs")
    box.get_by_role("button", name="write it down", exact=True).click()
    cut.context.set_offline(False)
    cut.wait_for_selector("#kept:has-text('refused')", timeout=10_000)

    cut.get_by_role("button", name="Let it go").click()

    cut.wait_for_selector("#kept", state="hidden")
    assert written(brewing) == []


def test_a_sheet_is_saved_opened_without_a_server_and_pasted_back(brewing, chromium, faults, tmp_path):
    with looking(chromium, PHONE) as page:
        open_day(page, brewing)
        with page.expect_download() as saving:
            page.get_by_role("link", name="Save the day as one file").click()
        file = tmp_path / "day.html"
        saving.value.save_as(file)
    text = file.read_text(encoding="utf-8")
    assert "src=" not in text

    with looking(chromium, PHONE, offline=True) as alone:
        alone.goto(file.as_uri())
        assert "wet bag" in alone.inner_text("body")
        assert faults(alone) == []
        alone.get_by_role("button", name="Begin Boil now").click()
        assert alone.locator("section[data-now] .clock").inner_text()[:3] in ("1:0", "59:")
        alone.get_by_label("Level before the boil").fill("40.2")
        alone.get_by_label("pH of the mash", exact=False).first.fill("5.41")
        alone.get_by_role("button", name="Copy the readings").click()
        alone.wait_for_timeout(300)  # a browser stores what it keeps a moment later
        alone.reload()  # what was typed is kept on the phone
        alone.get_by_role("button", name="Copy the readings").click()
        copied = alone.locator("#text").input_value()
    assert copied.count("[[reading]]") == 2

    with looking(chromium, PHONE) as page:
        for told in ("kept", "there already"):
            open_day(page, brewing)
            page.get_by_label("Readings of a saved day").fill(copied)
            page.get_by_role("button", name="Paste them back").click()
            became = page.locator("#away [role=status] li").all_inner_texts()
            assert became == [f"mash, pH: {told}", f"preboil, volume: {told}"]
        assert page.url.endswith(f"{DAY}/paste")
    assert len(written(brewing)) == 2


def test_a_paste_that_cannot_be_read_comes_back_with_what_is_wrong(brewing, chromium):
    with looking(chromium, PHONE) as page:
        open_day(page, brewing)
        page.get_by_label("Readings of a saved day").fill('[[reading]]\nstep = "preboil"\nvalue = "4"')
        page.get_by_role("button", name="Paste them back").click()

        assert "quantity" in page.locator("#away .risk").first.inner_text()
        assert 'step = "preboil"' in page.get_by_label("Readings of a saved day").input_value()
        page.complaints.clear()  # the browser logs the 422
