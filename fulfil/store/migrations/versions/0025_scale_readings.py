"""The last steady reading of a scale beside a bench; how its lines read."""

import sqlalchemy as sa
from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a table and a setting."""
    op.create_table(
        "scale_reading",
        sa.Column("bench", sa.String(), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("shown", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.CheckConstraint("number BETWEEN 1 AND 999999999", name=op.f("ck_scale_reading_number_range")),
        sa.PrimaryKeyConstraint("bench", name=op.f("pk_scale_reading")),
    )
    op.add_column("settings", sa.Column("scale_line", sa.String(), server_default="", nullable=False))
