"""Despatch at the harbour shop: packages, manifests, voids, returns, claims, the day's report and its closing."""

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from fulfil.counting.scale_checks import record_scale_check
from fulfil.despatch.claims import add_claim, claim_frame, evidence_of, settle_claim, take_back
from fulfil.despatch.close import close_day, settle, write_tables
from fulfil.despatch.figures.month import month_days
from fulfil.despatch.kit_labels import kit_label_sheets
from fulfil.despatch.pack import plan_packages, reopen_package, weigh_package
from fulfil.despatch.packages_back import package_returned
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.report import report_day, write_frames
from fulfil.despatch.ship import add_range, close_manifest, issue_identifiers, open_manifest, void_package
from fulfil.documents import sheets_of
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order, hold_order
from fulfil.orders.replacing import replace_claim
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.dispatch import Manifest, Package
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.equipment import BoxType, ScaleRecord
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, NOW, WHO, check, key, pack, plan, release, send
from tests.who import Who

BACK = next(iter(Outcome))


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def packages(shop: Shop, number: str) -> list[Package]:
    """The packages of an order."""
    with shop.reading() as books:
        return books.find(Package, order_number=number)


def checked(shop: Shop, folder: Path, number: str, *asked: tuple[str, int], **given: Any) -> None:
    """An order whose bags have passed."""
    key(shop, number, *asked, **given)
    plan(shop)
    release(shop, folder)
    check(shop, number)


def test_boxes_and_weights(shop: Shop, tmp_path: Path) -> None:
    """Several boxes, a heavy one, one too light for its scale, wrong weights with their causes; opened again."""
    told = Chronicle(shop, "despatch/boxes")
    key(shop, "B-0", ("REED-A", 5))
    told.refused("not checked", lambda: plan_packages(shop, "B-0", **WHO), lambda: plan_packages(shop, "B-9", **WHO))
    with shop.writing() as books:
        small = books.need(BoxType, "KETE-L")
        books.replace(
            [revised(small, {"max_load_g": Decimal(500), "cushioning_g": Decimal(20), "cushioning_sd_g": 2.0})]
        )
        books.replace([revised(books.need(BoxType, "KETE-S"), {"max_load_g": Decimal(300)})])
    checked(shop, tmp_path, "B-1", ("DISC-21", 7), ("SPRING-2", 30), ("REED-A", 20), ("BELL-3", 2))
    told.tell("boxes", plan_packages(shop, "B-1", **later(1)))
    told.tell("asked again", plan_packages(shop, "B-1", **later(2)))
    one = packages(shop, "B-1")
    told.tell("at its lower limit", weigh_package(shop, one[0].number, one[0].lower_g, **later(3)))
    told.tell(
        "too light", weigh_package(shop, one[1].number, one[1].lower_g - Decimal("0.5"), **later(4), photo_path="a.jpg")
    )
    told.tell("a bag short", weigh_package(shop, one[1].number, one[1].expected_g - Decimal("97.0"), **later(5)))
    told.tell("too heavy", weigh_package(shop, one[1].number, one[1].upper_g + Decimal("0.5"), **later(6)))
    told.tell("right", weigh_package(shop, one[1].number, one[1].upper_g, **later(7)))
    told.refused(
        "what can't be weighed",
        lambda: weigh_package(shop, one[0].number, Decimal(300), **WHO),
        lambda: weigh_package(shop, "P-9", Decimal(300), **WHO),
        lambda: weigh_package(shop, one[-1].number, Decimal("300.3"), **WHO),
        lambda: weigh_package(shop, one[-1].number, Decimal(13000), **WHO),
        lambda: weigh_package(shop, one[-1].number, Decimal(300), **WHO, scale_code="NO"),
        lambda: reopen_package(shop, one[0].number, " ", **WHO),
    )
    told.tell("opened again", reopen_package(shop, one[0].number, " a spring is missing ", **later(8)))
    hold_order(shop, "B-1", "asks", **WHO)
    told.refused("held", lambda: weigh_package(shop, one[0].number, one[0].expected_g, **WHO))
    record_scale_check(shop, "TOROA", [CheckReading(Decimal(5000), Decimal(5009))], **later(9))
    checked(shop, tmp_path, "B-2", ("PIN-08", 3))
    told.refused("no scale for packages", lambda: plan_packages(shop, "B-2", **WHO))
    told.is_as_recorded()


