"""Just inside and just outside: boxes that a service does not take, hours of a month, what customs hear."""

import re
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.abroad.customs import note_particulars
from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.despatch.advice import AdviceFormat, write_advices
from fulfil.despatch.figures.month import month_days
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.pack_causes import package_cautions
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest
from fulfil.documents import sheets_of
from fulfil.errors import WeighingRefused
from fulfil.orders.changing import change_address, change_notes
from fulfil.orders.importing import import_orders
from fulfil.orders.moving import pass_bag
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order
from fulfil.records.part import Part, UnitWeight
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.jobs import BookedIn, add_job, book_in
from fulfil.stock.levels import use_frame
from fulfil.store.shop import Shop
from tests import shipping_shop
from tests.chronicle.telling import Chronicle, as_recorded
from tests.harbour_shop import DAY, FILES, NOW, ZONE, bags, check, key, pack, plan, release, write_catalogue
from tests.shipping_shop import sealed_shop
from tests.who import Who


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def checked(shop: Shop, folder: Path, number: str, *asked: tuple[str, int], **given: Any) -> None:
    """An order whose bags have passed."""
    key(shop, number, *asked, **given)
    plan(shop)
    release(shop, folder)
    check(shop, number)


def test_boxes_that_a_service_does_not_take(shop: Shop, tmp_path: Path) -> None:
    """By mass, by length, by both: boxed all the same, and stopped; without a box that holds it nothing is boxed."""
    told = Chronicle(shop, "despatch/not-taken")
    limits: tuple[dict[str, Any], ...] = (
        {"max_weight_g": Decimal(250)},
        {"max_weight_g": Decimal(450)},
        {"max_longest_mm": 345},
        {"max_longest_mm": 346},
        {"max_longest_mm": 100, "max_weight_g": Decimal(250)},
        {"max_length_girth_mm": 1000},
    )
    plain = {"max_weight_g": Decimal(0), "max_longest_mm": 0, "max_length_girth_mm": 0}
    for place, limit in enumerate(limits):
        with shop.writing() as books:
            books.replace([revised(books.need(Service, "AIR"), {**plain, **limit})])
        number = f"T-{place}"
        checked(shop, tmp_path, number, ("DISC-21", 1), ("CAM-7", 4), ("SCREW-3", 30), service_code="AIR")
        told.tell(f"boxes with {limit}", plan_packages(shop, number, **later(1)))
        with shop.reading() as books:
            found = books.find(Package, order_number=number)
        for package in found:
            told.tell("weighed", weigh_package(shop, package.number, package.expected_g, **later(2)))
    checked(shop, tmp_path, "T-9", ("REED-A", 3))
    with shop.writing() as books:
        books.replace([revised(box, {"length_mm": 12, "width_mm": 9, "height_mm": 8}) for box in books.find(BoxType)])
    told.refused("too small", lambda: plan_packages(shop, "T-9", **later(3)))
    with shop.writing() as books:
        books.remove(BoxType)
    told.refused("without boxes", lambda: plan_packages(shop, "T-9", **later(3)))
    told.is_as_recorded()


@pytest.mark.parametrize("count", [1, 5, 6])
def test_how_many_bins_a_file_names_that_it_leaves_alone(shop: Shop, tmp_path: Path, count: int) -> None:
    """Five are named, of more it says so; levels and lots stay as in the books."""
    head, *rows = FILES["bins.csv"].splitlines()
    full = [row for row in rows if not row.endswith(",0")][:count]
    given = [f"{row.rpartition(',')[0]},{int(row.rpartition(',')[2]) + 1}" for row in full]
    folder = write_catalogue(tmp_path / "files", {"bins.csv": "\n".join([head, *given, *rows[count:]]) + "\n"})
    (note,) = import_catalogue(shop, folder, **later(1)).notes
    assert note.startswith(f"the level of {count} bin{'s' * (count > 1)} stays as in the books (")
    assert note.count(" in the file") == min(count, 5)
    assert ("; …)" in note) is (count == 6)


