"""Do the tests notice a fault? Plants faults in copies of the shop's rooms, one at a time, and runs the nearest tests.

Run it from the project folder: ``python -m tests.benchmarks.mutation --faults 60 --seed 1``. The faults
(:mod:`tests.benchmarks.faults`) are drawn evenly over the rooms by the seed. Each is planted in a copy of the project,
never in the project itself, and the tests run until the first one fails. Which tests: with ``--reached FILE``, a file
of ``coverage`` with contexts (DEVELOPERS.md shows how it is made), those that run the changed line; else, and for lines
that only fixtures run, those of the room, with those files first that name the module.

Printed: a line a fault as it is decided, then the survivors with file, line, old → new. *Too slow* means that the time
ran out before a test failed: a survivor, too, unless a loop no longer ends. *Fails
always*: the test that failed fails without the fault, too. *Not run*: pytest couldn't run. Exit code 1 unless all
were caught.
"""

import argparse
import ast
import json
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from queue import Queue
from subprocess import PIPE
from time import monotonic, sleep

import numpy as np

from tests.benchmarks.faults import Fault, faults_in, types_in

PROJECT = Path(__file__).parents[2]
COPIED = ("fulfil", "cli", "demo_catalog", "tests", "README.md", "pyproject.toml")
STORIES = ("tests/stories/test_shop_floor.py", "tests/stories/test_nothing_vanishes.py")
ORDERS = ("tests/orders/life", "tests/orders/test_found_by_the_machine.py")
ROOMS: dict[str, tuple[str, ...]] = {
    "orders": ("tests/orders", *STORIES),
    "stock": ("tests/stock", "tests/stories/test_empty_bin.py", "tests/stories/test_weighing.py", *ORDERS),
    "despatch": ("tests/despatch", "tests/cli/test_shipping.py", *STORIES),
    "bench": ("tests/bench", "tests/cli/test_bench.py", *STORIES, *ORDERS),
    "counting": ("tests/counting", "tests/stories/test_weighing.py", "tests/cli/test_weighing_commands.py"),
    "walks": ("tests/walks", "tests/cli/test_room.py", *STORIES, *ORDERS),
}
TOO_SLOW_FOR_EACH = ("test_pieces_machine", "test_real_orders", "test_replay")
MOST_TESTS = 60
TOO_SLOW = -99
SAID = "said.txt"
PRELOADED = ("pytest", "numpy", "pandas", "scipy.stats", "numba", "sqlmodel", "alembic.command",
             "reportlab.pdfgen.canvas", "click.testing", "openpyxl", "pypdfium2", "highspy",
             "babel.numbers")  # fmt: skip


def draw(faults: int, seed: int, rooms: Sequence[str]) -> list[Fault]:
    """Faults spread evenly over the rooms, drawn by the seed."""
    types: dict[str, dict[str, str]] = {}
    for path in sorted((PROJECT / "fulfil").rglob("*.py")):
        types.update(types_in(path.read_text(encoding="utf-8")))
    rng = np.random.default_rng(seed)
    drawn: list[Fault] = []
    for place, room in enumerate(rooms):
        every = [
            fault
            for path in sorted((PROJECT / "fulfil" / room).rglob("*.py"))
            for fault in faults_in(str(path.relative_to(PROJECT)), path.read_text(encoding="utf-8"), types)
        ]
        share = (faults * (place + 1)) // len(rooms) - (faults * place) // len(rooms)
        drawn += [every[int(i)] for i in sorted(rng.choice(len(every), size=share, replace=False))]
    return drawn


def room_tests(fault: Fault, folder: Path) -> list[str]:
    """The room's test files, those that name the module first."""
    room, name = Path(fault.path).parts[1], Path(fault.path).stem
    files: list[Path] = []
    for given in ROOMS[room]:
        place = folder / given
        files += sorted(place.rglob("test_*.py")) if place.is_dir() else [place]
    files = [path for path in dict.fromkeys(files) if path.stem not in TOO_SLOW_FOR_EACH]
    module = f"fulfil.{room}.{name} "
    files.sort(key=lambda path: module not in path.read_text(encoding="utf-8"))
    return [str(path.relative_to(folder)) for path in files]


def reaching(reached: Path, fault: Fault, folder: Path) -> list[str]:
    """The tests that ran the fault's line, from a file of ``coverage``: those that reach the fewest lines first."""
    from coverage.numbits import numbits_to_nums

    lines = _lines_of(fault, folder)
    books = sqlite3.connect(f"file:{reached}?mode=ro", uri=True)
    rows = (
        books.execute(
            "select context.context, line_bits.numbits from line_bits join file on file.id = line_bits.file_id "
            "join context on context.id = line_bits.context_id where file.path like ?",
            (f"%/{fault.path}",),
        ).fetchall()
        or books.execute(
            "select context.context, arc.fromno, arc.tono from arc join file on file.id = arc.file_id "
            "join context on context.id = arc.context_id where file.path like ?",
            (f"%/{fault.path}",),
        ).fetchall()
    )
    ran: dict[str, set[int]] = {}
    for context, *numbers in rows:
        seen = ran.setdefault(context, set())
        seen.update(numbits_to_nums(numbers[0]) if len(numbers) == 1 else numbers)
    books.close()
    hits = sorted((context for context, seen in ran.items() if context and seen & lines), key=lambda one: len(ran[one]))
    return list(dict.fromkeys(node for one in hits if (node := _node(one))))[:MOST_TESTS]


