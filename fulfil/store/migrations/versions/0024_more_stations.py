"""Stations of more kinds: carts, the make-room, the clerk's desk, scales that send by themselves."""

import sqlalchemy as sa
from alembic import op

revision = "0024"
down_revision = "0021"
branch_labels = None
depends_on = None

_KINDS = "'check', 'pack', 'cart', 'clerk', 'make-room', 'scale', 'wall'"


def upgrade() -> None:
    """Adds kinds, and beside which bench a scale stands; the stations of before keep theirs."""
    op.add_column("station", sa.Column("serves", sa.String(), server_default="", nullable=False))
    with op.batch_alter_table("station") as batch:
        batch.drop_constraint(op.f("ck_station_kind_word"), type_="check")
        batch.create_check_constraint(op.f("ck_station_kind_word"), f"kind IN ({_KINDS})")
