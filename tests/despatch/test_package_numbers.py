"""A package is known by any of its numbers: ours, SSCC, S10, the carrier's own, however they are written.

The S10 number is the worked example of UPU S10-12 (serial 47312482, check digit 9); the SSCC's check digit follows the
GS1 General Specifications, 7.9; application identifier 00 is the one of an SSCC (GS1 General Specifications, 3.2).
"""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.ship import add_range, close_manifest, issue_identifiers
from fulfil.errors import StateRefused
from fulfil.files.bill_mapping import BillMapping
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.shop.package_numbers import note_number, note_numbers, packages_by_number, tracking_rows
from fulfil.shop.short_numbers import full_number, number_at_bench
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, note_papers, sealed_shop
from tests.who import Who

S10 = "RR473124829GB"
WHO = Who(at=NOW, person="huia")
MAPPING = BillMapping("Parcel", "Net", currency="EUR")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four packages, shipped; the post's has an S10 number, all have an SSCC of a demonstration prefix."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        for given in (
            IdentifierRange(code="R", kind=IdentifierKind.S10, service_code="POST", prefix="RR", country="GB",
                            first=47312482, last=47312499, given_on=DAY),
            IdentifierRange(code="G", kind=IdentifierKind.SSCC, prefix="952000123", first=1, last=99, given_on=DAY),
        ):  # fmt: skip
            add_range(opened, given, at=NOW, person="huia")
        for order in ("A-1", "A-2", "A-3", "A-4"):
            issue_identifiers(opened, order, at=NOW, person="huia")
        note_papers(opened)
        for service in ("POST", "ROAD"):
            close_manifest(opened, service, day=DAY, at=NOW, person="huia")
        yield opened


def sscc_of(shop: Shop, package: str) -> str:
    """A package's SSCC."""
    from fulfil.records.identifier import Identifier

    with shop.reading() as books:
        numbers = [one.number for one in books.find(Identifier, package_number=package)]
    return next(number for number in numbers if number.isdigit())


def bill(shop: Shop, folder: Path, *rows: str, name: str = "bill") -> int:
    """Takes a bill in; how many of its lines are for numbers that aren't ours."""
    path = folder / f"{name}.csv"
    path.write_text("\n".join(("Parcel,Net", *rows)) + "\n", encoding="utf-8")
    taken = take_bill(shop, path, MAPPING, at=NOW, person="huia")
    assert taken.findings == ()
    return taken.unknown


def differences(shop: Shop) -> list[tuple[str, str]]:
    """What the day's reconciliation names."""
    return [(one.cause.value, one.subject) for one in reconcile_day(shop, day=DAY).differences]


def spaced(number: str) -> str:
    """A number as people write it."""
    return " ".join(number[place : place + 4] for place in range(0, len(number), 4))


@pytest.mark.parametrize(
    "write", [str, str.lower, spaced, lambda number: f"(00) {number}", lambda number: f"00{number}"]
)
def test_a_bill_by_sscc_is_no_false_alarm(shop: Shop, tmp_path: Path, write) -> None:
    """With or without the identifier 00, brackets, spaces."""
    rows = [f"{write(sscc_of(shop, number))},{price}" for number, price in
            (("P2603020001", "6.90"), ("P2603020003", "12.90"), ("P2603020004", "6.90"))]  # fmt: skip
    assert bill(shop, tmp_path, *rows) == 0
    assert differences(shop) == []


@pytest.mark.parametrize("said", [S10, S10.lower(), "RR 473 124 829 GB", "rr-473124829-gb"])
def test_a_bill_by_s10_number_is_compared_with_its_package(shop: Shop, tmp_path: Path, said: str) -> None:
    """Right it is silent; 10 cents too much are the package's difference."""
    assert bill(shop, tmp_path, f"{said},5.20") == 0
    assert differences(shop) == []
    assert bill(shop, tmp_path, f"{said},0.10", name="more") == 0
    assert differences(shop) == [("billed twice", "package P2603020002")]


def test_our_own_number_in_small_letters_is_ours(shop: Shop, tmp_path: Path) -> None:
    """And with spaces."""
    assert bill(shop, tmp_path, "p2603020001,6.90", "P 2603 0200 03,12.90", "P2603020004,6.90") == 0
    assert differences(shop) == []


def test_a_number_that_is_nobodys_stays_unknown_as_it_was_written(shop: Shop, tmp_path: Path) -> None:
    """Its check digit is one off."""
    assert bill(shop, tmp_path, "RR 473 124 828 GB,5.20") == 1
    assert differences(shop) == [("billed, unknown number", "RR 473 124 828 GB")]


