"""What was printed for each package, and the numbers that carriers gave to packages."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds two tables and two columns; of bills that came in before, a number is known only as it was written."""
    op.add_column("bill_line", sa.Column("number_key", sa.String(), server_default="", nullable=False))
    op.add_column("bill_line", sa.Column("billed_step_g", sa.BigInteger(), nullable=True))
    op.create_index(op.f("ix_bill_line_number_key"), "bill_line", ["number_key"])
    op.create_table(
        "carrier_number",
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_carrier_number_package_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_carrier_number")),
    )
    op.create_index(op.f("ix_carrier_number_package_number"), "carrier_number", ["package_number"])
    op.create_table(
        "papers_printed",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("package_number", sa.String(), nullable=False),
        sa.Column("names", sa.String(), nullable=False),
        sa.Column("customs", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["package_number"], ["package.number"], name=op.f("fk_papers_printed_package_number")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_papers_printed")),
    )
    op.create_index(op.f("ix_papers_printed_package_number"), "papers_printed", ["package_number"])
