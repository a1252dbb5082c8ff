"""What the benches have in hand, bags sent back, bags' own masses, cushioning, a package's photo."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds two tables and the new columns; what is there stays as it is."""
    op.create_table(
        "bench_place",
        sa.Column("bench", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("last_bag_code", sa.String(), nullable=False),
        sa.Column("clear_run", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('check', 'pack')", name=op.f("ck_bench_place_kind_word")),
        sa.CheckConstraint("clear_run BETWEEN 0 AND 999999999", name=op.f("ck_bench_place_clear_run_range")),
        sa.PrimaryKeyConstraint("bench", name=op.f("pk_bench_place")),
    )
    op.create_index(
        "ix_bench_place_order_in_hand",
        "bench_place",
        ["kind", "order_number"],
        unique=True,
        sqlite_where=sa.text("order_number <> ''"),
        postgresql_where=sa.text("order_number <> ''"),
    )
    op.create_table(
        "recount",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("sent_back_for", sa.String(length=20), nullable=False),
        sa.Column("which", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("causes_json", sa.String(), nullable=False),
        sa.Column("likely_cause", sa.String(), nullable=False),
        sa.Column("other_part", sa.String(), nullable=False),
        sa.Column("pieces_off", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("is_simulated", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "sent_back_for IN ('weight', 'count', 'look', 'damage')", name=op.f("ck_recount_sent_back_for_word")
        ),
        sa.CheckConstraint("state IN ('open', 'done', 'undone')", name=op.f("ck_recount_state_word")),
        sa.CheckConstraint("which BETWEEN 1 AND 999999999", name=op.f("ck_recount_which_range")),
        sa.CheckConstraint("pieces_off BETWEEN -999999999 AND 999999999", name=op.f("ck_recount_pieces_off_range")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_recount")),
    )
    for column in ("bag_code", "part_number", "bin_code", "state"):
        op.create_index(op.f(f"ix_recount_{column}"), "recount", [column], unique=False)
    op.add_column("bag", sa.Column("gross_g", sa.BigInteger(), nullable=True))
    op.add_column("bag", sa.Column("gross_u_g", sa.Float(), nullable=True))
    op.add_column("bag", sa.Column("boxed_at", sa.DateTime(), nullable=True))
    op.add_column("package", sa.Column("photo_path", sa.String(), nullable=False, server_default=""))
    op.add_column("box_type", sa.Column("cushioning_g", sa.BigInteger(), nullable=False, server_default="0"))
    op.add_column("box_type", sa.Column("cushioning_sd_g", sa.Float(), nullable=False, server_default="0"))
