"""What the check bench needs to know of a bag, an order, a cart position, a walk: read by key, once a scan.

The look-alike index of the whole catalogue is made at most once a session and kept (:class:`KeptIndex`); everything
else is read by primary key or index, so that a scan costs the same with ten parts and with ten thousand.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import hypot

from fulfil.bench.checkers import picker_of, walks_before
from fulfil.checking.sampling_plan import SamplingPlan
from fulfil.checking.second_look import LookFacts, LookRules, reasons_to_look
from fulfil.checking.wants import BagFacts, OrderFacts, Unknown, WalkFacts
from fulfil.counting.count_lines import scale_of
from fulfil.despatch.boxes import unit_weight_of
from fulfil.papers.elements.count_words import check_words
from fulfil.quantities import as_shown
from fulfil.records.bench import Recount, RecountState
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.shop.short_numbers import number_at_bench
from fulfil.standards import dangerous_goods
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.second_looks import near_kin
from fulfil.weighing.lookalike import LookAlike, LookAlikeIndex, Where

MOST_LOOK_ALIKES = 3
LEAST_HALF = 4
"""A code that is unknown is taken for half of a known one from this many characters on."""

WAITING = (BagState.PLANNED, BagState.RECOUNT, BagState.LOOK)


@dataclass
class KeptIndex:
    """The look-alike index, made when it is first asked for and kept for the session.

    Limits: what is imported while a bench is open is named as a look-alike from the bench's next opening on.
    """

    make: Callable[[Books], LookAlikeIndex] = look_alike_index
    kept: LookAlikeIndex | None = field(default=None, init=False)

    def __call__(self, books: Books) -> LookAlikeIndex:
        """The index."""
        if self.kept is None:
            self.kept = self.make(books)
        return self.kept

    def warm(self, shop: Shop) -> None:
        """Makes the index now, so that no scan waits for it."""
        with shop.reading() as books:
            self(books)


@dataclass(frozen=True)
class FactsOfCheck:
    """Reads facts under the session's rules; ``plan`` is the sampling plan, None to check every bag."""

    index: Callable[[Books], LookAlikeIndex]
    rules: LookRules = field(default_factory=LookRules)
    plan: SamplingPlan | None = None

    def of_code(self, books: Books, code: str, *, walk_number: str, clear_run: int) -> object:
        """What a scanned code is: a bag, an order, a walk, or nothing that this bench checks."""
        code = number_at_bench(books, code, ("bag", "order", "walk"))
        bag = books.get(Bag, code)
        if bag is not None:
            return self.of_bag(books, bag, clear_run=clear_run)
        order = books.get(Order, code)
        if order is not None:
            return self.of_order(books, order)
        walk = books.get(WalkRecord, code)
        if walk is not None:
            return self.of_walk(books, walk)
        return unknown_code(books, code, walk_number)

    def of_position(self, books: Books, position: int, walk_number: str) -> object:
        """The order at a position of the walk's cart."""
        if not walk_number:
            return OrderFacts("", position, stands_against="Which cart? Scan the pick list or the cart card first.")
        numbers = sorted({bag.order_number for bag in books.find(Bag, walk_number=walk_number, cart_position=position)})
        if not numbers:
            empty = f"Nothing stands at position {position} of walk {walk_number}."
            return OrderFacts("", position, stands_against=empty)
        return self.of_order(books, books.need(Order, numbers[0]))

    def of_order(self, books: Books, order: Order) -> OrderFacts:
        """An order with the bags of it that wait."""
        bags = sorted(books.find(Bag, order_number=order.number), key=lambda bag: (bag.stop_no, bag.code))
        position = bags[0].cart_position if bags else 0
        waiting = tuple(bag.code for bag in bags if bag.state in WAITING)
        against = order_against(order)
        if not against and not bags:
            against = f"Order {order.number} has no bags: it is {order.state}."
        if not against and not waiting:
            against = f"All bags of order {order.number} have passed: it is {order.state}."
        return OrderFacts(order.number, position, waiting, against)

    def of_walk(self, books: Books, walk: WalkRecord) -> WalkFacts:
        """A walk with its picker, if somebody noted one."""
        bags = books.find(Bag, walk_number=walk.number)
        against = "" if walk.released_at else f"Walk {walk.number} isn't released yet."
        picker = picker_of(books, walk.number)
        return WalkFacts(walk.number, walk.orders, len(bags), picker, against)

    def of_bag(self, books: Books, bag: Bag, *, clear_run: int = 0) -> BagFacts:
        """A bag with its window in the scale's digits, its look-alikes, and the reasons for a second look."""
        part = books.need(Part, bag.part_number)
        weight = unit_weight_of(books, bag)
        is_weighed = bag.method.is_weighed and bag.lower_g is not None and bag.upper_g is not None
        scale = books.need(ScaleRecord, bag.scale_code) if is_weighed else None
        against = bag_against(books, bag)
        others = self.look_alikes(books, bag, scale) if scale is not None and not against else ()
        second_look = () if against else reasons_to_look(self._look_facts(books, bag, part, others), self.rules)
        d_g = scale.d_g if scale is not None else None
        is_unchecked = not against and is_weighed and not second_look and self.plan is not None
        passes_by = ""
        if is_unchecked and self.plan is not None and not self.plan.asks_for(bag.code, clear_run):
            passes_by = f"1 in {self.plan.one_in} after {self.plan.clear}"
        return BagFacts(
            code=bag.code,
            order_number=bag.order_number,
            walk_number=bag.walk_number,
            position=bag.cart_position,
            part_number=part.number,
            pieces=bag.pieces,
            looks=" · ".join(word for word in (part.family, part.size, part.finish) if word),
            bin_code=bag.bin_code,
            description=part.description,
            is_weighed=is_weighed,
            scale_code=bag.scale_code if is_weighed else "",
            d_g=d_g,
            lower_g=as_shown(bag.lower_g, d_g) if d_g and bag.lower_g is not None else None,
            target_g=as_shown(bag.target_g, d_g) if d_g and bag.target_g is not None else None,
            upper_g=as_shown(bag.upper_g, d_g) if d_g and bag.upper_g is not None else None,
            why_by_hand=bag.reason,
            needs_gross=not is_weighed and weight is None,
            how=check_words(bag.method, bag.pieces, bag.pours),
            pours=bag.pours if bag.method is CountMethod.POUR else 0,
            second_look=second_look,
            look_alikes=tuple(f"{other.part_number}: {other.sentence}" for other in others),
            cautions=dangerous_goods.cautions(part.hazard_words),
            picture=part.photo_path,
            state=bag.state,
            checks=bag.checks,
            stands_against=against,
            passes_by=passes_by,
        )

    def look_alikes(self, books: Books, bag: Bag, scale: ScaleRecord) -> tuple[LookAlike, ...]:
        """The parts that would pass a weighed bag's window, nearest bins first."""
        if bag.lower_g is None or bag.upper_g is None:
            return ()
        tare_sd_g = books.need(BagType, bag.bag_type).tare_sd_g
        noise_g = hypot(scale_of(scale).indication_u_g(bag.load_g), tare_sd_g)
        if bag.method.is_net:
            noise_g = float(scale_of(scale).net_u_g(bag.load_g))
        return self.index(books).passing(
            [bag.part_number],
            [bag.pour_pieces],
            [bag.half_window_g],
            [noise_g],
            risk_pass=books.settings().risk_pass,
            most=MOST_LOOK_ALIKES,
        )[0]

    def _look_facts(self, books: Books, bag: Bag, part: Part, others: tuple[LookAlike, ...]) -> LookFacts:
        near = near_kin([other.part_number for other in others if other.where is Where.NEARBY], part, books)
        slips = {
            slip.number
            for slip in (*books.find(Recount, part_number=part.number), *books.find(Recount, bin_code=bag.bin_code))
            if slip.state is not RecountState.UNDONE and slip.bag_code != bag.code
        }
        picker = picker_of(books, bag.walk_number)
        enough = self.rules.new_picker_walks + 1
        return LookFacts(
            walks_of_picker=walks_before(books, picker, bag.walk_number, most=enough) if picker else None,
            lot_is_new=bool(bag.lot) and books.get(UnitWeight, bag.part_number, bag.lot) is None,
            near_look_alike=near,
            value_minor=bag.pieces * part.price_minor,
            mistakes=len(slips),
            was_sent_back=bag.checks > 0,
        )


