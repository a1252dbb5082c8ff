"""Indexes by which a day's steps find their records in a shop of any age, and what a settled difference was about."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

INDEXES = {
    "customer_order": [["received_at"]],
    "owed_move": [["at"]],
    "walk": [["released_at"]],
    "bag": [["bin_code"], ["scale_code", "state"]],
    "weighing": [["at"]],
    "package": [["state", "service_code"]],
    "manifest": [["state", "service_code"]],
    "recount": [["walk_number"]],
    "claim": [["at"]],
    "carrier_bill": [["at"]],
}


def upgrade() -> None:
    """Adds indexes and a column."""
    op.add_column("settlement", sa.Column("subject", sa.String(), server_default="", nullable=False))
    for table, indexes in INDEXES.items():
        for columns in indexes:
            op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, columns)
    op.create_index(
        "ix_job_to_come",
        "job",
        ["supply"],
        sqlite_where=sa.text("is_closed = 0 AND booked_pieces < pieces"),
        postgresql_where=sa.text("NOT is_closed AND booked_pieces < pieces"),
    )
