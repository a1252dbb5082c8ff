"""The shop's books inside one transaction: plain records in, plain records out.

Records are read in the order of their key (text by code point), so that the same shop gives the same plan. What comes
back are records, not rows: changing one changes nothing in the shop until it is written with :meth:`Books.replace`.

Pieces move by :meth:`Books.move` only, which keeps both books of pieces and all that is a sum over them together; what
is recorded in the books, the journal and the weighings is never changed.

Limits: searches are by equality. Records are trusted on their way out, they were validated on their way in.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import delete, insert
from sqlalchemy.engine import Connection
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlmodel import SQLModel

from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.kit import KitPart
from fulfil.records.order import Order, OrderLine, content_digest
from fulfil.records.pieces import Owed, OwedBalance, OwedEntry, OwedMove, StockBalance, StockEntry, StockMove
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.store.keyed import update_by_key
from fulfil.store.moving import refresh_orders, write_moves, write_new_lines
from fulfil.store.reading import Reads
from fulfil.store.reason import reason, words_of
from fulfil.store.rows import as_json, by_kind, key_of, noun, shown, slices, values_of, where
from fulfil.store.safe.analysts import follow_clock
from fulfil.store.safe.chain import NAMED
from fulfil.store.safe.erasing import Change, erase
from fulfil.store.search import count_up, upsert
from fulfil.store.tables import APPEND_ONLY, table_of

R = TypeVar("R", bound=SQLModel)

MOVED = (OwedMove, OwedEntry, OwedBalance, StockMove, StockEntry, StockBalance)
"""Records that only :meth:`Books.move` writes."""
SUMS: dict[type[SQLModel], tuple[str, ...]] = {
    Bin: ("pieces",),
    Order: ("state",),
    OrderLine: ("pieces", "short_pieces", "cancelled_pieces"),
}
"""Figures that are sums over moves: no step sets them."""


@dataclass(frozen=True)
class Event:
    """One event of the day for the journal."""

    at: datetime
    person: str
    event: Happening
    subject: str
    particulars: Mapping[str, object] = field(default_factory=dict)
    is_simulated: bool = False


class Books(Reads):
    """The books of one transaction, given by :meth:`fulfil.store.shop.Shop.reading` and ``writing``."""

    def __init__(self, connection: Connection, *, is_writing: bool, station: str = "") -> None:
        super().__init__(connection)
        self._is_writing = is_writing
        self._station = station
        self._marked = [False]
        self.named: dict[str, list[str]] = {}
        """What was recorded under a name of its own, for the chain (:mod:`fulfil.store.safe.chain`)."""

    # Writing

    def add(self, records: Iterable[SQLModel]) -> None:
        """Adds new records; a new bin is empty until a move brings pieces.

        Raises:
            StateRefused: a key exists already, or a rule of the schema is broken; none of them was added.
        """
        groups = by_kind(records)
        with self._together(len(groups)):
            for kind, group in groups:
                _must_not_be_moved("add", kind, getattr(group[0], "part_number", ""))
                _must_be_empty(group)
                if kind is OrderLine:
                    self._add_lines([record for record in group if isinstance(record, OrderLine)])
                else:
                    self._insert(kind, [values_of(record) for record in group])

    def add_orders(self, orders: Iterable[tuple[Order, Sequence[OrderLine]]]) -> None:
        """Adds new orders with their lines and the digest of what the customer said.

        Raises:
            StateRefused: as :meth:`add`.
        """
        taken = list(orders)
        with self._nested():
            self._insert(
                Order,
                [values_of(order) | {"content_digest": content_digest(order, [*lines])} for order, lines in taken],
            )
            self._add_lines([line for _, lines in taken for line in lines])

    def replace(self, records: Iterable[SQLModel]) -> None:
        """Adds records, or puts them in the place of those with the same key.

        Raises:
            StateRefused: a rule of the schema is broken, a figure would change that is a sum over moves, or an order
                line is new; none of them was written.
        """
        groups = by_kind(records)
        with self._together(len(groups)):
            for kind, group in groups:
                table = table_of(kind)
                if table.name in APPEND_ONLY:
                    raise StateRefused(f"replace the {noun(table)}", group[0], "a new one: what is recorded stays")
                _must_not_be_moved("replace", kind, getattr(group[0], "part_number", ""))
                if kind in SUMS:
                    self._check_sums(kind, group)
                self._upsert(kind, [values_of(record) for record in group])
                if kind is Order:
                    refresh_orders(self._connection, [str(key) for record in group for key in key_of(record)])

    def change(self, records: Sequence[R], now: Mapping[str, object]) -> list[R]:
        """Gives records of one kind that are there these values, validated; returns them as they are then.

        Only these columns are written, so that the indexes of the others stay as they are.

        Raises:
            ValidationError: a value is none that the record takes.
            StateRefused: one is not there, a figure is a sum over moves, or a rule of the schema is broken; nothing
                was written.
        """
        changed = [revised(record, now) for record in records]
        if not changed:
            return []
        kind, table = type(changed[0]), table_of(type(changed[0]))
        key = tuple(column.name for column in table.primary_key.columns)
        self._check_writing(f"change a {noun(table)}")
        self._settings = None if kind is Settings else self._settings
        if table.name in APPEND_ONLY or kind in MOVED:
            raise StateRefused(f"change the {noun(table)}", shown(key_of(changed[0])), "what is recorded stays")
        for figure in (*SUMS.get(kind, ()), *key):
            if figure in now:
                tried = f"set {figure} to '{now[figure]}' of the {noun(table)}"
                expected = "its own key" if figure in key else "a move of its pieces (books.move)"
                raise StateRefused(tried, shown(key_of(records[0])), expected)
        said = [(key_of(record), {name: getattr(record, name) for name in now}) for record in changed]
        try:
            with self._undone_alone(said):
                found = update_by_key(self._connection, table, key, said)
                if found != len(said):
                    tried = shown(key_of(changed[0])) if len(said) == 1 else f"{len(said)} of them"
                    raise StateRefused(f"change the {noun(table)}", tried, f"ones that are there; {found} are")
        except IntegrityError as trouble:
            rows = [values_of(record) for record in changed]
            raise reason(self._connection, table, rows, trouble, "change", is_new=False) from trouble
        if kind is Order:
            refresh_orders(self._connection, [str(one) for record in changed for one in key_of(record)])
        follow_clock(self._connection, kind)
        return changed

    def remove(self, kind: type[R], /, **equals: object) -> int:
        """Removes what :meth:`find` would give, and says how many they were.

        Raises:
            StateRefused: others still point to them, or what is recorded stays.
        """
        table = table_of(kind)
        self._check_writing(f"remove a {noun(table)}")
        _must_not_be_moved("remove", kind, shown(equals.values()) or "all")
        removed = 0
        try:
            with self._nested():
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
        return self.next_numbers(series, 1)[0]

    def next_numbers(self, series: str, many: int) -> range:
        """The next ``many`` numbers of a series, at least one, taken together."""
        self._check_writing("take a number")
        counted = self._connection.execute(count_up(self._connection.dialect.name), {"series": series, "many": many})
        last = int(counted.scalar_one())
        return range(last - many + 1, last + 1)

    def move(
        self, owed: Iterable[OwedMove] = (), stock: Iterable[StockMove] = (), *, at: datetime, person: str
    ) -> None:
        """Writes moves into the two books, and with them all that is a sum over them; all of them or none.

        Raises:
            StateRefused: a place would hold less than nothing, or a bin is unknown or holds another part.
        """
        self._check_writing("move pieces")
        write_moves(self._connection, [*owed], [*stock], at=at, person=person)

    def journal(
        self,
        *,
        at: datetime,
        person: str,
        event: Happening,
        subject: str,
        particulars: Mapping[str, object] = {},
        is_simulated: bool = False,
    ) -> None:
        """Writes one event of the day; ``particulars`` become JSON with sorted keys."""
        self.journal_all([Event(at, person, event, subject, particulars, is_simulated)])

    def journal_all(self, events: Iterable["Event"]) -> None:
        """Writes many events at once, in the order given; each says the station of the transaction, if it has one.

        Raises:
            TypeError: an event is given particulars that its kind does not take.
        """
        told = [*events]
        for one in told:
            one.event.check(one.particulars)
        at_station = {"station": self._station} if self._station else {}
        self.add(
            JournalEntry(
                at=one.at,
                person=one.person,
                event=one.event.value,
                subject=one.subject,
                particulars=as_json({**one.particulars, **at_station}),
                is_simulated=one.is_simulated,
            )
            for one in told
        )

    def erase(
        self, kind: type[SQLModel], equals: Mapping[str, object], change: Change, *, at: datetime, person: str
    ) -> int:
        """Writes texts of recorded rows anew, since they hold a person's data; each time noted, see ``store.safe``.

        ``change`` is given a row's values, and gives the texts that it shall have; how many rows were changed.
        """
        table = table_of(kind)
        self._check_writing(f"erase from the {noun(table)}")
        return erase(self._connection, table, equals, change, at=at, person=person)

    # Within

    def _together(self, groups: int) -> AbstractContextManager[object]:
        """Several groups are written all or none; a single one is that already."""
        return self._nested() if groups > 1 else nullcontext()

    @contextmanager
    def _nested(self) -> Iterator[None]:
        """All of it or nothing, within the transaction."""
        self._marked.append(False)
        try:
            with self._connection.begin_nested():
                yield
        finally:
            self._marked.pop()

    def _undone_alone(self, rows: Sequence[object]) -> AbstractContextManager[object]:
        """Rows that the database refuses leave the transaction as it was before them.

        On SQLite a statement does that by itself (SQLite documentation, "ON CONFLICT clause": ABORT), and one row is
        one statement; a savepoint around it would cost more than the row. PostgreSQL needs one around everything.
        """
        if self._connection.dialect.name == "postgresql":
            return self._behind_a_mark()
        return nullcontext() if len(rows) == 1 else self._nested()

    @contextmanager
    def _behind_a_mark(self) -> Iterator[None]:
        """A savepoint that stays until the next one takes its place: one word with the server, where two would be said.

        Others wait while a bench writes; on a crowded machine each word with the server may wait for both programs.
        """
        mark = f"mark_{len(self._marked)}"
        again = f"RELEASE SAVEPOINT {mark}; " if self._marked[-1] else ""
        driver: Any = self._connection.connection.driver_connection
        driver.execute(f"{again}SAVEPOINT {mark}", prepare=False)
        self._marked[-1] = True
        try:
            yield
        except (DBAPIError, StateRefused):
            if not self._connection.invalidated:
                driver.execute(f"ROLLBACK TO SAVEPOINT {mark}", prepare=False)
            raise

    def _insert(self, kind: type[SQLModel], rows: list[dict[str, Any]]) -> None:
        self._settings = None if kind is Settings else self._settings
        table = table_of(kind)
        self._check_writing(f"add a {noun(table)}")
        if not rows:
            return
        try:
            with self._undone_alone(rows):
                self._connection.execute(insert(table), rows)
            follow_clock(self._connection, kind)
            if table.name in NAMED:
                (name,) = table.primary_key.columns.keys()
                self.named.setdefault(table.name, []).extend(row[name] for row in rows)
        except IntegrityError as trouble:
            raise reason(self._connection, table, rows, trouble, "add", is_new=True) from trouble

    def _upsert(self, kind: type[SQLModel], rows: list[dict[str, Any]]) -> None:
        self._settings = None if kind is Settings else self._settings
        table = table_of(kind)
        self._check_writing(f"replace a {noun(table)}")
        statement = upsert(table, tuple(rows[0]), self._connection.dialect.name)
        try:
            with self._undone_alone(rows):
                self._connection.execute(statement, rows)
        except IntegrityError as trouble:
            raise reason(self._connection, table, rows, trouble, "replace", is_new=False) from trouble
        follow_clock(self._connection, kind)

    def _add_lines(self, lines: list[OrderLine]) -> None:
        """A line comes into being with all its pieces waiting, of a kit those of its parts."""
        if not lines:
            return
        self._insert(OrderLine, [values_of(line) | {"short_pieces": 0, "cancelled_pieces": 0} for line in lines])
        kits: dict[str, list[KitPart]] = defaultdict(list)
        for part in self.find(KitPart, kit_number=sorted({line.part_number for line in lines})):
            kits[part.kit_number].append(part)
        orders = {one.number: one for one in self.find(Order, number=sorted({line.order_number for line in lines}))}
        moves = []
        for line in lines:
            order = orders[line.order_number]
            parts = [(part.part_number, part.pieces) for part in kits[line.part_number]] or [(line.part_number, 1)]
            moves += [
                {
                    "order_number": line.order_number,
                    "line_no": line.line_no,
                    "part_number": part_number,
                    "pieces": per * line.pieces,
                    "from_place": Owed.ORDERED,
                    "from_ref": "",
                    "to_place": Owed.WAITING,
                    "to_ref": "",
                    "reason": "ordered",
                    "at": order.received_at,
                    "person": order.source,
                }
                for part_number, per in parts
            ]
        write_new_lines(self._connection, moves)

    def _check_sums(self, kind: type[SQLModel], records: list[SQLModel]) -> None:
        """Refuses to set a figure that is a sum over moves."""
        table = table_of(kind)
        name = table.primary_key.columns.values()[0].name
        known = {key_of(one): one for one in self.find(kind, **{name: sorted({key_of(one)[0] for one in records})})}
        new = [record for record in records if key_of(record) not in known]
        _must_be_empty(new)
        if new and kind is OrderLine:
            raise StateRefused(f"replace the {noun(table)}", shown(key_of(new[0])), "one that is there (books.add)")
        for record in records:
            before = known.get(key_of(record))
            for figure in SUMS[kind]:
                now = getattr(record, figure)
                if before is not None and now != getattr(before, figure):
                    tried = f"set {figure} to '{now}' of the {noun(table)}"
                    raise StateRefused(tried, shown(key_of(record)), "a move of its pieces (books.move)")

    def _check_writing(self, attempted: str) -> None:
        if not self._is_writing:
            raise StateRefused(attempted, "reading", "books opened for writing")


def _must_not_be_moved(attempted: str, kind: type[SQLModel], subject: object) -> None:
    """Refuses what only a move writes."""
    if kind in MOVED:
        raise StateRefused(f"{attempted} the {noun(table_of(kind))}", subject, "a move (books.move)")


def _must_be_empty(new: Iterable[SQLModel]) -> None:
    """Refuses a new bin with a level: the pieces in it would have come from nowhere."""
    for one in new:
        if isinstance(one, Bin) and one.pieces:
            tried = f"set pieces to '{one.pieces}' of the bin"
            raise StateRefused(tried, one.code, "0 in a new one, then a move of its pieces (books.move)")
