"""A book that an earlier gylebook made is opened by this one, and all that is in it stays."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from gylebook.record import store
from gylebook.record.engines import engine_at, locate
from gylebook.record.replay import readings_of, standing
from gylebook.record.store import new_book, open_book, revisions

AT = "2026-03-14T09:30:00+01:00"
WRITTEN_OUT = Path(__file__).parent / "files" / "book_at_0001.sql"


def clock() -> datetime:
    return datetime(2026, 3, 14, 9, 30, tzinfo=UTC)


@pytest.fixture
def at_0001(location, start, tmp_path, monkeypatch):
    """A book with a brew in it, made by a program that knew the first migration alone."""
    first = tmp_path / "first migration"
    shutil.copytree(store.MIGRATIONS, first)
    for later in (first / "versions").glob("[0-9]*.py"):
        if not later.name.startswith("0001_"):
            later.unlink()
    with monkeypatch.context() as then:
        then.setattr(store, "MIGRATIONS", first)
        new_book(location)
        with open_book(location) as book:
            assert book.about().revision == "0001"
            book.write_event(start(book).id, "note", {"text": "before there were tables"}, AT)
    return location


@pytest.fixture
def written_out(tmp_path):
    """The book that was written out as SQL by the program of that time, as a file again."""
    path = tmp_path / "orchard.gyle"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(WRITTEN_OUT.read_text(encoding="utf-8"))
        connection.execute("PRAGMA journal_mode = WAL")
    return path


def test_a_book_without_tables_gets_them_and_keeps_what_it_held(at_0001):
    with open_book(at_0001) as book:
        assert book.about().revision == revisions()[-1]
        assert [event.body for event in book.events(book.brew("spring amber").id)] == [
            {"text": "before there were tables"}
        ]
        assert book.tables() == ()
        assert book.keep_table("hops", "name\n").version == 1

    engine = engine_at(locate(at_0001))
    with pytest.raises(DBAPIError, match="tables are only ever added to"), engine.begin() as connection:
        connection.execute(text("DELETE FROM tables"))
    engine.dispose()


def test_a_file_of_that_time_is_copied_before_it_is_brought_up_to_date(written_out):
    with open_book(written_out, clock=clock) as book:
        brew = book.brew("Orchard amber")
        events, plans = book.events(brew.id), book.plans()
        book.keep_table("malts", "name\n")

    kept = written_out.with_name("orchard-0001-2026-03-14T093000.gyle")
    with closing(sqlite3.connect(kept)) as old:
        assert old.execute("SELECT version_num FROM gylebook_revision").fetchall() == [("0001",)]
        assert old.execute("SELECT id FROM events ORDER BY seq").fetchall() == [(str(e.id),) for e in events]
        assert old.execute("SELECT name FROM sqlite_master WHERE name = 'tables'").fetchall() == []
    assert [(plan.name, plan.version) for plan in plans] == [("Orchard amber", 1), ("Orchard amber", 2)]
    assert [reading.value for reading in readings_of(standing(events))] == [12.7]


def test_a_book_of_that_time_is_written_on_where_it_left_off(written_out):
    with open_book(written_out) as book:
        brew = book.brew("Orchard amber")

        assert book.write_event(brew.id, "note", {}, AT).seq == book.events(brew.id)[-2].seq + 1
