"""Make the table that keeps a brewer's own tables of malts, sugars, yeasts and hops, and guard it.

In:  a book at revision 0001. Out: revision 0002; what was there stays as it is.

Spelled out here and not taken from `schema`, which moves on while this stays as it was.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

TAKEN = "id = NEW.id OR (name = NEW.name AND version = NEW.version)"


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def upgrade() -> None:
    """Make the table, then shut it against change."""
    op.create_table(
        "tables",
        _text("id"),
        _text("name"),
        sa.Column("version", sa.Integer(), nullable=False),
        _text("text"),
        _text("sha256"),
        _text("made_at"),
        sa.PrimaryKeyConstraint("id", name="pk_tables"),
        sa.UniqueConstraint("name", "version", name="uq_tables_name_version"),
        sa.CheckConstraint("name IN ('malts', 'sugars', 'yeasts', 'hops')", name="ck_tables_known"),
        sqlite_strict=True,
    )
    if op.get_bind().dialect.name == "sqlite":
        refuse = "SELECT RAISE(ABORT, 'tables are only ever added to')"
        op.execute(f"CREATE TRIGGER tables_no_update BEFORE UPDATE ON tables BEGIN {refuse}; END")
        op.execute(f"CREATE TRIGGER tables_no_delete BEFORE DELETE ON tables BEGIN {refuse}; END")
        op.execute(
            "CREATE TRIGGER tables_no_replace BEFORE INSERT ON tables "
            f"WHEN EXISTS (SELECT 1 FROM tables WHERE {TAKEN}) BEGIN {refuse}; END"
        )
        return
    op.execute(  # the function that refuses was made by 0001
        "CREATE TRIGGER tables_no_change BEFORE UPDATE OR DELETE ON tables "
        "FOR EACH ROW EXECUTE FUNCTION gylebook_refuse_change()"
    )
    op.execute(
        "CREATE TRIGGER tables_no_truncate BEFORE TRUNCATE ON tables "
        "FOR EACH STATEMENT EXECUTE FUNCTION gylebook_refuse_change()"
    )
