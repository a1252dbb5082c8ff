"""What a walk's time is made of, and which plan a walk belongs to."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns; what is there stays as it is."""
    reach = sa.Column("reach_seconds_by_level", sa.String(), server_default="2 1 2 4", nullable=False)
    op.add_column("settings", reach)
    op.add_column("settings", sa.Column("search_seconds_per_line", sa.Float(), server_default="3.0", nullable=False))
    op.add_column("settings", sa.Column("check_and_pack_minutes", sa.Integer(), server_default="30", nullable=False))
    op.add_column("walk", sa.Column("wave", sa.Integer(), server_default="1", nullable=False))
