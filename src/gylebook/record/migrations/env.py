"""Run the migrations on the connection that `store` hands over, inside its transaction.

In:  `config.attributes["connection"]`. Out: the database at the revision asked for, or as it was.

There is no alembic.ini and no offline mode: a book is only ever brought up to date by the program.
"""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    version_table=context.config.attributes["version_table"],
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
