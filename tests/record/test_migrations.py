"""Migrations alone make a book, and they make what the schema declares."""

from __future__ import annotations

import shutil
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

import pytest
from sqlalchemy import inspect, text

from gylebook.errors import BookProblem
from gylebook.record import schema, store
from gylebook.record.engines import WRITES, engine_at, locate
from gylebook.record.store import new_book, open_book, revisions, upgrade

CATALOGUE = {
    "sqlite": "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'",
    "postgresql": """
        SELECT 'column', table_name || '.' || column_name, concat_ws(' ', data_type, is_nullable,
               column_default, is_identity, identity_generation, ordinal_position)
        FROM information_schema.columns WHERE table_schema = current_schema()
        UNION ALL SELECT 'constraint', conname, pg_get_constraintdef(oid)
        FROM pg_constraint WHERE connamespace = current_schema()::regnamespace
        UNION ALL SELECT 'index', indexname, indexdef FROM pg_indexes WHERE schemaname = current_schema()
        UNION ALL SELECT 'trigger', tgname, pg_get_triggerdef(t.oid) FROM pg_trigger t
        JOIN pg_class c ON c.oid = tgrelid
        WHERE relnamespace = current_schema()::regnamespace AND NOT tgisinternal
        UNION ALL SELECT 'function', proname, pg_get_functiondef(oid)
        FROM pg_proc WHERE pronamespace = current_schema()::regnamespace
    """,
}

NEWEST = revisions()[-1]

# A later migration, as one might be written: its table is made and what was there stays.
LATER = """
import sqlalchemy as sa
from alembic import op

revision = "0900"
down_revision = "{newest}"


def upgrade():
    op.create_table("cellars", sa.Column("id", sa.Text(), primary_key=True), sqlite_strict=True)
    {more}
"""


def catalogue(connection):
    """Every table, column, rule, index and trigger that the database itself knows of."""
    found = {
        (kind, name): " ".join((sql or "").replace('"', "").split()).replace(
            " ) STRICT", ", CONSTRAINT STRICT"
        )
        for kind, name, sql in connection.execute(text(CATALOGUE[connection.dialect.name]))
    }
    # SQLite keeps a table as its statement, in which constraints may stand in any order.
    return {
        key: sorted(sql.split(", CONSTRAINT "))
        for key, sql in found.items()
        if schema.VERSION_TABLE not in key[1] + sql
    }


def test_migrations_from_nothing_make_what_the_schema_declares(location):
    engine = make_engine(location)
    with engine.execution_options(**{WRITES: True}).connect() as connection:
        with connection.begin() as migrated:
            upgrade(connection)
            by_migrations = catalogue(connection)
            migrated.rollback()
        with connection.begin() as declared:
            schema.metadata.create_all(connection)
            by_schema = catalogue(connection)
            declared.rollback()
    engine.dispose()

    assert by_migrations == by_schema
    assert {"events_no_update", "events_no_change"} & {name for _, name in by_schema}


def make_engine(location):
    where = locate(location)
    if where.path:
        where.path.touch()
    return engine_at(where)


def test_the_catalogue_is_not_blind(location):
    engine = make_engine(location)
    with engine.begin() as connection:
        schema.metadata.create_all(connection)
        before = catalogue(connection)
        connection.execute(text("DROP INDEX ix_events_brew_id_seq"))
        connection.execute(text("ALTER TABLE plans ADD COLUMN colour TEXT"))

        assert catalogue(connection) != before
        assert len(before) > 15
        connection.rollback()
    engine.dispose()


def test_the_file_names_of_the_migrations_are_their_revisions():
    from alembic.script import ScriptDirectory

    script = ScriptDirectory(str(store.MIGRATIONS))

    assert [step.revision for step in script.walk_revisions()][::-1] == list(revisions())


@pytest.fixture
def later(tmp_path, monkeypatch):
    """Lets the program know one migration more than the book has seen."""

    def add(more: str = "") -> None:
        copy = tmp_path / "later migrations 100 %"
        shutil.copytree(store.MIGRATIONS, copy)
        (copy / "versions" / "0900_cellars.py").write_text(LATER.format(newest=NEWEST, more=more))
        monkeypatch.setattr(store, "MIGRATIONS", copy)

    return add


def clock() -> datetime:
    return datetime(2026, 3, 14, 9, 30, tzinfo=UTC)


def test_an_older_book_is_brought_up_to_date_and_keeps_its_events(location, book, brew, later):
    event = book.write_event(brew.id, "note", {}, "2026-03-14T09:30:00+01:00")
    book.close()
    later()

    with open_book(location) as again:
        assert again.about().revision == "0900"
        assert again.events(brew.id) == (event,)

    engine = engine_at(locate(location))
    assert inspect(engine).has_table("cellars")
    engine.dispose()


def test_an_older_file_leaves_a_dated_copy_of_itself(sqlite_book, later):
    with open_book(sqlite_book) as book:
        brew = book.brews()[0]
        events = book.events(brew.id)
    later()

    open_book(sqlite_book, clock=clock).close()
    open_book(sqlite_book, clock=clock).close()

    kept = sqlite_book.with_name(f"ledger-{NEWEST}-2026-03-14T093000.gyle")
    assert sorted(sqlite_book.parent.glob("*.gyle*")) == [kept, sqlite_book]
    with open_book(kept) as old:
        assert old.events(brew.id) == events


def test_two_programs_that_open_an_older_book_at_once_both_find_it_up_to_date(location, book, brew, later):
    book.close()
    later()

    def look(_: int) -> tuple[str, int]:
        with open_book(location, clock=clock) as again:
            return again.about().revision, len(again.brews())

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(look, range(2))) == [("0900", 1)] * 2


def test_a_migration_that_fails_leaves_the_book_as_it_was(location, book, brew, later, monkeypatch):
    book.close()
    with monkeypatch.context() as newer:
        newer.setattr(store, "MIGRATIONS", store.MIGRATIONS)
        later("1 / 0")
        with pytest.raises(ZeroDivisionError, match="division"):
            open_book(location)
        newer.undo()

    monkeypatch.undo()
    with open_book(location) as again:
        assert again.about().revision == NEWEST
        assert again.brews() == (brew,)


def test_an_older_book_is_not_changed_by_a_reader(location, book, later):
    book.close()
    later()

    with pytest.raises(
        BookProblem, match=rf"older revision {NEWEST} and may only be read.*Nothing was changed"
    ):
        open_book(location, read_only=True)


def test_a_book_made_now_needs_no_migration_later(location, later):
    later()
    new_book(location)

    with open_book(location, read_only=True) as book:
        assert book.about().revision == "0900"


def test_the_own_tables_of_an_older_book_are_carried_into_the_wider_one(tmp_path):
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    location = str(tmp_path / "book.gyle")
    new_book(location)
    with open_book(location) as book:
        book.keep_table("malts", "key\nmine\n")
        before = book.tables()
    step = ScriptDirectory(str(store.MIGRATIONS)).get_revision("0005").module
    engine = engine_at(locate(location))
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        shape = catalogue(connection)
        with Operations.context(MigrationContext.configure(connection)):
            step.upgrade()  # once more, over a table that holds something
        assert catalogue(connection) == shape
    engine.dispose()

    with open_book(location) as book:
        assert book.tables() == before
        assert book.keep_table("bottles", "key\nmine\n").name == "bottles"
