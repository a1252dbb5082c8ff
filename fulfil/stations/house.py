"""What all pages of one shop share: the shop, its clock, who is believed for how long, the benches that are open.

A bench is opened when its station is first seen, and goes on from what it had in hand; two tablets of one station take
turns.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock
from typing import Generic, TypeVar

from fulfil.bench.check_station import CheckBench
from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.bench.pack_station import PackBench
from fulfil.checking.saying import Say
from fulfil.stations.tries import Tries
from fulfil.store.shop import Shop

BenchT = TypeVar("BenchT", CheckBench, PackBench)


@dataclass
class AtWork(Generic[BenchT]):
    """An open bench with what it said last; ``lock`` is held while a line of it is worked on."""

    bench: BenchT
    say: Say
    lock: Lock = field(default_factory=Lock)


@dataclass
class House:
    """One shop's pages.

    Attributes:
        shop: the shop.
        clock: gives the time, with its offset from UTC.
        fresh: gives a new random text that nobody guesses.
        key: what the tickets are signed with.
        hosts: names by which browsers may call this server, without the port.
        idle: how long somebody who does nothing stays signed in.
        is_secure: whether the pages come over TLS; then cookies are for TLS only.
        is_simulated: marks weighings as simulated, for rehearsals.
        report: is told of a fault of the program, and gives the sentence to show.
        print_slips: prints recount slips by their numbers and says what it printed.
        print_order: prints the papers of a packed order and says what it printed.
        print_manifest: prints a closed manifest and says what it printed.
    """

    shop: Shop
    clock: Callable[[], datetime]
    fresh: Callable[[], str]
    key: bytes
    hosts: frozenset[str]
    idle: timedelta = timedelta(minutes=15)
    is_secure: bool = False
    is_simulated: bool = False
    report: Callable[[Exception], str] = lambda _: "A fault of the program."
    print_slips: Callable[[list[str]], list[str]] = lambda _: []
    print_order: Callable[[str, str], list[str]] = lambda _order, _person: []
    print_manifest: Callable[[str], list[str]] = lambda _: []
    tries: Tries = field(default_factory=Tries)
    _facts: FactsOfCheck = field(default_factory=lambda: FactsOfCheck(KeptIndex()))
    _check: dict[str, AtWork[CheckBench]] = field(default_factory=dict)
    _pack: dict[str, AtWork[PackBench]] = field(default_factory=dict)
    _opening: Lock = field(default_factory=Lock)

    def check_bench(self, name: str) -> AtWork[CheckBench]:
        """The check bench of a station."""
        with self._opening:
            if name not in self._check:
                bench = CheckBench(self.shop, name, facts=self._facts, is_simulated=self.is_simulated)
                self._check[name] = AtWork(bench, bench.open())
            return self._check[name]

    def pack_bench(self, name: str) -> AtWork[PackBench]:
        """The packing bench of a station."""
        with self._opening:
            if name not in self._pack:
                bench = PackBench(self.shop, name, is_simulated=self.is_simulated)
                self._pack[name] = AtWork(bench, bench.open())
            return self._pack[name]
