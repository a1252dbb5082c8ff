"""A shop is one database: opened, read and written in transactions that are whole or not at all.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.records.tiny import PART
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True) as shop:
...     with shop.writing() as books:
...         books.add([PART])
...     with shop.reading() as books:
...         print(books.need(type(PART), "BALL-3").description)
Bearing ball 3 mm

Limits: a database in memory is private to its connection, so it can't be a shop.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from copy import copy
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self, TypeVar

from sqlalchemy import URL, inspect, make_url, text
from sqlalchemy.engine import Connection, Engine
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from fulfil.errors import StoreRefused
from fulfil.store.books import Books
from fulfil.store.collector import collector_paused
from fulfil.store.engine import hear_news, reading_engine, state_mark, telling_news, writing_engine
from fulfil.store.safe.chain import ends, seal
from fulfil.store.safe.closed_days import must_not_reach_back
from fulfil.store.safe.erasing import clear_pages
from fulfil.store.trouble import in_our_words

NEWEST_MIGRATION = max(path.stem[:4] for path in (Path(__file__).parent / "migrations" / "versions").glob("[0-9]*.py"))
"""The migration that this release works with: the last one in ``migrations/versions``, by its file's number."""
OLDEST_MIGRATION = "0008"
"""The migration of the first release: the oldest shop that can be brought up to date."""

T = TypeVar("T")
_MOST_LOOKS = 10
"""How often something is found out before anybody waits."""


class _LetGo(Exception):
    """The shop is given back as it was, since somebody saved something before it was had."""


class Shop:
    """An open shop. ``reading()`` and ``writing()`` give its :class:`~fulfil.store.books.Books`."""

    def __init__(self, url: URL, where: str, *, wait_s: float, reader: Engine | None = None) -> None:
        self.where = where
        self._reader = reader or reading_engine(url, wait_s=wait_s)
        self._writer = writing_engine(url, wait_s=wait_s)
        self._station = ""
        self._last: Callable[[Books], None] | None = None

    def at_station(self, name: str, last: Callable[[Books], None] | None = None) -> "Shop":
        """The same shop as a station has it in hand: what is journalled names the station.

        ``last`` is done at the end of each of its transactions, within it: saved with it, or not at all.
        """
        there = copy(self)
        there._station, there._last = name, last
        return there

    @contextmanager
    def reading(self) -> Iterator[Books]:
        """Books that show one state of the shop and can't be written."""
        with in_our_words(self.where), self._reader.connect() as connection, connection.begin():
            yield Books(connection, is_writing=False)

    @contextmanager
    def writing(self, *, is_preview: bool = False) -> Iterator[Books]:
        """Books that may be written, by one station at a time: saved at the end, unchanged after any exception.

        A preview does all the same and saves nothing, so that a step can say what it will do before it does it.

        Raises:
            StoreRefused: another program holds the shop, or the disk is full; nothing was changed.
            StateRefused: something is said to have happened on a day that was closed since.
        """
        with in_our_words(self.where), self._writer.connect() as connection, connection.begin() as transaction:
            before = ends(connection)
            books = Books(connection, is_writing=True, station=self._station)
            yield books
            if self._last is not None:
                self._last(books)
            if is_preview:
                transaction.rollback()
            else:
                must_not_reach_back(connection, seal(connection, before, books.named, telling_news(connection)))

    @contextmanager
    def writing_with(self, find_out: Callable[[Books], T]) -> Iterator[tuple[Books, T]]:
        """Books that may be written, and what was found out in the very same state of the shop, which takes long.

        It is found out before anybody waits; if somebody saved meanwhile the shop is let go at once and it is found
        out again, at last while the others wait.

        Raises:
            StoreRefused, StateRefused: as :meth:`writing`.
        """
        with in_our_words(self.where), self._reader.connect() as reader:
            for _ in range(_MOST_LOOKS):
                with reader.begin():
                    before, found = state_mark(reader), find_out(Books(reader, is_writing=False))
                try:
                    # After a search, looking for garbage takes 30 ms and more: before or after, not while others wait.
                    with collector_paused(), self.writing() as books:
                        with reader.begin():
                            if state_mark(reader) != before:
                                raise _LetGo
                        yield books, found
                        return
                except _LetGo:
                    continue
            with self.writing() as books:
                yield books, find_out(books)

    def news(self, is_over: Callable[[], bool]) -> Iterator[None]:
        """A sign at first and after each transaction that anybody saved; none at all on SQLite: look there yourself."""
        yield from hear_news(self._reader, is_over)

    def clear_pages(self, tables: Sequence[str]) -> bool:
        """Leaves nothing of what was erased from these tables in unused pages; False where others are at work."""
        with in_our_words(self.where):
            return clear_pages(self._writer, tables)

    def close(self) -> None:
        """Closes all connections."""
        self._reader.dispose()
        self._writer.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def open_shop(where: str | Path, *, create: bool = False, wait_s: float = 10.0) -> Shop:
    """The shop at ``where``: the path of an SQLite file, or any SQLAlchemy URL.

    ``create`` makes a new shop where there is none yet. ``wait_s`` is how long to wait for another station's writing.
    Opening one that is there takes no write lock. What a writing transaction saved is on the disk when it has ended.

    Raises:
        StoreRefused: missing (and not ``create``), locked, damaged, no fulfil database, or of another migration.
    """
    url, name = _url(where)
    _check_file(url, name, create=create)
    # What looks is what reads afterwards: each connection to SQLite reads the whole schema first.
    reader = reading_engine(url, wait_s=wait_s)
    try:
        with in_our_words(name):
            found = _migration_of(reader, name)
            if found is None and create:
                _upgrade(url, wait_s=wait_s)
                found = NEWEST_MIGRATION
        _must_be_newest(found, name)
    except BaseException:
        reader.dispose()
        raise
    return Shop(url, name, wait_s=wait_s, reader=reader)


