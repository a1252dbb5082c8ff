"""Puts a shop's bags where a test wants them to be, through the same moves as the shop's own steps."""

from collections.abc import Iterable
from datetime import datetime

from fulfil.orders.moving import box_bags, hand_over, pass_bag, release_bags, seal
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.pieces import Owed, OwedMove
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.store.books import Books


def promise(
    books: Books, key: tuple[str, int, str], bin_code: str, pieces: int, *, at: datetime, person: str = "test"
) -> None:
    """Promises pieces of an order line from a bin."""
    order_number, line_no, part_number = key
    move = OwedMove(
        order_number=order_number,
        line_no=line_no,
        part_number=part_number,
        pieces=pieces,
        from_place=Owed.WAITING,
        to_place=Owed.PROMISED,
        to_ref=bin_code,
        reason="planned",
    )
    books.move([move], at=at, person=person)


def place_bags(books: Books, bags: Iterable[Bag], *, at: datetime, person: str = "test") -> None:
    """Brings the pieces of bags that were added to where their state says: promised, bagged, passed, boxed, sealed."""
    for bag in bags:
        promise(books, (bag.order_number, bag.line_no, bag.part_number), bag.bin_code, bag.pieces, at=at, person=person)
        if books.need(WalkRecord, bag.walk_number).released_at is None:
            continue
        release_bags(books, [bag], at=at, person=person)
        if bag.state in (BagState.PASSED, BagState.PACKED):
            pass_bag(books, bag, at=at, person=person)
        if bag.state is BagState.PACKED:
            box_bags(books, bag.package_number, [bag], at=at, person=person)


def seal_packages(books: Books, packages: Iterable[Package], *, at: datetime, person: str = "test") -> None:
    """Seals packages whose state says so, and hands over those that are shipped."""
    for package in packages:
        if package.state in (PackageState.SEALED, PackageState.SHIPPED):
            seal(books, package.number, books.find(Bag, package_number=package.number), at=at, person=person)
        if package.state is PackageState.SHIPPED:
            hand_over(books, [package.number], at=at, person=person)
