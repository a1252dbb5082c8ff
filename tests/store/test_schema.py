"""The schema is the last line of defence: raw SQL can't break the shop's rules, and migrations make exactly it."""

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Boolean, Date, Float, Integer, String, Time, create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable
from sqlmodel import SQLModel
from sqlmodel.sql.sqltypes import AutoString

from fulfil.store.columns import Micrograms, Moment, Word
from fulfil.store.shop import Shop, open_shop
from fulfil.store.tables import all_tables, kinds, table_of

WEIGHT = "INSERT INTO unit_weight (part_number, lot, mean_g, u_g, piece_sd_g, sample_pieces, source) VALUES "


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE bin SET pieces = -1", "ck_bin_pieces_range"),
        ("UPDATE bin SET pieces = 'many'", "ck_bin_pieces_range"),
        ("UPDATE bin SET side = 'top'", "ck_bin_side_word"),
        ("UPDATE bin SET part_number = 'none'", "FOREIGN KEY"),
        ("UPDATE part SET bulk_volume_mm3 = 0", "ck_part_bulk_volume_mm3_above_zero"),
        ("UPDATE part SET number = NULL", "NOT NULL"),
        ("UPDATE part SET price_minor = -1", "ck_part_price_minor_range"),
        ("UPDATE part SET supply = 'find'", "ck_part_supply_word"),
        (WEIGHT + "('BALL-3', '', 0, 0, 0, 0, 'sampled')", "mean_g_above_zero"),
        (WEIGHT + "('BALL-3', '', 1, -1, 0, 0, 'sampled')", "u_g_not_negative"),
        (WEIGHT + "('none', '', 1, 0, 0, 0, 'sampled')", "FOREIGN KEY"),
        ("UPDATE bag_type SET tare_g = 0", "ck_bag_type_tare_g_above_zero"),
        ("UPDATE box_type SET fill_fraction = 1.1", "ck_box_type_fill_fraction_at_most_1"),
        ("UPDATE service SET kind = 'pigeon'", "ck_service_kind_word"),
        ("UPDATE customer_order SET state = 'lost'", "ck_customer_order_state_word"),
        ("UPDATE order_line SET pieces = 0", "ck_order_line_pieces_range"),
        ("UPDATE order_line SET pieces = 1000000", "ck_order_line_pieces_range"),
        ("UPDATE order_line SET short_pieces = 51", "ck_order_line_short_at_most_ordered"),
        ("INSERT INTO owed_balance VALUES ('A-1', 2, 'BALL-3', 'short', '', 1)", "FOREIGN KEY"),
        ("INSERT INTO owed_balance VALUES ('A-1', 1, 'none', 'short', '', 1)", "FOREIGN KEY"),
        ("INSERT INTO owed_balance VALUES ('A-1', 1, 'BALL-3', 'short', '', 0)", "ck_owed_balance_pieces_range"),
        ("INSERT INTO owed_balance VALUES ('A-1', 1, 'BALL-3', 'lost', '', 1)", "ck_owed_balance_place_word"),
        ("INSERT INTO stock_balance VALUES ('bag', 'B-1', 'BALL-3', -1)", "ck_stock_balance_pieces_range"),
        ("UPDATE owed_move SET pieces = 1", "recorded rows stay as they are"),
        ("DELETE FROM owed_move", "recorded rows stay as they are"),
        ("INSERT INTO counter VALUES ('walk', 0)", "ck_counter_last_range"),
        ("INSERT INTO imported_file VALUES ('abc', 'x', '2026-03-02', 'ann')", "ck_imported_file_digest_length"),
        ("INSERT INTO part SELECT * FROM part", "UNIQUE"),
        ("DELETE FROM part", "FOREIGN KEY"),
        ("DELETE FROM customer_order", "FOREIGN KEY"),
        ("UPDATE stock_move SET pieces = 1", "recorded rows stay as they are"),
        ("DELETE FROM stock_move", "recorded rows stay as they are"),
    ],
)  # fmt: skip
def test_raw_sql_can_not_break_the_rules(shop: Shop, path: Path, statement: str, says: str) -> None:
    """Each rule holds against SQL that goes past records and books."""
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError, match=says):
        connection.execute(statement)
    connection.close()


