"""What a day's reconciliation looks at: all since the last closed day, and what was carried over; nothing is lost."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.pack import reopen_package
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.reconcile_facts import DayFacts
from fulfil.despatch.ship import close_manifest
from fulfil.files.bill_mapping import BillMapping
from fulfil.orders.holding import hold_order, resume_order
from fulfil.store.shop import Shop
from tests import harbour_shop as harbour
from tests.shipping_shop import DAY, NOW, sealed_shop

MAPPING = BillMapping("Parcel", "Net", currency="EUR")
BEFORE = NOW - timedelta(hours=1)
"""When bills come, before the day is closed."""
NEXT = DAY + timedelta(days=1)
LATER = DAY + timedelta(days=2)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four packages, all shipped: two services, two manifests."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        for service in ("POST", "ROAD"):
            close_manifest(opened, service, day=DAY, at=NOW, person="clerk-1")
        yield opened


def take(shop: Shop, folder: Path, name: str, *rows: str, at: datetime = BEFORE) -> None:
    """Takes a bill in."""
    path = folder / f"{name}.csv"
    path.write_text("\n".join(("Parcel,Net", *rows)) + "\n", encoding="utf-8")
    assert take_bill(shop, path, MAPPING, at=at, person="clerk-1").findings == ()


def close(shop: Shop, day: date, *, carry_over: bool) -> None:
    """A word on every difference, then the day is closed."""
    at = NOW + (day - DAY)
    words = [Word(one.code, "asked", carry_over=carry_over) for one in reconcile_day(shop, day=day).open_differences]
    settle_all(shop, words, day=day, at=at, person="clerk-1")
    close_day(shop, day=day, at=at, person="clerk-1")


def looked_at(shop: Shop, day: date) -> set[str]:
    """The packages that are compared on a day."""
    with shop.reading() as books:
        return {one.number for one in DayFacts(books, day).packages}


def test_a_closed_day_with_nothing_carried_over_is_not_looked_at_again(shop: Shop) -> None:
    """Its four packages were compared on their day."""
    assert len(looked_at(shop, DAY)) == 4
    close(shop, DAY, carry_over=False)
    assert looked_at(shop, NEXT) == set()


def test_what_is_carried_over_comes_up_until_it_is_settled(shop: Shop, tmp_path: Path) -> None:
    """An overcharge, an unknown number with a space in it, and a package that the bill left out."""
    take(shop, tmp_path, "a", "P2603020001,9.90", "QX 77,5.00")
    first = {(one.cause, one.subject) for one in reconcile_day(shop, day=DAY).differences}
    assert {subject for _, subject in first} >= {"package P2603020001", "QX 77", "package P2603020003"}
    close(shop, DAY, carry_over=True)
    assert {(one.cause, one.subject) for one in reconcile_day(shop, day=NEXT).differences} == first
    close(shop, NEXT, carry_over=True)
    assert {(one.cause, one.subject) for one in reconcile_day(shop, day=LATER).differences} == first
    close(shop, LATER, carry_over=False)
    assert reconcile_day(shop, day=LATER + timedelta(days=1)).differences == ()


def test_a_bill_for_an_old_package_is_held_against_its_first_bill_and_its_manifest(shop: Shop, tmp_path: Path) -> None:
    """The right bill came before the day was closed, a second one for the same package after."""
    take(shop, tmp_path, "a", "P2603020001,6.90", "P2603020003,12.90", "P2603020004,6.90", "P2603020002,5.20")
    close(shop, DAY, carry_over=False)
    take(shop, tmp_path, "b", "P2603020001,6.90", at=NOW + timedelta(hours=1))
    found = reconcile_day(shop, day=NEXT).differences
    assert [(one.cause.value, one.subject) for one in found] == [("billed twice", "package P2603020001")]
    assert looked_at(shop, NEXT) >= {"P2603020001", "P2603020003", "P2603020004"}, "with all of its manifest"


def test_a_first_bill_after_the_close_names_what_it_left_out(shop: Shop, tmp_path: Path) -> None:
    """Not billed is known only when the bill comes, days after the packages left."""
    close(shop, DAY, carry_over=False)
    take(shop, tmp_path, "a", "P2603020001,6.90", at=NOW + timedelta(days=1))
    found = {(one.cause.value, one.subject) for one in reconcile_day(shop, day=NEXT).differences}
    assert found == {("not billed", "package P2603020003"), ("not billed", "package P2603020004")}


def test_words_of_an_older_release_do_not_hide_what_they_are_about(shop: Shop, tmp_path: Path) -> None:
    """They say nothing of their subject: then all is looked at, as that release did."""
    take(shop, tmp_path, "a", "P2603020001,9.90")
    before = {one.code for one in reconcile_day(shop, day=DAY).differences}
    close(shop, DAY, carry_over=True)
    with closing(sqlite3.connect(tmp_path / "shop.db")) as file, file:
        kept = "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'settlement'"
        for (name,) in file.execute(kept).fetchall():
            file.execute(f"DROP TRIGGER {name}")
        file.execute("UPDATE settlement SET subject = ''")
    assert {one.code for one in reconcile_day(shop, day=NEXT).differences} == before


def test_a_shop_that_never_closes_a_day_forgets_nothing(shop: Shop, tmp_path: Path) -> None:
    """The bill of the first day stays, its manifest with it; a manifest that is as it was needs no second look."""
    assert looked_at(shop, LATER) == set()
    take(shop, tmp_path, "a", "P2603020001,9.90")
    found = {one.code for one in reconcile_day(shop, day=DAY).differences}
    assert found
    assert {one.code for one in reconcile_day(shop, day=LATER).differences} == found


@pytest.fixture
def unprinted(tmp_path: Path) -> Iterator[Shop]:
    """The same four packages sealed, and no customs paper printed: those to Namibia and Great Britain need one."""
    with sealed_shop(tmp_path / "unprinted.db", is_printed=False) as opened:
        yield opened


def lacks_on(shop: Shop, day: date) -> dict[str, tuple[str, ...]]:
    """Which papers the day's packages lack, of those that lack one."""
    with shop.reading() as books:
        return {one.number: one.lacks for one in DayFacts(books, day).packages if one.lacks}


