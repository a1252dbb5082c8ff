"""Personal data can be taken out of recorded rows, each time noted; papers that were printed stay as they are, too."""

import sqlalchemy as sa
from alembic import op

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None

_TEXTS = {
    "journal_entry": ("particulars",),
    "owed_move": ("reason",),
    "stock_move": ("reason",),
    "manifest_copy": ("sheet", "advices"),
    "papers_printed": ("customs",),
    "manifest_void": ("reason",),
    "hazard_review": ("reason",),
    "returned_pieces": ("reason",),
}
"""The only columns that may change, once the row is named in ``erasure``; a later column needs its triggers anew."""
_STAYS = "recorded rows stay as they are"


def upgrade() -> None:
    """Adds a table, and lets those columns change of rows that it names."""
    op.create_table(
        "erasure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("table_name", sa.String(), nullable=False),
        sa.Column("row_key", sa.String(), nullable=False),
        sa.Column("before", sa.String(), nullable=False),
        sa.Column("after", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_erasure")),
    )
    op.create_index(op.f("ix_erasure_table_name_row_key"), "erasure", ["table_name", "row_key"])
    if op.get_bind().dialect.name == "postgresql":
        _on_postgresql()
    else:
        _on_sqlite()


def _on_postgresql() -> None:
    may_change = (
        " IF (to_jsonb(OLD) - string_to_array(TG_ARGV[1], ',')) = (to_jsonb(NEW) - string_to_array(TG_ARGV[1], ','))"
        " AND EXISTS (SELECT 1 FROM erasure WHERE table_name = TG_TABLE_NAME"
        " AND row_key = to_jsonb(OLD) ->> TG_ARGV[0]) THEN RETURN NEW; END IF;"
    )
    op.execute(
        "CREATE FUNCTION only_erased_rows_change() RETURNS trigger AS $$ BEGIN"
        f"{may_change} RAISE EXCEPTION '{_STAYS}' USING ERRCODE = 'integrity_constraint_violation';"
        " END $$ LANGUAGE plpgsql"
    )
    for event in ("UPDATE", "DELETE"):
        _refuse_all(f"erasure_stays_{event.lower()}", "erasure", event, "ROW")
    _refuse_all("papers_printed_stays_delete", "papers_printed", "DELETE", "ROW")
    for table in ("erasure", "papers_printed"):
        _refuse_all(f"{table}_stays_truncate", table, "TRUNCATE", "STATEMENT")
    for table, texts in _TEXTS.items():
        op.execute(f"DROP TRIGGER IF EXISTS {table}_stays_update ON {table}")
        op.execute(
            f"CREATE TRIGGER {table}_stays_update BEFORE UPDATE ON {table} FOR EACH ROW"
            f" EXECUTE FUNCTION only_erased_rows_change('{_key(table)}', '{','.join(texts)}')"
        )


def _refuse_all(name: str, table: str, event: str, each: str) -> None:
    op.execute(f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH {each} EXECUTE FUNCTION recorded_rows_stay()")


def _on_sqlite() -> None:
    for event in ("UPDATE", "DELETE"):
        _refuse(f"erasure_stays_{event.lower()}", "erasure", event, "")
    _refuse("papers_printed_stays_delete", "papers_printed", "DELETE", "")
    for table in ("erasure", "papers_printed"):
        again = f"EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id)"  # noqa: S608 - names from the list above
        _refuse(f"{table}_stays_replace", table, "INSERT", again)
    for table, texts in _TEXTS.items():
        names = [one["name"] for one in sa.inspect(op.get_bind()).get_columns(table)]
        same = " AND ".join(f"NEW.{name} IS OLD.{name}" for name in names if name not in texts)
        named = (
            f"EXISTS (SELECT 1 FROM erasure WHERE table_name = '{table}'"  # noqa: S608 - names from the list above
            f" AND row_key = CAST(OLD.{_key(table)} AS TEXT))"
        )
        op.execute(f"DROP TRIGGER IF EXISTS {table}_stays_update")
        _refuse(f"{table}_stays_update", table, "UPDATE", f"NOT ({same} AND {named})")


def _refuse(name: str, table: str, event: str, when: str) -> None:
    condition = f" WHEN ({when})" if when else ""
    op.execute(
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW{condition}"
        f" BEGIN SELECT RAISE(ABORT, '{_STAYS}'); END"
    )


def _key(table: str) -> str:
    (name,) = sa.inspect(op.get_bind()).get_pk_constraint(table)["constrained_columns"]
    return str(name)
