"""What happens in a brew is written once, superseded at most once, and never lost from sight."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID, uuid4

import pytest

from gylebook.brewery.instruments import Reading
from gylebook.errors import Refused
from gylebook.record.replay import as_of, reading_body, reading_of, readings_of, standing

AT = "2026-03-14T09:30:00+01:00"
ID = UUID("00000000-0000-4000-8000-000000000001")


def gravity(plato: float) -> dict[str, object]:
    return reading_body(
        Reading(step="preboil", quantity="gravity", value=plato, instrument="hydrometer", temperature_c=24.5)
    )


def test_what_was_written_is_read_back_as_it_was(book, brew):
    body = {"text": "Würze \0 “klar” 🍺", "figures": {"og": [1.048, 1.052]}, "none": None}

    written = book.write_event(brew.id, "note", body, AT, id=ID, who="Ada", device="phone", reason="asked")

    assert book.events(brew.id) == (written,)
    assert (written.id, written.brew_id, written.kind, written.at) == (ID, brew.id, "note", AT)
    assert (written.who, written.device, written.reason) == ("Ada", "phone", "asked")
    assert written.body == body
    assert datetime.fromisoformat(written.written_at).tzinfo is not None


def test_a_reading_sent_twice_by_the_phone_is_stored_once(book, brew):
    first = book.write_event(brew.id, "reading", gravity(11.8), AT, id=ID)

    again = book.write_event(brew.id, "reading", gravity(11.8), AT, id=ID)

    assert again == first
    assert book.events(brew.id) == (first,)


def test_sending_again_what_was_superseded_meanwhile_is_no_error(book, brew):
    first = book.write_event(brew.id, "reading", gravity(11.8), AT)
    fix = book.write_event(brew.id, "reading", gravity(11.6), AT, id=ID, supersedes=first.id)

    assert book.write_event(brew.id, "reading", gravity(11.6), AT, id=ID, supersedes=first.id) == fix


def test_another_reading_under_a_used_id_is_refused_and_says_what_differs(book, brew, start):
    first = book.write_event(brew.id, "reading", gravity(11.8), AT, id=ID)

    with pytest.raises(Refused, match=r"other content \(who, body\).*give the correction its own id"):
        book.write_event(brew.id, "reading", gravity(11.9), AT, id=ID, who="Ada")
    with pytest.raises(Refused, match=r"other content \(brew_id\)"):
        book.write_event(start(book, "autumn").id, "reading", gravity(11.8), AT, id=ID)

    assert book.events(brew.id) == (first,)


def test_a_correction_stands_in_the_place_of_what_it_supersedes(book, brew):
    wrong = book.write_event(brew.id, "reading", gravity(18.1), AT)
    note = book.write_event(brew.id, "note", {"text": "stirred"}, AT)
    right = book.write_event(
        brew.id, "reading", gravity(11.8), AT, supersedes=wrong.id, reason="read upside down"
    )

    events = book.events(brew.id)

    assert events == (wrong, note, right)
    assert standing(events) == (note, right)
    assert [reading.value for reading in readings_of(standing(events))] == [11.8]


def test_a_withdrawn_reading_is_gone_and_so_is_the_withdrawal(book, brew):
    wrong = book.write_event(brew.id, "reading", gravity(18.1), AT)

    book.write_event(brew.id, "withdrawn", {}, AT, supersedes=wrong.id, reason="other kettle")

    assert standing(book.events(brew.id)) == ()


def test_a_withdrawal_can_be_taken_back_by_writing_the_reading_anew(book, brew):
    first = book.write_event(brew.id, "reading", gravity(11.8), AT)
    gone = book.write_event(brew.id, "withdrawn", {}, AT, supersedes=first.id)

    back = book.write_event(brew.id, "reading", gravity(11.8), AT, supersedes=gone.id)

    assert standing(book.events(brew.id)) == (back,)


def test_an_event_is_superseded_once_and_the_refusal_names_what_stands(book, brew):
    first = book.write_event(brew.id, "reading", gravity(18.1), AT)
    second = book.write_event(brew.id, "reading", gravity(11.8), AT, supersedes=first.id)

    told = rf"event {first.seq}; was superseded already, by event {second.seq} \(reading\)"
    with pytest.raises(Refused, match=told):
        book.write_event(brew.id, "reading", gravity(11.7), AT, supersedes=first.id)

    assert book.events(brew.id) == (first, second)


def test_what_this_brew_never_saw_cannot_be_superseded(book, brew, start):
    elsewhere = book.write_event(start(book, "autumn").id, "note", {}, AT)

    for unknown in (uuid4(), elsewhere.id):
        with pytest.raises(Refused, match=f"supersedes: {unknown}; is no event of this brew"):
            book.write_event(brew.id, "note", {}, AT, supersedes=unknown)


def test_the_book_can_be_read_as_of_any_earlier_event(book, brew):
    wrong = book.write_event(brew.id, "reading", gravity(18.1), AT)
    right = book.write_event(brew.id, "reading", gravity(11.8), AT, supersedes=wrong.id)
    gone = book.write_event(brew.id, "withdrawn", {}, AT, supersedes=right.id)
    events = book.events(brew.id)

    assert as_of(events, wrong.seq) == (wrong,)
    assert as_of(events, right.seq) == (right,)
    assert as_of(events, gone.seq) == ()
    assert as_of(events, wrong.seq - 1) == ()
    assert standing(book.events(brew.id, up_to_seq=right.seq)) == as_of(events, right.seq)
    assert standing(reversed(events[:2])) == (right,)


def test_the_newest_event_of_each_brew_is_known_by_its_number(book, brew, start):
    other = start(book, "autumn")
    assert book.latest_seq(brew.id) == 0

    first = book.write_event(brew.id, "note", {}, AT)
    second = book.write_event(other.id, "note", {}, AT)

    assert 0 < first.seq < second.seq
    assert (book.latest_seq(brew.id), book.latest_seq(other.id)) == (first.seq, second.seq)


def test_everything_wrong_with_an_event_is_told_at_once_and_nothing_is_written(book, brew):
    reading = {"step": "preboil", "quantity": "bitterness", "value": True, "colour": "amber"}

    with pytest.raises(Refused, match="at: “noon”; must be ISO 8601 with its zone") as refused:
        book.write_event(brew.id, "reading", reading, "noon", who="A\0da")

    said = str(refused.value)
    for part in (
        "who: holds a NUL",
        "instrument: is missing",
        "quantity: 'bitterness'",
        "value: True",
        "colour",
    ):
        assert part in said
    assert book.events(brew.id) == ()


@pytest.mark.parametrize(
    ("kind", "body", "at", "words"),
    [
        ("note", {}, "2026-03-14T09:30:00", "with its zone"),
        ("", {}, AT, "kind: “”; must be one line"),
        ("note", {"og": float("nan")}, AT, "every number must be finite"),
        ("note", {"text": "\ud83c"}, AT, "half a character"),
        ("withdrawn", {}, AT, "must say which event it takes away"),
        ("withdrawn", {"og": 1}, AT, "puts nothing in the place"),
    ],
    ids=[
        "no zone",
        "no kind",
        "not a number",
        "half a character",
        "withdraws nothing",
        "withdraws with body",
    ],
)
def test_an_event_that_could_not_be_understood_later_is_refused_now(book, brew, kind, body, at, words):
    with pytest.raises(Refused, match=words):
        book.write_event(brew.id, kind, body, at)

    assert book.events(brew.id) == ()


def test_an_event_needs_a_brew_of_this_book(book):
    with pytest.raises(Refused, match=r"brew .* is not in this book"):
        book.write_event(uuid4(), "note", {}, AT)


def test_a_reading_comes_back_with_every_field(book, brew):
    reading = Reading(
        step="kettle end", quantity="volume", value=41.5, instrument="dipstick", at=AT, temperature_c=98.0
    )

    book.write_event(brew.id, "reading", reading_body(reading), AT)

    assert readings_of(book.events(brew.id)) == (reading,)


HOT = Reading(
    step="mash", quantity="ph", value=5.1, instrument="ph meter", temperature_c=65.0, meter="hot, uncorrected"
)


def test_a_hot_ph_is_replayed_with_the_way_its_meter_was_used(book, brew):
    book.write_event(brew.id, "reading", reading_body(HOT), AT)

    assert readings_of(book.events(brew.id)) == (HOT,)


def test_a_reading_written_before_meters_were_told_of_is_one_of_a_cooled_sample():
    before = {"step": "mash", "quantity": "ph", "value": 5.4, "instrument": "ph meter", "at": "",
              "temperature_c": 65.0}  # fmt: skip

    reading = reading_of(before)

    assert reading.meter == "cooled"
    assert reading_body(reading) == before


def test_a_meter_used_in_no_known_way_is_refused():
    with pytest.raises(
        Refused, match="reading, meter: 'hot'; must be one of “cooled”, “hot, corrected”, “hot"
    ):
        reading_of({**reading_body(HOT), "meter": "hot"})


def test_a_reading_of_a_book_from_before_bounds_is_a_value():
    older = {"step": "preboil", "quantity": "volume", "value": 40.2, "instrument": "dipstick", "at": ""}

    assert reading_of(older).beyond == ""
    # And one that is no bound is written as it always was.
    assert "beyond" not in reading_body(reading_of(older))


def test_a_bound_comes_back_as_a_bound_and_an_unknown_side_is_refused():
    bound = Reading(step="preboil", quantity="volume", value=40.0, instrument="dipstick", beyond="above")

    assert reading_of(reading_body(bound)) == bound
    with pytest.raises(Refused, match=r"beyond: “?'?left'?”?; must be one of nothing, above, below"):
        reading_of({**reading_body(bound), "beyond": "left"})


def test_events_of_a_kind_are_found_across_brews_with_what_was_withdrawn(book, brew, start):
    autumn = start(book, "autumn")
    first = book.write_event(brew.id, "tasted", {"words": "soft"}, AT)
    book.write_event(brew.id, "note", {}, AT)
    other = book.write_event(autumn.id, "tasted", {"words": "sharp"}, AT)
    book.write_event(brew.id, "withdrawn", {}, AT, supersedes=first.id)

    found = book.events_of("tasted")

    assert [event.kind for event in found] == ["tasted", "tasted", "withdrawn"]
    assert standing(found) == (other,)