def _lines_of(fault: Fault, folder: Path) -> set[int]:
    """The lines of the smallest statement that the fault stands in (its head only, if it holds others)."""
    tree = ast.parse((folder / fault.path).read_text(encoding="utf-8"))
    inside = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.stmt) and node.lineno <= fault.line <= (node.end_lineno or node.lineno)
    ]
    least = min(inside, key=lambda node: (node.end_lineno or 0) - node.lineno)
    return {fault.line} if hasattr(least, "body") else set(range(least.lineno, (least.end_lineno or 0) + 1))


def _node(context: str) -> str | None:
    """``tests.orders.test_x.test_y`` as pytest names it; None where it is no test that may run for each fault."""
    module, _, name = context.rpartition(".")
    path = Path(*module.split(".")).with_suffix(".py")
    if path.stem in TOO_SLOW_FOR_EACH or not (PROJECT / path).is_file() or not name.startswith("test_"):
        return None
    return f"{path}::{name}"


class Runner:
    """One copy of the project with a process that has the slow imports behind it and forks for each run of tests."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        words = [sys.executable, "-c", "from tests.benchmarks.mutation import serve; serve()"]
        given = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
        self.process = subprocess.Popen(words, cwd=folder, env=given, stdin=PIPE, stdout=PIPE, text=True)

    def decide(self, fault: Fault, tests: Sequence[str], limit_s: float) -> tuple[str, float]:
        """Plants the fault, runs the tests, takes it out again: what became of it, and seconds."""
        path = self.folder / fault.path
        text = path.read_text(encoding="utf-8")
        path.write_text(fault.planted(text), encoding="utf-8")
        begin = monotonic()
        try:
            code = self.run(tests, limit_s)
        finally:
            path.write_text(text, encoding="utf-8")
        became = {0: "survived", 1: "caught", TOO_SLOW: "too slow"}.get(code, "not run")
        if code == 1:
            failed = re.search(r"^(?:FAILED|ERROR) (\S+\.py(?:::\w+)?)", (self.folder / SAID).read_text(), re.M)
            if failed is None or self.run([failed[1]], limit_s) != 0:
                became = "fails always"
        return became, monotonic() - begin

    def run(self, tests: Sequence[str], limit_s: float) -> int:
        """The exit code of pytest over these tests as the copy is now."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        print(json.dumps([limit_s, *tests]), file=self.process.stdin, flush=True)
        return int(self.process.stdout.readline())

    def close(self) -> None:
        """Ends the process."""
        self.process.communicate()


def serve() -> None:
    """Runs pytest in a fork for each line on standard input, ``[seconds, test, …]``, and prints its exit code."""
    for name in PRELOADED:
        import_module(name)
    for line in sys.stdin:
        limit_s, *tests = json.loads(line)
        child = os.fork()
        if child == 0:
            os.setsid()
            said = os.open(SAID, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(said, 1)
            os.dup2(said, 2)
            code = 3
            try:
                import pytest

                code = int(pytest.main(["-x", "-q", "-rfE", "-p", "no:cacheprovider", "--tb=no", *tests]))
            finally:
                os._exit(code)
        end = monotonic() + limit_s
        done, status = 0, 0
        while not done and monotonic() < end:
            sleep(0.1)
            done, status = os.waitpid(child, os.WNOHANG)
        if not done:
            os.kill(child, signal.SIGKILL)
            with suppress(ProcessLookupError):
                os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(status) if done else TOO_SLOW, flush=True)


def copies(count: int, folder: Path) -> Iterator[Runner]:
    """Copies of the project to plant faults in; nothing that a run writes lands in the project."""
    for number in range(count):
        made = folder / str(number)
        made.mkdir()
        for name in COPIED:
            source = PROJECT / name
            if source.is_dir():
                shutil.copytree(source, made / name, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(source, made / name)
        yield Runner(made)


def main(words: Sequence[str] | None = None) -> int:
    """Draws the faults, decides each, prints what survived."""
    says = argparse.ArgumentParser(prog="mutation", description=(__doc__ or "").partition("\n")[0])
    says.add_argument("--faults", type=int, default=60)
    says.add_argument("--seed", type=int, default=1)
    says.add_argument("--room", action="append", choices=list(ROOMS), help="only this room; may be said again")
    says.add_argument("--limit", type=float, default=120, help="seconds a fault")
    says.add_argument("--workers", type=int, default=1)
    says.add_argument("--reached", type=Path, help="a file of coverage with contexts")
    asked = says.parse_args(words)
    faults = draw(asked.faults, asked.seed, asked.room or list(ROOMS))
    with tempfile.TemporaryDirectory() as folder:
        free: Queue[Runner] = Queue()
        for runner in copies(asked.workers, Path(folder)):
            free.put(runner)

        def work(fault: Fault) -> tuple[Fault, str]:
            here = free.get()
            tests = (reaching(asked.reached, fault, here.folder) if asked.reached else []) or room_tests(
                fault, here.folder
            )
            try:
                became, seconds = here.decide(fault, tests, asked.limit)
            finally:
                free.put(here)
            print(f"{became:9} {seconds:5.0f} s {told(fault)}", flush=True)
            return fault, became

        with ThreadPoolExecutor(asked.workers) as people:
            decided = list(people.map(work, faults))
        while not free.empty():
            free.get().close()
    survivors = [(fault, became) for fault, became in decided if became != "caught"]
    print(f"\n{len(decided)} faults, seed {asked.seed}: {len(decided) - len(survivors)} caught, these survived:")
    for fault, became in survivors:
        print(f"{became}: {told(fault)}")
    return 1 if survivors else 0


def told(fault: Fault) -> str:
    """File, line, old → new, on one line."""
    return f"{fault.path}:{fault.line}  {' '.join(fault.old.split())} → {' '.join(fault.new.split())}"


if __name__ == "__main__":
    raise SystemExit(main())
