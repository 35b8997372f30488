"""Make the first tables: book, breweries, plans, brews, events, and the triggers that guard them.

In:  an empty database. Out: revision 0001.

Spelled out here and not taken from `schema`, which moves on while this stays as it was.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision: str | None = None

BIG = sa.BigInteger().with_variant(sa.Integer, "sqlite")

TAKEN = {
    "breweries": "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    "plans": "id = NEW.id OR (name = NEW.name AND version = NEW.version)",
    "brews": "id = NEW.id OR name = NEW.name",
    "events": "seq = NEW.seq OR id = NEW.id OR supersedes = NEW.supersedes",
}

REFUSE_FUNCTION = """\
CREATE FUNCTION gylebook_refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' are only ever added to';
END
$$"""


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=nullable)


def upgrade() -> None:
    """Make the tables, then shut them against change."""
    op.create_table(
        "book",
        sa.Column("singleton", sa.Integer(), nullable=False, autoincrement=False),
        _text("id"),
        _text("made_at"),
        _text("made_by"),
        sa.PrimaryKeyConstraint("singleton", name="pk_book"),
        sa.CheckConstraint("singleton = 1", name="ck_book_one_row"),
        sqlite_strict=True,
    )
    for table, more in (("breweries", ()), ("plans", ("note",))):
        op.create_table(
            table,
            _text("id"),
            _text("name"),
            sa.Column("version", sa.Integer(), nullable=False),
            _text("text"),
            _text("sha256"),
            _text("made_at"),
            *(_text(name) for name in more),
            sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
            sa.UniqueConstraint("name", "version", name=f"uq_{table}_name_version"),
            sqlite_strict=True,
        )
    op.create_table(
        "brews",
        _text("id"),
        _text("name"),
        _text("plan_id"),
        _text("brewery_id"),
        sa.Column("seed", BIG, nullable=False),
        sa.Column("draws", sa.Integer(), nullable=False),
        _text("program_version"),
        _text("started_at"),
        sa.PrimaryKeyConstraint("id", name="pk_brews"),
        sa.UniqueConstraint("name", name="uq_brews_name"),
        sa.ForeignKeyConstraint(["plan_id"], ["plans.id"], name="fk_brews_plan_id"),
        sa.ForeignKeyConstraint(["brewery_id"], ["breweries.id"], name="fk_brews_brewery_id"),
        sqlite_strict=True,
    )
    _make_events()
    _shut()


def _make_events() -> None:
    op.create_table(
        "events",
        sa.Column("seq", BIG, sa.Identity(always=True), nullable=False),
        _text("id"),
        _text("brew_id"),
        _text("kind"),
        _text("at"),
        _text("written_at"),
        _text("who"),
        _text("device"),
        _text("body"),
        _text("supersedes", nullable=True),
        _text("reason"),
        sa.PrimaryKeyConstraint("seq", name="pk_events"),
        sa.UniqueConstraint("id", name="uq_events_id"),
        sa.UniqueConstraint("supersedes", name="uq_events_supersedes"),
        sa.UniqueConstraint("brew_id", "id", name="uq_events_brew_id_id"),
        sa.ForeignKeyConstraint(["brew_id"], ["brews.id"], name="fk_events_brew_id"),
        sa.ForeignKeyConstraint(
            ["brew_id", "supersedes"], ["events.brew_id", "events.id"], name="fk_events_brew_id_supersedes"
        ),
        sa.CheckConstraint("supersedes <> id", name="ck_events_not_itself"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index("ix_events_brew_id_seq", "events", ["brew_id", "seq"])


def _shut() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for table, taken in TAKEN.items():
            refuse = f"SELECT RAISE(ABORT, '{table} are only ever added to')"
            op.execute(f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN {refuse}; END")
            op.execute(f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN {refuse}; END")
            op.execute(
                f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
                f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {taken}) BEGIN {refuse}; END"
            )
        return
    op.execute(REFUSE_FUNCTION)
    for table in TAKEN:
        op.execute(
            f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION gylebook_refuse_change()"
        )
        op.execute(
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION gylebook_refuse_change()"
        )
