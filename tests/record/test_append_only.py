"""The database itself refuses to change what was written, whoever asks."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from gylebook.record.engines import engine_at, locate

TABLES = ["breweries", "plans", "tables", "evenings", "brews", "events"]
AT = "2026-03-14T09:30:00+01:00"


@pytest.fixture
def raw(location, book, brew):
    book.write_event(brew.id, "note", {}, AT)
    book.keep_table("hops", "name\n")
    book.keep_evening("shed", "# nothing read")
    engine = engine_at(locate(location))
    yield engine
    engine.dispose()


def run(raw: Engine, statement: str) -> None:
    with raw.begin() as connection:
        connection.execute(text(statement))


@pytest.mark.parametrize("table", TABLES)
def test_no_one_can_rewrite_what_was_brewed(raw, table):
    with pytest.raises(DBAPIError, match=f"{table} are only ever added to"):
        run(raw, f"UPDATE {table} SET id = 'other'")


@pytest.mark.parametrize("table", TABLES)
def test_no_one_can_tear_out_a_page(raw, table):
    with pytest.raises(DBAPIError, match=f"{table} are only ever added to"):
        run(raw, f"DELETE FROM {table}")


@pytest.mark.parametrize("table", TABLES)
def test_no_one_can_empty_a_table_or_replace_a_row_in_it(raw, table):
    # SQLite knows no TRUNCATE, and its REPLACE takes a row away without asking a DELETE trigger.
    statement = (
        f"TRUNCATE {table} CASCADE"
        if raw.dialect.name == "postgresql"
        else f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}"
    )

    with pytest.raises(DBAPIError, match="are only ever added to"):
        run(raw, statement)


@pytest.mark.parametrize(
    ("columns", "rule"),
    [
        ("'b', brew_id, kind, at, written_at, who, device, body, 'nothing', reason", "(?i)foreign key"),
        ("'b', 'no brew', kind, at, written_at, who, device, body, NULL, reason", "(?i)foreign key"),
        ("'b', brew_id, kind, at, written_at, who, device, body, 'b', reason", "(?i)check"),
        ("id, brew_id, kind, at, written_at, who, device, body, NULL, reason", "(?i)added to|unique"),
    ],
    ids=["supersedes nothing", "of no brew", "supersedes itself", "same id"],
)
def test_the_tables_themselves_hold_the_rules_of_events(raw, columns, rule):
    names = "id, brew_id, kind, at, written_at, who, device, body, supersedes, reason"

    with pytest.raises(IntegrityError, match=rule):
        run(raw, f"INSERT INTO events ({names}) SELECT {columns} FROM events")


def test_a_table_that_no_plan_looks_in_is_not_kept(raw):
    with pytest.raises(IntegrityError, match=r"(?i)check"):
        run(raw, "INSERT INTO tables SELECT 'b', 'spices', version, text, sha256, made_at FROM tables")


def test_an_event_of_one_brew_cannot_supersede_one_of_another(raw, book, start):
    other = start(book, "autumn amber")
    names = "id, brew_id, kind, at, written_at, who, device, body, supersedes, reason"

    with pytest.raises(IntegrityError, match=r"(?i)foreign key"):
        run(
            raw,
            f"INSERT INTO events ({names}) SELECT 'b', '{other.id}', kind, at, written_at, who, device, "
            "body, id, reason FROM events",
        )


def test_sqlite_keeps_numbers_as_numbers(sqlite_book):
    engine = engine_at(locate(sqlite_book))

    with pytest.raises(IntegrityError, match="cannot store TEXT value in INTEGER column"):
        run(
            engine,
            "INSERT INTO brews SELECT 'b', 'b', plan_id, brewery_id, 'seven', draws, '', '' FROM brews",
        )
    engine.dispose()
