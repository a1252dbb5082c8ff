"""Who stands at a bench of a simulated shop and types or scans line by line: checkers and a packer."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.records.bench import BenchKind
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, BagState
from tests.benchmarks.faults.people import HAND_G, Person, on_paper


class AtBench(Person):
    """Types and scans line by line at a bench, which has its own memory; a bench that was killed opens again."""

    CARDS = ("ok", "undo", "show", "skip", "let go", "hand", "no another finish", "damaged", "help", "POS-2", "@rangi")
    kind = BenchKind.CHECK

    def start(self, *, is_first: bool = False) -> None:
        """The bench is opened, and says what it has in hand."""
        super().start(is_first=is_first)
        bench = f"{self.kind.value}-{self.name}"
        self.bench: Any = (
            CheckBench(self.shop, bench, person=self.name)
            if self.kind is BenchKind.CHECK
            else PackBench(self.shop, bench, person=self.name)
        )
        self.bench.open()

    def is_kept(self, act: Callable[[datetime], object]) -> bool:
        """Who comes back to a bench reads what it has in hand and goes on from there."""
        return False

    def act(self) -> Callable[[datetime], object]:
        """One line."""
        line = self.line()

        def do(at: datetime) -> None:
            said = self.bench.enter(line, at=at)
            self.tell("said", said.big)

        return do

    def line(self) -> str:
        """What a checker types next."""
        chance = self.world.random
        if chance.random() < 0.12:
            return chance.choice(self.CARDS)
        if self.kind is BenchKind.CHECK:
            return self._check_line()
        return self._pack_line()

    def _check_line(self) -> str:
        chance, bag = self.world.random, self.bench.state.bag
        if bag is None:
            waiting = [BagState.PLANNED, BagState.RECOUNT, BagState.LOOK]
            found = self.some(Bag, walk_number=on_paper(self), state=waiting) or self.some(Bag)
            return "ok" if found is None else str(found.code)
        if bag.is_weighed and chance.random() < 0.8:
            mass_g = bag.target_g if chance.random() < 0.8 else bag.target_g - Decimal("0.90")
            return f"{mass_g:.2f} g"
        return chance.choice([f"#{bag.pieces}", f"#{bag.pieces}", f"#{bag.pieces + 1}", f"{HAND_G} g", "ok", "hand"])

    def _pack_line(self) -> str:
        chance, package = self.world.random, self.bench.state.package
        if package is None:
            order = self.some(Order, state=[OrderState.CHECKED, OrderState.PACKED]) or self.some(Order)
            return "help" if order is None else str(order.number)
        missing = package.missing
        if missing and chance.random() < 0.9:
            return str(chance.choice(missing))
        return f"{package.expected_g + chance.choice([0, 0, 0, 40])} g"


class AtPacking(AtBench):
    """The packing bench."""

    kind = BenchKind.PACK