@pytest.mark.parametrize("table", ["journal_entry", "weighing"])
@pytest.mark.parametrize("change", ["UPDATE {} SET person = 'bob'", "DELETE FROM {}"])
def test_journal_and_weighings_only_grow(shop: Shop, path: Path, table: str, change: str) -> None:
    """Nobody changes or removes what was recorded, not even with SQL."""
    values = {
        "journal_entry": "(at, person, event, subject, particulars, is_simulated)"
        " VALUES ('2026-03-02', 'ann', 'x', 'x', '{}', 0)",
        "weighing": "(at, person, scale_code, kind, subject, lot, pieces, indication_g, tare_g, verdict, reason,"
        " is_simulated) VALUES ('2026-03-02', 'ann', 's', 'bag', 'B-1', '', 1, 1, 0, 'passed', '', 0)",
    }
    connection = sqlite3.connect(path)
    connection.execute(f"INSERT INTO {table} {values[table]}")
    with pytest.raises(sqlite3.IntegrityError, match="recorded rows stay as they are"):
        connection.execute(change.format(table))
    connection.close()


def _schema(path: Path) -> dict[str, list[str]]:
    connection = sqlite3.connect(path)
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE type IN ('table', 'index') AND sql NOT NULL")
    # Alembic lists constraints in another order, so the words are compared, not their places.
    schema = {
        name: sorted(sql.replace(",", " ").replace('"', "").replace("(", " ").replace(")", " ").split())
        for name, sql in rows
    }
    connection.close()
    schema.pop("alembic_version", None)
    return schema


def test_migrations_make_exactly_the_tables(tmp_path: Path) -> None:
    """A migrated shop equals the tables as declared, by alembic's comparison and by the words of every statement."""
    migrated, declared = tmp_path / "migrated.db", tmp_path / "declared.db"
    open_shop(migrated, create=True).close()
    engine = create_engine(f"sqlite:///{declared}")
    all_tables().create_all(engine)
    engine.dispose()
    engine = create_engine(f"sqlite:///{migrated}")
    with engine.connect() as connection:
        differences = compare_metadata(MigrationContext.configure(connection), all_tables())
    engine.dispose()

    assert differences == []
    assert _schema(migrated) == _schema(declared)


def test_no_column_loses_anything() -> None:
    """No column is of a type that rounds (Numeric is a binary fraction on SQLite) or that forgets an offset."""
    kept = (AutoString, String, Integer, Boolean, Float, Date, Time, Micrograms, Moment, Word)
    lossy = [
        f"{table.name}.{column.name}"
        for table in all_tables().sorted_tables
        for column in table.columns
        if type(column.type) not in kept
    ]
    assert lossy == []


@pytest.mark.parametrize("kind", kinds(), ids=lambda kind: kind.__name__)
def test_table_has_every_field_of_its_record(kind: type[SQLModel]) -> None:
    """A field added to a record has its column, and no float column stands for an exact field."""
    table = table_of(kind)
    assert set(kind.model_fields) <= {column.name for column in table.columns}


@pytest.mark.parametrize("table", all_tables().sorted_tables, ids=lambda table: table.name)
def test_tables_can_be_made_on_postgresql(table: object) -> None:
    """Each table compiles for PostgreSQL, exact masses as BIGINT."""
    sql = str(CreateTable(table).compile(dialect=postgresql.dialect()))  # type: ignore[arg-type]
    assert "NUMERIC" not in sql
    assert all("BIGINT" in line for line in sql.splitlines() if line.strip().startswith(("tare_g ", "indication_g ")))
