"""The scale that a package's window was made for."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a column; a package of an older shop gets its window anew when it is weighed."""
    op.add_column("package", sa.Column("scale_code", sa.String(), server_default="", nullable=False))