def _must_be_newest(found: str | None, name: str) -> None:
    if found is None:
        raise StoreRefused("open the shop", name, "a fulfil database; this one is empty, create the shop first")
    if found > NEWEST_MIGRATION:
        raise StoreRefused(
            "open the shop", name, f"migration {NEWEST_MIGRATION} or older, got {found}; use a newer release of fulfil"
        )
    if found < NEWEST_MIGRATION:
        raise StoreRefused(
            "open the shop",
            name,
            f"migration {NEWEST_MIGRATION}, got {found}; run fulfil shop upgrade, it makes a backup first",
        )


def upgrade_shop(where: str | Path, *, wait_s: float = 10.0) -> None:
    """Brings an older shop to the newest migration, whole or not at all; a backup of an SQLite shop is made first.

    Raises:
        StoreRefused: missing, locked, damaged, or no fulfil database.
    """
    url, name = _url(where)
    _check_file(url, name, create=False)
    with in_our_words(name):
        engine = reading_engine(url, wait_s=wait_s)
        try:
            found = _migration_of(engine, name)
        finally:
            engine.dispose()
        if found is None:
            raise StoreRefused("upgrade the shop", name, "a fulfil database")
        if found < OLDEST_MIGRATION:
            expected = f"migration {OLDEST_MIGRATION} or newer, got {found}, which no release had"
            raise StoreRefused("upgrade the shop", name, expected)
        if url.get_backend_name() == "sqlite" and found < NEWEST_MIGRATION:
            _back_up_before(Path(url.database or ""), found)
        _upgrade(url, wait_s=wait_s)


