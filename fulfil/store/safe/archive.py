"""A whole shop as an open archive: every table as lines of JSON in a zip, between stores, machines and releases.

>>> from tempfile import TemporaryDirectory
>>> from fulfil.store.shop import open_shop
>>> with TemporaryDirectory() as folder:
...     open_shop(Path(folder) / "shop.sqlite", create=True).close()
...     made = export_shop(str(Path(folder) / "shop.sqlite"), Path(folder) / "shop.zip")
...     again = import_shop(made.path, str(Path(folder) / "again.sqlite"))
...     again == made, ZipFile(made.path).namelist()[:2]
(True, ['contents.json', 'tables/bag.jsonl'])

``contents.json`` says the format, the migration, and of each table its columns, its rows and the SHA-256 of its file. A
row is a JSON list in the order of the columns: text, whole numbers (grams as whole micrograms), floats in the shortest
digits that give the same number again, true and false, null, times in UTC and days as ISO 8601. Rows stand in the order
of their key, entries carry no time, so the same shop gives the same bytes.

An archive of an older release comes in at its own migration and is brought up from there, in one transaction. Numbers
of records stay what they were, so the chain over the record still holds (``fulfil shop verify``).

Limits: an archive holds all that the shop knows of its customers; keep it as the shop itself is kept.
"""

import json
import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, time
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile, ZipInfo

from sqlalchemy import MetaData, String, Table, func, insert, inspect, literal_column, select
from sqlalchemy import table as table_
from sqlalchemy.engine import Connection

from fulfil.errors import StoreRefused
from fulfil.store.safe.copies import is_there
from fulfil.store.shop import NEWEST_MIGRATION, OLDEST_MIGRATION, made_new, open_shop

FORMAT = "a fulfil shop, 1"
CONTENTS = "contents.json"
MOST_BYTES = 4_000_000_000
"""Of one table's file: more than twenty years of a busy shop."""
_AT_ONCE = 5_000
_MIGRATION_TABLE = "alembic_version"


@dataclass(frozen=True)
class Archive:
    """What went into an archive, or came out of it."""

    path: Path
    migration: str
    tables: int
    rows: int


def export_shop(where: str, path: Path) -> Archive:
    """Writes a shop as it is at one moment; others go on working with it.

    Raises:
        StoreRefused: no shop, the archive's name is taken, or its folder can't be written.
    """
    tried = "export the shop to"
    if is_there(path, tried):
        raise StoreRefused(tried, path, "a name that no file has")
    part = path.with_name(f".{path.name}.part")
    with open_shop(where) as shop, shop.reading() as books:
        connection = books._connection
        try:
            with part.open("wb") as file:
                made = written(connection, path, file)
                file.flush()
                os.fsync(file.fileno())
            part.replace(path)
        except OSError as trouble:
            raise StoreRefused(tried, path, f"a folder with space that may be written; {trouble}") from trouble
        finally:
            with suppress(OSError):
                part.unlink()
    return made


def import_shop(path: Path, where: str) -> Archive:
    """Makes a shop of an archive where none is yet: whole, or not at all.

    Raises:
        StoreRefused: no archive, one that was altered or belongs to a newer release, or a shop is there already.
    """
    tried = "import the archive"
    try:
        with ZipFile(path) as archive:
            contents = _contents(archive, path)
            made: list[Archive] = []
            made_new(where, contents["migration"], lambda connection: made.append(_read(connection, archive, path)))
    except (OSError, BadZipFile, EOFError) as trouble:
        raise StoreRefused(tried, path, f"an archive that fulfil shop export made; {trouble}") from trouble
    return made[0]


def written(connection: Connection, path: Path, file: BinaryIO) -> Archive:
    """Writes what a connection sees, whatever its migration."""
    asked = select(literal_column("version_num", String())).select_from(table_(_MIGRATION_TABLE))
    (migration,) = connection.execute(asked).scalars()
    tables = _tables(connection)
    said: dict[str, Any] = {}
    with ZipFile(file, "w", ZIP_DEFLATED) as archive:
        bodies: dict[str, bytes] = {}
        for table in sorted(tables, key=lambda one: one.name):
            body, rows = _body(connection, table)
            bodies[table.name] = body
            said[table.name] = {"columns": table.columns.keys(), "rows": rows, "sha256": sha256(body).hexdigest()}
        contents = {"format": FORMAT, "migration": migration, "tables": said}
        archive.writestr(_entry(CONTENTS), json.dumps(contents, ensure_ascii=False, indent=1))
        for name, body in bodies.items():
            archive.writestr(_entry(f"tables/{name}.jsonl"), body)
    return Archive(path, migration, len(said), sum(one["rows"] for one in said.values()))


