"""Let a book keep a brewer's own table of bottles beside the four that it knew.

In:  a book at revision 0004. Out: revision 0005; what was there stays as it is.

Spelled out here and not taken from `schema`, which moves on while this stays as it was.  SQLite cannot change
a check in place: the table is made anew, filled, and put in the old one's place, all in one transaction.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

KNOWN = "name IN ('malts', 'sugars', 'yeasts', 'hops', 'bottles')"
TAKEN = "id = NEW.id OR (name = NEW.name AND version = NEW.version)"


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def upgrade() -> None:
    """Widen the check."""
    if op.get_bind().dialect.name != "sqlite":
        op.execute("ALTER TABLE tables DROP CONSTRAINT ck_tables_known")
        op.execute(f"ALTER TABLE tables ADD CONSTRAINT ck_tables_known CHECK ({KNOWN})")
        return
    op.execute("CREATE TEMPORARY TABLE tables_kept AS SELECT * FROM tables")
    op.execute("DROP TABLE tables")  # its triggers go with it
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
        sa.CheckConstraint(KNOWN, name="ck_tables_known"),
        sqlite_strict=True,
    )
    op.execute(
        "INSERT INTO tables (id, name, version, text, sha256, made_at) "
        "SELECT id, name, version, text, sha256, made_at FROM tables_kept"
    )
    op.execute("DROP TABLE tables_kept")
    refuse = "SELECT RAISE(ABORT, 'tables are only ever added to')"
    op.execute(f"CREATE TRIGGER tables_no_update BEFORE UPDATE ON tables BEGIN {refuse}; END")
    op.execute(f"CREATE TRIGGER tables_no_delete BEFORE DELETE ON tables BEGIN {refuse}; END")
    op.execute(
        "CREATE TRIGGER tables_no_replace BEFORE INSERT ON tables "
        f"WHEN EXISTS (SELECT 1 FROM tables WHERE {TAKEN}) BEGIN {refuse}; END"
    )
