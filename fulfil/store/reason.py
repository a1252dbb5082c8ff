"""Why the database refused rows: it names a rule at best, never the row; the person needs both.

Each store has words of its own for a broken rule; the shop has one:

>>> from sqlalchemy.exc import IntegrityError
>>> for said in ("CHECK constraint failed: ck_bin_pieces_range",
...              'new row for relation "bin" violates check constraint "ck_bin_pieces_range"',
...              "FOREIGN KEY constraint failed"):
...     print(words_of(IntegrityError("UPDATE bin", {}, Exception(said))))
the rule bin pieces range
the rule bin pieces range
something that points to it, or that it points to
"""

import re
from typing import Any

from sqlalchemy import Table, select, true
from sqlalchemy.engine import Connection
from sqlalchemy.exc import DBAPIError, IntegrityError

from fulfil.errors import StateRefused
from fulfil.store.rows import noun, shown, where

_RULES = (
    (re.compile(r"\bck_(\w+)"), "the rule {}"),
    (re.compile(r"foreign key", re.IGNORECASE), "something that points to it, or that it points to"),
    (re.compile(r"unique", re.IGNORECASE), "there is one like it"),
    (re.compile(r"not.null", re.IGNORECASE), "a value that must be there"),
)
"""What SQLite and PostgreSQL say of a broken rule, and the shop's words for it."""


def words_of(trouble: DBAPIError) -> str:
    """The broken rule in the shop's words; else the first line of what the driver said."""
    said = str(trouble.orig).strip().splitlines()[0]
    if isinstance(trouble, IntegrityError):
        for sign, words in _RULES:
            found = sign.search(said)
            if found:
                return words.format(*(one.replace("_", " ") for one in found.groups()))
    return said


def reason(
    connection: Connection,
    table: Table,
    rows: list[dict[str, Any]],
    trouble: IntegrityError,
    tried: str,
    *,
    is_new: bool,
) -> StateRefused:
    """Names the row and the rule that the database refused without saying which."""
    name = noun(table)
    key = [column.name for column in table.primary_key.columns if column.name in rows[0]]
    if is_new and key:
        seen: set[tuple[object, ...]] = set()
        for row in rows:
            values = tuple(row[one] for one in key)
            if values in seen or _exists(connection, table, dict(zip(key, values, strict=True))):
                return StateRefused(f"{tried} the {name}", shown(values), "one that isn't there yet")
            seen.add(values)
    for foreign in table.foreign_key_constraints:
        parent = foreign.referred_table
        pairs = [(element.parent.name, element.column.name) for element in foreign.elements]
        for row in rows:
            wanted = {theirs: row[ours] for ours, theirs in pairs}
            if not _exists(connection, parent, wanted):
                return StateRefused(
                    f"{tried} the {name}",
                    shown(row[one] for one in key),
                    f"a known {noun(parent)}, got {shown(wanted.values())}",
                )
    which = shown(rows[0][one] for one in key) if len(rows) == 1 and key else f"{len(rows)} of them"
    return StateRefused(f"{tried} the {name}", which, f"values that keep the shop's rules ({words_of(trouble)})")


def _exists(connection: Connection, table: Table, equals: dict[str, object]) -> bool:
    return connection.execute(select(true()).where(where(table, equals)).limit(1)).first() is not None
