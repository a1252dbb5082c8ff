"""The papers of a walk as sheets: pick list with its map, bag labels, checklist, cart card.

Everything a paper says is decided here; the papers only place it. Bags are listed in the order of the walk on the
pick list and in the order of the cart on the checklist, because that is how the hands meet them.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import time
from typing import TYPE_CHECKING

from fulfil.counting.risk_words import risk_statement
from fulfil.papers.elements.count_words import fill_words
from fulfil.papers.floor.route_map import RouteMapSheet
from fulfil.papers.repeated import caution_words, part_words, weights
from fulfil.papers.sheet import head
from fulfil.papers.walk import cart_card, checklist
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.papers.walk.cart_card import CartCardSheet
from fulfil.papers.walk.cart_position import CartPosition, level_words
from fulfil.papers.walk.checklist import ChecklistSheet
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.planning.cart_shelves import Shelves
from fulfil.quantities import as_shown, print_metres
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.order import Order
from fulfil.records.part import Part
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, CountMethod, PlanRecord, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.room.walk import shortest_walk
from fulfil.shop.asking import ByNumber
from fulfil.shop.clock import local_day
from fulfil.shop.collecting import cut_offs_of
from fulfil.standards import dangerous_goods
from fulfil.store.books import Books
from fulfil.walks.bin_places import need_bins
from fulfil.walks.floor import Floor, floor_of
from fulfil.walks.room_sheet import map_stop, room_sheet
from fulfil.walks.turns import approaches

if TYPE_CHECKING:
    from fulfil.walks.checklists.check_rows import CheckFacts
    from fulfil.weighing.lookalike import LookAlikeIndex


@dataclass(frozen=True)
class WalkSheets:
    """All papers of one walk."""

    pick_list: PickListSheet
    bag_labels: tuple[BagLabelSheet, ...]
    checklist: ChecklistSheet
    cart_card: CartCardSheet


def walk_sheets(books: Books, walk: WalkRecord, *, index: "Callable[[Books], LookAlikeIndex]") -> WalkSheets:
    """The sheets of a walk; ``index`` gives the look-alikes for the checklist."""
    from fulfil.walks.checklists.check_rows import check_rows  # loaded late: it weighs, a walk's stops need none of it

    facts = _facts(books, walk)
    cut_off, service = _first_cut_off(books, facts)
    cart_name = f"cart of {walk.orders} orders" if walk.orders > 1 else "cart of one order"
    risk = risk_statement(facts.settings)
    pick_list = PickListSheet(
        walk_number=walk.number,
        cart_name=cart_name,
        cart=facts.cart,
        cut_off=cut_off,
        cut_off_service=service,
        length_mm=walk.length_mm,
        stops=_stops(facts),
        route_map=_route_map(facts),
        risk_statement=risk,
        bound_statement=bound_statement(books.find(PlanRecord, day=walk.day)),
        cautions=_closing(facts),
        **head(facts.settings, walk.number, walk.day),
    )
    checks = ChecklistSheet(
        walk_number=walk.number,
        cart_name=cart_name,
        all_bags=len(facts.bags),
        rows=check_rows(books, _check_facts(facts), index(books)),
        risk_statement=risk,
        cautions=_closing(facts),
        **head(facts.settings, checklist.NUMBERED.number(walk.number), walk.day),
    )
    card = CartCardSheet(
        walk_number=walk.number,
        cart_name=cart_name,
        cut_off=cut_off,
        cut_off_service=service,
        positions=facts.cart,
        **head(facts.settings, cart_card.NUMBERED.number(walk.number), walk.day),
    )
    return WalkSheets(pick_list, tuple(_label(facts, bag) for bag in facts.bags), checks, card)


def pick_stops(books: Books, walk: WalkRecord) -> tuple[PickStop, ...]:
    """The stops of a walk in walking order, as its pick list says them."""
    return _stops(_facts(books, walk))


@dataclass(frozen=True)
class PickWay:
    """A walk as the picker meets it: its stops in walking order, and the room with its way."""

    stops: tuple[PickStop, ...]
    route_map: RouteMapSheet
    cut_off: time | None
    cut_off_service: str


def pick_way(books: Books, walk: WalkRecord) -> PickWay:
    """Stops and map of a walk, as on its pick list."""
    facts = _facts(books, walk)
    return PickWay(_stops(facts), _route_map(facts), *_first_cut_off(books, facts))


def bound_statement(plans: list[PlanRecord]) -> str:
    """How far the day's latest plan is from the best possible, and whether that is proven."""
    if not plans:
        return ""
    return f"All walks of the plan: {print_metres(plans[-1].length_mm)}; {above_bound(plans[-1])}."


def above_bound(plan: PlanRecord) -> str:
    """The second half of that sentence, for where the length stands beside it."""
    if plan.bound_mm is None:
        return "each walk is the shortest route for its stops; whether another plan is shorter is not proven yet"
    gap = (plan.length_mm - plan.bound_mm) / plan.bound_mm if plan.bound_mm else 0.0
    kind = "proven" if plan.bound_is_closed else "proven so far"
    return f"no plan can be shorter than {print_metres(plan.bound_mm)} ({kind}): at most {gap * 100:.1f} % above"


