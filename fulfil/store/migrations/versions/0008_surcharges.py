"""Surcharges and terms of delivery; on PostgreSQL, what is on a closed manifest stays as it is, as on SQLite before."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_APPEND_ONLY = ("billed_surcharge", "charged_surcharge")


def upgrade() -> None:
    """Adds tables and columns, then the triggers; what is there stays as it is."""
    op.create_table(
        "surcharge",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("post_codes", sa.String(), nullable=False),
        sa.Column("basis_points", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("basis_points BETWEEN 0 AND 99999", name=op.f("ck_surcharge_basis_points_range")),
        sa.CheckConstraint("amount_minor BETWEEN 0 AND 999999999", name=op.f("ck_surcharge_amount_minor_range")),
        sa.PrimaryKeyConstraint(
            "service_code", "valid_from", "name", "country", "post_codes", name=op.f("pk_surcharge")
        ),
    )
    op.create_table(
        "charged_surcharge",
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("basis_points", sa.Integer(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint("basis_points BETWEEN 0 AND 99999", name=op.f("ck_charged_surcharge_basis_points_range")),
        sa.CheckConstraint(
            "amount_minor BETWEEN 0 AND 999999999", name=op.f("ck_charged_surcharge_amount_minor_range")
        ),
        sa.ForeignKeyConstraint(
            ["package_number"], ["package.number"], name=op.f("fk_charged_surcharge_package_number")
        ),
        sa.PrimaryKeyConstraint("package_number", "name", name=op.f("pk_charged_surcharge")),
    )
    op.create_table(
        "billed_surcharge",
        sa.Column("bill_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "amount_minor BETWEEN -999999999 AND 999999999", name=op.f("ck_billed_surcharge_amount_minor_range")
        ),
        sa.CheckConstraint("line_no BETWEEN 1 AND 999999999", name=op.f("ck_billed_surcharge_line_no_range")),
        sa.ForeignKeyConstraint(["bill_number"], ["carrier_bill.number"], name=op.f("fk_billed_surcharge_bill_number")),
        sa.PrimaryKeyConstraint("bill_number", "line_no", "name", name=op.f("pk_billed_surcharge")),
    )
    op.add_column("settings", sa.Column("terms_of_delivery", sa.String(), server_default="DAP", nullable=False))
    op.add_column("settings", sa.Column("named_place", sa.String(), server_default="", nullable=False))
    for table in _APPEND_ONLY:
        for event in ("UPDATE", "DELETE"):
            _refuse(table, event)
    if op.get_bind().dialect.name == "postgresql":
        _keep_shipped_packages()


def _refuse(table: str, event: str) -> None:
    name = f"{table}_stays_{event.lower()}"
    does = "BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
    if op.get_bind().dialect.name == "postgresql":
        does = "EXECUTE FUNCTION recorded_rows_stay()"
    op.execute(f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {does}")


def _keep_shipped_packages() -> None:
    """The package rules of steps 1 and 2; PostgreSQL takes no subquery in a trigger's WHEN, so they are a function."""
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
