"""What was tasted is kept in words, with how much of what, and put right in the open."""

from __future__ import annotations

import shutil

import pytest

from gylebook.errors import Refused
from gylebook.tasks.impressions import impressions, impressions_of, write_impression
from tasting_books import AT, BREW, book_to_taste


@pytest.fixture(scope="module")
def brewed(tmp_path_factory):
    return book_to_taste(tmp_path_factory.mktemp("brewed"))


@pytest.fixture
def book(brewed, tmp_path):
    return shutil.copy(brewed, tmp_path / "book.gyle")


def test_a_note_is_read_back_under_its_portion_alone(book):
    write_impression(
        book, BREW, "keg", words="Round, bread crust 🍞", traits={"bitterness": 2}, off_flavours=["diacetyl"],
        at=AT, who="Ada",
    )  # fmt: skip

    beer, (note,) = impressions_of(book, BREW, "keg")

    assert beer.name == "Gate amber"
    assert (note.words, note.traits, note.off_flavours) == (
        "Round, bread crust 🍞",
        {"bitterness": 2},
        ("diacetyl",),
    )
    assert (note.who, note.at) == ("Ada", AT)
    assert impressions_of(book, BREW, "long")[1] == ()


def test_the_newest_note_stands_first_and_a_corrected_one_is_gone(book):
    first = write_impression(book, BREW, "keg", words="sharp", at=AT)
    write_impression(book, BREW, "bottles", words="soft", at=AT)

    write_impression(book, BREW, "keg", words="crisp", at=AT, corrects=first.number, reason="wrong word")

    assert [note.words for note in impressions(book)] == ["crisp", "soft"]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "write a word, or rate something"),
        ({"traits": {"hoppiness": 2}}, "known are malt aroma"),
        ({"traits": {"body": 5}}, "is one of 0 none, 1 a hint"),
        ({"off_flavours": ["butter"]}, "known are acetaldehyde"),
        ({"words": "x" * 4001}, "at most 4000"),
        ({"words": "x", "corrects": 1}, "is no note on how this portion tastes"),
    ],
)
def test_what_is_no_note_is_refused_with_what_is(book, more, said):
    with pytest.raises(Refused, match=said):
        write_impression(book, BREW, "keg", at=AT, **more)

    assert impressions(book) == ()
