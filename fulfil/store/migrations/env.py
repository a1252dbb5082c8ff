"""What alembic runs to migrate: always on the connection that it was given, in that connection's transaction.

A migration is frozen in time, so it names plain column types and nothing of this package: ``_plain_type`` writes the
stored type of our own column types into a draft.
"""

from typing import Any, Literal

from alembic import context
from sqlalchemy.types import TypeDecorator

from fulfil.store.tables import all_tables


def _plain_type(kind: str, item: Any, _autogenerate: Any) -> str | Literal[False]:
    if kind == "type" and isinstance(item, TypeDecorator):
        return f"sa.{item.impl_instance!r}"
    return False


def _migrate() -> None:
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=all_tables(),
        render_as_batch=True,
        render_item=_plain_type,
    )
    with context.begin_transaction():
        context.run_migrations()


# Alembic loads this file under this name; anyone else only reads it.
if __name__ == "env_py":
    _migrate()
