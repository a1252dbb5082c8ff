"""Samples with their source, learned unit weights, the part in each weighing, the scales' standing."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds columns and a table, then widens the weighings; a bag's earlier weighings get the part of their bag."""
    op.create_table(
        "scale_standing",
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("checked_at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("has_passed", sa.Boolean(), nullable=False),
        sa.Column("worst_share", sa.Float(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.CheckConstraint(
            "worst_share >= 0 AND worst_share < 1e18", name=op.f("ck_scale_standing_worst_share_not_negative")
        ),
        sa.PrimaryKeyConstraint("scale_code", name=op.f("pk_scale_standing")),
    )
    op.add_column("unit_weight", sa.Column("piece_sd_source", sa.String(), nullable=False, server_default=""))
    op.add_column("unit_weight", sa.Column("piece_sd_freedom", sa.Float(), nullable=True))
    op.add_column("unit_weight", sa.Column("lot_sd_g", sa.Float(), nullable=False, server_default="0"))
    op.add_column("unit_weight", sa.Column("sampled_at", sa.DateTime(), nullable=True))
    for name in ("sample_mean_g", "sample_u_g", "sample_sd_g"):
        op.add_column("unit_weight", sa.Column(name, sa.Float(), nullable=True))
    op.add_column("unit_weight", sa.Column("learned_n", sa.Integer(), nullable=False, server_default="0"))
    _widen_weighings()
    op.create_index(op.f("ix_weighing_part_number"), "weighing", ["part_number"], unique=False)


_KINDS = "kind IN ('bag', 'package', 'sample', 'check weight', 'bulk')"
_PART = "COALESCE((SELECT bag.part_number FROM bag WHERE bag.code = subject AND kind = 'bag'), '')"
_KEPT = "person, scale_code, at, kind, subject, lot, pieces, indication_g, tare_g, verdict, reason, is_simulated, id"


def _widen_weighings() -> None:
    """A new kind and two columns; SQLite can't change a check, so there the table is made anew with its triggers."""
    added: tuple[sa.Column[Any], ...] = (
        sa.Column("part_number", sa.String(), nullable=False, server_default=""),
        sa.Column("was_counted", sa.Boolean(), nullable=False, server_default=sa.false()),
    )
    if op.get_bind().dialect.name == "postgresql":
        for column in added:
            op.add_column("weighing", column)
        op.drop_constraint(op.f("ck_weighing_kind_word"), "weighing")
        op.create_check_constraint(op.f("ck_weighing_kind_word"), "weighing", _KINDS)
        op.execute("ALTER TABLE weighing DISABLE TRIGGER USER")
        op.execute(f"UPDATE weighing SET part_number = {_PART}")  # noqa: S608 - fixed names
        op.execute("ALTER TABLE weighing ENABLE TRIGGER USER")
        return
    op.rename_table("weighing", "weighing_before")
    op.create_table(
        "weighing",
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("indication_g", sa.BigInteger(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("verdict", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("is_simulated", sa.Boolean(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        *added,
        sa.CheckConstraint(_KINDS, name=op.f("ck_weighing_kind_word")),
        sa.CheckConstraint("verdict IN ('passed', 'recount', 'look', 'stop')", name=op.f("ck_weighing_verdict_word")),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_weighing_pieces_range")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weighing")),
    )
    op.execute(
        f"INSERT INTO weighing ({_KEPT}, part_number) SELECT {_KEPT}, {_PART} FROM weighing_before"  # noqa: S608
    )
    op.drop_table("weighing_before")
    op.create_index(op.f("ix_weighing_subject_kind"), "weighing", ["subject", "kind"], unique=False)
    for event in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER weighing_stays_{event.lower()} BEFORE {event} ON weighing FOR EACH ROW"
            " BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
        )