def test_only_what_is_sealed_and_goes_on_lacks_a_paper(unprinted: Shop) -> None:
    """Opened again, stopped or held it isn't asked for: nothing leaves like that."""
    namibia, britain = "P2603020002", "P2603020003"
    both = {namibia: ("CN 22",), britain: ("commercial invoice",)}
    assert lacks_on(unprinted, DAY) == both
    hold_order(unprinted, "A-2", "asked the customer", at=NOW, person="clerk-1")
    assert lacks_on(unprinted, DAY) == {britain: both[britain]}
    resume_order(unprinted, "A-2", at=NOW, person="clerk-1")
    reopen_package(unprinted, britain, "a bush is missing", at=NOW, person="clerk-1")
    assert lacks_on(unprinted, DAY) == {namibia: both[namibia]}


def test_what_left_without_its_paper_lacks_it_on_that_day_and_where_it_is_carried_over(
    unprinted: Shop, tmp_path: Path
) -> None:
    """A bill that comes days later looks at the package, not at its papers again."""
    for service in ("POST", "ROAD"):
        close_manifest(unprinted, service, day=DAY, at=NOW, person="clerk-1", without_papers="forgotten")
    assert sorted(lacks_on(unprinted, DAY)) == ["P2603020002", "P2603020003"]
    words = [Word(one.code, "asked", carry_over="P2603020002" in one.subject)
             for one in reconcile_day(unprinted, day=DAY).open_differences]  # fmt: skip
    settle_all(unprinted, words, day=DAY, at=NOW, person="clerk-1")
    close_day(unprinted, day=DAY, at=NOW, person="clerk-1")
    take(unprinted, tmp_path, "a", "P2603020003,12.90", at=NOW + timedelta(days=1))
    assert "P2603020003" in looked_at(unprinted, NEXT)
    assert sorted(lacks_on(unprinted, NEXT)) == ["P2603020002"]


def test_the_same_mass_with_fewer_digits_agrees(tmp_path: Path) -> None:
    """Another shop, a scale that shows halves: two packages of 159.5 g; 319 g on the manifest are 319.0 g weighed."""
    with harbour.open_harbour(tmp_path) as opened:
        for number in ("H-1", "H-2"):
            harbour.key(opened, number, ("CAM-7", 12))
        harbour.plan(opened)
        harbour.release(opened, tmp_path)
        for number in ("H-1", "H-2"):
            harbour.check(opened, number)
            harbour.pack(opened, number)
        harbour.ship(opened)
        grams = next(one for one in reconcile_day(opened, day=harbour.DAY).sums if one.label.startswith("grams"))
    assert (grams.ours, grams.theirs) == ("319.0 g", "319.0 g")
    assert grams.holds


def test_what_waits_in_a_stopped_package_is_not_sent_to_the_check_bench(tmp_path: Path) -> None:
    """Flammable goods wait for a trained person's review: their line and their package say so, not "check and pack"."""
    with harbour.open_harbour(tmp_path) as opened:
        harbour.key(opened, "H-1", ("LACQ-10", 2))
        harbour.plan(opened)
        harbour.release(opened, tmp_path)
        harbour.check(opened, "H-1")
        (package,) = harbour.pack(opened, "H-1")
        now = reconcile_day(opened, day=harbour.DAY)
    told = {one.subject: one.do for one in now.differences}
    assert told["order H-1, line 1"] == f"see package {package.number}, which they are in"
    assert told[f"package {package.number}"] == (
        "read what stops it (fulfil packages pack H-1) and put it right or hold the order, "
        "then close a manifest for service ROAD"
    )
