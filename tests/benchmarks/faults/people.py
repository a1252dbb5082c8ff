"""Who works in a simulated shop, one step at a time: clerk, planner, two check benches, two packers, the stock room.

A person does what people do: mostly what is next, now and then something else, twice, or with the wrong thing in hand.
Refusals are heard and life goes on; anything else that is raised is a fault of the program.
"""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.once import once
from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.claims import add_claim, take_back
from fulfil.despatch.pack import plan_packages, reopen_package, weigh_package
from fulfil.despatch.packages_back import package_returned
from fulfil.despatch.ship import close_manifest, void_package
from fulfil.errors import Refusal
from fulfil.orders.changing import change_address, change_lines
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order
from fulfil.orders.pulling import put_back
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Supply
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.shop.clock import local_day
from fulfil.stock.jobs import book_in, make_jobs, open_jobs
from fulfil.stock.levels import count_bin, receive
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks
from tests.benchmarks.faults.world import Killed, World
from tests.harbour_shop import order_of

PARTS = ("PIN-08", "REED-A", "CAM-7", "SPRING-2", "FELT-9", "SCREW-3", "LACQ-10", "DISC-21", "KIT-D")
SERVICES = ("ROAD", "ROAD", "ROAD", "POST")
BINS = ("TAI-1", "TAI-3", "WAKA-1", "WAKA-3", "MOANA-1", "MOANA-2", "MUA-2", "MUA-3")
HAND_G = Decimal("19.50")


class Person:
    """Somebody with the shop opened for themselves; ``told`` is what they were told is done, and may rely on."""

    def __init__(self, world: World, name: str) -> None:
        self.world, self.name = world, name
        self.is_busy = False
        self.again: Callable[[datetime], object] | None = None
        self.told: list[tuple[str, str]] = []
        self.start(is_first=True)

    def start(self, *, is_first: bool = False) -> None:
        """The program is started anew; what it had in memory is gone."""
        self.shop = self.world.open(is_first=is_first)

    def step(self) -> None:
        """One step: what was cut off is asked for again, else something new."""
        self.is_busy, within = True, self.world.within
        self.world.within += 1
        act = self.again or self.act()
        self.again = act if self.is_kept(act) else None
        try:
            act(self.world.tick())
            self.again = None
            self.world.seen["steps"] += 1
        except Refusal:
            self.again = None
            self.world.seen["refused"] += 1
        except Killed:
            self.shop.close()
            self.start()
        finally:
            self.is_busy, self.world.within = False, within

    def is_kept(self, act: Callable[[datetime], object]) -> bool:
        """Whether the person asks for the same again once they were cut off."""
        return True

    def act(self) -> Callable[[datetime], object]:
        """What they do next."""
        raise NotImplementedError

    def tell(self, what: str, number: str) -> None:
        """The person has heard that it is done."""
        self.told.append((what, number))
        self.world.seen[f"told: {number.lower() if what == 'said' else what}".removesuffix(": ")] += 1

    def some(self, kind: Any, **equals: object) -> Any:
        """Any record of a kind."""
        with self.shop.reading() as books:
            found = books.find(kind, **equals)
        return self.world.random.choice(found) if found else None

    def who(self, at: datetime) -> dict[str, Any]:
        """At what time, and who."""
        return {"at": at, "person": self.name}