@dataclass(frozen=True)
class _Facts:
    """What the sheets of one walk are made of."""

    settings: Settings
    walk: WalkRecord
    floor: Floor
    bags: tuple[Bag, ...]
    parts: dict[str, Part]
    bins: dict[str, Bin]
    scales: dict[str, ScaleRecord]
    bag_types: dict[str, BagType]
    shares: dict[tuple[str, int], list[str]]
    notes: dict[str, str]
    cart: tuple[CartPosition, ...]
    coming: tuple[Service, ...]


def _facts(books: Books, walk: WalkRecord) -> _Facts:
    bags = books.find(Bag, walk_number=walk.number)
    parts = books.find(Part, number=sorted({bag.part_number for bag in bags}))
    bins = need_bins(books, (bag.bin_code for bag in bags), "print the walk", walk.number)
    orders = {order.number: order for order in books.find(Order, number=sorted({bag.order_number for bag in bags}))}
    services = {service.code: service for service in books.find(Service)}
    settings = books.settings()
    scales = {scale.code: scale for scale in books.find(ScaleRecord)}
    shares: dict[tuple[str, int], list[str]] = defaultdict(list)
    for bag in books.find(Bag, order_number=sorted(orders)):
        shares[bag.order_number, bag.line_no].append(bag.code)
    return _Facts(
        settings=settings,
        walk=walk,
        floor=floor_of(books.find(RoomElement)),
        bags=tuple(_as_shown(bag, scales) for bag in bags),
        parts={part.number: part for part in parts},
        bins=bins,
        scales=scales,
        bag_types={bag_type.code: bag_type for bag_type in books.find(BagType)},
        shares=shares,
        notes={number: order.note_picker for number, order in orders.items()},
        cart=_cart(bags, orders, services, Shelves.of(settings)),
        coming=tuple(services[code] for code in sorted({order.service_code for order in orders.values()})),
    )


def _first_cut_off(books: Books, facts: _Facts) -> tuple[time | None, str]:
    """The first collection on the walk's day among its orders' services, and which; (None, "") where none is."""
    cut_offs = cut_offs_of(books, facts.walk.day)
    first = min(facts.coming, key=lambda one: (cut_offs[one.code], one.code))
    if local_day(cut_offs[first.code], facts.settings) != facts.walk.day:
        return None, ""
    return cut_offs[first.code].time(), first.name


def _as_shown(bag: Bag, scales: dict[str, ScaleRecord]) -> Bag:
    """The bag with its weights in the digits of its scale."""
    if bag.target_g is None or bag.lower_g is None or bag.upper_g is None:
        return bag
    d_g = scales[bag.scale_code].d_g
    window = {"target_g": bag.target_g, "lower_g": bag.lower_g, "upper_g": bag.upper_g}
    return revised(bag, {name: as_shown(mass_g, d_g) for name, mass_g in window.items()})


def _cart(
    bags: list[Bag], orders: dict[str, Order], services: dict[str, Service], shelves: Shelves
) -> tuple[CartPosition, ...]:
    at: dict[tuple[int, str], int] = defaultdict(int)
    for bag in bags:
        at[bag.cart_position, bag.order_number] += 1
    return tuple(
        CartPosition(
            position=position,
            order_number=number,
            service=services[orders[number].service_code].name,
            destination=orders[number].country,
            bags=count,
            note=orders[number].note_picker,
            level=level_words(shelves.level_of(position), shelves.levels),
        )
        for (position, number), count in sorted(at.items())
    )


def _stops(facts: _Facts) -> tuple[PickStop, ...]:
    places = sorted({bag.bin_code: bag.stop_no for bag in facts.bags}.items(), key=lambda pair: pair[1])
    stops = [facts.floor.stop_of(facts.bins[code]) for code, _ in places]
    came = approaches(facts.floor, _path(facts), stops)
    rows = []
    for (code, stop_no), approach in zip(places, came, strict=True):
        place = facts.bins[code]
        part = facts.parts[place.part_number]
        row = PickStop(
            stop_no=stop_no,
            turn=approach.sentence,
            bin_code=code,
            aisle=place.aisle,
            way_word=facts.floor.way_word,
            side=place.side,
            section=place.section,
            level=place.level,
            on_your=approach.hand(place.side),
            **part_words(part),
            bags=tuple(_pick_bag(facts, bag) for bag in facts.bags if bag.stop_no == stop_no),
            cautions=_own_cautions(part),
        )
        rows.append(row)
    return tuple(rows)


FRAGILE = "FRAGILE: lay it on top, and nothing heavy on it."


def _own_cautions(part: Part) -> tuple[str, ...]:
    """A part's cautions; the sentence that closes them stands once, on the whole list."""
    return (*dangerous_goods.cautions(part.hazard_words)[:-1], *((FRAGILE,) if part.is_fragile else ()))


def _closing(facts: _Facts) -> tuple[str, ...]:
    says = f"See the warning beside each part. {dangerous_goods.CLOSING_CAUTION}"
    return (says,) if any(part.hazard_words or part.is_fragile for part in facts.parts.values()) else ()


