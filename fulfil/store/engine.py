"""How the shop's database is reached: one engine that writes, one that reads.

On SQLite the writer's transactions start with BEGIN IMMEDIATE: with the driver's own transactions, two stations that
read, add and write back lose each other's changes; with a plain BEGIN the second one fails at once instead of waiting
(SQLite documentation, "Transaction", sections 2.1 and 2.2). Readers use a plain BEGIN, see one state of the shop
throughout, and never wait for the writer (write-ahead log). Who waits for the lock longer asks for it more often.

On PostgreSQL an advisory lock, held to the end of the transaction, lets one writer in at a time; ``lock_timeout``
limits the wait as SQLite's busy time-out does (PostgreSQL documentation, "Client Connection Defaults").

Limits: SQLite's write-ahead log needs a disk of this computer, not a network share.
"""

import sqlite3
from collections.abc import Callable, Iterator
from functools import cache
from time import monotonic, sleep
from typing import Any

from sqlalchemy import URL, Connection, Dialect, Engine, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection, DBAPICursor
from sqlalchemy.pool import ConnectionPoolEntry, PoolProxiedConnection
from sqlalchemy.util import LRUCache

_ONE_WRITER = 7_305_811
"""The number of our advisory lock on PostgreSQL; any fixed number does."""


def writing_engine(url: URL, *, wait_s: float, foreign_keys: bool = True) -> Engine:
    """The engine whose transactions may write; one at a time, the next one waits up to ``wait_s``.

    Each commit is on the disk before it returns, whoever else has the shop open: in write-ahead mode anything less than
    FULL survives a killed program, but a power cut only after the next sync (SQLite documentation, "PRAGMA
    synchronous"; "PRAGMA fullfsync" for disks of macOS that answer before they have written).

    A row is replaced in one step only where no trigger keeps it: ``recursive_triggers`` makes the deletion inside
    REPLACE fire them too (SQLite documentation, "ON CONFLICT clause").
    """
    pragmas = {
        "foreign_keys": "ON" if foreign_keys else "OFF",
        "synchronous": "FULL",
        "fullfsync": "ON",
        "recursive_triggers": "ON",
    }
    engine = _engine(url, wait_s=wait_s, pragmas=pragmas)
    is_sqlite = url.get_backend_name() == "sqlite"
    _begin_with(engine, "BEGIN IMMEDIATE" if is_sqlite else f"SELECT pg_advisory_xact_lock({_ONE_WRITER})", wait_s)
    return engine


def reading_engine(url: URL, *, wait_s: float) -> Engine:
    """The engine whose transactions only read, each from one state of the shop."""
    if url.get_backend_name() == "sqlite":
        engine = _engine(url, wait_s=wait_s, pragmas={"query_only": "ON"})
        _begin_with(engine, "BEGIN", wait_s)
        return engine
    return _engine(url, wait_s=wait_s, pragmas={}, isolation_level="REPEATABLE READ").execution_options(
        postgresql_readonly=True
    )


def state_mark(connection: Connection) -> str:
    """A mark of the state that this transaction sees: of one connection, two that are equal are of one state.

    On SQLite a number that changes when another connection saves (documentation, "PRAGMA data_version"); on PostgreSQL
    the snapshot, by the transactions that were begun and those that hadn't ended (documentation, "System Information
    Functions", ``pg_current_snapshot``): there one that saved nothing gives another mark too.
    """
    is_sqlite = connection.dialect.name == "sqlite"
    asked = "PRAGMA data_version" if is_sqlite else "SELECT pg_current_snapshot()::text"
    return str(connection.exec_driver_sql(asked).scalar_one())


NEWS = "fulfil_journal"
"""The channel on which PostgreSQL tells that a transaction was saved."""


def telling_news(connection: Connection) -> list[str]:
    """What tells whoever listens that this transaction was saved, once it is (PostgreSQL documentation, "NOTIFY")."""
    return [f"NOTIFY {NEWS}"] if connection.dialect.name == "postgresql" else []


def hear_news(engine: Engine, is_over: Callable[[], bool], *, look_s: float = 1.0) -> Iterator[None]:
    """Gives a sign at first and whenever a transaction was saved; ends at once on SQLite, which tells nobody."""
    if engine.dialect.name != "postgresql":
        return
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql(f"LISTEN {NEWS}")
        driver: Any = connection.connection.driver_connection
        yield
        while not is_over():
            for _ in driver.notifies(timeout=look_s, stop_after=1):
                yield


