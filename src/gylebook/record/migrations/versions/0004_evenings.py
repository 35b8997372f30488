"""Make the table that keeps the readings of calibration evenings, and guard it.

In:  a book at revision 0003. Out: revision 0004; what was there stays as it is.

Spelled out here and not taken from `schema`, which moves on while this stays as it was.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

TAKEN = "id = NEW.id OR (name = NEW.name AND version = NEW.version)"


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def upgrade() -> None:
    """Make the table, then shut it against change."""
    op.create_table(
        "evenings",
        _text("id"),
        _text("name"),
        sa.Column("version", sa.Integer(), nullable=False),
        _text("text"),
        _text("sha256"),
        _text("made_at"),
        sa.PrimaryKeyConstraint("id", name="pk_evenings"),
        sa.UniqueConstraint("name", "version", name="uq_evenings_name_version"),
        sqlite_strict=True,
    )
    if op.get_bind().dialect.name == "sqlite":
        refuse = "SELECT RAISE(ABORT, 'evenings are only ever added to')"
        op.execute(f"CREATE TRIGGER evenings_no_update BEFORE UPDATE ON evenings BEGIN {refuse}; END")
        op.execute(f"CREATE TRIGGER evenings_no_delete BEFORE DELETE ON evenings BEGIN {refuse}; END")
        op.execute(
            "CREATE TRIGGER evenings_no_replace BEFORE INSERT ON evenings "
            f"WHEN EXISTS (SELECT 1 FROM evenings WHERE {TAKEN}) BEGIN {refuse}; END"
        )
        return
    op.execute(  # the function that refuses was made by 0001
        "CREATE TRIGGER evenings_no_change BEFORE UPDATE OR DELETE ON evenings "
        "FOR EACH ROW EXECUTE FUNCTION gylebook_refuse_change()"
    )
    op.execute(
        "CREATE TRIGGER evenings_no_truncate BEFORE TRUNCATE ON evenings "
        "FOR EACH STATEMENT EXECUTE FUNCTION gylebook_refuse_change()"
    )
