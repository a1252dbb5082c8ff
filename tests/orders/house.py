"""The whole house: all rules together, and an end to every sequence.

Whatever happened, it must be possible to bring every order to its end: held ones go on, what is missing comes, all is
planned, checked, packed and handed over. A piece that no step can move any more shows here.
"""

from fulfil.despatch.report import line_balances
from fulfil.orders.holding import resume_order
from fulfil.records.plan import WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.stock.levels import receive
from tests.orders.bench_rules import BenchRules
from tests.orders.desk_rules import DeskRules
from tests.orders.pieces_days import BINS
from tests.orders.room_rules import RoomRules

ROUNDS = 3
"""So many mornings bring everything out: what is planned, what comes late, what was opened again."""


class House(DeskRules, RoomRules, BenchRules):
    """Desk, room and benches."""

    def teardown(self) -> None:
        """Every order comes to its end, and the house is empty; not after a step that went wrong."""
        try:
            if self.took_steps and self.is_settled:
                self.end_all_orders()
        finally:
            super().teardown()

    def end_all_orders(self) -> None:
        """Lets all go on, fills all bins, and sends what is owed."""
        self.the_next_day()
        for number in sorted(self.model.held):
            resume_order(self.shop, number, **self.who())
            self.model.move_all(number, ("held",), ("waiting", ""))
        self.model.held.clear()
        for bag in self.find(PulledBag):
            if bag.bag_code in self.model.pulled:
                self._put_back(bag.bag_code, bag.pieces)
        for code in BINS:
            done = receive(self.shop, code, 400, "the last note", **self.who())
            self.model.carry(done.part_number, 400, None, ("bin", code))
        for _ in range(ROUNDS):
            if self.model.open_numbers():
                self._send_all()
        self.check_all()
        assert self.model.open_numbers() == []
        self._the_day_balances()

    def _the_day_balances(self) -> None:
        """The report places every piece: what was ordered is shipped or cancelled, as the model has it."""
        with self.shop.reading() as books:
            balances = line_balances(books, self.model.numbers())
        for line in balances:
            keys = [key for key in self.model.keys(line.order_number) if key[1] == line.line_no]
            assert (line.in_hand, line.short, line.held) == (0, 0, 0), line
            if len(keys) == 1:
                places = self.model.owed[keys[0]]
                assert line.shipped == sum(n for place, n in places.items() if place[0] == "shipped"), line
                assert line.cancelled == places["cancelled", ""], line

    def _send_all(self) -> None:
        self._plan()
        if self.find(WalkRecord, released_at=None):
            self._release(())
        for code in sorted(self._in_bags()):
            self._pass(code)
        for number in self._orders_with("passed", "in a package"):
            if set(self.model.at(number)) & {"passed"} and not set(self.model.at(number)) & {"in a package", "sealed"}:
                self._box(number)
            self._seal(number)
        for service in ("ROAD", "AIR"):
            self._close(service)

    def check_all(self) -> None:
        """Everything that is checked after a step."""
        self.both_books_are_the_models()
        self.every_figure_follows_from_the_pieces()
        self.the_shop_finds_nothing_off()
