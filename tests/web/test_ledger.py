"""The ledger finds every brew by what it was made of, and opens each as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from gylebook.tasks.brews import look_at_brew, start_brew, take_reading
from gylebook.tasks.ledger import A_PAGE, ledger_page, reopen
from gylebook.tasks.typed import reading_typed

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
BREW = "Orchard amber, first time"
LEDGER = "/ledger/Orchard%20amber%2C%20first%20time"


def read(served, step: str, value: str, at: str = "2026-03-14T12:00+01:00", brew: str = BREW) -> int:
    """The number under which a reading was written down."""
    outlook = look_at_brew(served.location, brew).outlook
    typed = reading_typed(outlook, step, value, None, None, at)
    return take_reading(served.location, brew, typed).event.seq


def brew_again(served, name: str, at: str = "2026-04-01T09:00+01:00", hop: str = "Saaz") -> None:
    folder = Path(served.location).parent
    plan = folder / "plan.toml"
    plan.write_text((EXAMPLE / "plan.toml").read_text().replace("Saaz", hop))
    start_brew(served.location, name, plan, EXAMPLE / "brewery.toml", at, draws=200)


def test_the_newest_brew_stands_first_and_is_found_by_what_went_in(brewing, phone):
    brew_again(brewing, "Spring trial", hop="Cascade")
    phone.goto(f"{brewing.address}/ledger")
    expect(phone.locator("main h2")).to_have_text(["Spring trial", BREW])

    phone.get_by_role("searchbox").fill("vienna cascade")
    phone.get_by_role("button", name="Look").click()

    expect(phone.locator("main h2")).to_have_text(["Spring trial"])
    expect(phone.get_by_role("searchbox")).to_have_value("vienna cascade")


@pytest.mark.parametrize(
    ("words", "found"),
    [("saaz", 1), ("VIENNA", 1), ("kölsch", 1), ("brettanomyces", 1), ("2026-03-14", 1), ("hedge first", 1),
     ("shed", 1), ("cascade", 0), ("saaz cascade", 0), ("fermenter", 0)],
)  # fmt: skip
def test_every_word_must_occur_and_those_of_the_file_format_do_not_count(brewing, words, found):
    assert ledger_page(brewing.desk.hand, words).found == found


def test_what_was_foretold_stays_and_what_it_became_follows_the_readings(brewing, phone):
    read(brewing, "fermenters", "31 L")
    told = reopen(brewing.desk.hand, BREW).told[0]
    phone.goto(f"{brewing.address}/ledger")

    assert told.foretold.median > 35.0
    assert told.became.median == pytest.approx(31.0, abs=0.7)
    assert told.measured
    assert told.foretold == reopen(brewing.desk.hand, BREW, up_to=1).told[0].became
    expect(phone.locator("main")).to_contain_text("below what was foretold")


def test_a_brew_opens_as_it_stood_after_any_event(brewing, phone):
    first = read(brewing, "preboil", "40 L")
    read(brewing, "fermenters", "31 L", "2026-03-14T15:00+01:00")
    before = look_at_brew(brewing.location, BREW, up_to=first).outlook.numbers["og"].sd

    phone.goto(f"{brewing.address}{LEDGER}")
    phone.get_by_label("As it stood").select_option(str(first))
    phone.get_by_role("button", name="Open so").click()

    expect(phone.locator("main")).to_contain_text(f"This is how it stood after number {first}")
    expect(phone.locator(".happened li.faint")).to_have_count(1)
    opened = reopen(brewing.desk.hand, BREW, up_to=first)
    assert [reading.value for reading in opened.readings] == [40.0]
    assert next(told for told in opened.told if told.name == "og").became.sd == before


def test_the_versions_that_it_pins_can_be_read_to_the_letter(brewing, phone):
    phone.goto(f"{brewing.address}{LEDGER}")
    phone.get_by_text("Brewery, version 1").click()

    shown = phone.locator("details[open] pre").inner_text()
    assert shown.strip() == (EXAMPLE / "brewery.toml").read_text().strip()


def test_a_portion_that_was_followed_ends_where_its_curve_ends(brewing):
    read(brewing, "fermenters", "33 L")
    for day, value in ((18, "1.034"), (22, "1.031"), (27, "1.031")):
        read(brewing, "portion.bottles ferment", value, f"2026-03-{day}T12:00+01:00")

    told = {told.name: told for told in reopen(brewing.desk.hand, BREW).told}

    assert told["portion.bottles.fg"].became.median == pytest.approx(1.031, abs=0.002)
    assert told["portion.bottles.fg"].foretold.median < 1.020


def test_pages_of_the_ledger_hold_every_brew_once(brewing):
    for number in range(A_PAGE):
        brew_again(brewing, f"Number {number}", f"2026-04-{number + 1:02}T09:00+01:00")

    pages = [ledger_page(brewing.desk.hand, number=number) for number in (1, 2)]

    names = [entry.brew.name for page in pages for entry in page.entries]
    assert (len(names), len(set(names)), names[-1]) == (A_PAGE + 1, A_PAGE + 1, BREW)
    assert ledger_page(brewing.desk.hand, number=999).number == 2


def test_a_name_that_looks_like_a_way_through_folders_opens_all_the_same(brewing, phone):
    brew_again(brewing, "half/half <b>")
    phone.goto(f"{brewing.address}/ledger")
    phone.get_by_role("link", name="half/half <b>").click()

    expect(phone.locator("h1")).to_have_text("half/half <b>")


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/ledger/none", 404),
        (f"{LEDGER}?up_to=99999", 422),
        (f"{LEDGER}?up_to=x", 422),
        ("/ledger?page=0", 422),
    ],
)
def test_what_is_not_there_is_said_in_words(brewing, phone, path, status):
    answer = phone.request.get(f"{brewing.address}{path}")

    assert answer.status == status
    assert "<h1>" in answer.text()


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_nobody_is_shut_out(brewing, faults, request, size):
    read(brewing, "preboil", "40 L")
    read(brewing, "preboil", "1.020", "2026-03-14T12:05+01:00")
    page = request.getfixturevalue(size)
    for path in ("/ledger", "/ledger?q=none", LEDGER, f"{LEDGER}?up_to=1"):
        page.goto(f"{brewing.address}{path}")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