class Clerk(Person):
    """Orders come in, change, are held and cancelled; manifests are closed; customers complain."""

    keyed = 0

    def act(self) -> Callable[[datetime], object]:
        """Mostly an order comes in, as long as there are few."""
        chance = self.world.random
        with self.shop.reading() as books:
            open_ = books.count(Order, state=[OrderState.RECEIVED, OrderState.ALLOCATED, OrderState.RELEASED])
        if open_ < 5 and chance.random() < 0.7:
            return self.key()
        return chance.choice([self.change, self.hold, self.resume, self.cancel, self.close, self.close, self.complain,
                              self.void, self.lines, self.put_back])  # fmt: skip

    def key(self) -> Callable[[datetime], object]:
        """An order of up to three lines; typed again after a kill, it is the same order."""
        chance = self.world.random
        Clerk.keyed += 1
        number = f"S{self.world.seed}-{Clerk.keyed}"
        asked = [(part, chance.choice([1, 2, 3, 5, 12, 30])) for part in chance.sample(PARTS, chance.randint(1, 3))]
        service = chance.choice(SERVICES)

        def do(at: datetime) -> None:
            order, lines = order_of(number, asked, received_at=at, service_code=service)
            add_order(self.shop, order, lines, **self.who(at))
            self.tell("order", number)

        return do

    def change(self, at: datetime) -> None:
        """Another street."""
        if order := self.some(Order):
            change_address(self.shop, order.number, {"street": f"{self.world.random.randint(1, 99)} Sample Quay"},
                           **self.who(at))  # fmt: skip

    def lines(self, at: datetime) -> None:
        """More or fewer of a line."""
        if order := self.some(Order):
            wants = {1: self.world.random.choice([0, 1, 4, 40])}
            change_lines(self.shop, order.number, wants, **self.who(at))

    def hold(self, at: datetime) -> None:
        """An order is held."""
        if order := self.some(Order):
            hold_order(self.shop, order.number, "asked on the telephone", **self.who(at))

    def resume(self, at: datetime) -> None:
        """A held order goes on."""
        if order := self.some(Order, state=OrderState.HELD):
            resume_order(self.shop, order.number, **self.who(at))

    def cancel(self, at: datetime) -> None:
        """An order is cancelled."""
        if order := self.some(Order):
            cancel_order(self.shop, order.number, "wanted no more", **self.who(at))

    def put_back(self, at: datetime) -> None:
        """A pulled bag is back in its bin."""
        if bag := self.some(PulledBag, put_back_at=None):
            put_back(self.shop, bag.bag_code, **self.who(at))

    def close(self, at: datetime) -> None:
        """A manifest is closed."""
        with self.shop.reading() as books:
            day = local_day(at, books.settings())
        done = close_manifest(
            self.shop, self.world.random.choice(SERVICES), day=day, without_papers="simulated", **self.who(at)
        )
        for package in done.packages:
            self.tell("left", f"{package.number} {done.manifest.number}")

    def void(self, at: datetime) -> None:
        """A package is still here, or came back."""
        package = self.some(Package, state=PackageState.SHIPPED)
        if package and self.world.random.random() < 0.5:
            void_package(self.shop, package.number, "fell off the van", **self.who(at))
        elif package:
            package_returned(self.shop, package.number, "not called for", take_apart=True, **self.who(at))

    def complain(self, at: datetime) -> None:
        """A claim, and pieces that come back."""
        order = self.some(Order, state=OrderState.SHIPPED)
        if order and self.world.random.random() < 0.5:
            add_claim(self.shop, order.number, 1, ClaimCause.SHORT, pieces=1, says="one short", **self.who(at))
        elif order:
            outcome = self.world.random.choice([*Outcome])
            take_back(self.shop, order.number, 1, outcome, "too many", counted=1, **self.who(at))


class Planner(Person):
    """Plans, releases, and looks after lost bags."""

    def act(self) -> Callable[[datetime], object]:
        """Plan, release, or say that a bag is missing."""
        chance = self.world.random.random()
        if chance < 0.1:
            return self.lost
        with self.shop.reading() as books:
            has_plan = books.count(WalkRecord, released_at=None) > 0
        return self.release if has_plan == (chance < 0.8) else self.plan

    def plan(self, at: datetime) -> None:
        """All that waits is planned."""
        with self.shop.reading() as books:
            day = local_day(at, books.settings())
        plan_day(self.shop, day=day, effort="none", **self.who(at))

    def release(self, at: datetime) -> None:
        """All walks are printed and released; each that is said to be released has its papers."""
        release_walks(self.shop, [], self.world.papers(), **self.who(at))

    def lost(self, at: datetime) -> None:
        """A bag is missing, or there again."""
        if bag := self.some(Bag):
            with self.shop.reading() as books:
                day = local_day(at, books.settings())
            if self.world.random.random() < 0.5:
                bag_missing(self.shop, bag.code, day=day, **self.who(at))
            else:
                bag_found(self.shop, bag.code, **self.who(at))


