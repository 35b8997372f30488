"""Readings of a portion: all are listed, each can be put right, and the page says what became of it."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from playwright.sync_api import expect

from gylebook.brewery.instruments import Reading
from gylebook.faces.cellar_words import early_sentence, wait_sentence
from gylebook.tasks.brews import look_at_brew, make_book, start_brew, take_reading
from gylebook.tasks.cellar import cellar_of
from gylebook.tasks.typed import reading_typed
from web.conftest import BREW, EXAMPLE, serving

AT = "/cellar/Orchard%20amber%2C%20first%20time/keg"
FILLED = datetime.fromisoformat("2026-03-14T16:00+01:00")
NOW = FILLED + timedelta(days=20)


def at(day: float) -> str:
    return (FILLED + timedelta(days=day)).isoformat()


@pytest.fixture
def pitched(tmp_path):
    """The brew with its fermenters filled, twenty days ago."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, BREW, EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", "2026-03-14T09:00+01:00")
    outlook = look_at_brew(location, BREW).outlook
    take_reading(location, BREW, reading_typed(outlook, "fermenters", "33 L", None, None, at(0)))
    with serving(location, clock=lambda: NOW) as served:
        yield served


def read(served, *taken: tuple[float, str]) -> None:
    """Readings of the keg's beer by the day."""
    for day, value in taken:
        outlook = look_at_brew(served.location, BREW).outlook
        typed = reading_typed(outlook, "portion.keg ferment", value, None, None, at(day))
        take_reading(served.location, BREW, typed)


def followed(served):
    return look_at_brew(served.location, BREW).outlook.followed


def portion(served):
    return next(one for one in cellar_of(served.desk.hand, BREW) if one.key == "keg")


def write(page, value: str) -> None:
    page.get_by_label("Gravity, or the warmth").fill(value)
    page.locator("form.take").get_by_role("button", name="Write it down").click()


def test_warmths_are_listed_with_the_gravities_as_finely_as_they_were_typed(pitched, phone, faults):
    read(pitched, (2, "13 °C"), (5, "1.0195"), (9, "1.013"))
    phone.goto(f"{pitched.address}{AT}")

    rows = phone.locator("#read li")
    expect(rows).to_have_count(3)
    expect(rows.nth(0)).to_contain_text("13 °C")
    expect(rows.nth(1)).to_contain_text("1.0195")
    expect(rows.nth(2)).to_contain_text("1.013 (")
    rows.nth(1).locator("summary").click()
    assert faults(phone) == []
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_reading_is_corrected_where_it_stands_without_script(pitched, bare):
    read(pitched, (5, "1.091"), (9, "1.013"))
    bare.goto(f"{pitched.address}{AT}")
    row = bare.locator("#read li").first
    row.locator("summary").click()
    assert row.get_by_label("It was").input_value() == "1.091"
    row.get_by_label("It was").fill("1.0195")
    row.get_by_label("Sample at").fill("21")
    row.get_by_label("Because", exact=True).fill("two digits swapped")
    row.get_by_role("button", name="Put it in its place").click()

    expect(bare.get_by_role("status").filter(has_text="Corrected")).to_contain_text("1.0195")
    assert bare.url.endswith("#read")
    expect(bare.locator("#read li").filter(has_text="1.091")).to_contain_text("corrected: two digits swapped")
    first, _ = sorted(followed(pitched), key=lambda one: one.at)
    assert (first.at, first.temperature_c) == (at(5), 21.0)


def test_a_moment_and_the_gas_can_be_put_right_too(pitched, phone):
    read(pitched, (5, "1.0195"))
    phone.goto(f"{pitched.address}{AT}")
    phone.locator("#read summary").click()
    mend = phone.locator("#read form.mend").first
    mend.get_by_label("At", exact=True).fill("2026-03-20T10:00")
    mend.get_by_label("the sample still held its gas").check()
    mend.get_by_role("button").click()

    expect(phone.get_by_role("status").filter(has_text="Corrected")).to_contain_text("2026-03-20, 10:00")
    (taken,) = followed(pitched)
    assert taken.gassy


def test_a_reading_is_withdrawn_and_says_why(pitched, phone):
    read(pitched, (5, "1.019"), (6, "30 °C"))
    phone.goto(f"{pitched.address}{AT}")
    row = phone.locator("#read li").filter(has_text="30 °C")
    row.locator("summary").click()
    row.get_by_label("Or withdraw it, because").fill("that was the room")
    row.get_by_role("button", name="It counts no more").click()

    expect(phone.get_by_role("status").filter(has_text="Withdrawn")).to_contain_text("30 °C")
    expect(phone.locator("#read li").filter(has_text="30 °C")).to_contain_text("withdrawn: that was the room")
    assert [one.quantity for one in followed(pitched)] == ["gravity"]


def test_a_reading_that_leaves_no_curve_can_still_be_withdrawn(pitched, phone):
    body = Reading(
        step="portion.keg ferment", quantity="gravity", value=4.8, instrument="hydrometer", at=at(-3)
    )
    take_reading(pitched.location, BREW, body)
    assert portion(pitched).trouble
    phone.goto(f"{pitched.address}{AT}")
    phone.locator("#read summary").click()
    phone.get_by_role("button", name="It counts no more").click()

    expect(phone.get_by_role("status").filter(has_text="Withdrawn")).to_be_visible()
    assert not portion(pitched).trouble


