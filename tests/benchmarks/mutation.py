"""Do the tests notice a fault? Plants faults in the shop's rooms, one at a time, and runs the tests that reach them.

Run it from the project folder: ``python -m tests.benchmarks.mutation --faults 60 --seed 1 --reached reached.json``.
The faults (:mod:`tests.benchmarks.planted.faults`) are drawn evenly over the rooms by the seed; ``--all`` takes every
one. ``--reached`` names a file that says which test runs which line (:mod:`tests.benchmarks.planted.reach`); it is
made first where there is none, which runs the tests once; said again, recordings of parts of the suite are put
together.

Nothing on disk is changed. All is imported and collected once; for each fault a child of this process puts the
changed functions in place of the old ones, or, where the fault stands outside any function, runs the changed module
over the old one, and then runs the tests that reach the line, the quickest first, until one fails. Without a limit all
of them are run; ``--budget`` stops at so many seconds of their usual time. A test takes *too slow* where it needs
more than 120 s and 20 times its usual time: listed by itself, never counted as caught.

Printed: a line a fault as it is decided, then those that were not caught, with file, line, old → new. *Fails always*:
the test that failed fails without the fault, too. *Unreached*: no test runs the line. Exit code 1 unless all were
caught.
"""

import argparse
import ast
import gc
import json
import os
import select
import signal
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from time import monotonic
from types import CodeType, FunctionType

import numpy as np
import pytest

from tests.benchmarks.planted.faults import Fault, faults_in, types_in
from tests.benchmarks.planted.reach import PROJECT, Reached, Recording
from tests.harbour_shop import _template

ROOMS = ("orders", "stock", "despatch", "bench", "counting", "walks")
TESTED = ("chronicle", "cli", "demo_catalog", "files", "papers", "shop", "stations", "store", "stories",
          "test_documents.py", *ROOMS)  # fmt: skip
LEFT_OUT = ("tests/orders/test_pieces_machine.py", "tests/orders/test_real_orders.py", "tests/orders/test_replay.py",
            "tests/stories/test_week.py", "tests/stories/test_demo.py", "tests/stories/test_demo_mistakes.py",
            "tests/stories/test_clerks_demo_day.py")  # fmt: skip
LEAST_S, TIMES = 120, 20
MOST_NAMING = 50
"""Of tests that no recording knows, those whose file names the module are run last, its own room's first: so many."""
SLOW = "too slow"


@cache
def _types() -> dict[str, dict[str, str]]:
    types: dict[str, dict[str, str]] = {}
    for path in sorted((PROJECT / "fulfil").rglob("*.py")):
        types.update(types_in(path.read_text(encoding="utf-8")))
    return types


def every_fault(room: str) -> list[Fault]:
    """All faults that can be planted in a room, by file and place."""
    return [
        fault
        for path in sorted((PROJECT / "fulfil" / room).rglob("*.py"))
        for fault in faults_in(str(path.relative_to(PROJECT)), path.read_text(encoding="utf-8"), _types())
    ]


def draw(faults: int, seed: int, rooms: Sequence[str]) -> list[Fault]:
    """Faults spread evenly over the rooms, drawn by the seed."""
    rng = np.random.default_rng(seed)
    drawn: list[Fault] = []
    for place, room in enumerate(rooms):
        every = every_fault(room)
        share = (faults * (place + 1)) // len(rooms) - (faults * place) // len(rooms)
        drawn += [every[int(i)] for i in sorted(rng.choice(len(every), size=share, replace=False))]
    return drawn


def lines_of(fault: Fault) -> set[int]:
    """The lines of the smallest statement that the fault stands in (its head only, if it holds others)."""
    tree = ast.parse((PROJECT / fault.path).read_text(encoding="utf-8"))
    inside = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.stmt) and node.lineno <= fault.line <= (node.end_lineno or node.lineno)
    ]
    least = min(inside, key=lambda node: (node.end_lineno or 0) - node.lineno)
    body = getattr(least, "body", None)
    last = body[0].lineno - 1 if body else least.end_lineno or least.lineno
    return set(range(least.lineno, max(last, least.lineno) + 1))


def functions_of_rooms() -> dict[str, list[FunctionType]]:
    """Every function that this process holds, by the file that it comes from."""
    found: dict[str, list[FunctionType]] = {}
    for one in gc.get_objects():
        if isinstance(one, FunctionType):
            found.setdefault(str(Path(one.__code__.co_filename).resolve()), []).append(one)
    return found


