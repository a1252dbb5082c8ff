"""The shop's books inside one transaction: plain records in, plain records out.

Records are read in the order of their key (text by code point), so that the same shop gives the same plan. What comes
back are records, not rows: changing one changes nothing in the shop until it is written with :meth:`Books.replace`.

Stock levels change by :meth:`Books.book_stock` only, which keeps the ledger and the level together; what is recorded
in the ledger, the journal and the weighings is never changed.

Limits: searches are by equality. Records are trusted on their way out, they were validated on their way in.
"""

from collections import Counter as Sums
from collections.abc import Iterable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Row, bindparam, delete, func, insert, select, update
from sqlalchemy.engine import Connection
from sqlalchemy.exc import IntegrityError
from sqlmodel import SQLModel

from fulfil.errors import StateRefused, UnknownRefused
from fulfil.records.dispatch import JournalEntry
from fulfil.records.order import Order, OrderLine, content_digest
from fulfil.records.place import Bin, StockEntry
from fulfil.records.settings import Settings
from fulfil.store.reason import reason, words_of
from fulfil.store.rows import as_json, by_kind, noun, record_of, shown, slices, table_of, values_of, where
from fulfil.store.search import insert_or, matches, search, upsert
from fulfil.store.tables import APPEND_ONLY, CounterRow

R = TypeVar("R", bound=SQLModel)


@dataclass(frozen=True)
class Event:
    """One event of the day for the journal."""

    at: datetime
    person: str
    event: str
    subject: str
    particulars: Mapping[str, object] = field(default_factory=dict)
    is_simulated: bool = False


