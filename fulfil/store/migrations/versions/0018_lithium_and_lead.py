"""Which lithium cell or battery a part is or has, and how much lead."""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns; parts of before have none stated."""
    op.add_column("part", sa.Column("lithium", sa.String(), server_default="", nullable=False))
    op.add_column("part", sa.Column("lead_ppm", sa.Integer(), server_default="0", nullable=False))
