"""The chain over what was recorded: each step's rows are sealed by a digest that holds all steps before it.

Every writing transaction that records something adds one *link*: the new rows of the sealed tables, each with a digest
of its values, and over these and the link before it a SHA-256 (FIPS 180-4). Who changes, removes or adds a row past the
shop's own doors, or a link, can be told from the chain; who makes the whole chain anew can be told from its *head*,
which stands on every day report (linked time-stamping: Haber & Stornetta 1991, Journal of Cryptology 3(2)).

Values are written one way only, as in RFC 8785: JSON without blanks, text as it is; times in UTC, grams as plain
decimals. A link keeps the digests of its rows beside them, so that a break names the row. Columns that a later release
adds get a *shape* of their own, and older links keep theirs. From a row whose personal data was taken out, its sealed
*erasures* lead from the digest that it had to the one that it has (:mod:`fulfil.store.safe.erasing`).

Limits: an end that is cut off whole is seen by a printed head only.
"""

import json
from base64 import urlsafe_b64encode
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache
from hashlib import sha256
from typing import Any

from sqlalchemy import Boolean
from sqlalchemy.engine import Connection

from fulfil.store.asking import together
from fulfil.store.columns import Micrograms, Moment
from fulfil.store.tables import table_named

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
        "erasure": ("id", "at", "person", "table_name", "row_key", "before", "after"),
    }
}  # fmt: skip
"""Which columns a digest is made of, the key first."""
NUMBERED = ("journal_entry", "weighing", "owed_move", "stock_move", "erasure")
"""Sealed tables whose rows are numbered in the order in which they came."""
NAMED = ("manifest_copy",)
"""Sealed tables whose rows have a name."""
_AS_ORDERED = "ordered"
_START = "0" * 64
_LENGTH = 22
"""Characters of a row's digest: 128 bits."""
_JSON = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode
"""The one way of writing; made once, since json.dumps makes it anew for each row."""

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
    return tuple(_asked(connection, _ENDS)[0])


def seal(
    connection: Connection, before: Ends, names: Mapping[str, Sequence[str]], and_: Sequence[str] = ()
) -> set[datetime]:
    """Adds the link of a step: all numbered rows since ``before``, and the rows of these names.

    ``and_`` are statements that go along with it, also where there is nothing to seal.

    Gives the times at which the step says that what it wrote down happened. What a customer orders counts from the
    customer's time, before anybody here wrote it down, so it is left out.
    """
    ((*now, no, previous),) = _asked(connection, _ENDS_AND_HEAD)
    parts = [(table, first, last) for table, first, last in zip(NUMBERED, before, now, strict=True) if last > first]
    named = [(table, one) for table, some in names.items() for one in sorted(some)]
    found = _together(
        connection,
        [(f"{_select(table)} WHERE id > ? AND id <= ? ORDER BY id", (first, last)) for table, first, last in parts]
        + [(f"{_select(table)} WHERE {_SHAPES[SHAPE][table][0]} = ?", (one,)) for table, one in named],
    )
    times = set()
    covers: dict[str, list[Any]] = {}
    for (table, first, last), rows in zip(parts, found, strict=False):
        keys = [first + 1, last] if len(rows) == last - first else [row[0] for row in rows]
        covers[table] = [keys, _digests(table, rows)]
        reason = _SHAPES[SHAPE][table].index("reason") if table == "owed_move" else 0
        times |= {row[1] for row in rows if not reason or row[reason] != _AS_ORDERED}
    for table in names:
        rows = [row for (of, _), some in zip(named, found[len(parts) :], strict=True) if of == table for row in some]
        covers[table] = [[row[0] for row in rows], _digests(table, rows)]
    along = [(one, ()) for one in and_]
    if not covers:
        _together(connection, along)
        return set()
    no, previous = no or 0, previous or _START
    said = _JSON(covers)
    digest = _digest(no + 1, SHAPE, said, previous)
    link = ("INSERT INTO seal_link (no, shape, covers, digest) VALUES (?, ?, ?, ?)", (no + 1, SHAPE, said, digest))
    _together(connection, [link, *along])
    return {_time_of(at) for at in times}


def _time_of(stored: object) -> datetime:
    """A stored time, as either store's driver gives it."""
    at = stored if isinstance(stored, datetime) else datetime.fromisoformat(str(stored))
    return at.replace(tzinfo=UTC)


def seal_older(connection: Connection) -> None:
    """Seals what a shop recorded before it had a chain, in one link; nothing where there is one already."""
    if head(connection)[0] == 0:
        keys = {table: [row[0] for row in _asked(connection, _select(table))] for table in NAMED}
        seal(connection, (0,) * len(NUMBERED), {table: some for table, some in keys.items() if some})


def head(connection: Connection) -> tuple[int, str]:
    """How many links there are, and the digest of the last one."""
    found = _asked(connection, _HEAD.format("no, digest"))
    return (found[0][0], found[0][1]) if found else (0, _START)


def has_link(connection: Connection, digest: str) -> bool:
    """Whether a head that was printed earlier (its first characters suffice) is a link of this chain."""
    begins = "SELECT 1 FROM seal_link WHERE digest >= ? AND digest < ? LIMIT 1"
    return bool(_asked(connection, begins, digest, f"{digest}~"))


