"""A chain over what was recorded; recorded rows stay even where a row is replaced, or a table emptied, in one step."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

_STAY = (
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
    "owed_move",
    "returned_pieces",
    "seal_link",
    "settlement",
    "stock_move",
    "weighing",
)
_STAYS = "recorded rows stay as they are"


def upgrade() -> None:
    """Adds a table and triggers."""
    op.create_table(
        "seal_link",
        sa.Column("no", sa.Integer(), nullable=False),
        sa.Column("shape", sa.Integer(), nullable=False),
        sa.Column("covers", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("no", name=op.f("pk_seal_link")),
    )
    op.create_index(op.f("ix_seal_link_digest"), "seal_link", ["digest"], unique=False)
    if op.get_bind().dialect.name == "postgresql":
        for event in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER seal_link_stays_{event.lower()} BEFORE {event} ON seal_link FOR EACH ROW"
                " EXECUTE FUNCTION recorded_rows_stay()"
            )
        for table in [*_STAY, "manifest", "package"]:
            op.execute(
                f"CREATE TRIGGER {table}_stays_truncate BEFORE TRUNCATE ON {table} FOR EACH STATEMENT"
                " EXECUTE FUNCTION recorded_rows_stay()"
            )
        return
    for event in ("UPDATE", "DELETE"):
        _refuse(f"seal_link_stays_{event.lower()}", "seal_link", event, "")
    inspector = sa.inspect(op.get_bind())
    for table in _STAY:
        keys = [inspector.get_pk_constraint(table)["constrained_columns"]]
        keys += [one["column_names"] for one in inspector.get_unique_constraints(table)]
        same = " OR ".join("(" + " AND ".join(f"{one} = NEW.{one}" for one in key) + ")" for key in keys)
        _refuse(f"{table}_stays_replace", table, "INSERT", f"EXISTS (SELECT 1 FROM {table} WHERE {same})")  # noqa: S608
    closed = "SELECT 1 FROM manifest WHERE number = NEW.number AND state = 'closed'"
    _refuse("manifest_stays_replace", "manifest", "INSERT", f"EXISTS ({closed})")
    shipped = (
        "SELECT 1 FROM package AS old JOIN manifest ON manifest.number = old.manifest_number"
        " WHERE old.number = NEW.number AND manifest.state = 'closed'"
        " AND (NEW.manifest_number <> old.manifest_number OR NEW.gross_g IS NOT old.gross_g)"
    )
    _refuse("package_stays_replace", "package", "INSERT", f"EXISTS ({shipped})")


def _refuse(name: str, table: str, event: str, when: str) -> None:
    condition = f" WHEN ({when})" if when else ""
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
        f" BEGIN SELECT RAISE(ABORT, '{_STAYS}'); END"
    )