def _path(facts: _Facts) -> tuple[tuple[int, int], ...]:
    stops = [facts.floor.stop_of(facts.bins[code]) for code in _bin_codes(facts)]
    return shortest_walk(facts.floor.room, stops).path


def _bin_codes(facts: _Facts) -> list[str]:
    """The walk's bins in the order in which they were planned: by code of the first bag."""
    return list(dict.fromkeys(bag.bin_code for bag in facts.bags))


def _pick_bag(facts: _Facts, bag: Bag) -> PickBag:
    return PickBag(
        bag_code=bag.code,
        cart_position=bag.cart_position,
        order_number=bag.order_number,
        pieces=bag.pieces,
        tare_g=bag.tare_g,
        **weights(bag),
        bag_type=bag.bag_type,
        scale=_scale(bag),
        note=". ".join(note for note in (*_notes(facts, bag), fill_words(bag.method, bag.pieces, bag.pours)) if note),
        reason="" if bag.method.is_net else hand_words(bag.reason),
    )


_HAND_WORDS = {
    "Too light for this scale": "too light for this scale",
    "less than the scale's minimum load": "too light for this scale",
    "by hand is quickest": "by hand is quickest",
    "sample first": "no sample yet",
    "spread of lots added": "this lot is not sampled yet: a wider window",
}


def hand_words(reason: str) -> str:
    """A bag's reason in the words that a picker needs beside COUNT BY HAND; the figures stand in the books.

    >>> hand_words("Too light for this scale: one piece is 0.0119 g, less than 3 e = 0.03 g. Count by hand.")
    'too light for this scale'
    >>> hand_words("sample first: no unit weight"), hand_words("the sample's count is not proven: weigh it again")
    ('no sample yet', "the sample's count is not proven: weigh it again")
    """
    said = next((words for begins, words in _HAND_WORDS.items() if begins in reason), "")
    return said or reason.removesuffix(" Count by hand.")


def _notes(facts: _Facts, bag: Bag) -> tuple[str, ...]:
    """Which bag of its line it is, and what its order's customer or clerk asks of the picker."""
    return (_share(facts, bag), facts.notes[bag.order_number])


def _share(facts: _Facts, bag: Bag) -> str:
    codes = facts.shares[bag.order_number, bag.line_no]
    return f"bag {codes.index(bag.code) + 1} of {len(codes)}" if len(codes) > 1 else ""


def _label_note(facts: _Facts, bag: Bag) -> str:
    pours = f"{bag.pours} × {bag.pour_pieces}" if bag.method is CountMethod.POUR else ""
    return "; ".join(note for note in (pours, *_notes(facts, bag)) if note)


def _scale(bag: Bag) -> str:
    return bag.scale_code if bag.method.is_weighed else ""


def _route_map(facts: _Facts) -> RouteMapSheet:
    stops = []
    for code, number in sorted({bag.bin_code: bag.stop_no for bag in facts.bags}.items(), key=lambda pair: pair[1]):
        stops.append(map_stop(facts.floor, facts.bins[code], number))
    return room_sheet(facts.floor, stops=stops, path_mm=_path(facts))


def _label(facts: _Facts, bag: Bag) -> BagLabelSheet:
    part = facts.parts[bag.part_number]
    return BagLabelSheet(
        bag_code=bag.code,
        pieces=bag.pieces,
        **part_words(part),
        **weights(bag),
        order_number=bag.order_number,
        cart_position=bag.cart_position,
        stop_no=bag.stop_no,
        bin_code=bag.bin_code,
        walk_number=bag.walk_number,
        bag_type=bag.bag_type,
        note=_label_note(facts, bag),
        cautions=caution_words(part),
    )


def _check_facts(facts: _Facts) -> "CheckFacts":
    from fulfil.walks.checklists.check_rows import CheckFacts

    return CheckFacts(
        walk=facts.walk,
        settings=facts.settings,
        bags=facts.bags,
        parts=facts.parts,
        scales=facts.scales,
        bag_types=facts.bag_types,
        share=lambda bag: _share(facts, bag),
    )


def _of_walk(books: Books, walk: WalkRecord) -> WalkSheets:
    from fulfil.walks.lookalikes import look_alike_index

    return walk_sheets(books, walk, index=look_alike_index)


def _label_of(books: Books, bag: Bag) -> tuple[BagLabelSheet, ...]:
    labels = _of_walk(books, books.need(WalkRecord, bag.walk_number)).bag_labels
    return tuple(label for label in labels if label.bag_code == bag.code)


BY_NUMBER = (
    ByNumber(PickListSheet, WalkRecord, lambda books, walk, _: (_of_walk(books, walk).pick_list,)),
    ByNumber(ChecklistSheet, WalkRecord, lambda books, walk, _: (_of_walk(books, walk).checklist,)),
    ByNumber(CartCardSheet, WalkRecord, lambda books, walk, _: (_of_walk(books, walk).cart_card,)),
    ByNumber(BagLabelSheet, Bag, lambda books, bag, _: _label_of(books, bag)),
)
