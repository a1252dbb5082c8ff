"""Invented sheets for the tests of papers: clock parts, invented people, no clock, no chance."""

from dataclasses import replace
from datetime import date, time
from decimal import Decimal

from fulfil.records.part import Supply
from fulfil.records.place import Side
from fulfil.records.plan import CountMethod
from fulfil.records.sheets import (
    BagLabelSheet,
    BalanceRow,
    CartCardSheet,
    CartPosition,
    CheckBag,
    ChecklistSheet,
    DayReportSheet,
    Figure,
    ManifestRow,
    ManifestSheet,
    MapPassage,
    MapStop,
    PackageLabelSheet,
    PackedPackage,
    PackingLine,
    PackingListSheet,
    PickBag,
    PickListSheet,
    PickStop,
    RouteMapSheet,
    ShortListSheet,
    ShortRow,
    WaitingOrder,
)

DAY = date(2025, 3, 4)
SHOP = "Tick & Tumble Clockparts (invented)"
NOTICE = "Demo: all data invented, weighings simulated."
FROM = (SHOP, "1 Escapement Yard", "EX1 0AA EXAMPLETOWN", "UNITED KINGDOM")
TO = ("Zofia Przykładowa", "ul. Zmyślona 12/3", "00-000 PRZYKŁADÓW", "POLAND")
RISK = (
    "Windows made so that a bag one piece off passes in at most 1 of 1000 cases "
    "and a right bag is sent back in at most 5 of 1000."
)
PARTS = (
    ("SCR-0316", "Cap screw M3 x 16, hexagon socket, zinc plated", "cap screw", "M3 x 16", "zinc plated", "0.9312"),
    ("BAL-0400", "Bearing ball 4 mm, grade 100", "bearing ball", "4 mm", "polished steel", "0.2610"),
    ("WSH-0003", "Plain washer for M3", "washer", "M3", "brass, bright", "0.1190"),
    ("GEA-0024", "Gear wheel with 24 teeth, module 0.5, bore 3 mm", "gear", "24 teeth, 0.5", "brass", "2.4410"),
    ("SPR-0107", "Compression spring 7 x 25 mm, wire 0.7 mm", "spring", "7 x 25", "bright steel", "0.8300"),
    ("HND-0061", "Hour hand, leaf form, length 61 mm", "hand", "61 mm", "blued steel", "1.1020"),
)
LONG = (
    "Escapement wheel with fifteen teeth, lapped and polished on both faces, hub of free-cutting brass, bore reamed "
    "2.500 mm H7, for movements with a seconds pendulum; supplied in pairs, oil before use, left hand"
)


def bag(number: int, pieces: int, *, position: int = 1, hand: bool = False, note: str = "", mass: str = "0.9312"):
    """One bag to fill, its window invented but in order."""
    target = (Decimal(mass) * pieces + Decimal("3.10")).quantize(Decimal("0.01"))
    weights = (
        {}
        if hand
        else {
            "target_g": target,
            "lower_g": target - Decimal("0.42"),
            "upper_g": target + Decimal("0.42"),
        }
    )
    return PickBag(
        bag_code=f"4200{number:04d}",
        cart_position=position,
        order_number=f"O-{1000 + position}",
        pieces=pieces,
        method=CountMethod.HAND if hand else CountMethod.WEIGH,
        tare_g=Decimal("3.10"),
        bag_type="B2",
        note=note,
        **weights,
    )