def test_a_refused_correction_keeps_what_was_typed_and_leads_to_it(pitched, phone, faults):
    read(pitched, (5, "1.019"))
    phone.goto(f"{pitched.address}{AT}")
    row = phone.locator("#read li")
    row.locator("summary").click()
    row.get_by_label("It was").fill("13 °C")
    row.get_by_label("Because", exact=True).fill("a slip")
    row.get_by_role("button", name="Put it in its place").click()

    expect(phone.get_by_role("alert")).to_contain_text("The correction was not written")
    expect(phone.get_by_role("alert")).to_contain_text("a gravity is asked for here")
    phone.get_by_role("link", name="Mend it").click()
    expect(row.get_by_label("It was")).to_be_in_viewport()
    expect(row.get_by_label("It was")).to_have_value("13 °C")
    expect(row.get_by_label("Because", exact=True)).to_have_value("a slip")
    expect(phone.get_by_label("Gravity, or the warmth")).to_have_value("")
    assert faults(phone) == []
    phone.complaints.clear()  # the browser complains of every 422
    assert len(followed(pitched)) == 1


def test_a_reading_of_another_portion_is_not_put_right_here(pitched, phone):
    read(pitched, (5, "1.019"))
    phone.goto(f"{pitched.address}{AT}")
    event = phone.locator("#read [name=event]").first.input_value()
    for deed in ("correct", "withdraw"):
        answer = phone.request.post(
            f"{pitched.address}{AT.replace('keg', 'long')}/{deed}",
            form={"event": event, "value": "1.02"},
            headers={"sec-fetch-site": "same-origin"},
        )
        assert answer.status == 404
    assert len(followed(pitched)) == 1


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("99 °C", ("“99 °C” is 99.0 °C", "-2 to 45 °C", "“99 °F”, which is 37.2 °C")),
        (
            "66 °C",
            (
                "“66 °C” is 66.0 °C",
                "“66 °F”, which is 18.9 °C",
            ),
        ),
        ("20 °F", ("-6.7 °C", "if it was read in °C, write “20 °C”")),
        ("115 °C", ("-2 to 45 °C",)),
    ],
)
def test_no_beer_is_so_warm(pitched, phone, typed, told):
    phone.goto(f"{pitched.address}{AT}")
    write(phone, typed)

    for words in told:
        expect(phone.get_by_role("alert")).to_contain_text(words)
    phone.complaints.clear()
    assert followed(pitched) == ()


def test_what_was_written_is_said_at_the_form(pitched, phone):
    phone.goto(f"{pitched.address}{AT}")
    write(phone, "1.0195")

    assert phone.url.endswith("#reading")
    said = phone.locator("#reading").get_by_role("status")
    expect(said).to_contain_text("Written down: 1.0195 of 2026-04-03")
    expect(said).to_be_in_viewport()


def test_a_refused_reading_is_told_of_at_the_top_with_a_way_to_the_form(pitched, phone, faults):
    phone.goto(f"{pitched.address}{AT}")
    write(phone, "99 °C")

    expect(phone.get_by_role("alert")).to_be_in_viewport()
    phone.get_by_role("link", name="Mend it").click()
    expect(phone.get_by_label("Gravity, or the warmth")).to_be_in_viewport()
    assert faults(phone) == []
    phone.complaints.clear()


def test_the_wait_is_told_by_its_day_and_by_the_days_from_now(pitched, phone):
    read(pitched, (4, "1.016"), (9, "1.012"), (19, "1.0115"))
    found = portion(pitched)
    safe = datetime.fromisoformat(found.safe_at)

    before = wait_sentence(found, (safe - timedelta(days=3)).isoformat())
    then = wait_sentence(found, (safe + timedelta(days=3)).isoformat())

    assert f"before {safe.date()}, in 3 days," in before
    assert "Read again now: if it agrees with the last, it may be packed" in then
    phone.goto(f"{pitched.address}{AT}")
    expect(phone.locator("main")).not_to_contain_text("Wait ")
    expect(phone.locator("main")).to_contain_text(wait_sentence(found, NOW.isoformat()))


def test_without_a_reading_no_single_one_is_enough(pitched):
    told = wait_sentence(portion(pitched), "2027-01-01T12:00+01:00")

    assert "nothing was read" in told
    assert "agrees with the last" not in told


def test_a_packing_that_was_planned_too_early_tells_the_day_until_it_has_passed(pitched):
    read(pitched, (20, "1.020"), (23, "1.016"))
    found = portion(pitched)
    (step,) = found.ahead
    safe = datetime.fromisoformat(found.safe_at)

    assert step.early_days > 0.0
    assert f"not before {safe.date()}, in 2 days" in early_sentence(
        step, (safe - timedelta(days=2)).isoformat()
    )
    assert early_sentence(step, (safe + timedelta(days=1)).isoformat()) == ""
