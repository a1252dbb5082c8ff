"""What every rule of the state machine stands on: the shop, the model beside it, and what must hold after each step."""

import shutil
from collections import Counter, defaultdict
from collections.abc import Callable, Collection
from datetime import date, datetime, timedelta
from pathlib import Path
from tempfile import mkdtemp
from typing import Any, TypeVar
from unittest.mock import patch

from hypothesis import note
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant

from fulfil.errors import Refusal
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import Package
from fulfil.records.order import Order, OrderLine
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from tests.harbour_shop import DAY, NOW, open_harbour
from tests.orders.advice import Adviser
from tests.orders.pieces_model import UNPLANNED, Model, ModelBag, must_agree
from tests.piece_places import LineKey, Owed, Place, owed, stock

T = TypeVar("T")
PARTS = ("CAM-7", "BELL-3", "REED-A", "LACQ-10", "SPRING-2", "KIT-D")
"""Made in two bins, made and counted by hand, bought in two bins, restricted in transport, in a kit, the kit."""
BINS = ("WAKA-1", "MUA-4", "WAKA-2", "WAKA-4", "TAI-2", "WAKA-3", "MUA-1", "MOANA-1", "MOANA-4", "MOANA-2")


class PiecesDays(RuleBasedStateMachine):
    """Base of the rules: people work in the harbour shop in any order, and the model knows where every piece is."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(mkdtemp(prefix="pieces-"))
        self.shop = open_harbour(self.folder)
        self.model = Model()
        self.day: date = DAY
        self.now: datetime = NOW
        self.keyed = 0
        self.took_steps = 0
        self.is_settled = True
        self.complete: set[str] = set()
        self.service: dict[str, str] = {}
        self.reviewed: set[str] = set()
        self.was_pulled: set[str] = set()
        self.shipped_packages: list[str] = []
        self.adviser = Adviser(self.folder)
        for part, places in stock(self.shop).items():
            for place, pieces in places.items():
                self.model.carry(part, pieces, None, place)

    def teardown(self) -> None:
        """Closes the shop and takes its file away."""
        self.shop.close()
        shutil.rmtree(self.folder)

    # Doing steps

    def who(self, person: str = "ngaio") -> dict[str, Any]:
        """The next minute, and who does it."""
        self.now += timedelta(minutes=1)
        return {"at": self.now, "person": person}

    def attempt(
        self,
        step: Callable[..., T],
        *given: object,
        must: str = "",
        why: str = "",
        person: str = "ngaio",
        **more: object,
    ) -> T | None:
        """A step as it is taken; None where it was refused. ``must`` is "pass" or "refuse", where that is known.

        A refused step leaves both books as they were: the comparison after every step sees to that.
        """
        self.is_settled = False
        done, refused = None, ""
        try:
            done = step(self.shop, *given, **more, **self.who(person))
        except Refusal as refusal:
            refused = str(refusal)
        if refused:
            note(f"refused: {refused}")
            assert must != "pass", f"{why}: {refused}"
            self.adviser.follow(self, refused)
            return None
        assert must != "refuse", f"must be refused: {why}"
        if "is_preview" in more:
            return done
        self.took_steps += 1
        for tell in getattr(done, "tells", ()):
            self.adviser.follow(self, tell)
        for finding in getattr(done, "findings", ()):
            self.adviser.follow(self, str(finding))
        return done

    def draw(self, data: st.DataObject, choices: Collection[T]) -> T:
        """One of them, in the order of their names so that the same draw is the same choice."""
        return data.draw(st.sampled_from(sorted(choices)))

    def an_order(self, data: st.DataObject) -> str:
        """Mostly an order of which something is owed."""
        open_ = self.model.open_numbers()
        is_open = bool(open_) and data.draw(st.integers(0, 5)) > 0
        return self.draw(data, open_ if is_open else self.model.numbers())

    def find(self, kind: type[T], **equals: object) -> list[T]:
        """Records of the shop."""
        with self.shop.reading() as books:
            return books.find(kind, **equals)

    def seen(self) -> Owed:
        """The shop's own book of what is owed."""
        return owed(self.shop)

    def package_of(self) -> dict[str, str]:
        """In which package each bag lies."""
        return {bag.code: bag.package_number for bag in self.find(Bag) if bag.package_number}

    def grown(self, part: str, kind: str) -> Place:
        """The place of a kind where the shop has more pieces of a part than the model: its choice of reference."""
        now, mine = stock(self.shop)[part], self.model.stock[part]
        return next((place for place in now if place[0] == kind and now[place] > mine[place]), (kind, ""))

    def sealed(self, number: str) -> list[str]:
        """The sealed packages of an order that are still here."""
        return self.model.refs(number, "sealed")

    def replan(self, numbers: Collection[str], before: Owed | None = None) -> None:
        """Planning moved pieces of these orders among the places that it may decide; the choice must be a good one."""
        seen = self.seen()
        keys = [key for number in numbers for key in self.model.keys(number)]
        self.model.choose(seen, keys, lambda place: place[0] in UNPLANNED)

    def bags_on_paper(self) -> dict[str, ModelBag]:
        """The bags of released walks, as the shop has them."""
        released = {walk.number for walk in self.find(WalkRecord) if walk.released_at is not None}
        return {
            bag.code: ModelBag(
                (bag.order_number, bag.line_no, bag.part_number), bag.bin_code, bag.pieces, bag.walk_number
            )
            for bag in self.find(Bag)
            if bag.walk_number in released
        }

    def waits_by_plan(self) -> None:
        """Which orders the plan holds until they are complete: only ones whose customer wants that."""
        for order in self.find(Order):
            before = self.model.held.get(order.number)
            if order.held_reason == "waits to be complete" and order.state.value == "held":
                assert order.number in self.complete
                self.model.held[order.number] = order.held_reason
            elif before == "waits to be complete":
                del self.model.held[order.number]

    # What must hold after every step

    @invariant()
    def both_books_are_the_models(self) -> None:
        """Every piece is where the model has it, and the model adds up."""
        self.model.check_itself()
        must_agree("what is owed", self.model.owed, owed(self.shop))
        must_agree("what is there", self.model.stock, stock(self.shop))

    @invariant()
    def every_figure_follows_from_the_pieces(self) -> None:
        """States of orders, figures of lines, levels, bags: each is what the places say."""
        with self.shop.reading() as books:
            orders, lines, bags = books.find(Order), books.find(OrderLine), books.find(Bag)
            walks, packages, bins = books.find(WalkRecord), books.find(Package), books.find(Bin)
        for order in orders:
            if order.number in self.model.gone_over:
                assert order.state.value == "cancelled"
            else:
                assert order.state.value == self.model.state(order.number), order.number
        for line in lines:
            keys = [key for key in self.model.keys(line.order_number) if key[1] == line.line_no]
            per = {key: self.model.ordered[key] // line.pieces for key in keys}
            assert all(per[key] * line.pieces == self.model.ordered[key] for key in keys), line
            cancelled = min(self.model.owed[key]["cancelled", ""] // per[key] for key in keys)
            short = max(-(-self.model.owed[key]["short", ""] // per[key]) for key in keys)
            assert (line.cancelled_pieces, line.short_pieces) == (cancelled, short), line
        for place in bins:
            assert place.pieces == self.model.level(place.code)
        released = {walk.number for walk in walks if walk.released_at is not None}
        planned: Counter[tuple[LineKey, Place]] = Counter()
        for bag in bags:
            key = (bag.order_number, bag.line_no, bag.part_number)
            if bag.walk_number in released:
                mine = self.model.bags[bag.code]
                assert (mine.key, mine.bin_code, mine.pieces) == (key, bag.bin_code, bag.pieces)
            else:
                planned[key, ("promised", bag.bin_code)] += bag.pieces
        on_paper = {bag.code for bag in bags if bag.walk_number in released}
        assert on_paper == self.model.bags.keys()
        promised: Counter[tuple[LineKey, Place]] = Counter()
        for key, places in self.model.owed.items():
            promised.update({(key, place): n for place, n in places.items() if place[0] == "promised" and n})
        assert planned == promised
        inside: dict[str, int] = defaultdict(int)
        for bag in bags:
            inside[bag.package_number] += bag.pieces
        for package in packages:
            kinds = ("in a package", "sealed", "shipped")
            packed = sum(
                n
                for p in self.model.owed.values()
                for (kind, ref), n in p.items()
                if ref == package.number and kind in kinds
            )
            assert inside[package.number] == packed, package.number

    @invariant()
    def the_shop_finds_nothing_off(self) -> None:
        """``fulfil shop verify`` is silent."""
        off = verify_shop(self.shop)
        assert not off, "\n".join(map(str, off))
        self.is_settled = True


def without_paper() -> Any:
    """Walks are released as ever, only nothing is printed."""
    return patch("fulfil.walks.releasing.print_sheets", lambda *_, **__: [])