def test_a_package_that_is_too_light_goes_on_the_bench_scale(shop: Shop, tmp_path: Path) -> None:
    """The window is made for the scale it goes on, and anew when that one is stopped."""
    told = Chronicle(shop, "despatch/light-package")
    with shop.writing() as books:
        books.replace([revised(books.need(ScaleRecord, "TOROA"), {"min_g": Decimal(100)})])
    checked(shop, tmp_path, "L-1", ("PIN-08", 3))
    told.tell("boxed", plan_packages(shop, "L-1", **WHO))
    (package,) = packages(shop, "L-1")
    told.tell(
        "off, by the other scale",
        weigh_package(shop, package.number, Decimal("10.00"), **later(1), scale_code="KOTARE"),
    )
    told.refused(
        "too light for it", lambda: weigh_package(shop, package.number, Decimal("58.5"), **WHO, scale_code="TOROA")
    )
    record_scale_check(shop, "KOTARE", [CheckReading(Decimal(100), Decimal("100.30"))], **later(3))
    told.tell("where the bench scale is stopped", weigh_package(shop, package.number, Decimal("170.5"), **later(4)))
    told.is_as_recorded()


def test_heavy_and_hazardous(shop: Shop, tmp_path: Path) -> None:
    """Cautions for hands, goods that a service refuses, papers of the package."""
    told = Chronicle(shop, "despatch/heavy-and-hazardous")
    with shop.writing() as books:
        books.replace(
            [
                revised(
                    books.settings(),
                    {"lift_caution_g": Decimal(900), "phone": "+64 3 305 0000", "notice": "No thumbs."},
                )
            ]
        )
    checked(shop, tmp_path, "H-1", ("DISC-21", 9), ("LACQ-10", 2), note_packer="this way up", company="Organs & Sons")
    checked(shop, tmp_path, "H-2", ("LACQ-10", 1), ("CAM-7", 1), service_code="POST")
    for number in ("H-1", "H-2"):
        told.tell(f"boxes of {number}", plan_packages(shop, number, **later(1)))
        for package in packages(shop, number):
            told.tell("weighed", weigh_package(shop, package.number, package.expected_g, **later(2)))
            told.each("its label", sheets_of(shop, package.number, at=NOW))
        told.each("packing list", sheets_of(shop, number, at=NOW))
    told.is_as_recorded()


