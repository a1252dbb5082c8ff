"""Which lithium cell or battery a part is or has, how much lead; what customs are told of an order."""

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
    op.create_table(
        "customs_particulars",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("category", sa.String(), nullable=False),
        sa.Column("importer_reference", sa.String(), nullable=False),
        sa.Column("sender_reference", sa.String(), nullable=False),
        sa.Column("comment", sa.String(), nullable=False),
        sa.CheckConstraint("line_no BETWEEN 0 AND 999999999", name=op.f("ck_customs_particulars_line_no_range")),
        sa.ForeignKeyConstraint(
            ["order_number"], ["customer_order.number"], name=op.f("fk_customs_particulars_order_number")
        ),
        sa.PrimaryKeyConstraint("order_number", "line_no", name=op.f("pk_customs_particulars")),
    )