class Stock(Person):
    """Counts bins, takes goods in, makes what is short."""

    def act(self) -> Callable[[datetime], object]:
        """One of them."""
        return self.world.random.choice([self.count, self.receive, self.make])

    def count(self, at: datetime) -> None:
        """A bin is counted; not always as the books say."""
        code = self.world.random.choice(BINS)
        count_bin(self.shop, code, self.world.random.randint(0, 200), **self.who(at))

    def receive(self, at: datetime) -> None:
        """Goods come in."""
        receive(self.shop, self.world.random.choice(BINS), self.world.random.randint(1, 60), "note", **self.who(at))

    def make(self, at: datetime) -> None:
        """What is short is made and booked in."""
        with self.shop.reading() as books:
            day, jobs = local_day(at, books.settings()), open_jobs(books)
        if jobs:
            job = self.world.random.choice(jobs)
            book_in(self.shop, job.number, day=day, counted=self.world.random.randint(1, 20), **self.who(at))
        else:
            make_jobs(self.shop, self.world.random.choice([*Supply]), day=day, **self.who(at))


class Checker(Person):
    """Checks bags by command, each weighing with a key of its own: cut off, it is asked for again, and done once."""

    weighings = 0

    def act(self) -> Callable[[datetime], object]:
        """A bag is weighed, right or wrong."""
        with self.shop.reading() as books:
            bags = books.find(Bag, walk_number=on_paper(self))
        waiting = [bag for bag in bags if bag.state in (BagState.PLANNED, BagState.RECOUNT)] or bags
        if not waiting:
            return lambda at: None
        bag = self.world.random.choice(waiting)
        seen = found_in(bag, self.world)
        Checker.weighings += 1
        key = f"weighing-{self.world.seed}-{Checker.weighings:06d}"

        def do(at: datetime) -> None:
            def check(there: Any) -> str:
                return str(check_bag(there, bag.code, seen, **self.who(at)).verdict.verdict.value)

            verdict, _ = once(self.shop, self.name, key, f"{bag.code} {seen}", check, **self.who(at))
            self.tell("checked", f"{bag.code} {key} {verdict}")

        return do


class Packer(Person):
    """Boxes, weighs, seals and opens packages by command."""

    def act(self) -> Callable[[datetime], object]:
        """An order is boxed, or a package weighed."""
        with self.shop.reading() as books:
            waits = books.count(Package, state=PackageState.PLANNED) > 0
        acts = [self.weigh] * 6 if waits else [self.box] * 6
        return self.world.random.choice([*acts, self.box, self.weigh, self.reopen])

    def box(self, at: datetime) -> None:
        """The boxes of an order are chosen."""
        if order := self.some(Order, state=OrderState.CHECKED) or self.some(Order):
            plan_packages(self.shop, order.number, **self.who(at))

    def weigh(self, at: datetime) -> None:
        """A package is weighed, now and then wrong; what is dangerous is looked at first."""
        package = self.some(Package, state=[PackageState.PLANNED, PackageState.STOP]) or self.some(Package)
        if package is None:
            return
        if self.world.random.random() < 0.3:
            review_hazards(self.shop, package.number, "simulated: looked at", **self.who(at))
        off_g = self.world.random.choice([0, 0, 0, -30, 200])
        done = weigh_package(self.shop, package.number, package.expected_g + off_g, **self.who(at))
        if done.package.state is PackageState.SEALED:
            self.tell("sealed", package.number)

    def reopen(self, at: datetime) -> None:
        """A sealed package is opened again."""
        if package := self.some(Package, state=PackageState.SEALED):
            reopen_package(self.shop, package.number, "a bag is missing", **self.who(at))


def on_paper(person: Person) -> list[str]:
    """The walks that are released."""
    with person.shop.reading() as books:
        return [walk.number for walk in books.find(WalkRecord) if walk.released_at is not None]


def found_in(bag: Bag, world: World) -> Seen:
    """What a checker finds: mostly what it should be."""
    kind = world.random.choice(["right"] * 6 + ["light", "another", "counted"])
    if kind == "another":
        return Seen(looks_wrong="another finish")
    if kind == "counted" or bag.method is not CountMethod.WEIGH:
        pieces = bag.pieces if world.random.random() < 0.7 else max(0, bag.pieces - 1)
        return Seen(counted=pieces, gross_g=HAND_G, scale_code="KOTARE")
    assert bag.target_g is not None
    off_g = Decimal("0.00") if kind == "right" else Decimal("-0.90")
    return Seen(gross_g=max(Decimal("0.20"), bag.target_g + off_g), scale_code=bag.scale_code)
