"""Write plans as drafts, and keep them as versions beside what brew days make of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from gylebook.errors import Refused
from gylebook.record.store import open_book
from gylebook.tasks.brews import adopt_remedy, look_at_brew, make_book, start_brew, start_kept_brew
from gylebook.tasks.drafts import (
    choices_of,
    draft_fields,
    draft_with,
    field_of,
    look_at_draft,
    refuse_unreadable,
)
from gylebook.tasks.outlook import look_ahead
from gylebook.tasks.plan_versions import copy_plan, keep_plan, look_at_plan, plans_in

EXAMPLE = Path(__file__).parents[2] / "examples" / "amber-three-ways"
PLAN = (EXAMPLE / "plan.toml").read_text(encoding="utf-8")
BREWERY = (EXAMPLE / "brewery.toml").read_text(encoding="utf-8")
NAME = "Orchard amber"
STARTED = "2026-03-14T09:00+01:00"


@pytest.fixture
def book(tmp_path) -> str:
    """A book in which the example is brewed."""
    location = str(tmp_path / "book.gyle")
    make_book(location)
    start_brew(location, "first", EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", STARTED, draws=400)
    return location


def test_a_draft_is_forecast_as_a_kept_plan_is():
    drafted = look_at_draft(PLAN, BREWERY, draws=400)
    kept = look_ahead(drafted.asked, drafted.brewery, draws=400)

    assert drafted.numbers == kept.numbers


def test_the_same_draft_again_is_not_worked_out_twice():
    assert look_at_draft(PLAN, BREWERY, draws=400) is look_at_draft(PLAN, BREWERY, draws=400)


def test_a_changed_field_changes_the_forecast():
    more = draft_with(PLAN, {"aims.fermenters": "36 L"})

    before, after = (look_at_draft(text, BREWERY, draws=400).numbers for text in (PLAN, more))

    assert after["fermenters.volume_l"].median > before["fermenters.volume_l"].median + 1.0


@pytest.mark.parametrize(
    ("path", "value"),
    [("grist.1.share", "lots"), ("portions.keg.fermenter", "bath tub"), ("boil.time", "")],
)
def test_a_problem_is_tied_to_its_field(path, value):
    with pytest.raises(Refused) as refused:
        look_at_draft(draft_with(PLAN, {path: value}), BREWERY)

    assert path in [field_of(problem) for problem in refused.value.problems]


def test_what_there_is_to_choose_from_is_the_brewery_s_own():
    choices = choices_of(BREWERY)

    assert [vessel.key for vessel in choices.fermenters] == ["tall", "squat", "glass", "wide"]
    assert "Vienna malt" in choices.grains
    assert "baking soda" not in choices.salts
    assert choices_of(None).fermenters == ()


def test_writing_goes_on_from_what_was_typed_and_not_from_what_a_day_solved(book):
    view = look_at_plan(book, NAME)

    assert [(one.version, one.of_a_day) for one in view.versions] == [(1, False), (2, True)]
    assert view.own.text == PLAN
    assert [one.version for one in plans_in(book)] == [1]


def test_a_version_that_a_remedy_made_belongs_to_its_day(book):
    from gylebook.brewery.instruments import Reading
    from gylebook.tasks.brews import take_reading

    reading = Reading(step="preboil", quantity="volume", value=36.0, instrument="dipstick", at=STARTED)
    take_reading(book, "first", reading)
    adopt_remedy(book, "first", 1, STARTED)

    assert [one.of_a_day for one in look_at_plan(book, NAME).versions] == [False, True, True]


def test_a_kept_text_is_the_next_version(book):
    kept = keep_plan(book, NAME, draft_with(PLAN, {"boil.time": "70 min"}), "longer boil", made_from=1)

    own = look_at_plan(book, NAME).own
    assert kept.version == own.version == 3
    assert draft_fields(own.text)["boil.time"] == "70 min"
    assert own.note == "longer boil"


def test_a_version_that_came_between_is_told_and_nothing_is_written(book):
    keep_plan(book, NAME, draft_with(PLAN, {"boil.time": "70 min"}), made_from=1)

    late = keep_plan(book, NAME, draft_with(PLAN, {"boil.time": "80 min"}), made_from=1)
    anyway = keep_plan(book, NAME, draft_with(PLAN, {"boil.time": "80 min"}))

    assert late.version is None
    assert late.overtaken_by is not None
    assert late.overtaken_by.version == 3
    assert anyway.version == 4


def test_what_is_no_plan_is_not_kept(book):
    with pytest.raises(Refused, match="lots"):
        keep_plan(book, NAME, draft_with(PLAN, {"boil.time": "lots"}))
    with pytest.raises(Refused, match="begin another plan"):
        keep_plan(book, NAME, draft_with(PLAN, {"name": "Something else"}))

    assert len(look_at_plan(book, NAME).versions) == 2


def test_another_plan_begins_as_a_copy(book):
    copy_plan(book, NAME, "  Winter   amber ")

    own = look_at_plan(book, "Winter amber").own
    refuse_unreadable(own.text)
    assert own.text == PLAN.replace('name = "Orchard amber"', 'name = "Winter amber"')
    assert own.note == "begun from Orchard amber, version 1"
    for taken in ("Winter amber", ""):
        with pytest.raises(Refused):
            copy_plan(book, NAME, taken)


def test_a_brew_of_kept_texts_is_the_brew_of_the_files(book):
    again = start_kept_brew(
        book, "second", NAME, look_at_plan(book, NAME).breweries[0].name, STARTED, plan_version=1
    )
    from_files = start_brew(book, "third", EXAMPLE / "plan.toml", EXAMPLE / "brewery.toml", STARTED)

    assert again.outlook.numbers == from_files.outlook.numbers
    assert look_at_brew(book, "second").outlook.numbers == again.outlook.numbers
    with open_book(book) as opened:
        assert [one.version for one in opened.breweries()] == [1]


def test_a_name_that_is_taken_starts_no_brew_and_keeps_no_version(book):
    with pytest.raises(Refused, match="taken"):
        start_kept_brew(
            book, "first", NAME, look_at_plan(book, NAME).breweries[0].name, STARTED, plan_version=1
        )

    assert len(look_at_plan(book, NAME).versions) == 2


def test_the_gear_of_the_newest_brew_is_taken_first(book):
    other = BREWERY.replace("The shed behind the orchard", "The cellar")
    with open_book(book) as opened:
        opened.keep_brewery("The cellar", other)

    view = look_at_plan(book, NAME)

    assert [one.name for one in view.breweries] == ["The shed behind the orchard", "The cellar"]
    assert view.brewery("The cellar").text == other
    assert view.brewery("nowhere").name == "The shed behind the orchard"
