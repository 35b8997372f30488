"""An evening with water kept in a book teaches as the same readings from a file do."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gylebook.errors import NotConverged, Refused
from gylebook.record.store import open_book
from gylebook.tasks.brews import make_book
from gylebook.tasks.evening import look_at_evening
from gylebook.tasks.evening_book import evening_in_book, keep_evening, keep_gauged, start_over
from gylebook.tasks.evening_view import evening_view
from gylebook.tasks.files import load_brewery, load_readings
from gylebook.tasks.gear import keep_gear

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
SHED = "The shed behind the orchard"


@pytest.fixture
def book(tmp_path):
    location = str(tmp_path / "book.gyle")
    make_book(location)
    with open_book(location) as opened:
        opened.keep_brewery(SHED, (EXAMPLE / "brewery.toml").read_text())
    return location


def values():
    read = tomllib.loads((EXAMPLE / "evening.toml").read_text())["reading"]
    return {(one["step"], one["quantity"]): one["value"] for one in read}


def text_of(location):
    with open_book(location) as book:
        return book.brewery(SHED).text


def test_readings_in_the_book_tell_what_the_same_file_tells(book):
    keep_evening(book, SHED, values())

    found = evening_in_book(book, SHED)

    by_file = evening_view(
        look_at_evening(load_brewery(EXAMPLE / "brewery.toml"), load_readings(EXAMPLE / "evening.toml"))
    )
    assert found.view.figures == by_file.figures
    assert dict(found.typed) == values()


def test_figures_that_were_kept_do_not_count_a_second_time(book):
    keep_evening(book, SHED, values())
    before = evening_in_book(book, SHED).view.figures

    assert keep_gauged(book, SHED).version == 2

    assert "boil_off_l_per_h" in tomllib.loads(text_of(book))["house"]
    assert evening_in_book(book, SHED).view.figures == before


def test_what_was_not_read_is_left_out_and_an_evening_may_begin_anew(book):
    keep_evening(book, SHED, {**values(), ("evening warm", "time"): "  "})
    assert len(evening_in_book(book, SHED).outlook.readings) == len(values()) - 1

    assert start_over(book, SHED).version == 2

    assert evening_in_book(book, SHED).outlook.readings == ()


def test_a_value_that_cannot_be_read_is_placed_at_its_reading_and_nothing_is_kept(book):
    with pytest.raises(Refused, match="evening heat time: “soon”"):
        keep_evening(book, SHED, {**values(), ("evening heat", "time"): "soon"})
    with pytest.raises(Refused, match="evening first colour: no instrument reads that"):
        keep_evening(book, SHED, {("evening first", "colour"): "12 EBC"})

    assert evening_in_book(book, SHED).version == 0


def test_readings_that_no_longer_fit_changed_gear_are_said_to(book):
    keep_evening(book, SHED, values())
    keep_gear(book, SHED, text_of(book).replace('rinse = "second pot"\n', ""), seen=1)

    with pytest.raises((Refused, NotConverged), match="evening beside"):
        evening_in_book(book, SHED)
