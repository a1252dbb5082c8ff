"""Reserve bins, days of opening counts, what came into a bin; fragile parts; first in, first out; a cart's levels."""

import sqlalchemy as sa
from alembic import op

revision = "0028"
down_revision = "0027"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns; a shop that was there before has picking bins, no fragile parts, and carts of one level."""
    with op.batch_alter_table("bin") as batch:
        batch.add_column(sa.Column("use", sa.String(length=20), server_default="picking", nullable=False))
        batch.add_column(sa.Column("received_on", sa.Date(), nullable=True))
        batch.create_check_constraint(op.f("ck_bin_use_word"), "use IN ('picking', 'reserve')")
    op.add_column("part", sa.Column("is_fragile", sa.Boolean(), server_default=sa.false(), nullable=False))
    op.add_column("settings", sa.Column("first_in_first_out", sa.Boolean(), server_default=sa.true(), nullable=False))
    op.create_index(op.f("ix_stock_move_to_ref"), "stock_move", ["to_ref"], unique=False)
    op.add_column("settings", sa.Column("cart_levels", sa.Integer(), server_default="1", nullable=False))