def test_the_first_and_the_last_moment_of_a_week(shop: Shop, tmp_path: Path) -> None:
    """A piece that is used at midnight counts in one week only, in the one that begins."""
    key(shop, "U-1", ("REED-A", 1), ("CAM-7", 2), ("SPRING-2", 4), ("FELT-9", 8))
    plan(shop)
    release(shop, tmp_path)
    monday = datetime.combine(DAY - timedelta(days=6), time(0), ZONE)
    moments = (-timedelta(seconds=1), timedelta(0), timedelta(days=7, seconds=-1), timedelta(days=7))
    found = {bag.part_number: bag for bag in bags(shop)}
    with shop.writing() as books:
        for number, moment in zip(("REED-A", "CAM-7", "SPRING-2", "FELT-9"), moments, strict=True):
            pass_bag(books, found[number], at=monday + moment, person="piripi")
    with shop.reading() as books:
        used = use_frame(books, until=DAY, weeks=2)
    rows = {number: used.loc[number, [1, 2]].tolist() for number in found}
    assert rows == {"REED-A": [1, 0], "CAM-7": [0, 2], "SPRING-2": [0, 4], "FELT-9": [0, 0]}


@pytest.mark.parametrize(("within", "is_taken"), [(0, False), (2, False), (3, True), (9, True)])
def test_how_well_a_weight_must_tell_what_is_booked_in(shop: Shop, within: int, is_taken: bool) -> None:
    """39 pins, between 37 and 42 by their weight: three to either side is as well as it can be told."""
    with shop.writing() as books:
        books.replace([revised(books.need(UnitWeight, "PIN-08", ""), {"u_g": 0.001})])
        job = add_job(books, books.need(Part, "PIN-08"), 100, "a test", due=None, day=DAY, **later(1))

    def comes() -> BookedIn:
        return book_in(shop, job.number, day=DAY, **later(2), gross_g=Decimal("1.02"), within=within)

    if is_taken:
        assert comes().pieces == 39
    else:
        with pytest.raises(WeighingRefused, match="39 pieces, 95 % between 37 and 42"):
            comes()


ROWS = {
    "name of 200": {"name": "N" * 200},
    "name of 201": {"name": "N" * 201},
    "insured to the cent": {"insured": "12.34"},
    "insured beyond the cent": {"insured": "12.345"},
    "insured too high": {"insured": "10000000.00"},
    "pieces": {"pieces": "999999"},
    "too many pieces": {"pieces": "1000000"},
    "a retired part": {"part": "SCREW-3"},
    "no part": {"part": "SCREW-9"},
    "its price": {"unit_price": "7.77"},
    "a price beyond the cent": {"unit_price": "7.777"},
    "another currency": {"currency": "EUR"},
    "another currency with its price": {"currency": "EUR", "unit_price": "1.00"},
    "yen": {"currency": "JPY", "unit_price": "100", "insured": "5000"},
    "no service": {"service": "BOAT"},
    "no country": {"country": "Atlantis"},
}


def test_rows_that_can_be_taken_and_rows_that_can_not(shop: Shop, tmp_path: Path) -> None:
    """One thing at a time, both sides of each limit; then the same file again, which changes nothing."""
    told = Chronicle(shop, "desk/rows")
    plain = {"order": "", "received_at": "2026-07-14T08:40+12:45", "source": "web", "name": "Ngaio Sample",
             "street": "1 Sample Quay", "city": "Town", "country": "NZ", "service": "ROAD", "part": "REED-A",
             "pieces": "2", "unit_price": "", "currency": "NZD", "insured": ""}  # fmt: skip
    with shop.writing() as books:
        books.replace([revised(books.need(Part, "SCREW-3"), {"is_retired": True})])
    rows = [plain | {"order": f"X-{place}"} | change for place, change in enumerate(ROWS.values())]
    path = tmp_path / "rows.csv"
    path.write_text("\n".join([",".join(plain), *(",".join(row.values()) for row in rows)]) + "\n", encoding="utf-8")
    told.tell("the file", import_orders(shop, path, **later(1)))
    path.write_text(path.read_text().replace("\n", "\n\n", 1), encoding="utf-8")
    told.tell("again, with an empty row", import_orders(shop, path, **later(2)))
    told.is_as_recorded()