def stop(number: int, *, bags=None, turn: str = "", description: str = "", cautions=(), aisle: int = 1):
    """One stop with a part chosen by its number."""
    part, words, family, size, finish, mass = PARTS[number % len(PARTS)]
    pieces = (7, 250, 40, 1200, 12, 3)[number % 6]
    some = (
        bags
        if bags is not None
        else (bag(number * 10, pieces, position=1 + number % 10, hand=number % 5 == 4, mass=mass),)
    )
    return PickStop(
        stop_no=number,
        turn=turn,
        bin_code=f"A{aisle:02d}-{'LR'[number % 2]}-{number % 20 + 1:02d}-{number % 4 + 1}",
        aisle=str(aisle),
        side=(Side.LEFT, Side.RIGHT)[number % 2],
        section=number % 20 + 1,
        level=number % 4 + 1,
        on_your=(Side.RIGHT, Side.LEFT)[number % 2] if number % 3 else None,
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
        places.append((xs[aisle], y if aisle % 2 == 0 else length - y, (Side.LEFT, Side.RIGHT)[i % 2]))
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


def cart(positions: int = 10) -> tuple[CartPosition, ...]:
    """Orders on a cart."""
    return tuple(
        CartPosition(
            position=i,
            order_number=f"O-{1000 + i}",
            service=("Parcel, two days", "Post, letter")[i % 2],
            destination=("PL", "GR", "US", "JP")[i % 4],
            bags=3,
        )
        for i in range(1, positions + 1)
    )


def pick_list(count: int = 24, **changes) -> PickListSheet:
    """A pick list of a usual walk."""
    some = []
    for i in range(1, count + 1):
        aisle = 1 + (i - 1) // 4
        turn = f"Aisle {aisle}, from the {('back', 'front')[aisle % 2]}" if (i - 1) % 4 == 0 else ""
        bags = None
        if i == 3:
            bags = (bag(31, 250, position=2, note="split 1 of 2"), bag(32, 250, position=2, note="split 2 of 2"))
        if i == 6:
            bags = (
                bag(61, 30, position=7, note="sample first: weigh 20, enter, then fill"),
                bag(62, 8, position=9),
                bag(63, 120, position=10),
            )
        cautions = ("Leaded brass: no food at the bench, wash your hands.",) if i % 11 == 3 else ()
        some.append(stop(i, bags=bags, turn=turn, aisle=aisle, cautions=cautions, description=LONG if i == 9 else ""))
    facts = {
        "document_number": "PL-250304-07",
        "shop_name": SHOP,
        "day": DAY,
        "notice": NOTICE,
        "walk_number": "W-07",
        "cart_name": "cart 2",
        "cart": cart(),
        "cut_off": time(15, 30),
        "cut_off_service": "Parcel, two days",
        "length_mm": 184_300,
        "stops": tuple(some),
        "route_map": room_map(count),
        "risk_statement": RISK,
        "bound_statement": "Walk proven shortest for these stops; the day's plan is at most 2.1 % above the bound.",
    }
    return PickListSheet(**(facts | changes))


def bag_label(number: int = 1, **changes) -> BagLabelSheet:
    """A usual bag label."""
    part, words, family, size, finish, mass = PARTS[number % len(PARTS)]
    filled = bag(number, 250, mass=mass)
    facts = {
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
        "order_number": "O-1003",
        "cart_position": 1 + number % 10,
        "stop_no": number,
        "bin_code": "A04-L-07-2",
        "walk_number": "W-07",
        "bag_type": "B2",
    }
    return BagLabelSheet(**(facts | changes))


def checklist(rows: int = 12) -> ChecklistSheet:
    """A checklist of two bags an order."""
    some = []
    for i in range(rows):
        part, words, family, size, finish, mass = PARTS[i % len(PARTS)]
        filled = bag(i, 250 - i, mass=mass, hand=i % 5 == 4)
        look = (
            {
                "look_at": "outer diameter 7 mm, no chamfer",
                "look_alikes": ("WSH-0004: 9 mm outside, same weight", "WSH-0103: steel, dull grey"),
            }
            if i % 6 == 2
            else {}
        )
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
                **look,
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
        rows=tuple(some),
        risk_statement=RISK,
    )


def packing_list(count: int = 8, **changes) -> PackingListSheet:
    """A packing list with one line short."""
    some = tuple(
        PackingLine(
            line_no=i + 1,
            part_number=PARTS[i % 6][0],
            description=PARTS[i % 6][1],
            ordered=100 + i,
            inside=100 + i - (40 if i == 2 else 0),
            to_follow=40 if i == 2 else 0,
            bags=1 + i % 2,
        )
        for i in range(count)
    )
    facts = {
        "document_number": "DA-000118",
        "shop_name": SHOP,
        "day": DAY,
        "notice": NOTICE,
        "order_number": "O-1003",
        "service": "Parcel, two days",
        "from_lines": FROM,
        "to_lines": TO,
        "lines": some,
        "packages": (
            PackedPackage(number="PK000118", gross_g=Decimal("1284")),
            PackedPackage(number="PK000119", gross_g=Decimal("2310.5")),
        ),
        "contact": "Questions: count@example.invalid, please give the order number.",
        "remarks": ("The 40 gears to follow are being made and leave by the same service.",),
    }
    return PackingListSheet(**(facts | changes))


def package_label(**changes) -> PackageLabelSheet:
    """A usual package label."""
    facts = {
        "package_number": "PK000118",
        "order_number": "O-1003",
        "service": "Parcel, two days",
        "from_lines": FROM,
        "to_lines": TO,
        "package_no": 1,
        "packages": 2,
        "gross_g": Decimal("2310.5"),
        "notice": NOTICE,
    }
    return PackageLabelSheet(**(facts | changes))


