"""What the database refuses, said in the shop's words.

A driver's exception names tables and error numbers; the person at the bench needs to know what to do.

>>> from sqlalchemy.exc import OperationalError
>>> said(OperationalError("COMMIT", {}, Exception("database is locked")), "shop.db")  # doctest: +ELLIPSIS
StoreRefused('write to the shop', 'shop.db', 'a free moment; another station ... then do it again')
"""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DataError, DBAPIError, IntegrityError, StatementError

from fulfil.errors import Refusal, StateRefused, StoreRefused
from fulfil.store.reason import words_of

_CAUSES = (
    (
        "database is locked",
        "write to",
        "a free moment; another station is writing for long, nothing was changed: wait for it, then do it again",
    ),
    (
        "lock timeout",
        "write to",
        "a free moment; another station is writing for long, nothing was changed: wait for it, then do it again",
    ),
    (
        "database table is locked",
        "write to",
        "a free moment; another station is writing, nothing was changed: wait for it, then do it again",
    ),
    ("disk is full", "write to", "free space on its disk; nothing was changed, make space and try again"),
    ("no space left", "write to", "free space on its disk; nothing was changed, make space and try again"),
    ("could not extend file", "write to", "free space on the server's disk; nothing was changed"),
    ("disk i/o error", "use", "a disk that can be read and written; nothing was changed, check the disk"),
    ("readonly database", "write to", "a file and folder that may be written"),
    ("query_only", "write to", "a writing transaction, this one only reads"),
    ("read-only transaction", "write to", "a writing transaction, this one only reads"),
    ("file is not a database", "open", "a fulfil database; this file is something else or damaged, restore a copy"),
    ("malformed", "read", "an undamaged database; stop using it and restore the last copy"),
    ("unable to open", "open", "a file in a folder that exists and may be written"),
    ("connection refused", "reach", "a database server that runs there; start it, or correct the address"),
    ("no such file or directory", "reach", "a database server that runs there; start it, or correct the address"),
    ("authentication failed", "open", "the name and password that the database server knows"),
    ("could not translate host name", "reach", "a server of that name; correct the address"),
    ("server closed the connection", "use", "a database server that stays up; nothing half done was kept, try again"),
    ("terminating connection", "use", "a database server that stays up; nothing half done was kept, try again"),
    ("permission denied", "use", "a person of the database who may do this; ask who keeps the server"),
    ("no such table", "use", "a fulfil database with all its tables; restore the last copy"),
)


def said(trouble: DBAPIError, where: str) -> Refusal:
    """The refusal for a driver's exception."""
    words = words_of(trouble)
    if isinstance(trouble, IntegrityError | DataError):
        return StateRefused("save the change", words, "values that keep the shop's rules; nothing was changed")
    for sign, tried, expected in _CAUSES:
        if sign in words.lower():
            return StoreRefused(f"{tried} the shop", where, expected)
    return StoreRefused("use the shop", where, f"a database that answers; it said: {words}")


@contextmanager
def in_our_words(where: str) -> Iterator[None]:
    """Turns the driver's exceptions inside into refusals."""
    try:
        yield
    except DBAPIError as trouble:
        raise said(_first(trouble), where) from trouble
    except StatementError as trouble:
        if isinstance(trouble.orig, Refusal):
            raise trouble.orig from trouble
        raise


def _first(trouble: DBAPIError) -> DBAPIError:
    # On a full disk SQLite rolls back by itself; the savepoint that is missing then is not what the person must know.
    first, earlier = trouble, trouble.__context__
    while earlier is not None:
        first = earlier if isinstance(earlier, DBAPIError) else first
        earlier = earlier.__context__
    return first
