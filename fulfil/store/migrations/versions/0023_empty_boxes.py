"""The empty box of a package on the scale before its bags; how windows hold their risk; alarms of goods."""

import sqlalchemy as sa
from alembic import op

revision = "0023"
down_revision = "0022"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns; the boxes of before were not weighed empty, windows held their risk as a mean."""
    op.add_column("settings", sa.Column("risks_held_by", sa.String(), server_default="mean", nullable=False))
    op.add_column("package", sa.Column("empty_g", sa.BigInteger(), nullable=True))
    op.add_column("package", sa.Column("empty_scale_code", sa.String(), server_default="", nullable=False))
    op.create_table(
        "goods_alarm",
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("since", sa.DateTime(), nullable=False),
        sa.Column("said_at", sa.DateTime(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("do", sa.String(), nullable=False),
        sa.Column("acted_at", sa.DateTime(), nullable=True),
        sa.Column("acted_by", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.CheckConstraint("kind IN ('part', 'bag type')", name=op.f("ck_goods_alarm_kind_word")),
        sa.PrimaryKeyConstraint("kind", "subject", "lot", "since", name=op.f("pk_goods_alarm")),
    )