def plant(fault: Fault, functions: Mapping[str, Sequence[FunctionType]]) -> None:
    """Puts the fault into the modules of this process: new code for old functions, else the whole module again."""
    path = PROJECT / fault.path
    text = path.read_text(encoding="utf-8")
    old, new = compile(text, str(path), "exec"), compile(fault.planted(text), str(path), "exec")
    changed = list(_changed(old, new))
    if changed:
        planted = 0
        for one in functions.get(str(path.resolve()), ()):
            for before, after in changed:
                if one.__code__ == before:
                    one.__code__, planted = after, planted + 1
        assert planted, "no function of this process has the code that is to be changed"
        return
    name = ".".join(path.relative_to(PROJECT).with_suffix("").parts).removesuffix(".__init__")
    module = sys.modules[name]
    was = dict(vars(module))
    exec(new, vars(module))
    for other in list(sys.modules.values()):
        for key, value in list(vars(other).items()) if other is not None else []:
            if key in was and value is was[key] and key in vars(module) and not key.startswith("__"):
                with suppress(AttributeError, TypeError):
                    setattr(other, key, vars(module)[key])


def _changed(old: CodeType, new: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    """The outermost functions whose code differs; none where the module's or a class's own code does."""
    pairs = [
        (one, two)
        for one, two in zip(old.co_consts, new.co_consts, strict=False)
        if isinstance(one, CodeType) and isinstance(two, CodeType)
    ]
    found = []
    for one, two in pairs:
        if one == two:
            continue
        is_class = not one.co_flags & 0x02
        found += list(_changed(one, two)) if is_class else [(one, two)]
    plain = [one for one in old.co_consts if not isinstance(one, CodeType)]
    if found and plain == [one for one in new.co_consts if not isinstance(one, CodeType)]:
        yield from found


@dataclass(frozen=True)
class Decided:
    """What became of a fault, by which test and after how long."""

    fault: Fault
    became: str
    test: str
    tests: int
    seconds: float

    def __str__(self) -> str:
        return f"{self.became:12} {self.seconds:5.1f} s {told(self.fault)}" + (f"  [{self.test}]" if self.test else "")


class Planting:
    """The plug-in of pytest: where the tests would run, decides each fault in a child of this process instead."""

    def __init__(
        self, faults: Sequence[Fault], reached: Reached, workers: int, budget_s: float, kept: Path | None
    ) -> None:
        self.faults, self.reached, self.workers, self.budget_s, self.kept = faults, reached, workers, budget_s, kept
        self.decided: list[Decided] = []
        self.proven: set[str] = set()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """All faults, as many at a time as there are workers."""
        self.session = session
        self.items = {item.nodeid: item for item in session.items}
        self.text_of = {item.path: item.path.read_text(encoding="utf-8") for item in session.items}
        _template()  # made once and without a fault: a fault that only its making reaches is not caught by it
        self.functions = functions_of_rooms()
        gc.collect()
        gc.freeze()
        waiting = list(enumerate(self.faults))[::-1]
        running: dict[int, int] = {}
        while waiting or running:
            while waiting and len(running) < self.workers:
                number, fault = waiting.pop()
                running[self._begin(fault)] = number
            for pipe in select.select(list(running), [], [])[0]:
                with os.fdopen(pipe) as said:
                    words = json.loads(said.read() or '["not run", "", 0, 0.0]')
                os.wait()
                one = Decided(self.faults[running.pop(pipe)], *words)
                if one.became == "caught":
                    self.proven.add(one.test)
                self.decided.append(one)
                print(one, flush=True)
                if self.kept:
                    with self.kept.open("a", encoding="utf-8") as book:
                        book.write(json.dumps([vars(one.fault), *words]) + "\n")
        return True

    def _begin(self, fault: Fault) -> int:
        reads, writes = os.pipe()
        if os.fork():
            os.close(writes)
            return reads
        try:
            os.close(reads)
            begin = monotonic()
            words = self._decide(fault)
            os.write(writes, json.dumps([*words, round(monotonic() - begin, 1)]).encode())
        finally:
            os._exit(0)

    def chosen(self, fault: Fault) -> list[str]:
        """The tests that reach the line; for a line that only an import runs, those that reach the module."""
        names = self.reached.tests(fault.path, lines_of(fault)) or (
            self.reached.tests(fault.path) if _at_import(fault) else []
        )
        taken, spent = [], 0.0
        for name in names:
            spent += self.reached.seconds[name]
            if name in self.items and (not taken or not self.budget_s or spent <= self.budget_s):
                taken.append(name)
        module = f"{fault.path.removesuffix('.py').replace('/', '.')} import"
        naming = [
            name
            for name, item in self.items.items()
            if name not in self.reached.seconds and module in self.text_of[item.path]
        ]
        own = f"tests/{Path(fault.path).parts[1]}/"
        return taken + sorted(naming, key=lambda name: not name.startswith(own))[:MOST_NAMING]

    def _decide(self, fault: Fault) -> tuple[str, str, int]:
        tests = self.chosen(fault)
        if not tests:
            return "unreached", "", 0
        became, test = self._run(tests, fault)
        if became == "caught" and test not in self.proven and self._run([test], None)[0] != "survived":
            became = "fails always"
        return became, test, len(tests)

    def _run(self, tests: Sequence[str], fault: Fault | None) -> tuple[str, str]:
        """Runs the tests in a child until one fails; its name is that of the last that began."""
        reads, writes = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reads)
            code = 3
            try:
                os.setsid()
                nowhere = os.open(os.devnull, os.O_RDWR)
                for stream in (0, 1, 2):
                    os.dup2(nowhere, stream)
                code = self._tests(tests, fault, writes)
            finally:
                os._exit(code)
        os.close(writes)
        test, end = "", monotonic() + LEAST_S
        while ready := select.select([reads], [], [], max(0.0, end - monotonic()))[0]:
            said = os.read(reads, 1 << 16).decode()
            if not said:
                break
            test = tests[int(said.split()[-1])]
            end = monotonic() + LEAST_S + TIMES * self.reached.seconds.get(test, 0.0)
        os.close(reads)
        if not ready:
            with suppress(ProcessLookupError):
                os.killpg(child, signal.SIGKILL)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        with suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)
        if not ready:
            return SLOW, test
        return {0: ("survived", ""), 1: ("caught", test)}.get(status, ("not run", test))

    def _tests(self, tests: Sequence[str], fault: Fault | None, pipe: int) -> int:
        try:
            if fault:
                plant(fault, self.functions)
        except AssertionError:
            return 3
        except Exception:  # the module itself fails: every test would
            os.write(pipe, b"0 ")
            return 1
        items = [self.items[name] for name in tests]
        for number, item in enumerate(items):
            os.write(pipe, f"{number} ".encode())
            following = items[number + 1] if number + 1 < len(items) else None
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            if self.session.testsfailed:
                return 1
        return 0


