"""A blind test on the page: set up, poured by, answered, counted; and notes on how a beer tastes."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from gylebook.tasks.impressions import impressions
from gylebook.tasks.tasting import set_up, tasting_in_book, tastings_in_book, write_answer
from tasting_books import AT, answer_all, odd_code, picked

BREW = "Orchard amber, first time"
BEERS = [(BREW, "keg"), (BREW, "bottles")]


def triangle(served, tasters: int = 12, **more):
    return set_up(served.location, "triangle", BEERS, tasters=tasters, at=AT, seed=3, **more)


def test_an_empty_book_has_nothing_to_taste(empty_book, phone):
    phone.goto(f"{empty_book.address}/house")
    expect(phone.get_by_role("link", name="Glass")).to_have_count(0)

    phone.goto(f"{empty_book.address}/glass/set-up")

    expect(phone.locator("main")).to_contain_text("There is no brew in this book yet")


def test_glass_is_a_place_once_there_is_something_to_taste(brewing, phone):
    phone.goto(f"{brewing.address}/cellar")
    phone.get_by_role("link", name="Glass").click()

    expect(phone.locator("h1")).to_have_text("Glass")
    expect(phone.locator("main")).to_contain_text("Nothing was tasted blind yet")


def test_a_test_is_set_up_and_answered_without_script(brewing, bare):
    bare.goto(f"{brewing.address}/glass/set-up")
    bare.get_by_label("Gate amber").check()
    bare.get_by_label("Hedge amber").check()
    bare.get_by_label(re.compile("^Triangle")).check()
    bare.get_by_label("Tasters").fill("4")
    bare.get_by_role("button", name="Look again").click()
    expect(bare.locator("main")).to_contain_text("With four tasters")
    expect(bare.get_by_label("Gate amber")).to_be_checked()
    assert tastings_in_book(brewing.location) == ()  # looking keeps nothing

    bare.get_by_role("button", name="Set it up").click()
    expect(bare.locator("h1")).to_have_text("Gate amber or Hedge amber: triangle")
    (found,) = tastings_in_book(brewing.location)
    for one in found.tasting.sets:
        bare.get_by_label("Code of the odd glass").fill(odd_code(one))
        bare.get_by_label("Who, if you like").fill("Ada")
        bare.get_by_role("button", name="Write it down").click()

    expect(bare.locator("main")).to_contain_text("4 of 4 picked the odd one")
    expect(bare.locator("main")).to_contain_text("12 times in 1,000")  # 1/81


def test_neither_key_nor_result_shows_until_it_is_asked_for(brewing, phone):
    found = triangle(brewing)
    answer_all(brewing.location, found.number, 8, but=1)
    address = f"{brewing.address}/glass/{found.number}"
    phone.goto(address)

    table = phone.get_by_role("region", name="Table of every set")
    expect(table).not_to_contain_text("Gate amber")
    expect(phone.locator("main")).not_to_contain_text("picked the odd one")
    phone.get_by_text("Count before the end").click()
    phone.get_by_role("link", name="Count all the same").click()
    expect(phone.locator("main")).to_contain_text("8 of 11 picked the odd one")
    expect(phone.locator("main")).to_contain_text("▲ 1 of 12 sets are unanswered")
    phone.get_by_text("Which beer stood under which code").click()
    phone.get_by_role("link", name="Show the key").click()

    code, beer = found.tasting.sets[0].codes[0], ("Gate amber", "Hedge amber")[found.tasting.sets[0].beers[0]]
    expect(table).to_contain_text(f"{code} {beer}")


def test_a_finished_test_says_what_luck_does_and_draws_it(brewing, phone):
    found = triangle(brewing)
    answer_all(brewing.location, found.number, 8)
    phone.goto(f"{brewing.address}/glass/{found.number}")

    main = phone.locator("main")
    expect(main).to_contain_text("8 of 12 picked the odd one; by luck alone 4 would.")
    expect(main).to_contain_text("19 times in 1,000")
    expect(main).to_contain_text("Distance d′ 2.3 (0.8 – 3.8)")
    svg = phone.locator(".luck svg")
    assert svg.locator("rect").count() == 13  # none right to all right
    assert svg.locator('rect:not([fill="none"])').count() == 5  # 8 to 12
    expect(svg).to_have_attribute("aria-label", re.compile("8 and all that is as far from luck: 19 times"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [("100", "100 is on no glass of this test"), ("", ""), ("327 739", "Write the code of the odd glass")],
)
def test_a_code_that_is_no_answer_comes_back_as_it_was_typed(brewing, phone, typed, said):
    found = triangle(brewing, tasters=2)
    phone.goto(f"{brewing.address}/glass/{found.number}")
    phone.get_by_label("Code of the odd glass").fill(typed)
    phone.get_by_label("In words").fill("sharper")
    phone.complaints.clear()
    phone.get_by_role("button", name="Write it down").click()

    if said:
        expect(phone.get_by_role("alert")).to_contain_text(said)
        expect(phone.get_by_label("Code of the odd glass")).to_have_value(typed)
    expect(phone.get_by_label("In words")).to_have_value("sharper")
    assert tasting_in_book(brewing.location, found.number).answers == ()
    phone.complaints.clear()  # a browser complains of an answer with 422


def test_a_wrong_entry_is_put_right_only_when_that_is_said(brewing, phone):
    found = triangle(brewing, tasters=2)
    one = found.tasting.sets[0]
    write_answer(brewing.location, found.number, picked(found.tasting, one, False), at=AT)
    phone.goto(f"{brewing.address}/glass/{found.number}")
    phone.get_by_label("Code of the odd glass").fill(odd_code(one))
    phone.get_by_role("button", name="Write it down").click()
    expect(phone.get_by_role("alert")).to_contain_text("Taster 1 answered that set already")
    phone.complaints.clear()

    phone.get_by_label(re.compile("instead of an earlier answer")).check()
    phone.get_by_role("button", name="Write it down").click()

    expect(phone.locator("main")).to_contain_text("1 of 2 answers are in")
    (stands,) = tasting_in_book(brewing.location, found.number).answers
    assert stands.answer.picked == (odd_code(one),)


def test_an_answer_sent_twice_is_kept_once(brewing, phone):
    found = triangle(brewing, tasters=2)
    form = {"picked": odd_code(found.tasting.sets[0]), "id": "00000000-0000-4000-8000-000000000009"}
    address = f"{brewing.address}/glass/{found.number}"

    answers = [
        phone.request.post(address, form=form, headers={"sec-fetch-site": "same-origin"}, max_redirects=0)
        for _ in range(2)
    ]

    assert [answer.status for answer in answers] == [303, 303]
    assert len(tasting_in_book(brewing.location, found.number).answers) == 1


def test_what_cannot_be_set_up_is_said_beside_its_field_and_nothing_is_lost(brewing, phone):
    phone.goto(f"{brewing.address}/glass/set-up")
    phone.get_by_label("Loft amber").check()
    phone.get_by_label("Tasters").fill("many")
    phone.get_by_label("In each glass").fill("a sip")
    phone.get_by_role("button", name="Set it up").click()

    expect(phone.locator("#p-tasters")).to_contain_text("“many” is no number from 1 to 60")
    expect(phone.get_by_label("Tasters")).to_have_value("many")
    expect(phone.get_by_label("In each glass")).to_have_value("a sip")
    expect(phone.get_by_label("Loft amber")).to_be_checked()
    phone.complaints.clear()

    phone.get_by_label("Tasters").fill("8")
    phone.get_by_label("In each glass").fill("2 fl oz")
    phone.get_by_role("button", name="Set it up").click()
    expect(phone.locator("#p-beers")).to_contain_text("This test takes two")
    phone.complaints.clear()

    phone.get_by_label("Gate amber").check()
    phone.get_by_role("button", name="Set it up").click()
    expect(phone.locator("main")).to_contain_text("32 glasses of 59 mL")


def test_the_cursor_stands_ready_for_the_next_slip(brewing, phone):
    found = triangle(brewing, tasters=2)
    phone.goto(f"{brewing.address}/glass/{found.number}")
    phone.get_by_label("Code of the odd glass").fill(odd_code(found.tasting.sets[0]))
    phone.keyboard.press("Enter")

    expect(phone.get_by_label("Code of the odd glass")).to_be_focused()
    phone.keyboard.type(odd_code(found.tasting.sets[1]))
    phone.keyboard.press("Enter")

    expect(phone.locator("main")).to_contain_text("2 of 2 picked the odd one")


def test_a_test_that_is_called_off_is_shown_no_more(brewing, phone):
    found = triangle(brewing, tasters=2)
    phone.goto(f"{brewing.address}/glass/{found.number}")
    phone.get_by_text("Call it off").first.click()
    phone.get_by_role("button", name="Call it off").click()

    expect(phone.locator("main")).to_contain_text("Nothing was tasted blind yet")
    assert phone.request.get(f"{brewing.address}/glass/{found.number}").status == 404


def test_the_ledger_tells_of_a_test_without_its_key(brewing, phone):
    found = triangle(brewing, tasters=2)
    answer_all(brewing.location, found.number, 1, but=1)

    phone.goto(f"{brewing.address}/ledger/Orchard%20amber%2C%20first%20time")

    happened = phone.locator(".happened")
    expect(happened).to_contain_text("Gate amber or Hedge amber")
    expect(happened).to_contain_text(f"taster 1 picked {odd_code(found.tasting.sets[0])}")
    expect(happened).not_to_contain_text(found.tasting.sets[1].codes[0])


def test_the_sheet_is_a_pdf_of_this_test(brewing, phone):
    found = triangle(brewing)

    answer = phone.request.get(f"{brewing.address}/glass/{found.number}/sheet")

    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF")


def test_a_note_is_written_rated_and_replaced(brewing, phone):
    phone.goto(f"{brewing.address}/glass")
    phone.get_by_role("link", name="Gate amber").click()
    phone.get_by_label("In your own words").fill("Bread crust,\nshort")
    phone.get_by_text("How much there is of it").click()
    phone.get_by_label("Bitterness").select_option("clear")
    phone.get_by_text("Off-flavours", exact=True).click()
    phone.get_by_label(re.compile("^Diacetyl")).check()
    phone.get_by_role("button", name="Write it down").click()
    expect(phone.locator("main")).to_contain_text("Bitterness clear.")
    (note,) = impressions(brewing.location)
    assert (note.words, note.traits, note.off_flavours) == (
        "Bread crust,\nshort",
        {"bitterness": 2},
        ("diacetyl",),
    )

    phone.get_by_label("In your own words").fill("Longer than I thought")
    phone.get_by_label(re.compile("takes the place of")).select_option(str(note.number))
    phone.get_by_role("button", name="Write it down").click()

    expect(phone.locator(".taken")).to_have_count(1)
    expect(phone.locator(".taken")).to_contain_text("Longer than I thought")


def test_an_empty_note_is_refused_in_words(brewing, phone):
    phone.goto(f"{brewing.address}/glass/notes/Orchard%20amber%2C%20first%20time/keg")
    phone.get_by_label("Who, if you like").fill("Ada")
    phone.get_by_role("button", name="Write it down").click()

    expect(phone.get_by_role("alert")).to_contain_text("Write a word, or rate something")
    expect(phone.get_by_label("Who, if you like")).to_have_value("Ada")
    phone.complaints.clear()


@pytest.mark.parametrize(
    "path", ["/glass/999", "/glass/none", f"/glass/notes/{BREW}/kag", "/glass/notes/none/keg"]
)
def test_what_is_not_there_is_said_in_words(brewing, phone, path):
    answer = phone.request.get(f"{brewing.address}{path}")

    assert answer.status == 404
    assert "<h1>" in answer.text()


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_nobody_is_shut_out(brewing, faults, request, size):
    done, open_ = triangle(brewing), triangle(brewing, tasters=3, rounds=2)
    answer_all(brewing.location, done.number, 8)
    answer_all(brewing.location, open_.number, 2, but=2)
    page = request.getfixturevalue(size)
    for path in (
        "/glass",
        "/glass/set-up",
        "/glass/set-up?kind=ranking",
        "/glass/set-up?kind=paired&tasters=3",
        f"/glass/{done.number}?key=true",
        f"/glass/{open_.number}?early=true",
        f"/glass/notes/{BREW}/keg",
    ):
        answer = page.goto(f"{brewing.address}{path}")
        assert faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert len(answer.body()) < 60_000