def _body(connection: Connection, table: Table) -> tuple[bytes, int]:
    lines = [
        json.dumps([_plain(value) for value in row], ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        for row in connection.execute(select(table).order_by(*table.primary_key.columns))
    ]
    return "".join(f"{line}\n" for line in lines).encode("utf-8", "surrogatepass"), len(lines)


def _entry(name: str) -> ZipInfo:
    entry = ZipInfo(name)
    entry.compress_type = ZIP_DEFLATED
    return entry


def _contents(archive: ZipFile, path: Path) -> dict[str, Any]:
    expected = "an archive that fulfil shop export made"
    try:
        contents = json.loads(archive.read(CONTENTS))
        is_ours = contents["format"] == FORMAT and all(
            {"columns", "rows", "sha256"} <= set(said) for said in contents["tables"].values()
        )
        migration = str(contents["migration"])
    except (KeyError, TypeError, ValueError, AttributeError):
        is_ours, migration = False, ""
    if not is_ours or migration < OLDEST_MIGRATION:
        raise StoreRefused("import the archive", path, expected)
    if migration > NEWEST_MIGRATION:
        newer = f"migration {NEWEST_MIGRATION} or older, got {migration}; use a newer release of fulfil"
        raise StoreRefused("import the archive", path, newer)
    return dict(contents)


def _read(connection: Connection, archive: ZipFile, path: Path) -> Archive:
    contents = _contents(archive, path)
    said = contents["tables"]
    tables = _tables(connection)
    if {table.name for table in tables} != set(said):
        odd = sorted({table.name for table in tables} ^ set(said))
        raise StoreRefused("import the archive", path, f"the tables of its migration; these differ: {', '.join(odd)}")
    count = 0
    for table in tables:
        rows = list(_rows(archive, table, said[table.name], path))
        connection.execute(table.delete())  # what a migration itself put there
        for first in range(0, len(rows), _AT_ONCE):
            connection.execute(insert(table), rows[first : first + _AT_ONCE])
        count += len(rows)
        _go_on_counting(connection, table)
    return Archive(path, contents["migration"], len(tables), count)


def _rows(archive: ZipFile, table: Table, said: dict[str, Any], path: Path) -> Iterator[dict[str, Any]]:
    name = f"tables/{table.name}.jsonl"
    if archive.getinfo(name).file_size > MOST_BYTES:
        raise StoreRefused("import the archive", path, f"{name} of at most {MOST_BYTES:,} bytes")
    body = archive.read(name)
    if sha256(body).hexdigest() != said["sha256"] or body.count(b"\n") != said["rows"]:
        raise StoreRefused("import the archive", path, f"the {name} that was exported; it was altered since")
    readers = [_reader(table, column) for column in said["columns"]]
    for line in body.decode("utf-8", "surrogatepass").splitlines():
        values = json.loads(line)
        yield {
            column: None if value is None else read(value)
            for column, read, value in zip(said["columns"], readers, values, strict=True)
        }


def _reader(table: Table, column: str) -> Callable[[Any], Any]:
    kind = table.columns[column].type.python_type
    if issubclass(kind, datetime | date | time):
        return kind.fromisoformat
    return lambda value: value


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, date | time) else value


def _tables(connection: Connection) -> list[Table]:
    """All tables of the shop, those that others point to first."""
    metadata = MetaData()
    metadata.reflect(connection, resolve_fks=True)
    return [table for table in metadata.sorted_tables if table.name != _MIGRATION_TABLE]


def _go_on_counting(connection: Connection, table: Table) -> None:
    """On PostgreSQL the next number comes from a sequence, which knows nothing of rows that brought theirs along."""
    if connection.dialect.name != "postgresql":
        return
    for column in inspect(connection).get_columns(table.name):
        if "nextval" in str(column["default"]):
            name = column["name"]
            sequence = func.pg_get_serial_sequence(table.name, name)
            connection.execute(select(func.setval(sequence, func.max(table.columns[name]))))
