"""Make the table that remembers which devices may open the book over a network.

In:  a book at revision 0002. Out: revision 0003; what was there stays as it is.

Spelled out here and not taken from `schema`, which moves on while this stays as it was.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=nullable)


def upgrade() -> None:
    """Make the table.  It is no record of a brew: a device may be shut out again."""
    op.create_table(
        "devices",
        _text("id"),
        _text("name"),
        _text("token_sha256"),
        _text("paired_at"),
        _text("revoked_at", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_devices"),
        sa.UniqueConstraint("token_sha256", name="uq_devices_token_sha256"),
        sqlite_strict=True,
    )
