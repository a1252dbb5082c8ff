"""Reading the books: records by key, by equal fields, between two moments, the last ones; sums where records are many.

Tables of a shop grow with its days, and no daily step may grow with them: what a step asks for has an index to find it
by (a day, a state that is left soon, an order, a part) and comes back as few records. Sums over many rows are made by
the database.

>>> from fulfil.records.order import Order
>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.store.shop import open_shop
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True).reading() as books:
...     books.find(Order, number="A-1"), books.greatest(Order, "received_at")
([], None)
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from sqlalchemy import Date, Row, Select, and_, case, func, not_, select, true
from sqlalchemy.engine import Connection
from sqlmodel import SQLModel

from fulfil.errors import UnknownRefused
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.goods_back import ReturnMatch, ReturnNotice
from fulfil.records.order import Order
from fulfil.records.pieces import StockEntry, There
from fulfil.records.settings import Settings
from fulfil.records.shorts import Job
from fulfil.store.asking import counted_rows, found_rows
from fulfil.store.contents import OrderContents, contents_of
from fulfil.store.known import Known
from fulfil.store.move_sums import owed_sums, stock_sums
from fulfil.store.rows import noun, records_of, shown, slices, where
from fulfil.store.safe import chain
from fulfil.store.search import matches, search
from fulfil.store.tables import table_named, table_of

R = TypeVar("R", bound=SQLModel)
_EVER = (datetime(1, 1, 2, tzinfo=UTC), datetime(9999, 12, 30, tzinfo=UTC))


class Reads:
    """What can be asked of the books of one transaction; records come in the order of their key."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._settings: Settings | None = None
        self._known: Known | None = None

    def breaks(self) -> Iterator[chain.Break]:
        """What was changed, removed or added past the shop's doors (:mod:`fulfil.store.safe.chain`)."""
        return chain.breaks(self._connection)

    def head(self) -> tuple[int, str]:
        """How many steps are sealed, and the digest of the last one, which holds all before."""
        return chain.head(self._connection)

    def has_head(self, digest: str) -> bool:
        """Whether a head that was printed once, or its first characters, is one of the sealed steps."""
        return chain.has_link(self._connection, digest)

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
        parts = slices(equals)
        if len(parts) == 1 and self._known is not None:
            return self._known.find(self._connection, kind, parts[0])
        rows = [row for one in parts for row in found_rows(self._connection, kind, one)]
        return self._records(kind, rows, are_sorted=len(parts) == 1)

    @contextmanager
    def knowing(self, known: Known) -> Iterator[None]:
        """Inside, what :meth:`find` gives is remembered, and given again as it is where its rows are the same.

        Only for reading: inside, the same question is asked once.
        """
        known.ask_again()
        self._known = known
        try:
            yield
        finally:
            self._known = None

    def between(
        self, kind: type[R], moment: str, start: date | None, end: date | None = None, /, **equals: object
    ) -> list[R]:
        """All records whose moment or day lies from ``start`` to before ``end``; None sets no limit.

        In the order of their key; other fields must equal the values, a list or tuple means any of them.
        """
        table = table_of(kind)
        # With two limits and no order asked for, SQLite goes by the moment's index however much there is.
        first, last = (_EVER[0].date(), _EVER[1].date()) if isinstance(table.c[moment].type, Date) else _EVER
        within = and_(table.c[moment] >= (start or first), table.c[moment] < (end or last))
        key = {column.name for column in table.primary_key.columns}
        is_sorted_here = key <= {*kind.model_fields}
        rows: list[Row[Any]] = []
        parts = slices(equals)
        for one in parts:
            given = {name: value for name, value in one.items() if value is not None}
            query = self._search(kind, one).where(within)
            rows += self._connection.execute(query.order_by(None) if is_sorted_here else query, given).all()
        return self._records(kind, rows, are_sorted=not is_sorted_here)

    def latest(self, kind: type[R], each: str, values: Collection[object], most: int, /, **equals: object) -> list[R]:
        """For each value of the field ``each`` the last ``most`` records, in the order of their running number."""
        table = table_of(kind)
        given = {name: value for name, value in equals.items() if value is not None}
        query = self._search(kind, {each: None, **equals} if None in values else {each: "", **equals})
        query = query.add_columns(table.c.id).order_by(None).order_by(table.c.id.desc()).limit(most)
        rows = [row for value in values for row in self._connection.execute(query, given | {each: value})]
        return self._records(kind, [row[:-1] for row in sorted(rows, key=lambda row: row[-1])], are_sorted=True)

    def greatest(self, kind: type[R], field: str, /, **equals: object) -> Any:
        """The greatest value of a field, None where there is no record."""
        table = table_of(kind)
        query = select(func.max(table.c[field])).where(where(table, equals))
        return self._connection.execute(query).scalar_one()

    def fields(self, kind: type[R], names: Sequence[str], /, **equals: object) -> list[tuple[Any, ...]]:
        """Some fields only, of the records that :meth:`find` would give, in no order."""
        table = table_of(kind)
        asked = select(*(table.c[name] for name in names))
        found = (self._connection.execute(asked.where(where(table, one))) for one in slices(equals))
        return [tuple(row) for rows in found for row in rows]

    def keys_ending(self, kind: type[SQLModel], field: str, tail: str) -> list[str]:
        """The texts of a field that end so, in letters of either case (of ASCII), sorted."""
        column = table_of(kind).c[field]
        ends = func.lower(column).endswith(tail.lower(), autoescape=True)
        return sorted(self._connection.execute(select(column).where(ends)).scalars())

    def count(self, kind: type[R], /, *, most: int | None = None, **equals: object) -> int:
        """How many records :meth:`find` would give; counting stops at ``most``."""
        if most is None:
            return sum(counted_rows(self._connection, kind, one) for one in slices(equals))
        table = table_of(kind)
        counted = 0
        for one in slices(equals):
            rows = select(true()).select_from(table).where(where(table, one)).limit(most - counted).subquery()
            counted += self._connection.execute(select(func.count()).select_from(rows)).scalar_one()
        return counted

    def settings(self) -> Settings:
        """The shop's settings, the house rules where none were imported."""
        if self._settings is None:
            self._settings = self.get(Settings, 1) or Settings()
        return self._settings.model_copy()

    def last_number(self, series: str) -> int:
        """The last number that was taken of a series, 0 where none was."""
        counter = table_named("counter").c
        asked = select(counter.last).where(counter.series == series)
        return self._connection.execute(asked).scalar_one_or_none() or 0

    def order_digests(self, numbers: Sequence[str]) -> dict[str, str]:
        """What the customer said (:func:`~fulfil.records.order.content_digest`), by number, for orders that exist."""
        table = table_of(Order)
        found: dict[str, str] = {}
        for one in slices({"number": [*numbers]}):
            rows = self._connection.execute(select(table.c.number, table.c.content_digest).where(where(table, one)))
            found |= {row.number: row.content_digest for row in rows}
        return found

    def sums_of_moves(self) -> tuple[dict[tuple[Any, ...], int], dict[tuple[Any, ...], int]]:
        """What all moves ever written leave in every place, to be held against the balances.

        The book of what is owed by (order, line, part, place, reference), the book of what is there by (place,
        reference, part), bins included; outside places too, where the sums are below zero.
        """
        return owed_sums(self._connection), stock_sums(self._connection)

    def contents(self, numbers: Sequence[str]) -> OrderContents:
        """Lines, places, bags and packages of some orders, for the gates to hold against each other."""
        return contents_of(self._connection, numbers)

    def open_notices(self) -> dict[tuple[str, int], int]:
        """Pieces of each return notice that have found no order line yet; notices that are all found are left out."""
        said, found = table_of(ReturnNotice).c, table_of(ReturnMatch).c
        matched = (
            select(func.coalesce(func.sum(found.pieces), 0))
            .where(found.number == said.number, found.line_no == said.line_no)
            .scalar_subquery()
        )
        query = select(said.number, said.line_no, said.pieces - matched).where(said.pieces > matched)
        return {(number, line_no): pieces for number, line_no, pieces in self._connection.execute(query)}

    def manifest_sums(self) -> dict[str, tuple[int, Decimal]]:
        """How many packages the books say left with each manifest, and their grams."""
        packages = table_of(Package).c
        asked = select(packages.manifest_number, func.count(), func.sum(packages.gross_g))
        rows = self._connection.execute(
            asked.where(packages.state == PackageState.SHIPPED, packages.manifest_number != "").group_by(
                packages.manifest_number
            )
        )
        return {number: (count, mass_g or Decimal(0)) for number, count, mass_g in rows}

    def open_jobs(self) -> list[Job]:
        """Jobs of which pieces are to come, by number."""
        jobs = table_of(Job).c
        query = self._search(Job, {}).where(not_(jobs.is_closed), jobs.booked_pieces < jobs.pieces).order_by(None)
        return self._records(Job, self._connection.execute(query), are_sorted=False)

    def bin_changes(self, reasons: Sequence[str], start: datetime, end: datetime) -> dict[str, int]:
        """By how much moves of these reasons changed the bins of each part, from ``start`` to before ``end``."""
        moves = table_of(StockEntry).c
        change = case((moves.to_place == There.BIN, moves.pieces), else_=0) - case(
            (moves.from_place == There.BIN, moves.pieces), else_=0
        )
        asked = select(moves.part_number, func.sum(change)).where(
            moves.reason.in_(reasons), moves.at >= start, moves.at < end
        )
        found = self._connection.execute(asked.group_by(moves.part_number))
        return {part: int(pieces) for part, pieces in found}

    # Within

    def _search(self, kind: type[SQLModel], equals: dict[str, object]) -> Select[Any]:
        return search(kind, matches(equals), self._connection.dialect.name)

    def _records(self, kind: type[R], rows: Iterable[Sequence[Any]], *, are_sorted: bool) -> list[R]:
        fields = list(kind.model_fields)
        if not are_sorted:
            key = [column.name for column in table_of(kind).primary_key.columns]
            places = [fields.index(name) for name in key if name in fields]
            rows = sorted(rows, key=lambda row: tuple(row[place] for place in places))
        return records_of(kind, rows)
