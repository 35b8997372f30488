"""Declare the tables of a book and the triggers that let nothing in them change.

In:  nothing. Out: `metadata` with its tables, for queries, and for the test that holds migrations to it.

Idea: what happened is appended, never changed, and the database itself refuses anything else, whichever
program asks. A book is made and brought up to date by `migrations` alone; they spell their tables out and
never import this module, so that an old migration stays what it was.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Connection,
    ForeignKey,
    ForeignKeyConstraint,
    Identity,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    event,
)

# Names the revision of a book, and so marks a database as one of ours.
VERSION_TABLE = "gylebook_revision"

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)

# STRICT tables of SQLite know INTEGER only, which holds 64 bits there.
BIG = BigInteger().with_variant(Integer, "sqlite")

book = Table(
    "book",
    metadata,
    Column("singleton", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("made_by", Text, nullable=False),
    CheckConstraint("singleton = 1", name="one_row"),
    sqlite_strict=True,
)

breweries = Table(
    "breweries",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    UniqueConstraint("name", "version"),
    sqlite_strict=True,
)

plans = Table(
    "plans",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("note", Text, nullable=False),
    UniqueConstraint("name", "version"),
    sqlite_strict=True,
)

tables = Table(
    "tables",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    UniqueConstraint("name", "version"),
    CheckConstraint("name IN ('malts', 'sugars', 'yeasts', 'hops', 'bottles')", name="known"),
    sqlite_strict=True,
)

# Readings of an evening with water, as TOML; `name` is that of the brewery.
evenings = Table(
    "evenings",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    UniqueConstraint("name", "version"),
    sqlite_strict=True,
)

brews = Table(
    "brews",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False, unique=True),
    Column("plan_id", Text, ForeignKey("plans.id"), nullable=False),
    Column("brewery_id", Text, ForeignKey("breweries.id"), nullable=False),
    Column("seed", BIG, nullable=False),
    Column("draws", Integer, nullable=False),
    Column("program_version", Text, nullable=False),
    Column("started_at", Text, nullable=False),
    sqlite_strict=True,
)

# `supersedes` is unique: an event is superseded once. It points inside its own brew, and never at itself.
events = Table(
    "events",
    metadata,
    Column("seq", BIG, Identity(always=True), primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("brew_id", Text, ForeignKey("brews.id"), nullable=False),
    Column("kind", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("written_at", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("supersedes", Text, unique=True),
    Column("reason", Text, nullable=False),
    UniqueConstraint("brew_id", "id"),
    ForeignKeyConstraint(["brew_id", "supersedes"], ["events.brew_id", "events.id"]),
    CheckConstraint("supersedes <> id", name="not_itself"),
    Index(None, "brew_id", "seq"),
    sqlite_autoincrement=True,
    sqlite_strict=True,
)

# Not a record of what happened but of who may look: a device is shut out by its `revoked_at`.
devices = Table(
    "devices",
    metadata,
    Column("id", Text, primary_key=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("token_sha256", Text, nullable=False, unique=True),
    Column("paired_at", Text, nullable=False),
    Column("revoked_at", Text, nullable=True),
    sqlite_strict=True,
)

# The keys of each table. SQLite's INSERT OR REPLACE deletes the old row without asking a DELETE trigger, so
# an INSERT that meets a taken key is refused before it can. SQLite gives NEW.seq as -1 where none is given.
APPEND_ONLY: dict[Table, str] = {
    breweries: "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    plans: "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    tables: "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    evenings: "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    brews: "id = NEW.id OR name = NEW.name",
    events: "seq = NEW.seq OR id = NEW.id OR supersedes = NEW.supersedes",
}


REFUSE_FUNCTION = """\
CREATE FUNCTION gylebook_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' are only ever added to';
END
$$"""


def guards(dialect: str) -> list[str]:
    """The statements that shut the tables against change, for one kind of database."""
    if dialect == "sqlite":
        return [ddl for table, taken in APPEND_ONLY.items() for ddl in _sqlite(table.name, taken)]
    return [REFUSE_FUNCTION, *(ddl for table in APPEND_ONLY for ddl in _postgresql(table.name))]


def _sqlite(table: str, taken: str) -> list[str]:
    refuse = f"SELECT RAISE(ABORT, '{table} are only ever added to')"
    return [
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {taken}) BEGIN {refuse}; END",
    ]


def _postgresql(table: str) -> list[str]:
    return [
        f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION gylebook_refuse_change()",
        f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION gylebook_refuse_change()",
    ]


@event.listens_for(metadata, "after_create")
def _shut(_metadata: MetaData, connection: Connection, **_: Any) -> None:
    for ddl in guards(connection.dialect.name):
        connection.exec_driver_sql(ddl)
