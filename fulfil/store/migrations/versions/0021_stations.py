"""People with their roles, stations, and what each station was answered."""

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Adds tables; nothing of before is in them."""
    op.create_table(
        "person",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("roles", sa.String(), nullable=False),
        sa.Column("pin_salt", sa.String(), nullable=False),
        sa.Column("pin_digest", sa.String(), nullable=False),
        sa.Column("since", sa.DateTime(), nullable=False),
        sa.Column("wrong_pins", sa.Integer(), nullable=False),
        sa.Column("wrong_since", sa.DateTime(), nullable=True),
        sa.Column("is_retired", sa.Boolean(), nullable=False),
        sa.CheckConstraint("wrong_pins BETWEEN 0 AND 999999999", name=op.f("ck_person_wrong_pins_range")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_person")),
    )
    op.create_table(
        "signing_key",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("secret", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_signing_key")),
    )
    op.create_table(
        "station",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("token_digest", sa.String(), nullable=False),
        sa.Column("pairing_digest", sa.String(), nullable=False),
        sa.Column("pairing_until", sa.DateTime(), nullable=True),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("session_digest", sa.String(), nullable=False),
        sa.Column("signed_in_at", sa.DateTime(), nullable=True),
        sa.Column("is_retired", sa.Boolean(), nullable=False),
        sa.CheckConstraint("kind IN ('check', 'pack', 'wall')", name=op.f("ck_station_kind_word")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_station")),
    )
    with op.batch_alter_table("station", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_station_pairing_digest"), ["pairing_digest"], unique=False)
        batch_op.create_index(batch_op.f("ix_station_token_digest"), ["token_digest"], unique=False)

    op.create_table(
        "station_answer",
        sa.Column("station", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("asked_digest", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("station", "key", name=op.f("pk_station_answer")),
    )
    with op.batch_alter_table("station_answer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_station_answer_at"), ["at"], unique=False)
    op.create_index(op.f("ix_recount_at"), "recount", ["at"])
