"""What a small command costs: processor seconds of each, over a bare import of the libraries that the store stands on.

Run it: ``python -m tests.benchmarks.terminal.commands SHOP [WORD ...]``, with a shop such as the demo's, of which it
makes a copy; words choose commands. Each runs five times in a process of its own, by turns with the bare import, and
the least of each counts: the machine's other work only ever adds. Compiled modules are kept in a folder of the run's
own, as an installed program has them (without it, every run would compile every module anew where
``PYTHONDONTWRITEBYTECODE`` is set). Prints a table; the house's limit is 0.15 s over the bare import.
"""

import os
import sqlite3
import subprocess
import sys
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from fulfil.records.order import Order
from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.shop import open_shop

BARE = "import sqlmodel"
"""What the store can't do without: sqlmodel brings SQLAlchemy and Pydantic."""
LIMIT_S = 0.15
RUNS = 5


def commands(shop: Path) -> list[list[str]]:
    """Looks that a person takes all day, each about something that the shop has."""
    with open_shop(shop) as opened, opened.reading() as books:
        order, bag, walk = books.find(Order)[0], books.find(Bag)[0], books.find(WalkRecord)[0]
    listed = (
        "orders list", f"orders show {order.number}", f"orders why {order.number}", "walks list",
        f"walks show {walk.number}", "packages list", "people list", "stock levels", f"stock ledger {bag.bin_code}",
        f"bags show {bag.code}", f"bags check {bag.code} --gross 1", "shorts list", "day next", "day report",
    )  # fmt: skip
    return [words.split() for words in listed]


def cpu_s(words: Sequence[str], environment: dict[str, str]) -> float:
    """Processor seconds of one process, user and system."""
    with subprocess.Popen(
        [sys.executable, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment
    ) as process:
        _, _, used = os.wait4(process.pid, 0)
        process.returncode = 0
    return used.ru_utime + used.ru_stime


def main() -> None:
    """Measures and prints."""
    chosen = sys.argv[2:]
    with TemporaryDirectory() as folder:
        shop = Path(folder) / "shop.sqlite"
        with closing(sqlite3.connect(sys.argv[1])) as given, closing(sqlite3.connect(shop)) as copy:
            given.backup(copy)
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        environment |= {"PYTHONPYCACHEPREFIX": folder, "FULFIL_SETTINGS": str(Path(folder) / "none.toml")}
        print(f"{'command':32} {'CPU s':>6} {'over':>6}")
        for words in commands(shop):
            said = " ".join(words)
            if chosen and not any(word in said for word in chosen):
                continue
            run = ["-c", f"from fulfil_cli.main import main; main({[*words, '--shop', str(shop)]!r})"]
            cpu_s(run, environment)  # compiles
            pairs = [(cpu_s(run, environment), cpu_s(["-c", BARE], environment)) for _ in range(RUNS)]
            took, bare = (min(one) for one in zip(*pairs, strict=True))
            print(f"{said[:32]:32} {took:6.2f} {took - bare:6.2f}{'' if took - bare <= LIMIT_S else '  missed'}")


if __name__ == "__main__":
    main()