def test_manifests(shop: Shop, tmp_path: Path) -> None:
    """Opened, closed, closed twice, without papers; what stays behind; a void, and what is in it goes on."""
    told = Chronicle(shop, "despatch/manifests")
    told.tell("opened", open_manifest(shop, "ROAD", day=DAY, **WHO))
    told.tell("opened again", open_manifest(shop, "ROAD", day=DAY, **later(1)))
    told.refused(
        "nothing to close",
        lambda: close_manifest(shop, "ROAD", day=DAY, **WHO),
        lambda: close_manifest(shop, "BOAT", day=DAY, **WHO),
        lambda: close_manifest(shop, "AIR", day=DAY, **WHO, number="M2607140001"),
        lambda: close_manifest(shop, "ROAD", day=DAY, **WHO, number="M-9"),
    )
    for place, number in enumerate(("M-1", "M-2", "M-3")):
        checked(shop, tmp_path, number, ("SCREW-3", 20 + place))
        pack(shop, number)
    hold_order(shop, "M-3", "pays first", **WHO)
    checked(shop, tmp_path, "M-4", ("SCREW-3", 9))
    plan_packages(shop, "M-4", **WHO)
    told.each("open", sheets_of(shop, "M2607140001", at=NOW))
    told.tell("closed", close_manifest(shop, "ROAD", day=DAY, **later(10)))
    told.each("closed, on paper", sheets_of(shop, "M2607140001", at=NOW))
    told.refused(
        "closed",
        lambda: close_manifest(shop, "ROAD", day=DAY, **WHO, number="M2607140001"),
        lambda: close_manifest(shop, "ROAD", day=DAY, **WHO),
    )
    (package,) = packages(shop, "M-1")
    told.refused(
        "what can't be void",
        lambda: void_package(shop, package.number, " ", **WHO),
        lambda: void_package(shop, packages(shop, "M-4")[0].number, "x", **WHO),
    )
    told.tell("void", void_package(shop, package.number, "left on the pier", **later(20)))
    told.refused(
        "void twice",
        lambda: void_package(shop, package.number, "x", **WHO),
        lambda: package_returned(shop, package.number, "x", **WHO),
    )
    (other,) = packages(shop, "M-2")
    told.refused(
        "not back",
        lambda: package_returned(shop, other.number, " ", **WHO),
        lambda: package_returned(shop, packages(shop, "M-4")[0].number, "x", **WHO),
    )
    told.tell("a preview", package_returned(shop, other.number, "wrong town", **later(30), is_preview=True))
    told.tell("came back", package_returned(shop, other.number, "wrong town", **later(30)))
    again = packages(shop, "M-2")[-1]
    weigh_package(shop, again.number, again.expected_g, **later(31))
    close_manifest(shop, "ROAD", day=DAY, **later(32))
    told.tell("sent again")
    told.tell("taken apart", package_returned(shop, again.number, "refused", **later(40), take_apart=True))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_numbers_that_others_give(shop: Shop, tmp_path: Path) -> None:
    """SSCC and S10 ranges: of a service before those of all, used in order, used up; logistic labels."""
    told = Chronicle(shop, "despatch/numbers")
    sscc = {"kind": IdentifierKind.SSCC, "prefix": "952000", "given_on": date(2026, 1, 5)}
    add_range(shop, IdentifierRange.model_validate({**sscc, "code": "ALL", "first": 1, "last": 2}), **WHO)
    add_range(
        shop,
        IdentifierRange.model_validate({**sscc, "code": "OURS", "service_code": "ROAD", "first": 10, "last": 10}),
        **WHO,
    )
    add_range(
        shop,
        IdentifierRange(
            code="RR",
            kind=IdentifierKind.S10,
            service_code="POST",
            prefix="RR",
            country="NZ",
            first=1,
            last=9,
            given_on=date(2026, 1, 6),
        ),
        **WHO,
    )
    told.tell("ranges")
    told.refused(
        "not given",
        lambda: add_range(shop, IdentifierRange.model_validate({**sscc, "code": "X", "first": 2, "last": 5}), **WHO),
        lambda: add_range(shop, IdentifierRange.model_validate({**sscc, "code": "X", "first": 0, "last": 1}), **WHO),
        lambda: add_range(
            shop,
            IdentifierRange.model_validate({**sscc, "code": "X", "first": 3, "last": 5, "service_code": "BOAT"}),
            **WHO,
        ),
        lambda: issue_identifiers(shop, "N-9", **WHO),
    )
    for place, service in enumerate(("ROAD", "POST", "ROAD", "ROAD")):
        checked(shop, tmp_path, f"N-{place}", ("REED-A", 2 + place), service_code=service)
        plan_packages(shop, f"N-{place}", **WHO)
        if place < 3:
            told.each(f"issued to N-{place}", issue_identifiers(shop, f"N-{place}", **later(place)))
    told.refused("used up", lambda: issue_identifiers(shop, "N-3", **later(3)))
    told.each("again", issue_identifiers(shop, "N-1", **later(9)))
    for number in ("N-0", "N-1"):
        told.each("labels", sheets_of(shop, packages(shop, number)[0].number, at=NOW))
    told.is_as_recorded()