def manifest(rows: int = 14) -> ManifestSheet:
    """A manifest of one collection."""
    people = (
        ("Zofia Przykładowa", "PRZYKŁADÓW", "00-000", "PL"),
        ("Ελένη Παραδειγμάτου", "ΠΑΡΑΔΕΙΓΜΑ", "000 00", "GR"),
        ("Иван Примеров", "ПРИМЕРСК", "0000", "BG"),
        ("Test Person", "EXAMPLEVILLE", "EX1 0AA", "GB"),
    )
    some = tuple(
        ManifestRow(
            package_number=f"PK{118 + i:06d}",
            order_number=f"O-{1003 + i}",
            consignee=people[i % 4][0],
            town=people[i % 4][1],
            post_code=people[i % 4][2],
            country=people[i % 4][3],
            gross_g=Decimal(400 + 310 * i),
            flags="customs form" if i % 4 == 3 else "",
        )
        for i in range(rows)
    )
    return ManifestSheet(
        document_number="MF-250304-2",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        service="Parcel, two days",
        cut_off=time(16, 0),
        from_lines=FROM,
        rows=some,
        state_sentence="Closed on 4 March 2025 at 15:42 by P-03; no package may be added.",
    )


def short_list() -> ShortListSheet:
    """Shorts to make and to buy."""
    rows = [
        ShortRow(
            part_number=PARTS[i][0],
            description=PARTS[i][1],
            size=PARTS[i][3],
            finish=PARTS[i][4],
            pieces=(40, 1200, 15000)[i % 3],
            supply=Supply.MAKE if i < 2 else Supply.BUY,
            supplier="" if i < 2 else ("Invented Fasteners", "Sample Springs")[i // 4],
            waiting=tuple(WaitingOrder(order_number=f"O-{1001 + j}", pieces=20 + j) for j in range(1 + 5 * (i % 2))),
        )
        for i in range(6)
    ]
    return ShortListSheet(document_number="SL-250304", shop_name=SHOP, day=DAY, notice=NOTICE, rows=tuple(rows))


def day_report(**changes) -> DayReportSheet:
    """A day that balances."""
    facts = {
        "document_number": "DR-250304",
        "shop_name": SHOP,
        "day": DAY,
        "notice": NOTICE,
        "balance": (
            BalanceRow(label="ordered", orders=100, lines=600, pieces=41250, is_total=True),
            BalanceRow(label="shipped", orders=94, lines=571, pieces=40100),
            BalanceRow(label="short", lines=12, pieces=640),
            BalanceRow(label="held", orders=4, lines=11, pieces=310),
            BalanceRow(label="cancelled", orders=2, lines=6, pieces=200),
            BalanceRow(label="difference", pieces=0, is_total=True),
        ),
        "is_balanced": True,
        "balance_sentence": "The day balances to the piece.",
        "figures": (
            (
                "Walks",
                (
                    Figure(label="walked", value="1843.2 m", remark="10 walks"),
                    Figure(label="no plan is shorter than", value="1805.0 m", remark="proven, 2.1 % below"),
                ),
            ),
            (
                "Checks",
                (
                    Figure(label="bags checked", value="640", remark="each by a second person"),
                    Figure(label="mistakes caught", value="11 of 12", remark="planted, simulated"),
                ),
            ),
        ),
        "to_do": (
            "Recount bin A04-L-07-2: the books say 40, the picker found 12.",
            "Order O-1017 is held: country code 'XX' is no country. Ask the customer.",
        ),
        "risk_statement": RISK,
    }
    return DayReportSheet(**(facts | changes))


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
        positions=cart(),
    )


PAPER_OF = {
    "PickListSheet": "pick_list",
    "ChecklistSheet": "checklist",
    "PackingListSheet": "packing_list",
    "ManifestSheet": "manifest",
    "ShortListSheet": "short_list",
    "DayReportSheet": "day_report",
    "CartCardSheet": "cart_card",
}
WIDE = "W" * 40
NAME_200 = "Überlange Bezeichnung ΑΒΓ ЖЗИ łódź " * 5 + "Ende des Textes bei 200."


