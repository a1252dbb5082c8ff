"""Sides of parts, prices of bags and boxes, days without a collection, insured values, surcharges by size and goods."""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None

_WHOLE = {
    "part": ("width_mm", "thickness_mm"),
    "bag_type": ("price_minor",),
    "box_type": ("price_minor",),
    "service": ("insured_up_to_minor",),
    "settings": ("package_work_minor",),
    "customer_order": ("insured_minor",),
}
_TEXTS = {
    "bag_type": ("currency",),
    "box_type": ("currency",),
    "service": ("cut_offs", "holidays", "insured_currency"),
    "settings": ("public_holidays",),
}
_READ = (
    "SELECT service_code, valid_from, name, country, post_codes, basis_points, amount_minor, currency FROM surcharge"
)
_WRITE = (
    "INSERT INTO surcharge (service_code, valid_from, name, country, post_codes, above_g, above_longest_mm, "
    "above_length_girth_mm, hazard, basis_points, percent_of, amount_minor, insured_step_minor, insured_free_minor, "
    "currency) VALUES (:service_code, :valid_from, :name, :country, :post_codes, 0, 0, 0, '', :basis_points, '', "
    ":amount_minor, 0, 0, :currency)"
)


def upgrade() -> None:
    """Adds columns with what held before; a surcharge's new ones are part of its key, so that table is made anew."""
    for table, names in _WHOLE.items():
        for name in names:
            op.add_column(table, sa.Column(name, sa.Integer(), server_default="0", nullable=False))
    for table, names in _TEXTS.items():
        for name in names:
            op.add_column(table, sa.Column(name, sa.String(), server_default="", nullable=False))
    op.create_table(
        "closure",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.CheckConstraint("first_day <= last_day", name=op.f("ck_closure_days_in_order")),
        sa.PrimaryKeyConstraint("service_code", "first_day", name=op.f("pk_closure")),
    )
    connection = op.get_bind()
    rows = [dict(row) for row in connection.execute(sa.text(_READ)).mappings()]
    op.drop_table("surcharge")
    op.create_table(
        "surcharge",
        sa.Column("service_code", sa.String(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("post_codes", sa.String(), nullable=False),
        sa.Column("above_g", sa.Integer(), nullable=False),
        sa.Column("above_longest_mm", sa.Integer(), nullable=False),
        sa.Column("above_length_girth_mm", sa.Integer(), nullable=False),
        sa.Column("hazard", sa.String(), nullable=False),
        sa.Column("basis_points", sa.Integer(), nullable=False),
        sa.Column("percent_of", sa.String(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column("insured_step_minor", sa.Integer(), nullable=False),
        sa.Column("insured_free_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.CheckConstraint("amount_minor BETWEEN 0 AND 999999999", name=op.f("ck_surcharge_amount_minor_range")),
        sa.CheckConstraint("basis_points BETWEEN 0 AND 99999", name=op.f("ck_surcharge_basis_points_range")),
        sa.PrimaryKeyConstraint(
            "service_code", "valid_from", "name", "country", "post_codes", "above_g", "above_longest_mm",
            "above_length_girth_mm", "hazard", name=op.f("pk_surcharge"),
        ),
    )  # fmt: skip
    if rows:
        connection.execute(sa.text(_WRITE), rows)
