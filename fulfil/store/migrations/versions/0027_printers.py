"""The shop's printers."""

import sqlalchemy as sa
from alembic import op

revision = "0027"
down_revision = "0026"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds the table; a shop that names no printer prints as before."""
    op.create_table(
        "printer",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("dpi", sa.Integer(), nullable=False),
        sa.Column("media", sa.String(), nullable=False),
        sa.Column("papers", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("sends_to", sa.String(), nullable=False),
        sa.Column("right_mm", sa.Float(), nullable=False),
        sa.Column("down_mm", sa.Float(), nullable=False),
        sa.Column("is_retired", sa.Boolean(), nullable=False),
        sa.CheckConstraint("dpi > 0 AND dpi < 1e18", name=op.f("ck_printer_dpi_above_zero")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_printer")),
    )