def breaks(connection: Connection) -> Iterator[Break]:
    """Every break, links first, then table by table in the order of its rows."""
    previous, expected = _START, 1
    for no, shape, covers, digest in _asked(connection, "SELECT no, shape, covers, digest FROM seal_link ORDER BY no"):
        if no != expected:
            yield Break("link", expected, "missing")
        elif digest != _digest(no, shape, covers, previous):
            yield Break("link", no, "altered")
        previous, expected = digest, no + 1
    for table in NUMBERED + NAMED:
        yield from _row_breaks(connection, table)


def _row_breaks(connection: Connection, table: str) -> Iterator[Break]:
    sealed: dict[object, tuple[int, str]] = {}
    found = []
    for shape, covers in _asked(connection, "SELECT shape, covers FROM seal_link ORDER BY no"):
        keys, digests = json.loads(covers).get(table, ((), ""))
        if table in NUMBERED and len(digests) != len(keys) * _LENGTH:
            keys = range(keys[0], keys[1] + 1)
        for place, key in enumerate(keys):
            if key in sealed:
                # A number that was given twice: the first row was taken away, and its number went to another.
                found.append(Break(table, key, "missing"))
            sealed[key] = shape, digests[place * _LENGTH : (place + 1) * _LENGTH]
    for row in _asked(connection, f"{_select(table)} ORDER BY 1"):
        shape, digest = sealed.pop(row[0], (0, ""))
        if not shape:
            found.append(Break(table, row[0], "added outside"))
        elif (now := _row_digest(table, row)) != digest and now != _after_erasures(connection, table, row[0], digest):
            found.append(Break(table, row[0], "altered"))
    found += [Break(table, key, "missing") for key in sealed]
    yield from sorted(found, key=lambda one: (isinstance(one.key, str), one.key))


def _after_erasures(connection: Connection, table: str, key: object, digest: str) -> str:
    """The digest that a row has after what was taken out of it; an erasure of what it never was leads nowhere."""
    asked = "SELECT before, after FROM erasure WHERE table_name = ? AND row_key = ? ORDER BY id"
    for before, after in _asked(connection, asked, table, str(key)):
        digest = after if before == digest else digest
    return digest


def digest_if(
    connection: Connection, table: str, changed: Sequence[tuple[object, Mapping[str, str]]]
) -> list[tuple[str, str]]:
    """Digests of rows as they are, and as they will be with other texts; empty where their table is not sealed."""
    columns = _SHAPES[SHAPE].get(table)
    if columns is None:
        return [("", "")] * len(changed)
    found = []
    for key, texts in changed:
        (row,) = _asked(connection, f"{_select(table)} WHERE {columns[0]} = ?", key)
        then = [texts.get(name, value) for name, value in zip(columns, row, strict=True)]
        found.append((_row_digest(table, row), _row_digest(table, then)))
    return found


def canonical(table: str, row: Sequence[Any]) -> str:
    """A row as the database keeps it, written the one way that its digest is made of."""
    values = [
        value if write is None or value is None else write(value)
        for write, value in zip(_writers(table), row, strict=True)
    ]
    return _JSON([table, *values])


@cache
def _writers(table: str) -> tuple[Callable[[Any], object] | None, ...]:
    """How each column is written, where its value isn't the same text or number on both databases."""
    columns = table_named(table).c
    kinds: dict[type, Callable[[Any], object]] = {Moment: _moment, Micrograms: _grams, Boolean: bool}
    return tuple(kinds.get(type(columns[name].type)) for name in _SHAPES[SHAPE][table])


def _moment(kept: str | datetime) -> str:
    """UTC to the microsecond; SQLite keeps a text, PostgreSQL a time without its offset."""
    return f"{kept.isoformat(' ', 'microseconds') if isinstance(kept, datetime) else kept}Z".replace(" ", "T")


def _grams(micrograms: int) -> str:
    return f"{Decimal(micrograms).scaleb(-6):f}"


def _row_digest(table: str, row: Sequence[Any]) -> str:
    return urlsafe_b64encode(sha256(canonical(table, row).encode()).digest())[:_LENGTH].decode()


def _digests(table: str, rows: Sequence[Sequence[Any]]) -> str:
    return "".join(_row_digest(table, row) for row in rows)


def _digest(no: int, shape: int, covers: str, previous: str) -> str:
    said = _JSON([no, shape, covers, previous])
    return sha256(said.encode()).hexdigest()


@cache
def _select(table: str) -> str:
    return f"SELECT {', '.join(_SHAPES[SHAPE][table])} FROM {table}"  # noqa: S608 - names from the list above


_LAST = ", ".join(f"coalesce((SELECT max(id) FROM {table}), 0)" for table in NUMBERED)  # noqa: S608
_ENDS = f"SELECT {_LAST}"
_HEAD = "SELECT {} FROM seal_link ORDER BY no DESC LIMIT 1"
_ENDS_AND_HEAD = f"SELECT {_LAST}, ({_HEAD.format('no')}), ({_HEAD.format('digest')})"


def _asked(connection: Connection, statement: str, *values: object) -> list[Any]:
    """Rows straight from the driver, on both databases alike."""
    return _together(connection, [(statement, values)])[0]


def _together(connection: Connection, asked: Sequence[tuple[str, Sequence[object]]]) -> list[list[Any]]:
    is_sqlite = connection.dialect.name == "sqlite"
    spelt = [(statement if is_sqlite else statement.replace("?", "%s"), values) for statement, values in asked]
    return together(connection, spelt)