def test_letters_that_no_paper_prints(shop: Shop) -> None:
    """In an address or a note: refused with what would print; nothing is changed."""
    told = Chronicle(shop, "desk/letters")
    key(shop, "T-1", ("REED-A", 1))
    told.refused(
        "can't be printed",
        lambda: change_notes(shop, "T-1", **later(1), picker="𓀀 first"),
        lambda: change_notes(shop, "T-1", **later(1), packer="𓀀 first"),
        lambda: change_address(shop, "T-1", {"city": "𓀀"}, **later(1)),
    )
    told.tell("can", change_notes(shop, "T-1", **later(1), picker="ő first", packer="ő last"))
    told.is_as_recorded()


def test_the_first_and_the_last_hour_of_a_month(shop: Shop) -> None:
    """A month is the shop's, not Greenwich's."""
    told = Chronicle(shop, "despatch/months")
    begins, ends = (datetime.combine(day, time(0), ZONE) for day in (date(2026, 7, 1), date(2026, 8, 1)))
    for place, at in enumerate((begins, ends)):
        for seconds in (-1, 0, 1):
            key(shop, f"M-{place}{seconds}", ("FELT-9", 1), received_at=at + timedelta(seconds=seconds))
    for day in (date(2026, 6, 15), date(2026, 7, 1), DAY, date(2026, 7, 31), date(2026, 8, 31)):
        told.each(f"of {day}", month_days(shop, day))
    told.is_as_recorded()


def test_a_day_on_which_much_came_back(shop: Shop, tmp_path: Path) -> None:
    """Six parts counted wrong, one of them twice; counted by hand alone; day report, slips and evidence."""
    told = Chronicle(shop, "despatch/much-came-back")
    parts = ("REED-A", "CAM-7", "BELL-3", "SPRING-2", "FELT-9", "SCREW-3", "LACQ-10")
    key(shop, "R-1", *((number, 3 + place) for place, number in enumerate(parts[:6])))
    key(shop, "R-2", ("LACQ-10", 2), ("FELT-9", 8), minutes=1)
    plan(shop)
    release(shop, tmp_path)
    for place, bag in enumerate(bags(shop, order_number="R-1")):
        for again in range(2 if bag.part_number == "BELL-3" else 1):
            gross_g = Decimal("19.50") + place
            seen = Seen(counted=bag.pieces + 1 - 2 * (place % 2), gross_g=gross_g, scale_code="KOTARE")
            check_bag(shop, bag.code, seen, at=NOW + timedelta(minutes=10 + place, seconds=again), person="piripi")
    for bag in bags(shop, order_number="R-2"):
        if bag.part_number == "FELT-9":
            wrong = Seen(counted=bag.pieces - 1)
            check_bag(shop, bag.code, wrong, at=NOW + timedelta(minutes=28), person="piripi")
        check_bag(shop, bag.code, Seen(counted=bag.pieces), at=NOW + timedelta(minutes=30), person="hemi")
    for place, service in enumerate(("ROAD", "ROAD", "ROAD", "POST")):
        checked(shop, tmp_path, f"L-{place}", ("LACQ-10", 1 + place), service_code=service)
        for package in plan_packages(shop, f"L-{place}", **later(31)).packages if place else ():
            off_g = Decimal(30) if place == 2 else Decimal(0)
            if place > 1:
                weigh_package(shop, package.number, package.expected_g + off_g, **later(32))
    checked(shop, tmp_path, "L-9", ("CAM-7", 1))
    pack(shop, "L-9")
    told.each("day report", sheets_of(shop, "day-report", at=NOW))
    for number in ("R-1", "R-2"):
        told.each(f"evidence of {number}", sheets_of(shop, f"V{number}", at=NOW))
    report = report_day(shop, day=DAY)
    told.each("frames", [report.frames[name] for name in ("checks", "parts")])
    told.each("findings", report.findings)
    told.is_as_recorded()


@pytest.fixture
def abroad(tmp_path: Path) -> Iterator[Shop]:
    """Packages that cross borders, nothing printed."""
    with sealed_shop(tmp_path / "abroad.db", is_printed=False) as opened:
        yield opened