def half_of(books: Books, code: str, walk_number: str) -> str:
    """A code of the walk in hand that begins or ends like an unknown one."""
    if not walk_number or len(code) < LEAST_HALF:
        return ""
    bags = books.find(Bag, walk_number=walk_number)
    known = sorted({walk_number, *(bag.code for bag in bags), *(bag.order_number for bag in bags)})
    return next((one for one in known if one != code and (one.startswith(code) or one.endswith(code))), "")


def unknown_code(books: Books, code: str, walk_number: str) -> Unknown:
    """A code that is no bag, order or walk: half of one, a bag that was pulled, or nothing."""
    pulled = books.get(PulledBag, code)
    if pulled is None:
        return Unknown(code, half_of=half_of(books, code, walk_number))
    against = f"Bag {code} was pulled: {pulled.reason}. Its {pulled.pieces} {pulled.part_number} go back"
    if pulled.is_back:
        against = f"Bag {code} was pulled and is back in the books. Its {pulled.pieces} {pulled.part_number} belong"
    way = "in" if pulled.is_back else "into"
    return Unknown(code, stands_against=f"{against} {way} bin {pulled.bin_code}.")


def order_against(order: Order) -> str:
    """Why an order doesn't go on, empty when it does."""
    if order.state is OrderState.CANCELLED:
        return f"Order {order.number} is cancelled: put its bags back."
    if order.state is OrderState.HELD:
        return f"Order {order.number} is held: {order.held_reason}"
    return ""


def bag_against(books: Books, bag: Bag) -> str:
    """Why a bag can't be checked now, empty when it can."""
    against = order_against(books.need(Order, bag.order_number))
    if against:
        return against
    if bag.state is BagState.PACKED:
        return f"Bag {bag.code} is packed already, in package {bag.package_number}."
    if bag.state is BagState.PASSED:
        return f"Bag {bag.code} has passed already."
    if books.need(WalkRecord, bag.walk_number).released_at is None:
        return f"Walk {bag.walk_number} of bag {bag.code} isn't released yet."
    return ""
