"""The chain over what was recorded: each step's rows are sealed by a digest that holds all steps before it.

Every writing transaction that records something adds one *link*: the new rows of the sealed tables, each with a digest
of its values, and over these and the link before it a SHA-256 (FIPS 180-4). Who changes, removes or adds a row past the
shop's own doors, or a link, can be told from the chain; who makes the whole chain anew can be told from its *head*,
which stands on every day report (linked time-stamping: Haber & Stornetta 1991, Journal of Cryptology 3(2)).

Values are written one way only, as in RFC 8785: JSON without blanks, text as it is; times in UTC, grams as plain
decimals. A link keeps the digests of its rows beside them, so that a break names the row. Columns that a later release
adds get a *shape* of their own, and older links keep theirs.

Limits: an end that is cut off whole is seen by a printed head only. Binary fractions are written as Python's shortest
text, which is the number that RFC 8785 asks for but not always its form.

>>> canonical("weighing", [Decimal("18.30"), datetime(2026, 3, 2, 8, tzinfo=UTC), None, 0.5, "Ž"])
'["weighing","18.3","2026-03-02T08:00:00Z",null,0.5,"Ž"]'
"""

import json
from base64 import urlsafe_b64encode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache
from hashlib import sha256
from typing import Any

from sqlalchemy import Table, bindparam, func, insert, select
from sqlalchemy.engine import Connection

from fulfil.store.row import Row

SHAPE = 1
"""Of the links that are written now."""
_SHAPES: dict[int, dict[str, tuple[str, ...]]] = {
    1: {
        "journal_entry": ("id", "at", "person", "event", "subject", "particulars", "is_simulated"),
        "weighing": (
            "id", "at", "person", "scale_code", "kind", "subject", "part_number", "lot", "pieces", "indication_g",
            "tare_g", "verdict", "reason", "was_counted", "is_simulated",
        ),
        "owed_move": (
            "id", "at", "person", "order_number", "line_no", "part_number", "pieces", "from_place", "from_ref",
            "to_place", "to_ref", "reason",
        ),
        "stock_move": (
            "id", "at", "person", "part_number", "pieces", "from_place", "from_ref", "to_place", "to_ref", "reason",
            "source",
        ),
        "manifest_copy": ("manifest_number", "sheet", "advices", "paper", "printer_dpi"),
    }
}  # fmt: skip
"""Which columns a digest is made of, the key first."""
NUMBERED = ("journal_entry", "weighing", "owed_move", "stock_move")
"""Sealed tables whose rows are numbered in the order in which they came."""
NAMED = ("manifest_copy",)
"""Sealed tables whose rows have a name."""
_START = "0" * 64
_LENGTH = 22
"""Characters of a row's digest: 128 bits."""

Ends = tuple[int, ...]


@dataclass(frozen=True)
class Break:
    """A row or a link that isn't what was sealed."""

    table: str
    key: object
    what: str
    """altered, missing, or added outside the shop's doors"""


def ends(connection: Connection) -> Ends:
    """The last number of each numbered table."""
    return tuple(connection.execute(_ends()).one())


