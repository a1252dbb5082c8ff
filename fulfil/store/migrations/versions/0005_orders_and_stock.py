"""How order files are read, charges, returns, jobs, kits, claims, pulled bags; why a line is short."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds tables and columns; what is there stays as it is."""
    op.create_table(
        "country_name",
        sa.Column("said", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("length(country) = 2", name=op.f("ck_country_name_country_shape")),
        sa.PrimaryKeyConstraint("said", name=op.f("pk_country_name")),
    )
    op.create_table(
        "order_charge",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("charge_no", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_order_charge_amount_minor_range")
        ),
        sa.CheckConstraint("pieces BETWEEN -999999999 AND 999999999", name=op.f("ck_order_charge_pieces_range")),
        sa.PrimaryKeyConstraint("order_number", "charge_no", name=op.f("pk_order_charge")),
    )
    op.create_table(
        "order_mapping",
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("mapping_json", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("source", name=op.f("pk_order_mapping")),
    )
    op.create_table(
        "pulled_bag",
        sa.Column("bag_code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("cart_position", sa.Integer(), nullable=False),
        sa.Column("was", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("put_back_at", sa.DateTime(), nullable=True),
        sa.Column("put_back_pieces", sa.Integer(), nullable=True),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_pulled_bag_pieces_range")),
        sa.CheckConstraint("put_back_pieces BETWEEN 0 AND 999999999", name=op.f("ck_pulled_bag_put_back_pieces_range")),
        sa.PrimaryKeyConstraint("bag_code", name=op.f("pk_pulled_bag")),
    )
    op.create_index(op.f("ix_pulled_bag_order_number"), "pulled_bag", ["order_number"], unique=False)
    op.create_table(
        "return_notice",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("received_at", sa.DateTime(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('return', 'correction')", name=op.f("ck_return_notice_kind_word")),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_return_notice_amount_minor_range")
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_return_notice_pieces_range")),
        sa.PrimaryKeyConstraint("number", "line_no", name=op.f("pk_return_notice")),
    )
    op.create_index(op.f("ix_return_notice_part_number"), "return_notice", ["part_number"], unique=False)
    op.create_table(
        "claim",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("cause", sa.String(length=20), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.CheckConstraint(
            "cause IN ('short', 'over', 'wrong part', 'damaged', 'missing', 'other')", name=op.f("ck_claim_cause_word")
        ),
        sa.CheckConstraint("pieces BETWEEN 0 AND 999999999", name=op.f("ck_claim_pieces_range")),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_claim_order_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_claim")),
    )
    op.create_index(op.f("ix_claim_order_number"), "claim", ["order_number"], unique=False)
    op.create_table(
        "job",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("supply", sa.String(length=20), nullable=False),
        sa.Column("supplier", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("booked_pieces", sa.Integer(), nullable=False),
        sa.Column("due", sa.DateTime(), nullable=True),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("is_closed", sa.Boolean(), nullable=False),
        sa.CheckConstraint("supply IN ('make', 'buy')", name=op.f("ck_job_supply_word")),
        sa.CheckConstraint("booked_pieces BETWEEN 0 AND 999999999", name=op.f("ck_job_booked_pieces_range")),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_job_pieces_range")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_job_part_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_job")),
    )
    op.create_index(op.f("ix_job_part_number"), "job", ["part_number"], unique=False)
    op.create_table(
        "kit_part",
        sa.Column("kit_number", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("kit_number <> part_number", name=op.f("ck_kit_part_not_itself")),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999", name=op.f("ck_kit_part_pieces_range")),
        sa.ForeignKeyConstraint(["kit_number"], ["part.number"], name=op.f("fk_kit_part_kit_number")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_kit_part_part_number")),
        sa.PrimaryKeyConstraint("kit_number", "part_number", name=op.f("pk_kit_part")),
    )
    op.create_table(
        "return_match",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("order_line_no", sa.Integer(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("cancelled_pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("cancelled_pieces <= pieces", name=op.f("ck_return_match_cancelled_at_most_pieces")),
        sa.CheckConstraint(
            "cancelled_pieces BETWEEN 0 AND 999999999", name=op.f("ck_return_match_cancelled_pieces_range")
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_return_match_pieces_range")),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_return_match_order_number")),
        sa.PrimaryKeyConstraint("number", "line_no", "order_number", "order_line_no", name=op.f("pk_return_match")),
    )
    op.create_index(op.f("ix_return_match_order_number"), "return_match", ["order_number"], unique=False)
    op.create_table(
        "returned_pieces",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("outcome", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("outcome IN ('booked back', 'scrapped')", name=op.f("ck_returned_pieces_outcome_word")),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_returned_pieces_pieces_range")),
        sa.ForeignKeyConstraint(
            ["order_number"], ["customer_order.number"], name=op.f("fk_returned_pieces_order_number")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_returned_pieces")),
    )
    op.create_index(op.f("ix_returned_pieces_order_number"), "returned_pieces", ["order_number"], unique=False)
    op.add_column("order_line", sa.Column("short_reason", sa.String(), server_default="", nullable=False))
    op.add_column("settings", sa.Column("allocation_rule", sa.String(), server_default="first come", nullable=False))
    op.add_column("settings", sa.Column("service_level", sa.Float(), server_default="0.95", nullable=False))
    op.add_column("settings", sa.Column("make_days", sa.Integer(), server_default="1", nullable=False))
    op.add_column("settings", sa.Column("buy_days", sa.Integer(), server_default="10", nullable=False))
    for event in ("UPDATE", "DELETE"):
        _refuse(event)


def _refuse(event: str) -> None:
    """What came back and was counted stays as it was recorded."""
    name = f"returned_pieces_stays_{event.lower()}"
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON returned_pieces FOR EACH ROW "
            "BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
        )
        return
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {event} ON returned_pieces FOR EACH ROW EXECUTE FUNCTION recorded_rows_stay()"
    )