def test_claims_and_what_comes_back(shop: Shop, tmp_path: Path) -> None:
    """Evidence of every bag, answers, replacements, returns by count and by weight, scrap."""
    told = Chronicle(shop, "despatch/claims")
    record_scale_check(shop, "KOTARE", [CheckReading(Decimal(100), Decimal("100.00"))], **WHO)
    checked(shop, tmp_path, "C-1", ("REED-A", 20), ("BELL-3", 3), ("SPRING-2", 8), ("KIT-D", 1))
    for number in ("C-1",):
        told.each("evidence before it is packed", sheets_of(shop, f"V{number}", at=NOW))
    send(shop, "C-1")
    checked(shop, tmp_path, "C-2", ("REED-A", 2))
    told.tell("a claim", add_claim(shop, "C-1", 1, ClaimCause.SHORT, **later(60), pieces=2, says="two tongues short"))
    told.tell("another", add_claim(shop, "C-1", 2, ClaimCause.DAMAGED, **later(61)))
    told.tell(
        "one of before",
        add_claim(shop, "C-2", 1, ClaimCause.SHORT, at=NOW - timedelta(days=9), person="ngaio", pieces=1),
    )
    with shop.reading() as books:
        told.tell("claims", [claim_frame(books), claim_frame(books, since=DAY)])
        told.tell("all", claim_frame(books))
        told.tell("since the day", claim_frame(books, since=DAY))
        told.tell("evidence", evidence_of(books, "C-1"))
        told.tell("of a line", evidence_of(books, "C-1", 2))
        told.refused("of none", lambda: evidence_of(books, "C-1", 9))
    told.each("evidence on paper", sheets_of(shop, "VC-1", at=NOW))
    told.refused(
        "what can't be answered",
        lambda: settle_claim(shop, "E2607140001", " ", **WHO),
        lambda: settle_claim(shop, "E-9", "yes", **WHO),
        lambda: replace_claim(shop, "E2607140001", 0, **WHO),
        lambda: replace_claim(shop, "E2607140001", 21, **WHO),
        lambda: add_claim(shop, "C-1", 9, ClaimCause.OTHER, **WHO),
    )
    told.tell("a preview", replace_claim(shop, "E2607140001", 2, **later(62), is_preview=True))
    told.tell("replaced", replace_claim(shop, "E2607140001", 2, **later(62)))
    told.refused(
        "twice",
        lambda: replace_claim(shop, "E2607140001", 2, **WHO),
        lambda: settle_claim(shop, "E2607140001", "x", **WHO),
    )
    told.tell("the replacement is cancelled", cancel_order(shop, "C-1-R1", "found them", **later(63)))
    told.tell("replaced again", replace_claim(shop, "E2607140001", 1, **later(64)))
    told.tell("and wanted no more", change_lines(shop, "C-1-R2", {1: 0}, **later(64)))
    told.tell("settled", settle_claim(shop, "E2607140001", " sorry ", **later(65)))
    told.tell(
        "back, by count",
        take_back(
            shop,
            "C-1",
            1,
            BACK,
            "too many",
            **later(66),
            counted=3,
        ),
    )
    told.tell(
        "back, by weight",
        take_back(shop, "C-1", 1, BACK, "too many", **later(67), gross_g=Decimal("4.60"), bin_code="TAI-2"),
    )
    told.tell("scrap", take_back(shop, "C-1", 3, Outcome.SCRAPPED, "rust", **later(68), counted=2))
    told.tell("of a kit", take_back(shop, "C-1", 4, BACK, "not wanted", **later(69), counted=1, part_number="FELT-9"))
    told.refused(
        "what can't come back",
        lambda: take_back(shop, "C-1", 1, BACK, "x", **WHO, counted=99),
        lambda: take_back(shop, "C-1", 1, BACK, " ", **WHO, counted=1),
        lambda: take_back(shop, "C-1", 1, BACK, "x", **WHO),
        lambda: take_back(shop, "C-1", 4, BACK, "x", **WHO, counted=1),
        lambda: take_back(shop, "C-1", 3, BACK, "x", **WHO, gross_g=Decimal("0.70")),
        lambda: take_back(shop, "C-1", 1, BACK, "x", **WHO, counted=1, bin_code="NO"),
    )
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_the_day_is_reported_reconciled_and_closed(shop: Shop, tmp_path: Path) -> None:
    """Balance, figures, what is left to do; differences get their word; a closed day stays closed."""
    told = Chronicle(shop, "despatch/day")
    checked(shop, tmp_path, "D-1", ("REED-A", 20), ("BELL-3", 9))
    send(shop, "D-1")
    key(shop, "D-2", ("CAM-7", 4), minutes=3)
    key(shop, "D-3", ("CAM-7", 2), minutes=4)
    hold_order(shop, "D-3", "pays first", **WHO)
    key(shop, "D-4", ("SCREW-3", 4), minutes=5)
    cancel_order(shop, "D-4", "mistake", **WHO)
    checked(shop, tmp_path, "D-5", ("FELT-9", 40), ("KIT-D", 2))
    open_manifest(shop, "AIR", day=DAY, **WHO)
    report = report_day(shop, day=DAY)
    told.tell("report", report)
    told.each("frames", [report.frames[name] for name in sorted(report.frames)])
    told.each("files", write_frames(report, tmp_path / "frames"))
    for name in ("day-report", "short-list", "reconciliation"):
        told.each(name, sheets_of(shop, name, at=NOW))
    now = reconcile_day(shop, day=DAY)
    told.tell("reconciliation", now)
    told.each("its frames", [now.frames[name] for name in sorted(now.frames)])
    told.each(
        "its files",
        [
            (path.name, path.read_text("utf-8-sig"))
            for is_guarded in (False, True)
            for path in write_tables(now, tmp_path / "tables", for_spreadsheet=is_guarded)
        ],
    )
    told.refused("manifest open", lambda: close_day(shop, day=DAY, **WHO))
    with shop.writing() as books:
        books.remove(Manifest, number="M2607140002")
    codes = [one.code for one in now.differences]
    told.refused(
        "no word",
        lambda: close_day(shop, day=DAY, **WHO),
        lambda: settle(shop, "X", "x", day=DAY, **WHO),
        lambda: settle(shop, codes[0], " ", day=DAY, **WHO),
    )
    for place, code in enumerate(codes):
        told.tell(
            f"word {place}",
            settle(shop, f" {code.lower()} ", "looked at", day=DAY, **later(place), carry_over=place % 2 == 1),
        )
    told.refused("twice", *(lambda: settle(shop, codes[0], "x", day=DAY, **WHO) for _ in codes[:1]))
    told.each("before it is closed", sheets_of(shop, "reconciliation", at=NOW))
    told.tell("closed", close_day(shop, day=DAY, **later(99)))
    told.refused(
        "closed",
        lambda: close_day(shop, day=DAY, **WHO),
        *(lambda: settle(shop, codes[0], "x", day=DAY, **WHO) for _ in codes[:1]),
    )
    told.each("on paper", sheets_of(shop, "reconciliation", at=NOW))
    told.tell("the day after", reconcile_day(shop, day=DAY + timedelta(days=1)))
    told.each("the month", month_days(shop, DAY))
    told.each("the month before", month_days(shop, date(2026, 6, 30)))
    told.is_as_recorded()


def test_kits_and_rests_on_paper(shop: Shop, tmp_path: Path) -> None:
    """Outer bags of kits; partial notes; pull slips."""
    told = Chronicle(shop, "despatch/kits-and-rests")
    key(shop, "K-1", ("KIT-D", 3), ("BELL-3", 12))
    plan(shop)
    release(shop, tmp_path)
    with shop.reading() as books:
        told.each("kit labels before the check", kit_label_sheets(books, "K-1"))
    told.refused("nothing follows", lambda: sheets_of(shop, "NK-1", at=NOW), lambda: sheets_of(shop, "XK-1", at=NOW))
    change_lines(shop, "K-1", {1: 2}, **later(1))
    told.each("pull slip", sheets_of(shop, "XK-1", at=NOW))
    plan(shop)
    release(shop, tmp_path)
    check(shop, "K-1")
    with shop.reading() as books:
        told.each("kit labels", kit_label_sheets(books, "K-1"))
    plan_packages(shop, "K-1", **WHO)
    told.each("partial note", sheets_of(shop, "NK-1", at=NOW))
    told.is_as_recorded()
