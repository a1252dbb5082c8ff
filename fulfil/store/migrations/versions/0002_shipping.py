"""Zones, prices and charges, given numbers, customs entries, hand-overs, carriers' bills, closed days."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_APPEND_ONLY = (
    "bill_line",
    "carrier_bill",
    "charge",
    "closed_day",
    "hazard_review",
    "identifier",
    "manifest_copy",
    "manifest_void",
    "settlement",
)
_ADDED_TO_SERVICE = (
    ("size_preset", sa.String(), ""),
    ("collection_days", sa.String(), ""),
    ("divisor_cm3_per_kg", sa.Integer(), "0"),
    ("side_rounding", sa.String(length=20), "none"),
    ("side_step_mm", sa.Integer(), "10"),
    ("weight_step_g", sa.Integer(), "1"),
    ("least_charge_g", sa.Integer(), "0"),
)
_SERVICE_CHECKS = (
    ("kind_word", "kind IN ('parcel', 'postal')"),
    ("side_rounding_word", "side_rounding IN ('none', 'up', 'half-up')"),
    ("max_weight_g_not_negative", "max_weight_g >= 0 AND max_weight_g < 1e18"),
    ("max_longest_mm_not_negative", "max_longest_mm >= 0 AND max_longest_mm < 1e18"),
    ("max_length_girth_mm_not_negative", "max_length_girth_mm >= 0 AND max_length_girth_mm < 1e18"),
    ("divisor_cm3_per_kg_not_negative", "divisor_cm3_per_kg >= 0 AND divisor_cm3_per_kg < 1e18"),
    ("least_charge_g_not_negative", "least_charge_g >= 0 AND least_charge_g < 1e18"),
    ("side_step_mm_above_zero", "side_step_mm > 0 AND side_step_mm < 1e18"),
    ("weight_step_g_above_zero", "weight_step_g > 0 AND weight_step_g < 1e18"),
)


def upgrade() -> None:
    """Makes the tables, widens the services, then the triggers."""
    op.create_table(
        "carrier_bill",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("file_name", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_carrier_bill")),
        sa.UniqueConstraint("digest", name=op.f("uq_carrier_bill_digest")),
    )
    op.create_table(
        "closed_day",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("ordered", sa.Integer(), nullable=False),
        sa.Column("shipped", sa.Integer(), nullable=False),
        sa.Column("packages", sa.Integer(), nullable=False),
        sa.Column("settled", sa.Integer(), nullable=False),
        sa.Column("carried_over", sa.Integer(), nullable=False),
        sa.CheckConstraint("carried_over BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_carried_over_range")),
        sa.CheckConstraint("ordered BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_ordered_range")),
        sa.CheckConstraint("packages BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_packages_range")),
        sa.CheckConstraint("settled BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_settled_range")),
        sa.CheckConstraint("shipped BETWEEN 0 AND 999999999", name=op.f("ck_closed_day_shipped_range")),
        sa.PrimaryKeyConstraint("day", name=op.f("pk_closed_day")),
    )
    op.create_table(
        "identifier_range",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("prefix", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("first", sa.Integer(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.Column("given_on", sa.Date(), nullable=False),
        sa.CheckConstraint("kind IN ('sscc', 's10')", name=op.f("ck_identifier_range_kind_word")),
        sa.CheckConstraint("first <= last", name=op.f("ck_identifier_range_range_order")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_identifier_range")),
    )
    op.create_table(
        "price",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("up_to_g", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("price_minor BETWEEN 0 AND 999999999", name=op.f("ck_price_price_minor_range")),
        sa.CheckConstraint("up_to_g BETWEEN 1 AND 999999999", name=op.f("ck_price_up_to_g_range")),
        sa.PrimaryKeyConstraint("service_code", "valid_from", "zone", "up_to_g", name=op.f("pk_price")),
    )
    op.create_table(
        "sdr_rate",
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("as_of", sa.Date(), nullable=False),
        sa.Column("per_sdr", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("currency", "as_of", name=op.f("pk_sdr_rate")),
    )
    op.create_table(
        "settlement",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("difference", sa.String(), nullable=False),
        sa.Column("outcome", sa.String(length=20), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("outcome IN ('settled', 'carried over')", name=op.f("ck_settlement_outcome_word")),
        sa.PrimaryKeyConstraint("day", "difference", name=op.f("pk_settlement")),
    )
    with op.batch_alter_table("settlement", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_settlement_difference"), ["difference"], unique=False)

    op.create_table(
        "zone",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("service_code", "country", name=op.f("pk_zone")),
    )
    op.create_table(
        "bill_line",
        sa.Column("bill_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("billed_g", sa.BigInteger(), nullable=True),
        sa.Column("charge_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint(
            "charge_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_bill_line_charge_minor_range")
        ),
        sa.CheckConstraint("line_no BETWEEN 1 AND 999999999", name=op.f("ck_bill_line_line_no_range")),
        sa.ForeignKeyConstraint(["bill_number"], ["carrier_bill.number"], name=op.f("fk_bill_line_bill_number")),
        sa.PrimaryKeyConstraint("bill_number", "line_no", name=op.f("pk_bill_line")),
    )
    with op.batch_alter_table("bill_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bill_line_package_number"), ["package_number"], unique=False)

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
    with op.batch_alter_table("hazard_review", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_hazard_review_package_number"), ["package_number"], unique=False)

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
    with op.batch_alter_table("identifier", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_identifier_package_number"), ["package_number"], unique=False)
        batch_op.create_index(batch_op.f("ix_identifier_range_code"), ["range_code"], unique=False)

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
    with op.batch_alter_table("manifest_void", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_manifest_void_manifest_number"), ["manifest_number"], unique=False)

    _widen_services()
    for table in _APPEND_ONLY:
        for event in ("UPDATE", "DELETE"):
            _refuse(f"{table}_stays_{event.lower()}", table, event, "")
    if op.get_bind().dialect.name == "sqlite":
        closed = "NEW.manifest_number IN (SELECT number FROM manifest WHERE state = 'closed')"
        moved = "NEW.manifest_number <> OLD.manifest_number"
        _refuse("package_joins_no_closed_manifest", "package", "UPDATE", f"{closed} AND {moved}")


def _widen_services() -> None:
    """Adds the columns of a service's charging; SQLite can't add their checks, so there the table is made anew."""
    added = [sa.Column(name, kind, server_default=default, nullable=False) for name, kind, default in _ADDED_TO_SERVICE]
    if op.get_bind().dialect.name == "postgresql":
        for column in added:
            op.add_column("service", column)
        for name, condition in _SERVICE_CHECKS:
            if name.split("_not_")[0].split("_above_")[0].removesuffix("_word") in {
                one[0] for one in _ADDED_TO_SERVICE
            }:
                op.create_check_constraint(op.f(f"ck_service_{name}"), "service", condition)
        return
    kept = "code, name, kind, countries, cut_off, max_weight_g, max_longest_mm, max_length_girth_mm, refuses"
    op.rename_table("service", "service_before")
    op.create_table(
        "service",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("countries", sa.String(), nullable=False),
        sa.Column("cut_off", sa.Time(), nullable=False),
        sa.Column("max_longest_mm", sa.Integer(), nullable=False),
        sa.Column("max_length_girth_mm", sa.Integer(), nullable=False),
        sa.Column("refuses", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("max_weight_g", sa.BigInteger(), nullable=False),
        *added,
        *(sa.CheckConstraint(condition, name=op.f(f"ck_service_{name}")) for name, condition in _SERVICE_CHECKS),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_service")),
    )
    op.execute(f"INSERT INTO service ({kept}) SELECT {kept} FROM service_before")  # noqa: S608 - fixed names
    op.drop_table("service_before")


def _refuse(name: str, table: str, event: str, when: str) -> None:
    condition = f" WHEN ({when})" if when else ""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
            " EXECUTE FUNCTION recorded_rows_stay()"
        )
    else:
        op.execute(
            f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
            " BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
        )
