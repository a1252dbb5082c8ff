"""The packing bench at work: bags into their box by their scans, then the weight, each line in its own transaction.

The machine of states is :mod:`fulfil.checking.packing`. Which bag is in the box is written on the bag, and what is in
hand in the bench's place, so that a bench that was killed opens again with the same half-filled box.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime
from math import inf
from pathlib import Path

from fulfil.bench.empty_boxes import empty_box, empty_shown_g
from fulfil.bench.facts import order_against, unknown_code
from fulfil.bench.pack_words import LACKS, STOPS, told, what_now
from fulfil.bench.places import must_be_free, place_of, small_event
from fulfil.checking.entry import Card, Entry, EntryKind, as_code
from fulfil.checking.pack_wants import (
    BoxTheBag,
    ChoosePackage,
    ForgetEmpty,
    PackWant,
    ReopenPackage,
    TakeOrder,
    UnboxTheBag,
    WeighEmpty,
    WeighPackage,
)
from fulfil.checking.packing import (
    BagToPack,
    BoxBag,
    CartToPack,
    OrderToPack,
    PackageFacts,
    PackFound,
    PackState,
    advance_packing,
    packing_prompt,
    read_entry,
)
from fulfil.checking.reading import Pan, ScaleReading, Sifted, sift
from fulfil.checking.saying import Say, Sound, refused, said
from fulfil.checking.wants import LetGo, SignIn, TakeWalk
from fulfil.despatch.boxes import bag_mass, for_scale
from fulfil.despatch.empty_box import what_empty_shows
from fulfil.despatch.pack import box_within, stops, weigh_within
from fulfil.despatch.pack_causes import package_cautions, seen_by_weight
from fulfil.errors import Refusal, StateRefused
from fulfil.orders.unpacking import reopen_within
from fulfil.quantities import as_shown
from fulfil.records.bench import BenchKind, BenchPlace
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.equipment import BoxType
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Part
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.revised import revised
from fulfil.shop.short_numbers import number_at_bench
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_GOES_ON = (OrderState.CHECKED, OrderState.PACKED)


@dataclass
class PackBench:
    """One packing bench of a shop; :meth:`open` before the first line."""

    shop: Shop
    bench: str
    person: str = ""
    scale_code: str = ""
    steady_run: int = 1
    is_simulated: bool = False
    weight_tells: bool = False
    """Whether only those bags are scanned into the box that the package's weight would not miss."""
    counts_bags: bool = False
    """Whether a count of all bags, typed with the weight, stands for those scans too."""
    state: PackState = field(default_factory=PackState, init=False)
    said: Say | None = field(default=None, init=False)
    """What was said of the last step that was written: known before its transaction ends."""
    kept: BenchPlace | None = field(default=None, init=False)
    """What that step wrote of what is in hand."""
    is_closed: bool = field(default=False, init=False)
    packed: list[str] = field(default_factory=list, init=False)
    _pan: Pan = field(default_factory=Pan, init=False)
    _wanted_since_s: float = field(default=0.0, init=False)

    def open(self, *, now_s: float = 0.0) -> Say:
        """Goes on from what the bench had in hand."""
        with self.shop.reading() as books:
            place = place_of(books, self.bench, BenchKind.PACK)
            package = books.get(Package, place.package_number) if place.package_number else None
            facts = None if package is None else self._facts(books, package)
        self.state = PackState(
            person=self.person or place.person,
            walk_number=place.walk_number,
            order_number=place.order_number,
            package=facts,
            last_bag_code=place.last_bag_code,
        )
        self._wanted_since_s = now_s
        start = packing_prompt(self.state)
        again = "Back at" if place.order_number else "This is"
        who = f", {self.state.person}" if self.state.person else ""
        return said(f"{again} bench {self.bench}{who}. {start.headline}", start.lines)

    def enter(self, line: str, *, at: datetime, now_s: float = 0.0) -> Say:
        """One line that was typed or scanned; refusals are said, nothing is raised for them."""
        entry = read_entry(line)
        return self._enter(as_code(entry) if self.state.package is None else entry, at, now_s)

    def weighed(self, reading: ScaleReading, *, at: datetime, sent_at_s: float) -> Say | None:
        """One reading of a scale that sends by itself; None when there is nothing to say about it."""
        package = self.state.package
        is_wanted = package is not None and (self.state.weighs_empty or not package.missing)
        if package is None:
            return None
        sifted, self._pan = sift(
            reading,
            self._pan,
            d_g=package.d_g,
            sent_at_s=sent_at_s,
            wanted_since_s=self._wanted_since_s if is_wanted else inf,
            steady_run=self.steady_run,
        )
        if sifted is Sifted.NEGATIVE and is_wanted:
            return refused(f"{reading.mass_g} g: a negative weight. Empty the pan, set it to zero, weigh again.")
        if sifted is not Sifted.COUNTS:
            return None
        return self._enter(Entry(EntryKind.MASS, f"{reading.mass_g} g", reading.mass_g), at, sent_at_s)

    def _enter(self, entry: Entry, at: datetime, now_s: float) -> Say:
        if entry.card is Card.PHOTO and entry.text and not Path(entry.text).is_file():
            return refused(f"No photo at {entry.text}.")
        try:
            with self.shop.reading() as books:
                found = self._found(books, entry)
            step = advance_packing(self.state, entry, found)
            state, say = step.state, step.say
            if step.want is not None:
                state, say = self._carry_out(step.want, state, say, at)
        except Refusal as refusal:
            return refused(str(refusal))
        if state.package is not None and not state.package.missing:
            was = self.state.package
            if was is None or was.missing or was.number != state.package.number:
                self._wanted_since_s = now_s
        if state.weighs_empty and not self.state.weighs_empty:
            self._wanted_since_s = now_s
        self.state = state
        self.is_closed = step.leaves
        return say

    def _found(self, books: Books, entry: Entry) -> PackFound:
        if entry.kind is EntryKind.POSITION:
            return self._at_position(books, int(entry.number))
        if entry.kind is not EntryKind.CODE:
            return None
        code = number_at_bench(books, entry.text, ("bag", "order", "package", "walk"))
        bag = books.get(Bag, code)
        if bag is not None:
            order = books.need(Order, bag.order_number)
            return BagToPack(bag.code, order.number, bag.package_number, _against(order))
        order_found = books.get(Order, code)
        if order_found is not None:
            return OrderToPack(order_found.number, _against(order_found))
        package = books.get(Package, code)
        if package is not None:
            return self._facts(books, package)
        if books.get(WalkRecord, code) is not None:
            return CartToPack(code)
        return unknown_code(books, code, self.state.walk_number)

    def _at_position(self, books: Books, position: int) -> OrderToPack:
        walk = self.state.walk_number
        if not walk:
            return OrderToPack("", "Which cart? Scan the pick list or the cart card first.")
        numbers = sorted({bag.order_number for bag in books.find(Bag, walk_number=walk, cart_position=position)})
        if not numbers:
            return OrderToPack("", f"Nothing stands at position {position} of walk {walk}.")
        return OrderToPack(numbers[0], _against(books.need(Order, numbers[0])))

    def _facts(self, books: Books, package: Package) -> PackageFacts:
        bags = books.find(Bag, package_number=package.number)
        parts = {part.number: part for part in books.find(Part, number=sorted({bag.part_number for bag in bags}))}
        masses = {bag.code: bag_mass(books, bag) for bag in bags}
        heaviest_first = sorted(bags, key=lambda bag: (-masses[bag.code].gross_g, bag.code))
        siblings = [
            one.number
            for one in books.find(Package, order_number=package.order_number)
            if one.state is not PackageState.UNDONE or one.number == package.number
        ]
        box = books.need(BoxType, package.box_type)
        package, scale = for_scale(books, package, self.scale_code)
        order = books.need(Order, package.order_number)
        volume_mm3 = sum(bag.pieces * parts[bag.part_number].bulk_volume_mm3 for bag in bags)
        return PackageFacts(
            number=package.number,
            order_number=package.order_number,
            box_type=package.box_type,
            place=f"{siblings.index(package.number) + 1} of {len(siblings)}",
            bags=tuple(
                BoxBag(
                    bag.code,
                    f"{bag.pieces} × {_looks(parts[bag.part_number])}",
                    f"{float(masses[bag.code].gross_g):.1f}",
                    bag.boxed_at is not None,
                    (self.weight_tells or self.counts_bags) and masses[bag.code].gross_g >= package.visible_from_g,
                )
                for bag in heaviest_first
            ),
            expected_g=as_shown(package.expected_g, scale.d_g),
            lower_g=as_shown(package.lower_g, scale.d_g),
            upper_g=as_shown(package.upper_g, scale.d_g),
            d_g=scale.d_g,
            scale_code=scale.code,
            fill=volume_mm3 / box.usable_volume_mm3,
            state=package.state,
            seen=seen_by_weight(books, package, bags),
            cautions=package_cautions(list(parts.values()), package.expected_g, books.settings()),
            findings=tuple(told(STOPS, finding) for finding in stops(books, package, order)),
            note=order.note_packer,
            counts_bags=self.counts_bags,
            empty_g=empty_shown_g(books, package),
            pays=what_empty_shows(books, package, self.scale_code),
        )

    def _carry_out(self, want: PackWant, state: PackState, say: Say, at: datetime) -> tuple[PackState, Say]:
        """Does what the machine wants, in one transaction with what is then in hand."""
        person = self.state.person or self.bench
        with self.shop.writing() as books:
            place = place_of(books, self.bench, BenchKind.PACK)
            if isinstance(want, TakeOrder):
                state, say = self._take(books, place, want, state, at, person)
            elif isinstance(want, BoxTheBag | UnboxTheBag):
                bag = books.need(Bag, want.bag_code)
                _must_be_in_hand(place, bag.order_number)
                is_in = isinstance(want, BoxTheBag)
                books.replace([revised(bag, {"boxed_at": at if is_in else None})])
                event = Happening.BAG_BOXED if is_in else Happening.BAG_UNBOXED
                books.journal(at=at, person=person, event=event, subject=bag.code)
                state = replace(state, package=_with_bag(state.package, bag.code, is_in))
                say = replace(say, headline=f"{say.headline} {_next(state)}")
            elif isinstance(want, ChoosePackage):
                state = replace(state, package=self._facts(books, books.need(Package, want.package_number)))
                say = packing_prompt(state)
            elif isinstance(want, WeighPackage):
                _must_be_in_hand(place, state.order_number)
                state, say = self._weigh(books, want, state, at, person)
            elif isinstance(want, ReopenPackage):
                opened = reopen_within(books, want.package_number, want.reason, at=at, person=person)
                must_be_free(books, place, opened.order_number)
                state = replace(state, order_number=opened.order_number, package=self._facts(books, opened))
                say = replace(say, lines=packing_prompt(state).lines)
            elif isinstance(want, WeighEmpty | ForgetEmpty):
                _must_be_in_hand(place, state.order_number)
                weighed, against = empty_box(
                    books, want, at=at, person=person, scale_code=self.scale_code, is_simulated=self.is_simulated
                )
                asks_again = against is not None and self.state.weighs_empty
                state = replace(state, package=self._facts(books, weighed), weighs_empty=asks_again)
                say = against or replace(say, lines=packing_prompt(state).lines)
            elif isinstance(want, LetGo | SignIn | TakeWalk):
                event, subject = small_event(want, self.bench)
                books.journal(
                    at=at,
                    person=state.person or person,
                    event=event,
                    subject=subject,
                    particulars={"bench": self.bench},
                )
            self.kept = _kept(place, state)
            books.replace([self.kept])
            self.said = say
        return state, say

    def _take(
        self, books: Books, place: BenchPlace, want: TakeOrder, state: PackState, at: datetime, person: str
    ) -> tuple[PackState, Say]:
        must_be_free(books, place, want.order_number)
        planned = box_within(books, want.order_number, at=at, person=person)
        open_ = [one for one in planned.packages if one.state in (PackageState.PLANNED, PackageState.STOP)]
        if not open_:
            raise StateRefused("pack order", want.order_number, "an order with a package that isn't sealed")
        bag = books.need(Bag, want.bag_code) if want.bag_code else None
        wanted = want.package_number or ("" if bag is None else bag.package_number)
        package = next((one for one in open_ if one.number == wanted), open_[0])
        is_boxed = bag is not None and bag.package_number == package.number and bag.state is BagState.PACKED
        if is_boxed and bag is not None:
            books.replace([revised(bag, {"boxed_at": at})])
            books.journal(at=at, person=person, event=Happening.BAG_BOXED, subject=bag.code)
        particulars = {"bench": self.bench}
        books.journal(
            at=at, person=person, event=Happening.ORDER_TAKEN, subject=want.order_number, particulars=particulars
        )
        bags = books.find(Bag, package_number=package.number)
        state = replace(
            state,
            walk_number=bags[0].walk_number if bags else state.walk_number,
            order_number=want.order_number,
            package=self._facts(books, package),
            last_bag_code=want.bag_code if is_boxed else "",
            sealed_number="",
        )
        return state, packing_prompt(state)

    def _weigh(
        self, books: Books, want: WeighPackage, state: PackState, at: datetime, person: str
    ) -> tuple[PackState, Say]:
        done = weigh_within(
            books,
            want.package_number,
            want.gross_g,
            at=at,
            person=person,
            scale_code=self.scale_code,
            photo_path=want.photo_path,
            is_simulated=self.is_simulated,
            bags_counted=want.bags_counted,
        )
        reason = f"Package {done.package.number} {done.verdict.reason}."
        state = replace(state, photo_path="")
        if done.package.state is not PackageState.SEALED:
            lines = [*done.verdict.likely_causes, *(told(STOPS, one) for one in done.findings)]
            lines.append(what_now(done))
            state = replace(state, package=self._facts(books, done.package))
            return state, Say(Sound.STOP, reason, tuple(lines), "STOP")
        if done.order_is_packed:
            self.packed.append(state.order_number)
            lines = [f"Order {state.order_number} is packed for {done.package.service_code}: label it, seal it."]
            lines += [told(LACKS, one) for one in done.papers_due]
            if done.leaving is not None and not done.leaving.is_today:
                lines.append(f"NOT TODAY: {done.leaving.says}.")
            state = PackState(person=state.person, walk_number=state.walk_number)
            return state, Say(Sound.PASSED, reason, tuple(lines), "SEALED")
        following = next(
            one
            for one in books.find(Package, order_number=state.order_number)
            if one.state in (PackageState.PLANNED, PackageState.STOP)
        )
        state = replace(state, package=self._facts(books, following))
        prompt = packing_prompt(state)
        papers = (told(LACKS, one) for one in done.papers_due)
        return state, Say(Sound.PASSED, reason, (*papers, f"Next: {prompt.headline}", *prompt.lines), "SEALED")