def test_customs_papers_on_which_every_line_is_filled(abroad: Shop, tmp_path: Path) -> None:
    """Telephone and mail of both, region, company, references, category, comment, another place of delivery."""
    told = Chronicle(abroad, "abroad/every-line")
    at = shipping_shop.NOW
    who = Who(at=at, person="huia")
    ours = {"phone": "+352 111", "region": "Gutland", "notice": "Counted twice.", "terms_of_delivery": "FCA",
            "named_place": "Musterduerf", "printer_dpi": 203}  # fmt: skip
    theirs = {"company": "Clocks & Sons", "region": "Sample Region", "phone": "+264 222", "email": "two@example.org",
              "insured_minor": 5000}  # fmt: skip
    with abroad.writing() as books:
        books.replace([revised(books.settings(), ours)])
        books.replace([revised(books.need(Order, number), theirs) for number in ("A-2", "A-3")])
    note_particulars(abroad, "A-2", sender_reference="LU 9", importer_reference="NA 8", comment="with a letter", **who)
    note_particulars(abroad, "A-3", category="commercial sample", sender_reference="LU 9", **who)
    note_particulars(abroad, "A-2", 2, category="gift", **who)
    told.tell("noted")
    for number in ("A-2", "A-3"):
        told.tell(f"papers of {number}", declare_order(abroad, number, tmp_path, day=shipping_shop.DAY, **who))
    for name in ("G2603020002", "I2603020002", "I2603020003"):
        told.each(name, sheets_of(abroad, name, at=at))
    for line_no, said in ((0, "comment"), (0, "sender_reference"), (0, "importer_reference"), (2, "category")):
        before = "gift" if line_no else {"comment": "with a letter", "sender_reference": "LU 9"}.get(said, "NA 8")
        now = "documents" if line_no else "another"
        for word in (now, before):
            note_particulars(abroad, "A-2", line_no, **{said: word}, **who)
            with abroad.reading() as books:
                package = books.find(Package, order_number="A-2")[0]
                order = books.need(Order, "A-2")
                told.each(f"{said} {word}", customs_lacks(books, package, order, day=shipping_shop.DAY))
    told.refused(
        "of none",
        lambda: note_particulars(abroad, "A-9", comment="x", **who),
        lambda: note_particulars(abroad, "A-2", 9, comment="x", **who),
        lambda: note_particulars(abroad, "A-2", category="loot", **who),
    )
    told.is_as_recorded()


@pytest.mark.parametrize(("letters", "says"), [(34, "x"), (35, "x"), (36, "ROAD")])
def test_a_service_whose_name_just_fits_is_told_by_its_name(
    abroad: Shop, tmp_path: Path, letters: int, says: str
) -> None:
    """UN/EDIFACT D.96A gives a carrier's name 35 characters; a longer one is told by its code."""
    who = Who(at=shipping_shop.NOW, person="huia")
    with abroad.writing() as books:
        books.replace([revised(books.need(Service, "ROAD"), {"name": "x" * letters})])
    closed = close_manifest(abroad, "ROAD", day=shipping_shop.DAY, **who, without_papers="a test").manifest
    written, _ = write_advices(abroad, closed.number, AdviceFormat.EDIFACT, tmp_path)
    carrier = re.search(rb"TDT\+20\++:::([^']+)'", written[0].read_bytes())
    assert carrier is not None
    assert carrier[1].decode() == (says * letters if says == "x" else says)


def test_how_heavy_a_package_is_said_to_be() -> None:
    """To a tenth of a kilogram; from the shop's own limit on, above the recommended limit of the bench in any case."""
    grams = (880, 881, 900, 10_000, 12_340, 12_350, 12_940, 22_940, 22_960, 23_040, 23_060, 31_000)
    lines = []
    for lift_caution_g in (900, 23_000):
        settings = Settings(lift_caution_g=Decimal(lift_caution_g))
        said = {g: package_cautions([], Decimal(g), settings) for g in grams}
        lines += [f"{g} g, limit {lift_caution_g} g: {' '.join(words)}".rstrip() for g, words in said.items()]
    as_recorded("despatch/heavy", lines)
