"""How likely the hand count behind a sampled unit weight is off."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a column; samples of before are taken as they are, since nobody can weigh them again."""
    op.add_column("unit_weight", sa.Column("count_doubt", sa.Float(), server_default="0", nullable=False))