def _with_bag(package: PackageFacts | None, code: str, is_in: bool) -> PackageFacts | None:
    """The package with one bag put in or taken out."""
    if package is None:
        return None
    bags = tuple(replace(bag, is_in=is_in) if bag.code == code else bag for bag in package.bags)
    return replace(package, bags=bags, bags_counted=0)


def _looks(part: Part) -> str:
    return " · ".join(word for word in (part.family, part.size, part.finish, part.number) if word)


def _next(state: PackState) -> str:
    package = state.package
    if package is None:
        return ""
    missing = package.missing
    if missing:
        return f"{len(missing)} more; next {missing[0]}."
    return f"All in: fill up, close, weigh on {package.scale_code}; expect {package.expected_g} g."


def _against(order: Order) -> str:
    if against := order_against(order):
        return against
    if order.state is OrderState.SHIPPED:
        return f"Order {order.number} has left the house."
    if order.state not in _GOES_ON:
        return f"Order {order.number} isn't checked yet: it is {order.state}."
    return ""


def _must_be_in_hand(place: BenchPlace, order_number: str) -> None:
    if place.order_number != order_number:
        raise StateRefused("pack order", order_number, "an order in hand here; it was freed: let go, scan it again")


def _kept(place: BenchPlace, state: PackState) -> BenchPlace:
    kept = {
        "person": state.person,
        "walk_number": state.walk_number,
        "order_number": state.order_number,
        "package_number": "" if state.package is None else state.package.number,
        "last_bag_code": state.last_bag_code,
    }
    return revised(place, kept)