def _at_import(fault: Fault) -> bool:
    """Whether the fault stands outside any function's body (arguments' defaults and tables do)."""
    tree = ast.parse((PROJECT / fault.path).read_text(encoding="utf-8"))
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    return not any(node.body[0].lineno <= fault.line <= (node.end_lineno or 0) for node in functions)


def told(fault: Fault) -> str:
    """File, line, old → new, on one line."""
    return f"{fault.path}:{fault.line}  {' '.join(fault.old.split())} → {' '.join(fault.new.split())}"


def collected(rooms: Sequence[str], given: Sequence[str]) -> list[str]:
    """The words for pytest: the tests' folders and the doctests of the rooms."""
    folders = [*given] or [*(f"tests/{name}" for name in TESTED), *(f"fulfil/{room}" for room in rooms)]
    return ["-q", "-p", "no:cacheprovider", "--tb=no", *(f"--ignore={path}" for path in LEFT_OUT), *folders]


def main(words: Sequence[str] | None = None) -> int:
    """Draws the faults, decides each, prints what was not caught."""
    says = argparse.ArgumentParser(prog="mutation", description=(__doc__ or "").partition("\n")[0])
    says.add_argument("--faults", type=int, default=60)
    says.add_argument("--seed", type=int, default=1)
    says.add_argument("--all", action="store_true", help="every fault of the rooms")
    says.add_argument("--room", action="append", choices=ROOMS, help="only this room; may be said again")
    says.add_argument("--file", action="append", help="only faults of a file whose path holds this")
    says.add_argument("--budget", type=float, default=0, help="seconds of tests a fault; 0: all that reach it")
    says.add_argument("--workers", type=int, default=1)
    says.add_argument(
        "--reached", type=Path, required=True, action="append", help="which test runs which line; made if missing"
    )
    says.add_argument("--kept", type=Path, help="a file that gets a line of JSON for each fault")
    says.add_argument("tests", nargs="*", help="other tests than all")
    asked = says.parse_args(words)
    signal.signal(signal.SIGINT, signal.default_int_handler)  # what a shell starts in the background ignores it
    rooms = asked.room or list(ROOMS)
    given = collected(ROOMS, asked.tests)
    for path in asked.reached:
        if not path.exists():
            if not os.fork():
                pytest.main(given, plugins=[Recording(path.absolute(), ROOMS)])
                os._exit(0)
            os.wait()
    faults = (
        [fault for room in rooms for fault in every_fault(room)] if asked.all else draw(asked.faults, asked.seed, rooms)
    )
    faults = [fault for fault in faults if not asked.file or any(name in fault.path for name in asked.file)]
    planting = Planting(faults, Reached.read(*asked.reached), asked.workers, asked.budget, asked.kept)
    pytest.main([*given, "-s"], plugins=[planting])
    missed = [one for one in planting.decided if one.became != "caught"]
    drawn = "all of them" if asked.all else f"seed {asked.seed}"
    print(f"\n{len(planting.decided)} faults, {drawn}: {len(planting.decided) - len(missed)} caught; not these:")
    for one in missed:
        print(one)
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
