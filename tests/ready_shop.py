"""A new shop's file, in this run of the tests, is a copy of one that the migrations made at its start.

Every test makes its own shop; running twenty migrations each time took a third of all the tests' time. The copy is
SQLite's own (its documentation, "Online Backup API"), so a test's shop is byte for byte what the migrations make. A
shop of an older release, a database with tables, and PostgreSQL go the long way. The files lie in memory where the
machine has room for that: thousands of small shops wait for the disk after each commit, and no test asks whether a
disk keeps what it was given (``PRAGMA synchronous`` itself is tested).
"""

import gc
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Generator
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from weakref import finalize

import pytest
from sqlalchemy import URL, Engine

from fulfil.store import shop as shop_room
from fulfil.walks.bound_apart import PROOF, SEARCH

_IN_MEMORY = Path("/dev/shm")
_ENOUGH = 4 * 2**30

_the_long_way: Callable[..., None] = shop_room._upgrade
_open: Callable[..., None] = shop_room.Shop.__init__


@cache
def _made() -> sqlite3.Connection:
    """The new shop, held in memory."""
    kept = sqlite3.connect(":memory:", check_same_thread=False)
    with TemporaryDirectory() as folder:
        database = str(Path(folder) / "new.sqlite")
        _the_long_way(URL.create("sqlite", database=database), wait_s=10)
        with closing(sqlite3.connect(database)) as file:
            file.backup(kept)
    return kept


def _ready(url: URL, *, wait_s: float, from_: str = "", **more: Any) -> None:
    if not from_ and not more and url.get_backend_name() == "sqlite":
        with closing(sqlite3.connect(str(url.database), timeout=wait_s)) as new:
            if not new.execute("SELECT 1 FROM sqlite_master").fetchone():
                _made().backup(new)
                return
    _the_long_way(url, wait_s=wait_s, from_=from_, **more)


def _make_machine_code() -> None:
    """The search's and the proof's, on a core each, once: else every process of a fresh clone's run makes both."""
    making = [subprocess.Popen([sys.executable, "-c", f"import {', '.join(names)}"]) for names in (SEARCH, PROOF)]
    for one in making:
        one.wait()


def _opened(shop: shop_room.Shop, url: URL, where: str, *, wait_s: float, reader: Engine | None = None) -> None:
    """A shop that ends its connections when its test has dropped it.

    A test hands its shop from fixture to step and closes it nowhere; from Python 3.13 a connection that is collected
    while it is open is a warning, and a warning is an error here, in whatever test runs at that moment.
    """
    _open(shop, url, where, wait_s=wait_s, reader=reader)
    for engine in (shop._reader, shop._writer):
        finalize(shop, engine.dispose)


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Puts the copy in the place of the migrations, and the tests' folders in memory."""
    shop_room._upgrade = _ready
    shop_room.Shop.__init__ = _opened  # type: ignore[method-assign,assignment]
    can_be_had = _IN_MEMORY.is_dir() and os.access(_IN_MEMORY, os.W_OK)
    if not config.option.basetemp and can_be_had and shutil.disk_usage(_IN_MEMORY).free >= _ENOUGH:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(_IN_MEMORY))
        # Also what a test makes without pytest's folder, and what the processes make that it starts.
        os.environ.setdefault("TMPDIR", str(_IN_MEMORY))
        tempfile.tempdir = None
    # By its own rule the runner leaves files of few tests to the end, which the longest are: one core then waits for
    # the other. In the order of the collection (below) the end is short.
    if hasattr(config.option, "loadscopereorder"):
        config.option.loadscopereorder = False
    if getattr(config.option, "numprocesses", None) and not hasattr(config, "workerinput"):
        _make_machine_code()


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Nothing that is collected is garbage: a fifth of that time was spent looking for some, again and again.

    What is there then stays to the end of the run; nobody looks through it after each test either.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Puts the files with slow tests first, so that no long one is begun last; all else stays in its order."""
    slow = {item.path for item in items if item.get_closest_marker("slow")}
    items.sort(key=lambda item: item.path not in slow)
