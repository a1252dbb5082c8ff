"""The schema of the first release, last part, and what keeps recorded rows as they are."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0008.2"
branch_labels = None
depends_on = None

_APPEND_ONLY = (
    "bill_line",
    "billed_surcharge",
    "carrier_bill",
    "charge",
    "charged_surcharge",
    "closed_day",
    "hazard_review",
    "identifier",
    "journal_entry",
    "manifest_copy",
    "manifest_void",
    "returned_pieces",
    "settlement",
    "stock_entry",
    "weighing",
)


def upgrade() -> None:
    """Makes the tables."""
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
        "manifest_copy",
        sa.Column("manifest_number", sa.String(), nullable=False),
        sa.Column("sheet", sa.String(), nullable=False),
        sa.Column("advices", sa.String(), nullable=False),
        sa.Column("paper", sa.String(length=20), nullable=False),
        sa.Column("printer_dpi", sa.Integer(), nullable=False),
        sa.CheckConstraint("paper IN ('A4', 'Letter')", name=op.f("ck_manifest_copy_paper_word")),
        sa.ForeignKeyConstraint(
            ["manifest_number"], ["manifest.number"], name=op.f("fk_manifest_copy_manifest_number")
        ),
        sa.PrimaryKeyConstraint("manifest_number", name=op.f("pk_manifest_copy")),
    )
    op.create_table(
        "order_line",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("unit_price_minor", sa.Integer(), nullable=False),
        sa.Column("short_pieces", sa.Integer(), nullable=False),
        sa.Column("cancelled_pieces", sa.Integer(), nullable=False),
        sa.Column("short_reason", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.CheckConstraint(
            "cancelled_pieces BETWEEN 0 AND 999999999", name=op.f("ck_order_line_cancelled_pieces_range")
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999", name=op.f("ck_order_line_pieces_range")),
        sa.CheckConstraint(
            "short_pieces + cancelled_pieces <= pieces", name=op.f("ck_order_line_short_at_most_ordered")
        ),
        sa.CheckConstraint("short_pieces BETWEEN 0 AND 999999999", name=op.f("ck_order_line_short_pieces_range")),
        sa.CheckConstraint(
            "unit_price_minor BETWEEN 0 AND 999999999", name=op.f("ck_order_line_unit_price_minor_range")
        ),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_order_line_order_number")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_order_line_part_number")),
        sa.PrimaryKeyConstraint("order_number", "line_no", name=op.f("pk_order_line")),
    )
    op.create_index(op.f("ix_order_line_part_number"), "order_line", ["part_number"], unique=False)
    op.create_table(
        "package",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("box_type", sa.String(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("expected_g", sa.BigInteger(), nullable=False),
        sa.Column("lower_g", sa.BigInteger(), nullable=False),
        sa.Column("upper_g", sa.BigInteger(), nullable=False),
        sa.Column("gross_g", sa.BigInteger(), nullable=True),
        sa.Column("visible_from_g", sa.BigInteger(), nullable=False),
        sa.Column("manifest_number", sa.String(), nullable=False),
        sa.Column("sealed_at", sa.DateTime(), nullable=True),
        sa.Column("photo_path", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.Column("scale_code", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.CheckConstraint("state IN ('planned', 'stop', 'sealed', 'shipped')", name=op.f("ck_package_state_word")),
        sa.CheckConstraint("expected_g > 0 AND expected_g < 1e18", name=op.f("ck_package_expected_g_above_zero")),
        sa.CheckConstraint("lower_g <= upper_g", name=op.f("ck_package_window_order")),
        sa.ForeignKeyConstraint(["order_number"], ["customer_order.number"], name=op.f("fk_package_order_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_package")),
    )
    op.create_index(op.f("ix_package_manifest_number"), "package", ["manifest_number"], unique=False)
    op.create_index(op.f("ix_package_order_number"), "package", ["order_number"], unique=False)
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
    op.create_table(
        "stock_entry",
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN -999999999 AND 999999999", name=op.f("ck_stock_entry_pieces_range")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_stock_entry_part_number")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_entry")),
    )
    op.create_index(op.f("ix_stock_entry_bin_code"), "stock_entry", ["bin_code"], unique=False)
    op.create_index(op.f("ix_stock_entry_part_number"), "stock_entry", ["part_number"], unique=False)
    op.create_table(
        "unit_weight",
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("mean_g", sa.Float(), nullable=False),
        sa.Column("u_g", sa.Float(), nullable=False),
        sa.Column("piece_sd_g", sa.Float(), nullable=False),
        sa.Column("sample_pieces", sa.Integer(), nullable=False),
        sa.Column("source", sa.String(length=20), nullable=False),
        sa.Column("as_of", sa.Date(), nullable=True),
        sa.Column("piece_sd_source", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.Column("piece_sd_freedom", sa.Float(), nullable=True),
        sa.Column("lot_sd_g", sa.Float(), server_default=sa.text("'0'"), nullable=False),
        sa.Column("sampled_at", sa.DateTime(), nullable=True),
        sa.Column("sample_mean_g", sa.Float(), nullable=True),
        sa.Column("sample_u_g", sa.Float(), nullable=True),
        sa.Column("sample_sd_g", sa.Float(), nullable=True),
        sa.Column("learned_n", sa.Integer(), server_default=sa.text("'0'"), nullable=False),
        sa.CheckConstraint(
            "source IN ('sampled', 'geometry', 'handbook', 'supplier')", name=op.f("ck_unit_weight_source_word")
        ),
        sa.CheckConstraint("mean_g > 0 AND mean_g < 1e18", name=op.f("ck_unit_weight_mean_g_above_zero")),
        sa.CheckConstraint(
            "piece_sd_g >= 0 AND piece_sd_g < 1e18", name=op.f("ck_unit_weight_piece_sd_g_not_negative")
        ),
        sa.CheckConstraint("sample_pieces BETWEEN 0 AND 999999999", name=op.f("ck_unit_weight_sample_pieces_range")),
        sa.CheckConstraint("u_g >= 0 AND u_g < 1e18", name=op.f("ck_unit_weight_u_g_not_negative")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_unit_weight_part_number")),
        sa.PrimaryKeyConstraint("part_number", "lot", name=op.f("pk_unit_weight")),
    )
    op.create_table(
        "allocation",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_allocation_pieces_range")),
        sa.ForeignKeyConstraint(["bin_code"], ["bin.code"], name=op.f("fk_allocation_bin_code")),
        sa.ForeignKeyConstraint(
            ["order_number", "line_no"],
            ["order_line.order_number", "order_line.line_no"],
            name=op.f("fk_allocation_order_number_line_no"),
        ),
        sa.PrimaryKeyConstraint("order_number", "line_no", "bin_code", name=op.f("pk_allocation")),
    )
    op.create_index(op.f("ix_allocation_bin_code"), "allocation", ["bin_code"], unique=False)
    op.create_table(
        "bag",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("bin_code", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("bag_type", sa.String(), nullable=False),
        sa.Column("walk_number", sa.String(), nullable=False),
        sa.Column("cart_position", sa.Integer(), nullable=False),
        sa.Column("stop_no", sa.Integer(), nullable=False),
        sa.Column("method", sa.String(length=20), nullable=False),
        sa.Column("scale_code", sa.String(), nullable=False),
        sa.Column("tare_g", sa.BigInteger(), nullable=False),
        sa.Column("target_g", sa.BigInteger(), nullable=True),
        sa.Column("lower_g", sa.BigInteger(), nullable=True),
        sa.Column("upper_g", sa.BigInteger(), nullable=True),
        sa.Column("p_reject", sa.Float(), nullable=True),
        sa.Column("p_pass_one_short", sa.Float(), nullable=True),
        sa.Column("p_pass_one_over", sa.Float(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("checks", sa.Integer(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("gross_g", sa.BigInteger(), nullable=True),
        sa.Column("gross_u_g", sa.Float(), nullable=True),
        sa.Column("boxed_at", sa.DateTime(), nullable=True),
        sa.CheckConstraint("method IN ('weigh', 'count by hand')", name=op.f("ck_bag_method_word")),
        sa.CheckConstraint(
            "state IN ('planned', 'passed', 'recount', 'look', 'stop', 'packed')", name=op.f("ck_bag_state_word")
        ),
        sa.CheckConstraint("checks BETWEEN 0 AND 999999999", name=op.f("ck_bag_checks_range")),
        sa.CheckConstraint("lower_g <= upper_g", name=op.f("ck_bag_window_order")),
        sa.CheckConstraint(
            "p_reject <= 1 AND p_pass_one_short <= 1 AND p_pass_one_over <= 1",
            name=op.f("ck_bag_risks_are_probabilities"),
        ),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_bag_pieces_range")),
        sa.CheckConstraint("tare_g > 0 AND tare_g < 1e18", name=op.f("ck_bag_tare_g_above_zero")),
        sa.ForeignKeyConstraint(
            ["order_number", "line_no"],
            ["order_line.order_number", "order_line.line_no"],
            name=op.f("fk_bag_order_number_line_no"),
        ),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_bag_part_number")),
        sa.ForeignKeyConstraint(["walk_number"], ["walk.number"], name=op.f("fk_bag_walk_number")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_bag")),
    )
    op.create_index(op.f("ix_bag_order_number_line_no"), "bag", ["order_number", "line_no"], unique=False)
    op.create_index(op.f("ix_bag_package_number"), "bag", ["package_number"], unique=False)
    op.create_index(op.f("ix_bag_walk_number"), "bag", ["walk_number"], unique=False)
    op.create_table(
        "charge",
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("chargeable_g", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("chargeable_g BETWEEN 1 AND 999999999", name=op.f("ck_charge_chargeable_g_range")),
        sa.CheckConstraint("price_minor BETWEEN 0 AND 999999999", name=op.f("ck_charge_price_minor_range")),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_charge_package_number")),
        sa.PrimaryKeyConstraint("package_number", name=op.f("pk_charge")),
    )
    op.create_table(
        "charged_surcharge",
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("basis_points", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "amount_minor BETWEEN 0 AND 999999999", name=op.f("ck_charged_surcharge_amount_minor_range")
        ),
        sa.CheckConstraint("basis_points BETWEEN 0 AND 99999", name=op.f("ck_charged_surcharge_basis_points_range")),
        sa.ForeignKeyConstraint(
            ["package_number"], ["package.number"], name=op.f("fk_charged_surcharge_package_number")
        ),
        sa.PrimaryKeyConstraint("package_number", "name", name=op.f("pk_charged_surcharge")),
    )
    op.create_table(
        "hazard_review",
        sa.Column("hazards", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_hazard_review_package_number")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hazard_review")),
    )
    op.create_index(op.f("ix_hazard_review_package_number"), "hazard_review", ["package_number"], unique=False)
    op.create_table(
        "identifier",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("range_code", sa.String(), nullable=False),
        sa.Column("serial", sa.Integer(), nullable=False),
        sa.Column("issued_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_identifier_package_number")),
        sa.ForeignKeyConstraint(["range_code"], ["identifier_range.code"], name=op.f("fk_identifier_range_code")),
        sa.PrimaryKeyConstraint("number", "package_number", name=op.f("pk_identifier")),
    )
    op.create_index(op.f("ix_identifier_package_number"), "identifier", ["package_number"], unique=False)
    op.create_index(op.f("ix_identifier_range_code"), "identifier", ["range_code"], unique=False)
    op.create_table(
        "manifest_void",
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("manifest_number", sa.String(), nullable=False),
        sa.Column("replaced_by", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["manifest_number"], ["manifest.number"], name=op.f("fk_manifest_void_manifest_number")
        ),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_manifest_void_package_number")),
        sa.ForeignKeyConstraint(["replaced_by"], ["package.number"], name=op.f("fk_manifest_void_replaced_by")),
        sa.PrimaryKeyConstraint("package_number", name=op.f("pk_manifest_void")),
    )
    op.create_index(op.f("ix_manifest_void_manifest_number"), "manifest_void", ["manifest_number"], unique=False)
    _keep_what_is_recorded()


def _keep_what_is_recorded() -> None:
    """Recorded rows, closed manifests and what is on them are never changed nor removed."""
    is_postgresql = op.get_bind().dialect.name == "postgresql"
    if is_postgresql:
        op.execute(
            "CREATE FUNCTION recorded_rows_stay() RETURNS trigger AS $$"
            " BEGIN RAISE EXCEPTION 'recorded rows stay as they are' USING ERRCODE = 'integrity_constraint_violation';"
            " END $$ LANGUAGE plpgsql"
        )
    for table in _APPEND_ONLY:
        for event in ("UPDATE", "DELETE"):
            _refuse(f"{table}_stays_{event.lower()}", table, event, "")
    for event in ("UPDATE", "DELETE"):
        _refuse(f"manifest_stays_{event.lower()}", "manifest", event, "OLD.state = 'closed'")
    if is_postgresql:
        _keep_shipped_packages()
        return
    closed = "(SELECT number FROM manifest WHERE state = 'closed')"
    shipped = f"OLD.manifest_number IN {closed}"
    moved = "(NEW.manifest_number <> OLD.manifest_number OR NEW.gross_g IS NOT OLD.gross_g)"
    joins = f"NEW.manifest_number IN {closed} AND NEW.manifest_number <> OLD.manifest_number"
    _refuse("package_stays_update", "package", "UPDATE", f"{shipped} AND {moved}")
    _refuse("package_stays_delete", "package", "DELETE", shipped)
    _refuse("package_joins_no_closed_manifest", "package", "UPDATE", joins)


def _refuse(name: str, table: str, event: str, when: str) -> None:
    condition = f" WHEN ({when})" if when else ""
    does = " BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
    if op.get_bind().dialect.name == "postgresql":
        does = " EXECUTE FUNCTION recorded_rows_stay()"
    op.execute(f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}{does}")


def _keep_shipped_packages() -> None:
    """PostgreSQL takes no subquery in a trigger's WHEN, so the package rules are a function."""
    op.execute(
        "CREATE FUNCTION shipped_packages_stay() RETURNS trigger AS $$ BEGIN"
        " IF TG_OP = 'DELETE' OR NEW.manifest_number <> OLD.manifest_number"
        " OR NEW.gross_g IS DISTINCT FROM OLD.gross_g THEN"
        " IF EXISTS (SELECT 1 FROM manifest WHERE number = OLD.manifest_number AND state = 'closed') OR"
        " (TG_OP = 'UPDATE' AND NEW.manifest_number <> OLD.manifest_number AND"
        " EXISTS (SELECT 1 FROM manifest WHERE number = NEW.manifest_number AND state = 'closed')) THEN"
        " RAISE EXCEPTION 'recorded rows stay as they are' USING ERRCODE = 'integrity_constraint_violation';"
        " END IF; END IF;"
        " IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW; END $$ LANGUAGE plpgsql"
    )
    op.execute(
        "CREATE TRIGGER package_stays BEFORE UPDATE OR DELETE ON package FOR EACH ROW"
        " EXECUTE FUNCTION shipped_packages_stay()"
    )
