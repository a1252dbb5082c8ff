"""Bags that are counted on the tared scale; how long a count takes; a scale's alarms stand until acted on."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None

_METHODS = "'weigh', 'tare and weigh', 'tare and pour', 'count by hand'"


def upgrade() -> None:
    """Adds columns and two methods; bags of before were weighed at once or counted by hand."""
    op.add_column("bag", sa.Column("pours", sa.Integer(), server_default="1", nullable=False))
    for name, default in (("count_seconds_per_piece", "1.0"), ("seconds_per_weighing", "10.0")):
        op.add_column("settings", sa.Column(name, sa.Float(), server_default=default, nullable=False))
    _bags_may_be_tared(op.get_bind())
    op.create_table(
        "scale_alarm",
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("since", sa.DateTime(), nullable=False),
        sa.Column("said_at", sa.DateTime(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("do", sa.String(), nullable=False),
        sa.Column("acted_at", sa.DateTime(), nullable=True),
        sa.Column("acted_by", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("scale_code", "since", name=op.f("pk_scale_alarm")),
    )


def _bags_may_be_tared(connection: Any) -> None:
    if connection.dialect.name != "sqlite":
        op.drop_constraint(op.f("ck_bag_method_word"), "bag", type_="check")
        op.create_check_constraint(op.f("ck_bag_method_word"), "bag", f"method IN ({_METHODS})")
        return
    # SQLite can't change a CHECK: the table is copied, and its triggers are made again.
    triggers = sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'bag'")
    kept = [str(row) for row in connection.execute(triggers).scalars()]
    with op.batch_alter_table("bag") as batch:
        batch.drop_constraint(op.f("ck_bag_method_word"), type_="check")
        batch.create_check_constraint(op.f("ck_bag_method_word"), f"method IN ({_METHODS})")
    for trigger in kept:
        op.execute(trigger)