def _engine(url: URL, *, wait_s: float, pragmas: dict[str, str], **more: Any) -> Engine:
    if url.get_backend_name() != "sqlite":
        engine = create_engine(url, **more)
        _limit_the_wait(engine, wait_s)
        return engine
    engine = create_engine(url, _initialize=False, execution_options={"compiled_cache": _STATEMENTS}, **more)
    engine.dialect = engine.pool._dialect = _sqlite_dialect()

    @event.listens_for(engine, "connect")
    def _prepare(connection: DBAPIConnection, _record: object) -> None:
        # The driver must not start transactions of its own (SQLAlchemy documentation, "Serializable isolation /
        # Savepoints / Transactional DDL" of the pysqlite dialect).
        connection.isolation_level = None
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {round(wait_s * 1000)}")
        cursor.execute("PRAGMA journal_mode = WAL")
        cursor.execute("PRAGMA synchronous = NORMAL")
        for name, value in pragmas.items():
            cursor.execute(f"PRAGMA {name} = {value}")
        cursor.close()

    return engine


_STATEMENTS: LRUCache[Any, Any] = LRUCache(2000)
"""Every statement that this process has built for SQLite once, for all of its shops and for reading and writing."""


@cache
def _sqlite_dialect() -> Dialect:
    """One dialect for all engines on SQLite: what is built is kept by dialect, and building costs more than running."""
    engine = create_engine("sqlite://")
    engine.connect().close()
    engine.dispose()  # its database in memory has done its work; from Python 3.13 one left open is warned of
    return engine.dialect


def _limit_the_wait(engine: Engine, wait_s: float) -> None:
    @event.listens_for(engine, "connect")
    def _prepare(connection: DBAPIConnection, _record: object) -> None:
        cursor = connection.cursor()
        cursor.execute(f"SET lock_timeout = {max(1, round(wait_s * 1000))}")
        cursor.close()
        connection.commit()


def _begin_with(engine: Engine, statement: str, wait_s: float) -> None:
    """Begins transactions with a statement; a listener would make the engine ask for more at every statement."""

    @event.listens_for(engine, "connect")
    def _noted(_connection: DBAPIConnection, record: ConnectionPoolEntry) -> None:
        record.info[_BEGIN] = statement, wait_s

    engine.dialect.do_begin = _begin  # type: ignore[method-assign, assignment]


_BEGIN = "begin"
"""Under which a connection keeps the statement that begins its transactions, and how long it may wait."""
_LONGEST_PAUSE_S, _SHORTEST_PAUSE_S = 0.008, 0.001


def _begin(connection: PoolProxiedConnection) -> None:
    statement, wait_s = connection.info[_BEGIN]
    cursor = connection.cursor()
    try:
        if statement == "BEGIN IMMEDIATE":
            _begin_in_turn(cursor, statement, wait_s)
        else:
            cursor.execute(statement)
    finally:
        cursor.close()


def _begin_in_turn(cursor: DBAPICursor, statement: str, wait_s: float) -> None:
    """Asks for the write lock again and again, the more often the longer it has waited, up to ``wait_s``.

    SQLite's own time-out does it the other way round (1, 2, 5 ... 100 ms): who has just come asks most often, and with
    twenty at work somebody waits until the limit.
    """
    cursor.execute("PRAGMA busy_timeout = 0")
    began = monotonic()
    try:
        while True:
            try:
                cursor.execute(statement)
                return
            except sqlite3.OperationalError as trouble:
                waited_s = monotonic() - began
                if trouble.sqlite_errorcode & _PRIMARY != sqlite3.SQLITE_BUSY or waited_s >= wait_s:
                    raise
                sleep(min(pause_s(waited_s), wait_s - waited_s))
    finally:
        cursor.execute(f"PRAGMA busy_timeout = {round(wait_s * 1000)}")


_PRIMARY = 0xFF
"""The bits of a result code that all codes of one kind share (SQLite documentation, "Result and Error Codes")."""


def pause_s(waited_s: float) -> float:
    """How long somebody who has waited so long pauses before asking again, in seconds.

    >>> [pause_s(waited) for waited in (0, 1, 3, 10)]
    [0.008, 0.004, 0.002, 0.001]
    """
    return max(_SHORTEST_PAUSE_S, _LONGEST_PAUSE_S / (1 + waited_s))
