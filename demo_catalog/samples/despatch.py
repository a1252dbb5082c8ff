"""Invented papers of a despatch: packing list, labels, customs papers, invoice, manifest.

Numbers that only an issuer may give are those of published figures (SSCC of GS1 General Specifications, 5.4.2; S10
item number of UPU S10-12).


>>> packing_list().pieces_to_follow
40
"""

from datetime import time
from decimal import Decimal
from typing import Any

from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import CustomsRow
from fulfil.papers.despatch.invoice import InvoiceRow, InvoiceSheet
from fulfil.papers.despatch.logistic_label import LogisticLabelSheet
from fulfil.papers.despatch.manifest import ManifestRow, ManifestSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.despatch.packing_list import PackingLine, PackingListSheet

from .sample import Sample
from .shop import DAY, FROM, NOTICE, PARTS, SHOP, TO


def packing_list(count: int = 8, **changes: Any) -> PackingListSheet:
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
    facts: dict[str, Any] = {
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
        "remarks": ("The 40 washers to follow are being bought and leave by the same service.",),
    }
    return PackingListSheet(**(facts | changes))


def package_label(**changes: Any) -> PackageLabelSheet:
    """A usual package label."""
    facts: dict[str, Any] = {
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


ABROAD = ("Alex Placeholder", "100 Sample St", "SAMPLEVILLE, NY 00000", "UNITED STATES")


def logistic_label() -> LogisticLabelSheet:
    """A package with both an SSCC and an item number."""
    return LogisticLabelSheet(
        label=package_label(), sscc="395123451234567895", item_number="RR473124829GB", post_code="00-000"
    )


def cn22(rows: int = 2) -> Cn22Sheet:
    """Goods of a postal package."""
    goods = ("steel cap screws for clock movements", "brass gear wheels for clock movements", "steel watch springs")
    codes = ("731815", "910199", "732090")
    return Cn22Sheet(
        document_number="PK000119",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        item_number="RR473124829GB",
        order_number="O-1004",
        invoice_number="IV-000119",
        from_lines=FROM,
        from_contact="count@example.invalid",
        to_lines=ABROAD,
        importer_contact="alex@example.invalid",
        category="sale of goods",
        currency="EUR",
        rows=tuple(
            CustomsRow(
                description=goods[i % 3],
                pieces=250 + i,
                net_g=233 + 40 * i,
                value_minor=1650 + 100 * i,
                hs_code=codes[i % 3],
                origin=("DE", "GB")[i % 2],
            )
            for i in range(rows)
        ),
        gross_g=Decimal(sum(233 + 40 * i for i in range(rows)) + 134),
        sdr_sentence="Value up to 300 SDR, at an invented rate of 4 March 2025.",
    )


def cn23(rows: int = 6) -> Cn23Sheet:
    """More kinds of goods than a label holds."""
    return cn22(rows).on_a_page()


def invoice(rows: int = 6) -> InvoiceSheet:
    """What a despatch abroad is worth."""
    return InvoiceSheet(
        document_number="IV-000119",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        order_number="O-1004",
        order_day="Mon 3 March 2025",
        from_lines=FROM,
        from_contact="count@example.invalid",
        to_lines=ABROAD,
        to_contact="alex@example.invalid",
        service="Post, letter",
        country_of_destination="US",
        countries_of_origin=("DE", "GB"),
        terms="DAP Sampleville (Incoterms 2020)",
        currency="EUR",
        rows=tuple(
            InvoiceRow(
                line_no=i + 1,
                part_number=PARTS[i % 6][0],
                description=PARTS[i % 6][1],
                pieces=100 + i,
                unit_price_minor=12 + i,
                hs_code=("731815", "848291", "731822", "910199", "732090", "911490")[i % 6],
                origin=("DE", "GB")[i % 2],
            )
            for i in range(rows)
        ),
        packages=(PackedPackage(number="PK000119", gross_g=Decimal(640)),),
        net_g=566,
        declaration="The exporter declares that the particulars of this invoice are true.",
    )


SAMPLES = {
    "customs-cn22": Sample(lambda: [cn22()]),
    "customs-cn23": Sample(lambda: [cn23()]),
    "invoice": Sample(lambda: [invoice()]),
    "logistic-label": Sample(lambda: [logistic_label()]),
    "manifest": Sample(lambda: [manifest()]),
    "package-label": Sample(lambda: [package_label()]),
    "packing-list": Sample(lambda: [packing_list(also_in="pl")]),
}
