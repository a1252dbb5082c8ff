"""What all pages of one shop share: the shop, its clock, who is believed for how long, the benches that are open.

A bench is opened when its station is first seen, and goes on from what it had in hand; two tablets of one station take
turns.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock
from typing import Generic, TypeVar

from fulfil.bench.check_station import CheckBench
from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.bench.pack_station import PackBench
from fulfil.checking.saying import Say
from fulfil.records.bench import BenchPlace, Station, StationKind
from fulfil.stations.news import News
from fulfil.stations.tries import Tries
from fulfil.stations.wall_slow import SlowLook
from fulfil.store.shop import Shop

BenchT = TypeVar("BenchT", CheckBench, PackBench)


@dataclass
class AtWork(Generic[BenchT]):
    """An open bench with what it said last; ``lock`` is held while a line of it is worked on.

    ``moves`` counts what was done at it, so that another tablet, or the page beside a scale, knows that it is old.
    ``place`` is what the books say it has in hand; where another server of the shop has changed it, it is opened anew.
    """

    bench: BenchT
    say: Say
    moves: int = 0
    place: BenchPlace | None = None
    lock: Lock = field(default_factory=Lock)


AnyWork = AtWork[CheckBench] | AtWork[PackBench]


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
        closes_alone: whether whoever closes a manifest or the day proves it by their own PIN, not a second person.
        report: is told of a fault of the program, and gives the sentence to show.
        print_slips: prints recount slips by their numbers, for a station, and says what it printed.
        print_order: prints the papers of a packed order, for a person at a station, and says what it printed.
        print_manifest: prints a closed manifest, for a station, and says what it printed.
        rehearsal: of a rehearsal, each station's pairing code and who works there with badge and PIN; a browser that
            calls the server by the station's name, as in ``check-1.localhost``, is that station at once.
        second: of a rehearsal, name and PIN of the second person who agrees to a closing.
    """

    shop: Shop
    clock: Callable[[], datetime]
    fresh: Callable[[], str]
    key: bytes
    hosts: frozenset[str]
    idle: timedelta = timedelta(minutes=15)
    is_secure: bool = False
    is_simulated: bool = False
    closes_alone: bool = False
    report: Callable[[Exception], str] = lambda _: "A fault of the program."
    print_slips: Callable[[list[str], str], list[str]] = lambda _numbers, _station: []
    print_order: Callable[[str, str, str], list[str]] = lambda _order, _person, _station: []
    print_manifest: Callable[[str, str], list[str]] = lambda _number, _station: []
    rehearsal: Mapping[str, tuple[str, str, str]] = field(default_factory=dict)
    second: tuple[str, str] = ("", "")
    tries: Tries = field(default_factory=Tries)
    news: News = field(init=False)
    slow: SlowLook = field(default_factory=SlowLook)
    _facts: FactsOfCheck = field(default_factory=lambda: FactsOfCheck(KeptIndex()))
    _check: dict[str, AtWork[CheckBench]] = field(default_factory=dict)
    _pack: dict[str, AtWork[PackBench]] = field(default_factory=dict)
    _opening: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        """Nothing is heard before a page asks."""
        self.news = News(self.shop)

    def check_bench(self, name: str) -> AtWork[CheckBench]:
        """The check bench of a station."""
        with self._opening:
            if name not in self._check:
                bench = CheckBench(self.shop, name, facts=self._facts, is_simulated=self.is_simulated)
                self._check[name] = AtWork(bench, bench.open(), place=self._place(name))
            return self._check[name]

    def pack_bench(self, name: str) -> AtWork[PackBench]:
        """The packing bench of a station."""
        with self._opening:
            if name not in self._pack:
                bench = PackBench(self.shop, name, is_simulated=self.is_simulated)
                self._pack[name] = AtWork(bench, bench.open(), place=self._place(name))
            return self._pack[name]

    def bench_of(self, station: Station) -> "AnyWork | None":
        """The bench of a station that is one."""
        if station.kind is StationKind.CHECK:
            return self.check_bench(station.name)
        return self.pack_bench(station.name) if station.kind is StationKind.PACK else None

    def catch_up(self, at_work: "AnyWork") -> None:
        """Opens a bench anew where another server of the shop has worked at it; the caller holds its lock."""
        place = self._place(at_work.bench.bench)
        if place != at_work.place:
            at_work.bench.shop = self.shop
            at_work.say, at_work.place = at_work.bench.open(), place
            at_work.moves += 1

    def moved(self, at_work: "AnyWork") -> None:
        """Notes that something was done at a bench, and what it wrote; the caller holds its lock.

        It isn't read again: what another server wrote since is for :meth:`catch_up` to find.
        """
        at_work.moves += 1
        if at_work.bench.kept is not None:
            at_work.place, at_work.bench.kept = at_work.bench.kept, None

    def _place(self, name: str) -> BenchPlace | None:
        with self.shop.reading() as books:
            return books.get(BenchPlace, name)
