"""Services and scales that are retired, not deleted; how a carrier's bills are read."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds a column to both, all of before are in use; adds a table, nothing of before is in it."""
    for table in ("scale", "service"):
        op.add_column(table, sa.Column("is_retired", sa.Boolean(), server_default=sa.false(), nullable=False))
    op.create_table(
        "bill_mapping",
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("mapping_json", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("carrier", name=op.f("pk_bill_mapping")),
    )
