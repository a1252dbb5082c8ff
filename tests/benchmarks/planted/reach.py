"""Which test runs which lines of the shop's rooms, and how long each takes: a plug-in of pytest that writes it down.

``python -m tests.benchmarks.mutation --reached reached.json`` makes the file where there is none. A fixture that
several tests share counts for each of them, doctests are tests, and lines that only an import runs belong to no test.

>>> found = Reached({"a.py": {3: [0, 1], 5: [0]}}, {"test_slow": 2.0, "test_quick": 0.1})
>>> found.tests("a.py", {3, 4}), found.tests("a.py", {9})
(['test_quick', 'test_slow'], [])
"""

import json
from collections import Counter
from collections.abc import Collection, Generator, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter
from typing import Any

import coverage
import pytest

PROJECT = Path(__file__).parents[3]
FIXTURE = "fixture "


@dataclass(frozen=True)
class Reached:
    """For each file and line the tests that ran it, as places in ``seconds``, which holds each test's time."""

    lines: dict[str, dict[int, list[int]]]
    seconds: dict[str, float]
    names: list[str] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", list(self.seconds))

    def tests(self, path: str, lines: Collection[int] | None = None) -> list[str]:
        """The tests that ran one of the lines (any line, where none is said).

        First those that run the most lines of the file in a second: they are about it.
        """
        ran = self.lines.get(path, {})
        found = {place for line in (ran if lines is None else lines) for place in ran.get(line, ())}
        many = Counter(place for places in ran.values() for place in places)
        order = sorted(found, key=lambda place: (self.seconds[self.names[place]] / many[place], place))
        return [self.names[place] for place in order]

    @classmethod
    def read(cls, *paths: Path) -> "Reached":
        """What recordings wrote, each of another part of the suite; of a test that several have, what the last says."""
        seconds: dict[str, float] = {}
        recordings = [json.loads(path.read_text(encoding="utf-8")) for path in paths]
        last = {name: number for number, kept in enumerate(recordings) for name in kept["seconds"]}
        for kept in recordings:
            seconds |= kept["seconds"]
        place = {name: number for number, name in enumerate(seconds)}
        lines: dict[str, dict[int, list[int]]] = {}
        for number, kept in enumerate(recordings):
            names = [name if last[name] == number else "" for name in kept["seconds"]]
            for file, ran in kept["lines"].items():
                merged = lines.setdefault(file, {})
                for line, tests in ran.items():
                    merged.setdefault(int(line), []).extend(place[names[test]] for test in tests if names[test])
        return cls(lines, seconds)


class Recording:
    """The plug-in: traces each test and each shared fixture by itself, and writes the file at the end."""

    def __init__(self, path: Path, rooms: Iterable[str]) -> None:
        self.path = path
        folders = [str(PROJECT / "fulfil" / room / "*") for room in rooms]
        self.traced = coverage.Coverage(data_file=None, include=folders, branch=False, config_file=False)
        self.seconds: dict[str, float] = {}
        self.uses: dict[str, set[str]] = {}
        self.failed: set[str] = set()
        self.now = ""

    def pytest_sessionstart(self) -> None:
        """Tracing starts before the first import of a room."""
        self.traced.start()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, Any, Any]:
        """One test: its lines under its own name."""
        self.now = item.nodeid
        self.uses[self.now] = set()
        self.traced.switch_context(self.now)
        begin = perf_counter()
        done = yield
        self.seconds[self.now] = round(perf_counter() - begin, 3)
        return done

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Generator[None, Any, Any]:
        """A fixture that is shared by a file or the whole run: its lines under a name of its own."""
        if fixturedef.scope == "function":
            return (yield)
        self.traced.switch_context(f"{FIXTURE}{fixturedef.baseid}::{fixturedef.argname}")
        done = yield
        self.traced.switch_context(self.now)
        return done

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Generator[None, Any, Any]:
        """Which shared fixtures the test asks for."""
        known = getattr(item, "_fixtureinfo", None)
        for name, defined in (known.name2fixturedefs if known else {}).items():
            self.uses[item.nodeid] |= {f"{FIXTURE}{one.baseid}::{name}" for one in defined if one.scope != "function"}
        return (yield)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """A test that fails without any fault proves nothing: it is not written down."""
        if not report.passed:
            self.failed.add(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        """Writes the file."""
        self.traced.stop()
        names = [name for name in self.seconds if name not in self.failed]
        place = {name: number for number, name in enumerate(names)}
        users: dict[str, list[int]] = {}
        for name in names:
            for one in self.uses[name]:
                users.setdefault(one, []).append(place[name])
        data = self.traced.get_data()
        lines: dict[str, dict[int, list[int]]] = {}
        for file in data.measured_files():
            ran = lines.setdefault(str(Path(file).relative_to(PROJECT)), {})
            for line, contexts in data.contexts_by_lineno(file).items():
                tests = {number for one in contexts for number in users.get(one, [])}
                tests |= {place[one] for one in contexts if one in place}
                ran[line] = sorted(tests)
        kept = {"lines": lines, "seconds": {name: self.seconds[name] for name in names}}
        self.path.write_text(json.dumps(kept), encoding="utf-8")