def seal(connection: Connection, before: Ends, names: Mapping[str, Sequence[str]]) -> None:
    """Adds the link of a step: all numbered rows since ``before``, and the rows of these names."""
    covers: dict[str, list[Any]] = {}
    for table, first, last in zip(NUMBERED, before, ends(connection), strict=True):
        if last > first:
            rows = connection.execute(_since(table), {"first": first, "last": last}).all()
            covers[table] = [
                [row[0] for row in rows] if len(rows) != last - first else [first + 1, last],
                _digests(table, rows),
            ]
    for table, keys in names.items():
        rows = connection.execute(_named(table), {"names": sorted(keys)}).all()
        covers[table] = [[row[0] for row in rows], _digests(table, rows)]
    if not covers:
        return
    no, previous = _last(connection)
    said = json.dumps(covers, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    row = {"no": no + 1, "shape": SHAPE, "covers": said, "digest": _digest(no + 1, SHAPE, said, previous)}
    connection.execute(insert(_links()), [row])


def seal_older(connection: Connection) -> None:
    """Seals what a shop recorded before it had a chain, in one link; nothing where there is one already."""
    if _last(connection)[0] == 0:
        keys = {
            table: connection.execute(select(_table(table).c[_SHAPES[SHAPE][table][0]])).scalars().all()
            for table in NAMED
        }
        seal(connection, (0,) * len(NUMBERED), {table: some for table, some in keys.items() if some})


def head(connection: Connection) -> tuple[int, str]:
    """How many links there are, and the digest of the last one."""
    return _last(connection)


def has_link(connection: Connection, digest: str) -> bool:
    """Whether a head that was printed earlier (its first characters suffice) is a link of this chain."""
    links = _links()
    found = connection.execute(select(links.c.no).where(links.c.digest.startswith(digest, autoescape=True)).limit(1))
    return found.first() is not None


def breaks(connection: Connection) -> Iterator[Break]:
    """Every break, links first, then table by table in the order of its rows."""
    links = _links()
    previous, expected = _START, 1
    for no, shape, covers, digest in connection.execute(select(links).order_by(links.c.no)):
        if no != expected:
            yield Break("link", expected, "missing")
        elif digest != _digest(no, shape, covers, previous):
            yield Break("link", no, "altered")
        previous, expected = digest, no + 1
    for table in NUMBERED + NAMED:
        yield from _row_breaks(connection, table)


def _row_breaks(connection: Connection, table: str) -> Iterator[Break]:
    sealed: dict[object, tuple[int, str]] = {}
    links = _links()
    for shape, covers in connection.execute(select(links.c.shape, links.c.covers).order_by(links.c.no)):
        keys, digests = json.loads(covers).get(table, ((), ""))
        if table in NUMBERED and len(digests) != len(keys) * _LENGTH:
            keys = range(keys[0], keys[1] + 1)
        for place, key in enumerate(keys):
            if key in sealed:
                # A number that was given twice: the first row was taken away, and its number went to another.
                yield Break(table, key, "missing")
            sealed[key] = shape, digests[place * _LENGTH : (place + 1) * _LENGTH]
    first = _table(table).c[_SHAPES[SHAPE][table][0]]
    found = []
    for row in connection.execute(select(_table(table)).order_by(first)):
        values = row._mapping
        shape, digest = sealed.pop(values[first.name], (0, ""))
        if not shape:
            found.append(Break(table, values[first.name], "added outside"))
        elif _row_digest(table, [values[name] for name in _SHAPES[shape][table]]) != digest:
            found.append(Break(table, values[first.name], "altered"))
    found += [Break(table, key, "missing") for key in sealed]
    yield from sorted(found, key=lambda one: (isinstance(one.key, str), one.key))


def canonical(table: str, values: Sequence[object]) -> str:
    """A row, written the one way that its digest is made of."""
    return json.dumps([table, *map(_plain, values)], separators=(",", ":"), ensure_ascii=False)


def _plain(value: object) -> object:
    if isinstance(value, Decimal):
        said = format(value, "f")
        return said.rstrip("0").rstrip(".") if "." in said else said
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return value.isoformat() if isinstance(value, date) else value


def _row_digest(table: str, values: Sequence[object]) -> str:
    raw = sha256(canonical(table, values).encode("utf-8", "surrogatepass")).digest()
    return urlsafe_b64encode(raw)[:_LENGTH].decode()


def _digests(table: str, rows: Sequence[Sequence[object]]) -> str:
    return "".join(_row_digest(table, row) for row in rows)


def _digest(no: int, shape: int, covers: str, previous: str) -> str:
    return sha256(
        json.dumps([no, shape, covers, previous], separators=(",", ":"), ensure_ascii=False).encode()
    ).hexdigest()


def _last(connection: Connection) -> tuple[int, str]:
    found = connection.execute(_newest()).first()
    return (0, _START) if found is None else (found[0], found[1])


def _table(name: str) -> Table:
    return Row.metadata.tables[name]


def _links() -> Table:
    return _table("seal_link")


@cache
def _newest() -> Any:
    return select(_links().c.no, _links().c.digest).order_by(_links().c.no.desc()).limit(1)


@cache
def _ends() -> Any:
    lasts = [select(func.coalesce(func.max(_table(name).c.id), 0)).scalar_subquery() for name in NUMBERED]
    return select(*lasts)


@cache
def _since(name: str) -> Any:
    table = _table(name)
    columns = [table.c[one] for one in _SHAPES[SHAPE][name]]
    return select(*columns).where(table.c.id > bindparam("first"), table.c.id <= bindparam("last")).order_by(table.c.id)


@cache
def _named(name: str) -> Any:
    table = _table(name)
    columns = [table.c[one] for one in _SHAPES[SHAPE][name]]
    return select(*columns).where(columns[0].in_(bindparam("names", expanding=True))).order_by(columns[0])
