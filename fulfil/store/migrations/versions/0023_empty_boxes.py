"""The empty box of a package on the scale before its bags; how windows hold their risk."""

import sqlalchemy as sa
from alembic import op

revision = "0023"
down_revision = "0021"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns; the boxes of before were not weighed empty, windows held their risk as a mean."""
    op.add_column("settings", sa.Column("risks_held_by", sa.String(), server_default="mean", nullable=False))
    op.add_column("package", sa.Column("empty_g", sa.BigInteger(), nullable=True))
    op.add_column("package", sa.Column("empty_scale_code", sa.String(), server_default="", nullable=False))
