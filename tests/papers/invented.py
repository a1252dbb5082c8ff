"""Sheets for the tests of papers: the package's own samples, and what is at the limits that records allow."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from fulfil_demo_catalog.samples.day import day_report
from fulfil_demo_catalog.samples.despatch import manifest, package_label, packing_list
from fulfil_demo_catalog.samples.shop import DAY, FROM, LONG, NOTICE, PARTS, RISK, SHOP, TO
from fulfil_demo_catalog.samples.stock import short_list
from fulfil_demo_catalog.samples.walk import bag, bag_label, cart, cart_card, checklist, pick_list, room_map, stop

from fulfil.papers.despatch.manifest import ManifestRow
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.despatch.packing_list import PackingLine
from fulfil.papers.floor.route_map import MapPassage, MapStop, RouteMapSheet
from fulfil.papers.stock.short_list import ShortRow, WaitingOrder
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.papers.walk.checklist import NotThis
from fulfil.records.part import Supply
from fulfil.records.place import Side
from fulfil.records.plan import CountMethod

__all__ = [
    "DAY",
    "FROM",
    "LONG",
    "NOTICE",
    "PARTS",
    "RISK",
    "SHOP",
    "TO",
    "bag",
    "bag_label",
    "cart",
    "cart_card",
    "checklist",
    "day_report",
    "manifest",
    "package_label",
    "packing_list",
    "pick_list",
    "room_map",
    "short_list",
    "stop",
]

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


def extremes() -> dict[str, Any]:
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
                    look_alikes=(NotThis(words=NAME_200, part_numbers=(WIDE,) * 3, right_mm=90, wrong_mm=89),) * 4,
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
