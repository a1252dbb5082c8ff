"""Invented papers of a walk: pick list with its map, bag labels, checklist, cart card.

>>> pick_list(3).pieces
790
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import time
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from fulfil.papers.floor.room import RoomSheet
from fulfil.papers.floor.route_map import MapStop, RouteMapSheet
from fulfil.papers.page import LabelSize
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.papers.walk.cart_card import CartCardSheet
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.papers.walk.checklist import CheckBag, ChecklistSheet, NotThis
from fulfil.papers.walk.pick_list_by_order import by_order
from fulfil.papers.walk.pick_list_half import on_half
from fulfil.papers.walk.pick_list_large import large
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.records.place import Side
from fulfil.records.plan import CountMethod

from .sample import Sample
from .shop import DAY, LONG, NOTICE, PARTS, RISK, SHOP


def bag(
    number: int, pieces: int, *, position: int = 1, hand: bool = False, note: str = "", mass: str = "0.9312"
) -> PickBag:
    """One bag to fill, its window invented but in order."""
    target = (Decimal(mass) * pieces + Decimal("3.10")).quantize(Decimal("0.01"))
    half = Decimal("0.42")
    return PickBag(
        bag_code=f"4200{number:04d}",
        cart_position=position,
        order_number=f"O-{1000 + position}",
        pieces=pieces,
        method=CountMethod.HAND if hand else CountMethod.WEIGH,
        tare_g=Decimal("3.10"),
        bag_type="B2",
        scale="" if hand else "BENCH-1",
        note=note,
        target_g=None if hand else target,
        lower_g=None if hand else target - half,
        upper_g=None if hand else target + half,
    )


_SECTIONS = (2, 8, 14, 20)


def stop(
    number: int,
    *,
    bags: Sequence[PickBag] | None = None,
    turn: str = "",
    description: str = "",
    cautions: Sequence[str] = (),
    aisle: int = 1,
) -> PickStop:
    """One stop with a part chosen by its number."""
    part, words, family, size, finish, mass = PARTS[number % len(PARTS)]
    # Even aisles are walked from the back: their sections fall, and the rack on the right is at the left hand.
    section = _SECTIONS[(number - 1) % 4 if aisle % 2 else 3 - (number - 1) % 4]
    hands = (Side.LEFT, Side.RIGHT) if aisle % 2 else (Side.RIGHT, Side.LEFT)
    pieces = (7, 250, 40, 1200, 12, 3)[number % 6]
    some = (
        bags
        if bags is not None
        else (bag(number * 10, pieces, position=1 + number % 10, hand=number % 5 == 4, mass=mass),)
    )
    return PickStop(
        stop_no=number,
        turn=turn,
        bin_code=f"A{aisle:02d}-{'LR'[number % 2]}-{section:02d}-{number % 4 + 1}",
        aisle=str(aisle),
        side=(Side.LEFT, Side.RIGHT)[number % 2],
        section=section,
        level=number % 4 + 1,
        on_your=hands[number % 2] if number % 7 else None,
        part_number=part,
        description=description or words,
        family=family,
        size=size,
        finish=finish,
        bags=tuple(some),
        cautions=tuple(cautions),
    )


def room_map(stops: int, aisles: int = 10, crowd_mm: int = 0) -> RouteMapSheet:
    """An S-shaped walk through every second aisle, there and back in the last one."""
    length, pitch = 30_000, 2_500
    xs = [1_250 + i * pitch for i in range(aisles)]
    places = []
    for i in range(stops):
        aisle = i * aisles // stops
        per = max(1, stops // aisles)
        step = crowd_mm or (length - 4_000) // per
        y = 2_000 + (i % per) * step
        places.append((xs[aisle], y if aisle % 2 == 0 else length - y, (Side.RIGHT, Side.LEFT)[i % 2]))
    path = [(xs[0], 0)]
    for i, x in enumerate(xs):
        ends = (0, length) if i % 2 == 0 else (length, 0)
        path += [(x, ends[0]), (x, ends[1])]
    if aisles % 2:
        path += [(xs[-1], 0)]
    path += [(xs[0], 0)]
    clean = [p for i, p in enumerate(path) if i == 0 or p != path[i - 1]]
    return RouteMapSheet.of_aisles(
        aisles=[(str(i + 1), x) for i, x in enumerate(xs)],
        cross_aisle_y_mm=(0, length),
        bench_mm=(xs[0], 0),
        stops=[MapStop(number=i + 1, x_mm=x, y_mm=y, side=side) for i, (x, y, side) in enumerate(places)],
        path_mm=clean,
    )


def cart(positions: int = 10, bags: Mapping[int, int] = MappingProxyType({})) -> tuple[CartPosition, ...]:
    """Orders on a cart, three bags each where nothing else is said."""
    return tuple(
        CartPosition(
            position=i,
            order_number=f"O-{1000 + i}",
            service=("Parcel, two days", "Post, letter")[i % 2],
            destination=("PL", "GR", "US", "JP")[i % 4],
            bags=bags.get(i, 3),
        )
        for i in range(1, positions + 1)
    )


def pick_list(count: int = 24, **changes: Any) -> PickListSheet:
    """A pick list of a usual walk."""
    some = []
    for i in range(1, count + 1):
        aisle = 1 + (i - 1) // 4
        turn = f"Aisle {aisle}, from the {('back', 'front')[aisle % 2]}" if (i - 1) % 4 == 0 else ""
        bags: tuple[PickBag, ...] | None = None
        if i == 3:
            bags = (bag(31, 250, position=2, note="bag 1 of 2"), bag(32, 250, position=2, note="bag 2 of 2"))
        if i == 6:
            bags = (
                bag(61, 30, position=7, note="weigh a sample of 20 first, enter it, then fill"),
                bag(62, 8, position=9),
                bag(63, 120, position=10),
            )
        cautions = ("Leaded brass: no food at the bench, wash your hands.",) if i % 11 == 3 else ()
        some.append(stop(i, bags=bags, turn=turn, aisle=aisle, cautions=cautions, description=LONG if i == 9 else ""))
    on_cart = Counter(bag.cart_position for stop in some for bag in stop.bags)
    facts: dict[str, Any] = {
        "document_number": "PL-250304-07",
        "shop_name": SHOP,
        "day": DAY,
        "notice": NOTICE,
        "walk_number": "W-07",
        "cart_name": "cart 2",
        "cart": tuple(one for one in cart(bags={place: on_cart[place] for place in range(1, 11)}) if one.bags),
        "cut_off": time(15, 30),
        "cut_off_service": "Parcel, two days",
        "length_mm": 184_300,
        "stops": tuple(some),
        "route_map": room_map(count, max(2, -(-count // 4))),
        "risk_statement": RISK,
        "bound_statement": "Each walk is the shortest route for its stops; no plan can be over 2.1 % shorter.",
    }
    return PickListSheet(**(facts | changes))


def bag_label(number: int = 1, **changes: Any) -> BagLabelSheet:
    """A usual bag label."""
    part, words, family, size, finish, mass = PARTS[number % len(PARTS)]
    filled = bag(number, 250, mass=mass)
    facts: dict[str, Any] = {
        "bag_code": filled.bag_code,
        "part_number": part,
        "description": words,
        "family": family,
        "size": size,
        "finish": finish,
        "pieces": 250,
        "method": CountMethod.WEIGH,
        "target_g": filled.target_g,
        "lower_g": filled.lower_g,
        "upper_g": filled.upper_g,
        "order_number": f"O-{1001 + number % 10}",
        "cart_position": 1 + number % 10,
        "stop_no": number,
        "bin_code": "A04-L-07-2",
        "walk_number": "W-07",
        "bag_type": "B2",
    }
    return BagLabelSheet(**(facts | changes))


NOT_THESE = {
    "cap screw": (
        NotThis(words="16 mm long, not 20 mm: 4 mm shorter", part_numbers=("SCR-0320",), right_mm=16, wrong_mm=20),
        NotThis(words="zinc plated, not stainless", part_numbers=("SCR-1316",)),
    ),
    "bearing ball": (NotThis(words="polished steel, not glass", part_numbers=("BAL-1400",)),),
    "gear": (NotThis(words="24 teeth, not 25", part_numbers=("GEA-0025",)),),
    "spring": (
        NotThis(words="25 mm long, not 30 mm: 5 mm shorter", part_numbers=("SPR-0110",), right_mm=25, wrong_mm=30),
    ),
}


def checklist(rows: int = 12) -> ChecklistSheet:
    """A checklist of two bags an order."""
    some = []
    for i in range(rows):
        part, words, family, size, finish, mass = PARTS[i % len(PARTS)]
        filled = bag(i, 250 - i, mass=mass, hand=i % 3 == 2)
        has_twin = i % 3 < 2
        some.append(
            CheckBag(
                bag_code=filled.bag_code,
                cart_position=1 + i // 2,
                order_number=f"O-{1001 + i // 2}",
                part_number=part,
                description=words,
                family=family,
                size=size,
                finish=finish,
                pieces=filled.pieces,
                method=filled.method,
                target_g=filled.target_g,
                lower_g=filled.lower_g,
                upper_g=filled.upper_g,
                note="bag 1 of 2" if i == 3 else "",
                look_alikes=NOT_THESE.get(family, ()) if has_twin else (),
                second_look=("new lot, not sampled yet",) if i == 8 else (),
                scale="BENCH-1" if filled.method is CountMethod.WEIGH else "",
                cautions=("Leaded brass: wash your hands.",) if i == 3 else (),
            )
        )
    return ChecklistSheet(
        document_number="CL-250304-07",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        walk_number="W-07",
        cart_name="cart 2",
        all_bags=pick_list().bags,
        rows=tuple(some),
        risk_statement=RISK,
    )


def room() -> RoomSheet:
    """A walk drawn in the room."""
    plan = room_map(16)
    return RoomSheet(
        document_number="ROOM",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        title="Walk W-07 in the room",
        facts=("10 aisles", "184.3 m"),
        route_map=plan,
        says=("The shortest possible route for these stops.",),
    )


def cart_card() -> CartCardSheet:
    """Ten orders on a cart."""
    return CartCardSheet(
        document_number="CC-250304-07",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        walk_number="W-07",
        cart_name="cart 2",
        cut_off=time(15, 30),
        cut_off_service="Parcel, two days",
        positions=pick_list().cart,
    )


def _bag_labels() -> list[BagLabelSheet]:
    labels = [bag_label(i) for i in range(1, 7)]
    return [*labels, replace(labels[2], cautions=("LEADED BRASS",), note="bag 1 of 2")]


SAMPLES = {
    "bag-labels-50x25": Sample(lambda: _bag_labels()[:6], LabelSize.BAG_50_25),
    "bag-labels-60x40": Sample(_bag_labels, LabelSize.BAG_60_40),
    "bag-labels-on-sheets": Sample(_bag_labels, on_sheets=True),
    "cart-card": Sample(lambda: [cart_card()]),
    "checklist": Sample(lambda: [checklist()]),
    "pick-list": Sample(lambda: [pick_list()]),
    "pick-list-by-order": Sample(lambda: by_order(pick_list())),
    "pick-list-half": Sample(lambda: [on_half(pick_list())]),
    "pick-list-large": Sample(lambda: [large(pick_list())]),
    "room": Sample(lambda: [room()]),
}
