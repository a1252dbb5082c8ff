"""Answers that were typed and are not in the shop yet."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a table; nothing of before is in it."""
    op.create_table(
        "draft",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("answers_json", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_draft")),
    )
