"""How the lines read of a scale that sends by itself."""

import sqlalchemy as sa
from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a setting; empty for the usual lines, as before."""
    op.add_column("settings", sa.Column("scale_line", sa.String(), server_default="", nullable=False))
