"""How many pieces one pack of a part's supplier holds."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a column; parts of before are sold singly until somebody says otherwise."""
    op.add_column("part", sa.Column("pack_pieces", sa.Integer(), server_default="1", nullable=False))
