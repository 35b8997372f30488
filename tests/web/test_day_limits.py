"""What a day says when something does not fit: a limit that breaks, a remedy gone stale, a brew not there."""

from __future__ import annotations

from urllib.parse import quote

from gylebook.tasks.brews import start_brew
from web.conftest import BREW, EXAMPLE
from web.day_pages import begin, open_day, post, wait_for_title


def test_a_stale_remedy_is_refused_with_what_to_do(brewing, phone):
    post(phone, brewing, "reading", step="preboil", quantity="volume", value="36", instrument="dipstick")
    answer = post(phone, brewing, "adopt", number="1", seen="1")

    assert answer.status == 422
    assert "look at them again" in answer.json()["problems"][0]["accepted"]


def test_the_day_of_a_brew_that_is_not_there_says_which_are(brewing, phone):
    answer = phone.request.get(f"{brewing.address}/day/{quote('no such brew')}")

    assert answer.status == 404
    assert f"it holds {BREW}" in answer.text()


def test_a_brew_whose_name_would_be_a_way_through_folders_has_its_day(brewing, phone):
    start_brew(
        brewing.location,
        "1/2 amber",
        EXAMPLE / "plan.toml",
        EXAMPLE / "brewery.toml",
        "2026-03-15T09:00+01:00",
    )
    phone.goto(f"{brewing.address}/ledger")

    phone.get_by_role("link", name="Day").click()

    phone.wait_for_selector("#slot")
    assert phone.title().startswith("1/2 amber")
    begin(phone, "weigh.1")


def test_a_limit_that_a_reading_breaks_is_named_with_what_helps(brewing, phone, faults):
    read = {
        "step": "preboil",
        "quantity": "volume",
        "value": "44.5",
        "instrument": "dipstick",
        "temperature": "72",
    }
    post(phone, brewing, "reading", **read)

    open_day(phone, brewing, "?remedies=yes")

    lost = phone.locator("#lost").inner_text()
    assert "▲ Foam room in the kettle: " in lost
    assert "Hold wort back" in lost
    assert "brim at the mash" not in lost  # that step is behind
    for way in phone.locator(".ways > li").all():
        assert "▲ limits kept" in way.inner_text()
        assert "foam room in the kettle" in way.inner_text()
    assert faults(phone) == []


def test_a_step_begun_from_the_list_is_in_sight(brewing, phone):
    open_day(phone, brewing)
    begin(phone, "divide.1")
    wait_for_title(phone, "Divide the wort")
    phone.wait_for_timeout(1000)  # for the answer, which once brought the page half down again

    assert phone.evaluate("scrollY") == 0