class Books:
    """The books of one transaction, given by :meth:`fulfil.store.shop.Shop.reading` and ``writing``."""

    def __init__(self, connection: Connection, *, is_writing: bool) -> None:
        self._connection = connection
        self._is_writing = is_writing

    # Reading

    def get(self, kind: type[R], *key: object) -> R | None:
        """The record with this key, None if there is none: ``get(OrderLine, "A-1", 2)``."""
        columns = table_of(kind).primary_key.columns.values()
        if len(key) != len(columns):
            names = ", ".join(column.name for column in columns)
            raise TypeError(f"the key of {kind.__name__} is ({names}), got {key!r}")
        found = self.find(kind, **{column.name: value for column, value in zip(columns, key, strict=True)})
        return found[0] if found else None

    def need(self, kind: type[R], *key: object) -> R:
        """The record with this key.

        Raises:
            UnknownRefused: the shop has none.
        """
        found = self.get(kind, *key)
        if found is None:
            name = noun(table_of(kind))
            raise UnknownRefused(f"find the {name}", shown(key), "one that the shop knows")
        return found

    def find(self, kind: type[R], /, **equals: object) -> list[R]:
        """All records whose fields equal the values, in the order of their key; a list or tuple means any of them."""
        table = table_of(kind)
        fields = list(kind.model_fields)
        dialect = self._connection.dialect.name
        parts = slices(equals)
        rows: list[Row[Any]] = []
        for one in parts:
            given = {name: value for name, value in one.items() if value is not None}
            rows += self._connection.execute(search(kind, matches(one), dialect), given).all()
        if len(parts) > 1:
            places = [fields.index(column.name) for column in table.primary_key.columns if column.name in fields]
            rows.sort(key=lambda row: tuple(row[place] for place in places))
        return [record_of(kind, dict(zip(fields, row, strict=True))) for row in rows]

    def count(self, kind: type[R], /, **equals: object) -> int:
        """How many records :meth:`find` would give."""
        table = table_of(kind)
        counted = (
            self._connection.execute(select(func.count()).select_from(table).where(where(table, one))).scalar_one()
            for one in slices(equals)
        )
        return sum(counted)

    def settings(self) -> Settings:
        """The shop's settings, the house rules where none were imported."""
        return self.get(Settings, 1) or Settings()

    def order_digests(self, numbers: Sequence[str]) -> dict[str, str]:
        """What the customer said (:func:`~fulfil.records.order.content_digest`), by number, for orders that exist."""
        table = table_of(Order)
        found: dict[str, str] = {}
        for one in slices({"number": [*numbers]}):
            rows = self._connection.execute(select(table.c.number, table.c.content_digest).where(where(table, one)))
            found |= {row.number: row.content_digest for row in rows}
        return found

    # Writing

    def add(self, records: Iterable[SQLModel]) -> None:
        """Adds new records.

        Raises:
            StateRefused: a key exists already, or a rule of the schema is broken; none of them was added.
        """
        groups = by_kind(records)
        with self._together(len(groups)):
            for kind, group in groups:
                if issubclass(kind, StockEntry):
                    raise StateRefused("add the stock entry", group[0], "book_stock, which changes the level with it")
                self._insert(kind, [values_of(record) for record in group])

    def add_orders(self, orders: Iterable[tuple[Order, Sequence[OrderLine]]]) -> None:
        """Adds new orders with their lines and the digest of what the customer said.

        Raises:
            StateRefused: as :meth:`add`.
        """
        taken = list(orders)
        with self._connection.begin_nested():
            self._insert(
                Order,
                [values_of(order) | {"content_digest": content_digest(order, [*lines])} for order, lines in taken],
            )
            self._insert(OrderLine, [values_of(line) for _, lines in taken for line in lines])

    def replace(self, records: Iterable[SQLModel]) -> None:
        """Adds records, or puts them in the place of those with the same key.

        Raises:
            StateRefused: a rule of the schema is broken, or a bin's level would change; none of them was written.
        """
        groups = by_kind(records)
        with self._together(len(groups)):
            for kind, group in groups:
                table = table_of(kind)
                if table.name in APPEND_ONLY:
                    raise StateRefused(f"replace the {noun(table)}", group[0], "a new one: what is recorded stays")
                if kind is Bin:
                    self._check_levels([record for record in group if isinstance(record, Bin)])
                self._upsert(kind, [values_of(record) for record in group])

    def remove(self, kind: type[R], /, **equals: object) -> int:
        """Removes what :meth:`find` would give, and says how many they were.

        Raises:
            StateRefused: others still point to them, or what is recorded stays.
        """
        table = table_of(kind)
        self._check_writing(f"remove a {noun(table)}")
        removed = 0
        try:
            with self._connection.begin_nested():
                for one in slices(equals):
                    removed += self._connection.execute(delete(table).where(where(table, one))).rowcount
        except IntegrityError as trouble:
            raise StateRefused(
                f"remove the {noun(table)}",
                shown(equals.values()) or "all",
                f"one that nothing needs ({words_of(trouble)})",
            ) from trouble
        return removed

    def next_number(self, series: str) -> int:
        """The next number of a series: 1, 2, 3 …, without a gap, given back when the transaction fails."""
        self._check_writing("take a number")
        table = CounterRow.__table__  # type: ignore[attr-defined]
        statement = insert_or(table, self._connection.dialect.name).values(series=series, last=1)
        statement = statement.on_conflict_do_update(index_elements=["series"], set_={"last": table.c.last + 1})
        return int(self._connection.execute(statement.returning(table.c.last)).scalar_one())

    def book_stock(self, entries: Iterable[StockEntry], *, at: datetime, person: str) -> None:
        """Writes entries into the stock ledger and changes the levels of their bins with them.

        Raises:
            StateRefused: a bin is unknown or holds another part, or its level would go below zero; nothing is booked.
        """
        self._check_writing("book stock")
        booked = list(entries)
        bins = {bin_.code: bin_ for bin_ in self.find(Bin, code=sorted({entry.bin_code for entry in booked}))}
        change: Sums[str] = Sums()
        for entry in booked:
            bin_ = bins.get(entry.bin_code)
            if bin_ is None or bin_.part_number != entry.part_number:
                holds = "an unknown bin" if bin_ is None else f"a bin of {bin_.part_number}"
                raise StateRefused(
                    f"book {entry.part_number} in the bin", entry.bin_code, f"a bin that holds this part, got {holds}"
                )
            change[entry.bin_code] += entry.pieces
        for code in sorted(change):
            if bins[code].pieces + change[code] < 0:
                raise StateRefused(
                    f"take {-change[code]} pieces from the bin", code, f"at most its {bins[code].pieces} pieces"
                )
        levels = table_of(Bin)
        moved = [{"of": code, "to": bins[code].pieces + change[code]} for code in sorted(change) if change[code]]
        with self._connection.begin_nested():
            self._insert(StockEntry, [values_of(entry) | {"at": at, "person": person} for entry in booked])
            if moved:
                statement = update(levels).where(levels.c.code == bindparam("of")).values(pieces=bindparam("to"))
                self._connection.execute(statement, moved)

    def journal(
        self,
        *,
        at: datetime,
        person: str,
        event: str,
        subject: str,
        particulars: Mapping[str, object] = {},
        is_simulated: bool = False,
    ) -> None:
        """Writes one event of the day; ``particulars`` become JSON with sorted keys."""
        self.journal_all([Event(at, person, event, subject, particulars, is_simulated)])

    def journal_all(self, events: Iterable["Event"]) -> None:
        """Writes many events at once, in the order given."""
        self.add(
            JournalEntry(
                at=one.at,
                person=one.person,
                event=one.event,
                subject=one.subject,
                particulars=as_json(one.particulars),
                is_simulated=one.is_simulated,
            )
            for one in events
        )

    # Within

    def _together(self, groups: int) -> AbstractContextManager[object]:
        """Several groups are written all or none; a single one is that already."""
        return self._connection.begin_nested() if groups > 1 else nullcontext()

    def _insert(self, kind: type[SQLModel], rows: list[dict[str, Any]]) -> None:
        table = table_of(kind)
        self._check_writing(f"add a {noun(table)}")
        if not rows:
            return
        try:
            with self._connection.begin_nested():
                self._connection.execute(insert(table), rows)
        except IntegrityError as trouble:
            raise reason(self._connection, table, rows, trouble, "add", is_new=True) from trouble

    def _upsert(self, kind: type[SQLModel], rows: list[dict[str, Any]]) -> None:
        table = table_of(kind)
        self._check_writing(f"replace a {noun(table)}")
        statement = upsert(table, tuple(rows[0]), self._connection.dialect.name)
        try:
            with self._connection.begin_nested():
                self._connection.execute(statement, rows)
        except IntegrityError as trouble:
            raise reason(self._connection, table, rows, trouble, "replace", is_new=False) from trouble

    def _check_levels(self, bins: list[Bin]) -> None:
        known = {bin_.code: bin_.pieces for bin_ in self.find(Bin, code=[bin_.code for bin_ in bins])}
        for bin_ in bins:
            if bin_.pieces != known.get(bin_.code, bin_.pieces):
                raise StateRefused(
                    f"set the bin's level to {bin_.pieces}", bin_.code, "a booking in the stock ledger (book_stock)"
                )

    def _check_writing(self, attempted: str) -> None:
        if not self._is_writing:
            raise StateRefused(attempted, "reading", "books opened for writing")
