"""The chance from which on a checker looks at a bag."""

import sqlalchemy as sa
from alembic import op

revision = "0026"
down_revision = "0025"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the setting, at its default."""
    op.add_column("settings", sa.Column("look_chance", sa.Float(), server_default="0.05", nullable=False))