def test_the_carriers_own_number_may_come_before_the_bill_or_after(shop: Shop, tmp_path: Path) -> None:
    """Noted later, it explains a bill that is there already."""
    note_number(shop, "P2603020001", "zx-99 001", **WHO)
    assert bill(shop, tmp_path, "ZX99001,6.90", "ZX99003,12.90", "ZX99004,6.90") == 2
    assert [cause for cause, _ in differences(shop)].count("billed, unknown number") == 2
    for package, number in (("P2603020003", "ZX99003"), ("P2603020004", "zx 99004")):
        note_number(shop, package, number, **WHO)
    assert differences(shop) == []


def test_a_bill_under_two_numbers_of_one_package_is_billed_twice(shop: Shop, tmp_path: Path) -> None:
    """Once by our number, once by the SSCC."""
    rows = ["P2603020001,6.90", f"{sscc_of(shop, 'P2603020001')},6.90", "P2603020003,12.90", "P2603020004,6.90"]
    bill(shop, tmp_path, *rows)
    assert differences(shop) == [("billed twice", "package P2603020001")]


def test_the_second_bill_comes_days_later_under_another_number(shop: Shop, tmp_path: Path) -> None:
    """What was closed meanwhile is found by any of the package's numbers."""
    from fulfil.despatch.close import close_day

    bill(shop, tmp_path, f"{S10},5.20")
    close_day(shop, day=DAY, **WHO)
    path = tmp_path / "late.csv"
    path.write_text("Parcel,Net\np2603020002,5.20\n", encoding="utf-8")
    take_bill(shop, path, MAPPING, at=NOW + timedelta(hours=1), person="huia")
    found = reconcile_day(shop, day=DAY + timedelta(days=1)).differences
    assert [(one.cause.value, one.subject) for one in found] == [("billed twice", "package P2603020002")]


def test_every_number_finds_the_package_at_desk_and_bench(shop: Shop) -> None:
    """Typed or scanned; a scanner's own prefix included."""
    note_number(shop, "P2603020003", "ZX 99-003", **WHO)
    sscc = sscc_of(shop, "P2603020003")
    with shop.reading() as books:
        for said in ("zx99003", sscc, f"]C100{sscc}", f"(00){sscc}"):
            assert full_number(books, "package", said) == "P2603020003"
            assert number_at_bench(books, said, ("bag", "order", "package", "walk")) == "P2603020003"
        assert packages_by_number(books, [S10, "nothing"]) == {S10: "P2603020002"}


def test_one_number_is_on_one_package(shop: Shop) -> None:
    """A label scanned for the wrong package is moved by a word, never by chance."""
    note_number(shop, "P2603020001", "ZX99001", **WHO)
    with pytest.raises(StateRefused, match="package P2603020001 has it"):
        note_number(shop, "P2603020003", "zx 99001", **WHO)
    with pytest.raises(StateRefused, match="package P2603020002 has it"):
        note_number(shop, "P2603020003", S10, **WHO, moves=True)
    note_number(shop, "P2603020003", "ZX99001", **WHO, moves=True)
    with shop.reading() as books:
        assert packages_by_number(books, ["ZX99001"]) == {"ZX99001": "P2603020003"}


def test_a_file_of_numbers_comes_in_whole_or_not_at_all(shop: Shop, tmp_path: Path) -> None:
    """By package or order number; each bad row is named, with what to do."""
    path = tmp_path / "numbers.csv"
    path.write_text("package,number\nP2603020001,ZX1\nA-3,ZX3\nP99,ZX9\nP2603020004,\n", encoding="utf-8")
    done = note_numbers(shop, path, **WHO)
    assert [(one.line, one.field) for one in done.findings] == [(4, "package"), (5, "number")]
    with shop.reading() as books:
        assert packages_by_number(books, ["ZX1"]) == {}
    path.write_text("package,number\nP2603020001,ZX1\nA-3,ZX3\n", encoding="utf-8")
    assert note_numbers(shop, path, **WHO).noted == 2
    assert note_numbers(shop, path, **WHO).noted == 0
    with shop.reading() as books:
        rows = tracking_rows(books, ["P2603020003"])
    assert [(row["order"], row["package"], row["carrier_number"]) for row in rows] == [("A-3", "P2603020003", "ZX3")]
    path.write_text("box,number\nP2603020001,ZX1\n", encoding="utf-8")
    assert [one.field for one in note_numbers(shop, path, **WHO).findings] == ["package"]