def made_new(where: str | Path, migration: str, fill: Callable[[Connection], None], *, wait_s: float = 10.0) -> None:
    """Makes a shop of this migration where none is, lets it be filled, and brings it up to date: whole or not at all.

    Raises:
        StoreRefused: something is there already, or it can't be written.
    """
    url, name = _url(where)
    is_file = url.get_backend_name() == "sqlite"
    path = Path(url.database or "")
    if is_file and path.exists():
        raise StoreRefused("make a shop", name, "a place where no shop is; nothing was changed")
    _check_file(url, name, create=True)
    with in_our_words(name):
        engine = reading_engine(url, wait_s=wait_s)
        try:
            if not is_file and _migration_of(engine, name) is not None:
                raise StoreRefused("make a shop", name, "a database without tables; nothing was changed")
            _upgrade(url, wait_s=wait_s, from_=migration, fill=fill)
        except BaseException:
            if is_file:
                path.unlink(missing_ok=True)
            raise
        finally:
            engine.dispose()


def _back_up_before(path: Path, found: str) -> None:
    """The shop as the older release left it, under a name of its own; one that is there already is another's."""
    from fulfil.store.safe.copies import back_up

    folder, name, tries = path.parent / "backups", f"{path.stem}-before-upgrade-from-{found}", 1
    while (folder / f"{name}{'' if tries == 1 else f'-{tries}'}.sqlite").exists():
        tries += 1
    back_up(path, folder, at=datetime.min.replace(tzinfo=UTC), name=f"{name}{'' if tries == 1 else f'-{tries}'}")


def _url(where: str | Path) -> tuple[URL, str]:
    if isinstance(where, Path) or "://" not in where:
        return URL.create("sqlite", database=str(where)), str(where)
    expected = "a path or a database URL such as postgresql+psycopg://host/shop"
    try:
        url = make_url(where)
    except ArgumentError as trouble:
        raise StoreRefused("open the shop", where.split("@")[-1], expected) from trouble
    try:
        url.get_dialect()
    except NoSuchModuleError as trouble:
        raise StoreRefused("open the shop", url.render_as_string(hide_password=True), expected) from trouble
    # A URL may hold a password; it must not reach a message.
    name = url.render_as_string(hide_password=True)
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise StoreRefused("open the shop", name, "an SQLite file or a PostgreSQL database")
    try:
        url.get_dialect().import_dbapi()
    except ImportError as trouble:
        raise StoreRefused(
            "open the shop", name, f"its driver to be installed, such as psycopg; {trouble}"
        ) from trouble
    return url, name


def _check_file(url: URL, name: str, *, create: bool) -> None:
    if url.get_backend_name() != "sqlite":
        return
    if not url.database or url.database == ":memory:":
        raise StoreRefused("open the shop", name, "a file; a database in memory is lost when it is closed")
    path = Path(url.database)
    if path.is_dir():
        raise StoreRefused("open the shop", name, "a file, not a folder")
    if not path.exists() and not create:
        raise StoreRefused("open the shop", name, "the file of a shop; create the shop first")
    if not path.parent.is_dir():
        raise StoreRefused("create the shop", name, "a folder that exists")


def _migration_of(engine: Engine, name: str) -> str | None:
    """The shop's migration, None for an empty database."""
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        if not names:
            return None
        if not {"alembic_version", "journal_entry", "part"} <= names:
            raise StoreRefused("open the shop", name, "a fulfil database; this one belongs to another program")
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalars().all()
    if len(found) != 1:
        raise StoreRefused("open the shop", name, "a database with one migration; restore the last copy")
    return str(found[0])


def _upgrade(url: URL, *, wait_s: float, from_: str = "", fill: Callable[[Connection], None] = lambda _: None) -> None:
    # Loaded late: only a new or old shop needs it.
    from fulfil.store.migration import upgrade

    # Copying a table in a migration must not delete what points to it; the keys are checked at the end instead.
    engine = writing_engine(url, wait_s=wait_s, foreign_keys=False)
    try:
        with engine.begin() as connection:
            if from_:
                upgrade(connection, to=from_)
                fill(connection)
            upgrade(connection)
            if connection.dialect.name == "sqlite":
                broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
                if broken:
                    raise StoreRefused("upgrade the shop", broken[0][0], "rows that all point to known ones")
    finally:
        engine.dispose()