def extremes() -> dict[str, object]:
    """Sheets at the limits that records allow, and beyond what is usual."""
    forty = tuple(
        bag(500 + i, 999_999 - i, position=i % 99 + 1, note="split 1 of 2" if i % 7 == 0 else "") for i in range(40)
    )
    wide_stop = replace(
        stop(1, bags=forty, turn="Aisle 1, from the front", description=NAME_200, cautions=(RISK, RISK)),
        bin_code=WIDE,
        aisle=WIDE,
        part_number=WIDE,
        family=NAME_200,
        size=NAME_200,
        finish=NAME_200,
    )
    one_word = replace(stop(2, description="W" * 200), family="W" * 200, on_your=Side.LEFT)
    narrow = replace(
        bag(900, 3), target_g=Decimal("123456.78"), lower_g=Decimal("123456.63"), upper_g=Decimal("123456.93")
    )
    positions = tuple(replace(each, order_number=WIDE, service=NAME_200, note=NAME_200) for each in cart(3))
    return {
        "forty bags": pick_list(
            2,
            stops=(
                wide_stop,
                one_word,
                stop(3, bags=(narrow, replace(narrow, bag_code="42000901"))),
                replace(stop(4), stop_no=999),
            ),
            notice=NAME_200,
            cautions=(NAME_200, RISK),
            cart_name=NAME_200,
            route_map=room_map(3),
            document_number="P" * 24,
        ),
        "forty stops": pick_list(40),
        "crowd": pick_list(4, route_map=room_map(60, 6, crowd_mm=120)),
        "four hundred stops": pick_list(4, route_map=room_map(400, 10, crowd_mm=70)),
        "full cart": pick_list(4, cart=cart(24)),
        "no map": pick_list(4, route_map=None, cart=()),
        "odd room": pick_list(
            4,
            route_map=RouteMapSheet(
                passages=(
                    MapPassage(name="a", from_mm=(0, 0), to_mm=(9000, 4000)),
                    MapPassage(name="b", from_mm=(9000, 4000), to_mm=(2000, 8000)),
                ),
                bench_mm=(0, 0),
                stops=(MapStop(number=1, x_mm=4500, y_mm=2000), MapStop(number=2, x_mm=4500, y_mm=2000)),
                path_mm=((0, 0), (9000, 4000), (2000, 8000), (9000, 4000), (0, 0)),
            ),
        ),
        "wide checklist": replace(
            checklist(1),
            rows=(
                replace(
                    checklist(1).rows[0],
                    bag_code=WIDE,
                    part_number=WIDE,
                    description=NAME_200,
                    order_number=WIDE,
                    look_at=NAME_200,
                    look_alikes=(NAME_200,) * 4,
                    pieces=999_999,
                    cart_position=99,
                    note=NAME_200,
                ),
            )
            * 3,
            cautions=(NAME_200,),
        ),
        "300 lines": packing_list(
            300,
            to_lines=(NAME_200,) * 7,
            from_lines=(NAME_200,) * 7,
            remarks=(NAME_200,),
            packages=tuple(PackedPackage(number=f"PK{i:06d}") for i in range(30)),
        ),
        "all columns": packing_list(
            1,
            lines=(
                PackingLine(
                    line_no=9999,
                    part_number=WIDE,
                    description=NAME_200,
                    ordered=999_999,
                    inside=999_000,
                    to_follow=333,
                    sent_before=333,
                    cancelled=333,
                    bags=99,
                    note=NAME_200,
                ),
            ),
        ),
        "wide manifest": replace(
            manifest(1),
            rows=(
                ManifestRow(
                    package_number=WIDE,
                    order_number=WIDE,
                    consignee=NAME_200,
                    town=NAME_200,
                    post_code=NAME_200,
                    country="GB",
                    gross_g=Decimal("31499.5"),
                    flags=NAME_200,
                ),
            )
            * 5,
        ),
        "empty manifest": replace(manifest(1), rows=()),
        "empty short list": replace(short_list(), rows=()),
        "wide short list": replace(
            short_list(),
            rows=(
                ShortRow(
                    part_number=WIDE,
                    description=NAME_200,
                    size=NAME_200,
                    finish=NAME_200,
                    pieces=999_999,
                    supply=Supply.BUY,
                    supplier=NAME_200,
                    note=NAME_200,
                    waiting=tuple(WaitingOrder(order_number=f"O-{i}", pieces=12_345) for i in range(100)),
                ),
            )
            * 2,
        ),
        "unbalanced day": day_report(
            is_balanced=False, balance_sentence=NAME_200, to_do=(NAME_200,) * 30, cautions=(NAME_200,)
        ),
        "wide cart": replace(cart_card(), positions=positions),
    }


def bag_labels() -> list[BagLabelSheet]:
    """Usual labels and the extremes that still fit."""
    hand = {"method": CountMethod.HAND, "target_g": None, "lower_g": None, "upper_g": None}
    return [
        *(bag_label(i) for i in range(1, 7)),
        bag_label(2, description=NAME_200, family=NAME_200, **hand),
        bag_label(3, cautions=("Contains lead.",), pieces=999_999, note="bag 1 of 2", stop_no=999, cart_position=99),
        bag_label(4, part_number="PART-0123456789-XY", order_number="ORDER-0123456789", note="of 99"),
    ]


def package_labels() -> list[PackageLabelSheet]:
    """A usual package, and one with seven lines of sixty characters."""
    long = (*("A line of exactly sixty characters, as some people write it.",) * 6, "UNITED STATES OF AMERICA")
    return [
        package_label(),
        package_label(to_lines=long, from_lines=long, cautions=("Heavy: lift with two people.", "Liquids inside.")),
        package_label(gross_g=None, package_no=99, packages=99, service=NAME_200),
    ]
