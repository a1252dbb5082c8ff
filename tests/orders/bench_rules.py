"""Rules of the benches and after: bags are checked, boxed, weighed, sealed, handed over; some of it comes back."""

from collections import Counter
from datetime import datetime, time, timedelta
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from fulfil.bench.check import Seen, check_bag, undo_check
from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.advice import of_json
from fulfil.despatch.claims import add_claim, take_back
from fulfil.despatch.pack import plan_packages, reopen_package, weigh_package
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.packages_back import package_returned
from fulfil.despatch.ship import close_manifest, void_package
from fulfil.orders.replacing import replace_claim
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.order import Order, OrderLine
from fulfil.records.plan import Bag, BagState
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.store.shop import Shop
from tests.harbour_shop import ZONE, right
from tests.orders.pieces_days import PiecesDays
from tests.orders.pieces_model import AT_BENCH, ENDED
from tests.piece_places import stock


class BenchRules(PiecesDays):
    """Checkers, packers, and who answers the telephone afterwards."""

    def _in_bags(self) -> list[str]:
        return [code for code, bag in self.model.bags.items() if self.model.owed[bag.key]["in a bag", code]]

    def _passed(self) -> list[str]:
        return [code for code, bag in self.model.bags.items() if self.model.owed[bag.key]["passed", code]]

    def _orders_with(self, *kinds: str) -> list[str]:
        return [number for number in self.model.numbers() if set(self.model.at(number)) & {*kinds}]

    @precondition(lambda self: self.model.bags)
    @rule(data=st.data(), finds=st.sampled_from(["right", "right", "fewer", "another part"]))
    def check_a_bag(self, data: st.DataObject, finds: str) -> None:
        """One bag is checked; what is wrong goes back, and the third time its order is held."""
        code = self.draw(data, self.model.bags)
        (bag,) = self.find(Bag, code=code)
        seen = {"right": right(bag), "fewer": Seen(counted=bag.pieces - 1), "another part": Seen(looks_wrong="a nut")}
        self._check(bag, seen[finds], passes=finds == "right")

    def _check(self, bag: Bag, seen: Seen, *, passes: bool = True) -> None:
        mine = self.model.bags[bag.code]
        waits = bool(self.model.owed[mine.key]["in a bag", bag.code])
        must = "refuse" if bag.order_number in self.model.held or not waits else "pass"
        done = self.attempt(check_bag, bag.code, seen, person="piripi", must=must, why=bag.code)
        if done is None:
            return
        assert (done.verdict.verdict.value == "passed") == passes
        if passes:
            lacked = max(0, mine.pieces - self.model.level(mine.bin_code))
            self.model.carry(mine.key[2], lacked, None, ("bin", mine.bin_code))
            self.model.carry(mine.key[2], mine.pieces, ("bin", mine.bin_code), ("bag", bag.code))
            self.model.move(mine.key, mine.pieces, ("in a bag", bag.code), ("passed", bag.code))
        elif done.order_is_held:
            (order,) = self.find(Order, number=bag.order_number)
            self.model.hold(bag.order_number, order.held_reason)

    @precondition(lambda self: self._in_bags())
    @rule(data=st.data())
    def all_bags_pass(self, data: st.DataObject) -> None:
        """Every bag of an order is right."""
        number = self.draw(data, {self.model.bags[code].key[0] for code in self._in_bags()})
        for code in sorted(code for code in self._in_bags() if self.model.bags[code].key[0] == number):
            self._pass(code)

    def _pass(self, code: str) -> None:
        (bag,) = self.find(Bag, code=code)
        self._check(bag, right(bag))

    @precondition(lambda self: self.model.bags)
    @rule(data=st.data())
    def undo(self, data: st.DataObject) -> None:
        """A verdict is taken back: the pieces are in their bin again."""
        code = self.draw(data, self.model.bags)
        bag = self.model.bags[code]
        (record,) = self.find(Bag, code=code)

        def step(shop: Shop, code: str, **who: Any) -> Bag:
            with shop.writing() as books:
                return undo_check(books, code, **who)

        has_verdict = record.state in (BagState.PASSED, BagState.RECOUNT, BagState.LOOK)
        must = "pass" if has_verdict and bag.key[0] not in self.model.held else "refuse"
        if self.attempt(step, code, must=must, why=f"{code} {record.state}") is None:
            return
        if record.state is BagState.PASSED:
            self.model.carry(bag.key[2], bag.pieces, ("bag", code), ("bin", bag.bin_code))
            self.model.move(bag.key, bag.pieces, ("passed", code), ("in a bag", code))

    @precondition(lambda self: self._orders_with("passed", "in a package"))
    @rule(data=st.data())
    def box(self, data: st.DataObject) -> None:
        """The boxes of an order are chosen, once all that it has on paper has passed."""
        self._box(self.draw(data, self._orders_with("passed", "in a package", "in a bag")))

    def _box(self, number: str) -> None:
        at = set(self.model.at(number))
        has_packages = bool(at & {"in a package", "sealed"})
        is_ready = at & {*AT_BENCH} == {"passed"} and not at & {"waiting", "promised", "held"}
        is_ready = is_ready and number not in self.model.held and not (number in self.complete and "short" in at)
        must = "pass" if is_ready else "" if has_packages else "refuse"
        before = {one.number for one in self.find(Package)}
        done = self.attempt(plan_packages, number, person="huia", must=must, why=f"box {number}: {at}")
        if done is None:
            return
        new = {package.number for package in done.packages} - before
        for code, package in sorted(self.package_of().items()):
            if package in new:
                bag = self.model.bags[code]
                self.model.move(bag.key, bag.pieces, ("passed", code), ("in a package", package))
                self.model.carry(bag.key[2], bag.pieces, ("bag", code), ("package", package))
        self._is_listed(number)

    def _is_listed(self, number: str) -> None:
        """The packing list says of every line what is inside, sent before, to follow and cancelled, to the piece."""
        with self.shop.reading() as books:
            sheet = packing_list_sheet(books, books.need(Order, number), day=self.day)
        for row in sheet.lines:
            assert row.ordered == row.inside + row.to_follow + row.sent_before + row.cancelled, row
            keys = [key for key in self.model.keys(number) if key[1] == row.line_no]
            if len(keys) == 1:
                at: Counter[str] = Counter()
                for (kind, _), n in self.model.owed[keys[0]].items():
                    at[kind] += n
                inside = at["in a package"] + at["sealed"]
                told = (inside, at["shipped"], at["cancelled"])
                assert (row.inside, row.sent_before, row.cancelled) == told, row

    @precondition(lambda self: self._orders_with("in a package"))
    @rule(data=st.data(), is_right=st.sampled_from([True, True, False]))
    def weigh(self, data: st.DataObject, is_right: bool) -> None:
        """A package is weighed and sealed, or stops."""
        packages = [
            ref for number in self._orders_with("in a package") for ref in self.model.refs(number, "in a package")
        ]
        self._weigh(self.draw(data, packages), is_right)

    def _weigh(self, package: str, is_right: bool = True) -> None:
        (record,) = self.find(Package, number=package)
        gross_g = record.expected_g if is_right else record.upper_g + 50
        must = "refuse" if record.order_number in self.model.held else "pass"
        done = self.attempt(weigh_package, package, gross_g, person="huia", must=must, why=f"weigh {package}")
        if done is None:
            return
        restricted = any(key[2] == "LACQ-10" for key in self.model.in_place(("in a package", package)))
        is_sealed = is_right and (not restricted or package in self.reviewed)
        assert (done.package.state.value == "sealed") == is_sealed, done
        if is_sealed:
            for key, n in self.model.in_place(("in a package", package)).items():
                self.model.move(key, n, ("in a package", package), ("sealed", package))

    @precondition(lambda self: self._orders_with("in a package"))
    @rule(data=st.data())
    def review(self, data: st.DataObject) -> None:
        """A trained person looks at a package with restricted goods; any other has nothing to review."""
        packages = [
            ref for number in self._orders_with("in a package") for ref in self.model.refs(number, "in a package")
        ]
        self._review(self.draw(data, packages))

    def _review(self, package: str) -> None:
        restricted = any(key[2] == "LACQ-10" for key in self.model.in_place(("in a package", package)))
        if (
            self.attempt(
                review_hazards,
                package,
                "limited quantity, label on",
                must="pass" if restricted else "refuse",
                why=package,
            )
            is not None
        ):
            self.reviewed.add(package)

    @precondition(lambda self: self._orders_with("passed", "in a package"))
    @rule(data=st.data())
    def pack_and_seal(self, data: st.DataObject) -> None:
        """An order is boxed, reviewed where it must be, weighed and sealed."""
        number = self.draw(data, self._orders_with("passed", "in a package"))
        self._box(number)
        self._seal(number)

    def _seal(self, number: str) -> None:
        for package in self.model.refs(number, "in a package"):
            if any(key[2] == "LACQ-10" for key in self.model.in_place(("in a package", package))):
                self._review(package)
            self._weigh(package)

    @precondition(lambda self: self._in_bags() or self._orders_with("passed", "in a package", "sealed"))
    @rule(data=st.data(), until=st.sampled_from(["passed", "sealed", "gone", "gone"]))
    def send_an_order(self, data: st.DataObject, until: str) -> None:
        """All that an order has at the bench passes, is packed and leaves, or stands there overnight."""
        number = self.draw(data, self._orders_with("in a bag", "passed", "in a package", "sealed"))
        for code in sorted(code for code in self._in_bags() if self.model.bags[code].key[0] == number):
            self._pass(code)
        if until == "passed":
            return
        self._box(number)
        self._seal(number)
        if until == "gone":
            self._close(self.service[number])

    @precondition(lambda self: self._orders_with("sealed"))
    @rule(data=st.data())
    def reopen(self, data: st.DataObject) -> None:
        """A sealed package is opened again."""
        packages = [ref for number in self._orders_with("sealed") for ref in self.model.refs(number, "sealed")]
        package = self.draw(data, packages)
        if self.attempt(reopen_package, package, "one bag forgotten", must="pass", why=package) is not None:
            for key, n in self.model.in_place(("sealed", package)).items():
                self.model.move(key, n, ("sealed", package), ("in a package", package))

    @precondition(lambda self: self._orders_with("sealed"))
    @rule(service=st.sampled_from(["ROAD", "ROAD", "AIR"]))
    def close_a_manifest(self, service: str) -> None:
        """The van comes: what is sealed for its service and not held leaves."""
        self._close(service)

    def _close(self, service: str) -> None:
        ready = {
            package.number
            for package in self.find(Package, service_code=service)
            if package.number in self.sealed(package.order_number) and package.order_number not in self.model.held
        }
        done = self.attempt(
            close_manifest, service, day=self.day, must="pass" if ready else "refuse", why=f"{service} {ready}"
        )
        if done is None:
            return
        assert {package.number for package in done.packages} == ready
        for package in sorted(ready):
            for key, n in self.model.in_place(("sealed", package)).items():
                self.model.move(key, n, ("sealed", package), ("shipped", package))
            self.model.carry_all(("package", package), ("handed over", package))
        self.shipped_packages += sorted(ready)
        self._is_advised(done.manifest.number, ready)

    def _is_advised(self, manifest: str, packages: set[str]) -> None:
        """Each order on the manifest has its despatch advice: what went now, and what will follow, to the piece."""
        (copy,) = self.find(ManifestCopy, manifest_number=manifest)
        advices = {advice.order_number: advice for advice in of_json(copy.advices)}
        assert advices.keys() == {package.order_number for package in self.find(Package) if package.number in packages}
        for number, advice in advices.items():
            for line in advice.lines:
                keys = [key for key in self.model.keys(number) if key[1] == line.number]
                assert line.ordered_pieces >= line.despatched_pieces + line.outstanding_pieces
                if len(keys) > 1:
                    continue
                places = self.model.owed[keys[0]]
                assert line.despatched_pieces == sum(places["shipped", package] for package in packages), keys[0]
                assert line.outstanding_pieces == sum(n for place, n in places.items() if place[0] not in ENDED), keys[
                    0
                ]

    @precondition(lambda self: self.shipped_packages)
    @rule(data=st.data(), how=st.sampled_from(["void", "comes back", "taken apart"]))
    def a_package_is_here_again(self, data: st.DataObject, how: str) -> None:
        """It missed the van, or the consignee was away: it goes on under another number, or is taken apart."""
        package = self.draw(data, self.shipped_packages)
        if how == "taken apart":
            self._taken_apart(package)
            return
        step = void_package if how == "void" else package_returned
        before = {one.number for one in self.find(Package)}
        if self.attempt(step, package, "nobody at home") is None:
            return
        (new,) = {one.number for one in self.find(Package)} - before
        for key, n in self.model.in_place(("shipped", package)).items():
            self.model.move(key, n, ("shipped", package), ("in a package", new))
        self.model.carry_all(("handed over", package), ("package", new))

    def _taken_apart(self, package: str) -> None:
        package_of = self.package_of()
        if self.attempt(package_returned, package, "refused", take_apart=True) is None:
            return
        for key, n in self.model.in_place(("shipped", package)).items():
            self.model.move(key, n, ("shipped", package), ("cancelled", ""))
        for code in [code for code, one in package_of.items() if one == package]:
            bag = self.model.pulled[code] = self.model.bags.pop(code)
            self.was_pulled.add(code)
            self.model.carry(bag.key[2], bag.pieces, ("handed over", package), ("bag", code))

    @precondition(lambda self: self._orders_with("shipped"))
    @rule(data=st.data(), pieces=st.integers(1, 4), outcome=st.sampled_from(Outcome))
    def pieces_come_back(self, data: st.DataObject, pieces: int, outcome: Outcome) -> None:
        """Some pieces of a line come back: they are there again, or scrapped; what was sent stays sent."""
        number = self.draw(data, self._orders_with("shipped"))
        key = self.draw(data, [key for key in self.model.keys(number) if self._shipped(key)])
        packages = {ref for (kind, ref), n in self.model.owed[key].items() if kind == "shipped" and n}
        left = sum(self.model.stock[key[2]]["handed over", ref] for ref in self._packages_of(number))
        must = "refuse" if pieces > left else "pass"
        done = self.attempt(
            take_back,
            number,
            key[1],
            outcome,
            "too many",
            part_number=key[2],
            counted=pieces,
            must=must,
            why=f"{key}: {left} of {packages} are with the customer",
        )
        if done is None:
            return
        now, mine = stock(self.shop)[key[2]], self.model.stock[key[2]]
        given = {ref: mine["handed over", ref] - now["handed over", ref] for ref in self._packages_of(number)}
        assert sum(given.values()) == pieces
        for ref, n in given.items():
            to = ("bin", done.bin_code) if outcome is Outcome.BOOKED_BACK else self.grown(key[2], "scrapped")
            self.model.carry(key[2], n, ("handed over", ref), to)

    def _shipped(self, key: tuple[str, int, str]) -> int:
        return sum(n for (kind, _), n in self.model.owed[key].items() if kind == "shipped")

    def _packages_of(self, number: str) -> list[str]:
        return [one.number for one in self.find(Package, order_number=number)]

    @precondition(lambda self: self._orders_with("shipped") and self.keyed < 11)
    @rule(data=st.data(), pieces=st.integers(1, 2))
    def a_claim_is_replaced(self, data: st.DataObject, pieces: int) -> None:
        """A customer lacks pieces: a replacement order wants them."""
        number = self.draw(data, self._orders_with("shipped"))
        key = self.draw(data, [key for key in self.model.keys(number) if self._shipped(key)])
        claim = add_claim(self.shop, number, key[1], ClaimCause.SHORT, **self.who(), pieces=pieces, says="too few")
        before = {one.number for one in self.find(Order)}
        if self.attempt(replace_claim, claim.number, pieces) is None:
            return
        self.keyed += 1
        from tests.orders.desk_rules import keys_of

        (new,) = {one.number for one in self.find(Order)} - before
        for line in self.find(OrderLine, order_number=new):
            for one, n in keys_of(new, line.line_no, line.part_number, line.pieces).items():
                self.model.order(one, n)
        self.service[new] = self.service[number]
        self.complete |= {new} if number in self.complete else set()

    @precondition(lambda self: self.model.bags)
    @rule(data=st.data())
    def a_bag_is_missing(self, data: st.DataObject) -> None:
        """A bag is never found: its pieces are wanted anew."""
        code = self.draw(data, self.model.bags)
        bag = self.model.bags[code]
        package_of = self.package_of()
        package = package_of.get(code, "")
        here = [
            place
            for place in (("in a bag", code), ("passed", code), ("in a package", package))
            if self._has(bag.key, place)
        ]
        if self.attempt(bag_missing, code, day=self.day) is None:
            return
        assert here, f"{code} is not at the bench"
        if package:
            self.model.unbox_one(package, package_of)
        self.model.pull(code)
        self.model.missing[code] = self.model.pulled.pop(code)
        self.replan([bag.key[0]])
        self.waits_by_plan()

    def _has(self, key: tuple[str, int, str], place: tuple[str, str]) -> bool:
        return bool(self.model.owed[key][place])

    @precondition(lambda self: self.model.missing)
    @rule(data=st.data(), by=st.sampled_from([0, 0, -1]))
    def a_missing_bag_is_found(self, data: st.DataObject, by: int) -> None:
        """It turns up after all, and goes into its bin as counted."""
        from tests.orders.desk_rules import empty_into

        code = self.draw(data, self.model.missing)
        bag = self.model.missing[code]
        pieces = max(0, bag.pieces + by)
        if self.attempt(bag_found, code, pieces, must="pass", why=code) is None:
            return
        del self.model.missing[code]
        empty_into(self.model, bag.key[2], code, bag.bin_code, pieces)

    @rule()
    def the_next_day(self) -> None:
        """What is open goes on tomorrow."""
        self.day += timedelta(days=1)
        self.now = datetime.combine(self.day, time(8, 30), ZONE)
