"""Books that another program changed: what each damage is said to be, and which steps then go no further."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.errors import Refusal, StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.gates import must_add_up, must_be_whole, must_go_out, off_lines
from fulfil.orders.holding import cancel_order, hold_order
from fulfil.orders.verify import MOST_BREAKS, alterations, differences, verify_shop
from fulfil.records.despatch.dispatch import Package
from fulfil.records.order import Order
from fulfil.records.plan import WalkRecord
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.releasing import release_walks
from tests.chronicle.telling import Chronicle, as_recorded
from tests.harbour_shop import NOW, WHO, bags, check, key, open_harbour, pack, plan, release, send
from tests.who import Who

DAMAGES = (
    "update owed_balance set pieces = pieces + 1 where order_number = 'V-1' and line_no = 1",
    "update owed_balance set place = 'sealed' where order_number = 'V-1' and line_no = 1",
    "update owed_balance set pieces = pieces - 1 where order_number = 'V-7'",
    "update owed_balance set pieces = pieces - 1 where order_number = 'V-1' and line_no = 2 and part_number = 'FELT-9'",
    "delete from owed_balance where order_number = 'V-6'",
    "delete from owed_balance where order_number = 'V-4' and line_no = 1",
    "update bin set pieces = pieces + 2 where code = 'WAKA-1'",
    "update bin set pieces = 0 where code = 'TAI-1'",
    "update stock_balance set pieces = pieces - 1 where place = 'bag'",
    "update stock_balance set pieces = pieces + 1 where place = 'package'",
    "delete from stock_balance where place = 'bag'",
    "update customer_order set state = 'packed' where number = 'V-5'",
    "update customer_order set state = 'received' where number = 'V-9'",
    "update customer_order set held_reason = 'why' where number = 'V-7'",
    "update customer_order set held_reason = '' where number = 'V-9'",
    "update order_line set short_pieces = short_pieces + 1 where order_number in ('V-7', 'V-8')",
    "update order_line set cancelled_pieces = 1 where order_number in ('V-1', 'V-10')",
    "update order_line set pieces = pieces + 1 where order_number in ('V-1', 'V-5')",
    "update order_line set pieces = pieces * 2 where order_number = 'V-1'",
    "update bag set pieces = pieces - 1 where order_number in ('V-2', 'V-5')",
    "update bag set state = 'passed' where order_number = 'V-6'",
    "update bag set state = 'planned', package_number = '' where order_number = 'V-5'",
    "update bag set package_number = 'P-9' where order_number = 'V-2'",
    "update bag set package_number = 'P2607140003' where order_number = 'V-2'",
    "update package set state = 'planned' where order_number = 'V-2'",
    "update package set state = 'sealed' where order_number in ('V-3', 'V-1')",
    "update package set gross_g = gross_g + 1000000 where order_number = 'V-1'",
    "update manifest set packages = packages + 1 where state = 'closed'",
    "update walk set released_at = null",
)  # fmt: skip


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Orders in every state: shipped, sealed, boxed, stopped, checked, on paper, planned, short, held, cancelled."""
    folder = tmp_path_factory.mktemp("story")
    with open_harbour(folder) as shop:
        key(shop, "V-1", ("REED-A", 12), ("KIT-D", 2))
        for place in range(2, 7):
            key(shop, f"V-{place}", ("SCREW-3", 10 + place), ("FELT-9", place), minutes=place)
        key(shop, "V-11", ("SPRING-2", 9), minutes=11)
        plan(shop)
        release(shop, folder)
        send(shop, "V-1")
        for number in ("V-2", "V-3", "V-4", "V-5", "V-11"):
            check(shop, number)
        pack(shop, "V-2")
        plan_packages(shop, "V-3", **WHO)
        for package in plan_packages(shop, "V-4", **WHO).packages:
            weigh_package(shop, package.number, package.expected_g + Decimal(40), **WHO)
        change_lines(shop, "V-11", {1: 4}, **later(12))
        key(shop, "V-7", ("CAM-7", 2), minutes=7)
        key(shop, "V-8", ("BALL-2", 5), ("CAM-7", 1), minutes=8, ship_complete=True)
        plan(shop)
        for place in (9, 10):
            key(shop, f"V-{place}", ("BELL-3", 1), minutes=place)
        hold_order(shop, "V-9", "pays first", **WHO)
        cancel_order(shop, "V-10", "mistake", **WHO)
        return Path(shop.where)


@pytest.fixture
def filled(story: Path, tmp_path: Path) -> Iterator[Shop]:
    """A copy of it."""
    with open_shop(Path(shutil.copy(story, tmp_path / "filled.db"))) as opened:
        yield opened


@contextmanager
def damaged(shop: Shop, words: str) -> Iterator[int]:
    """The shop while one table is changed by raw SQL; how many rows were."""
    table = words.split()[1 if words.startswith("update") else 2]
    with closing(sqlite3.connect(shop.where)) as books:
        rows = books.execute(f'select * from "{table}"').fetchall()
        books.execute("pragma ignore_check_constraints = on")
        changed = books.execute(words).rowcount
        books.commit()
        try:
            yield changed
        finally:
            books.execute(f'delete from "{table}"')
            books.executemany(f'insert into "{table}" values ({",".join("?" * len(rows[0]))})', rows)
            books.commit()


def said(step: str, number: str, shop: Shop) -> list[str]:
    """What a gate says of an order or a package, if it refuses it."""
    with shop.reading() as books:
        try:
            if step == "add up":
                must_add_up(books, "go on with order", [number])
            elif step == "whole":
                must_be_whole(books, "pack order", books.need(Order, number))
            else:
                must_go_out(books, "hand over package", [number])
        except Refusal as refusal:
            return [f"{step}: {refusal}"]
    return []


def test_each_damage_is_found_and_goes_no_further(filled: Shop) -> None:
    """One table changed at a time: what verify names, and what the gates refuse."""
    lines = []
    with filled.reading() as books:
        packages = [package.number for package in books.find(Package)]
        numbers = [order.number for order in books.find(Order)]
        lines += ["== undamaged", *map(str, differences(books)), *map(str, off_lines(books, numbers))]
    lines += [line for number in numbers for step in ("add up", "whole") for line in said(step, number, filled)]
    lines += [line for number in (*packages, "P-9") for line in said("out", number, filled)]
    with closing(sqlite3.connect(filled.where)) as books:
        for (name,) in books.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            books.execute(f'drop trigger "{name}"')
    for words in DAMAGES:
        with damaged(filled, words) as changed, filled.reading() as books:
            lines += ["", f"== {words}: {changed} rows", *map(str, differences(books))]
            off = off_lines(books, numbers)
            lines += [f"off: {number}: {says}" for number, says in off]
            for number in dict.fromkeys([number for number, _ in off]):
                lines += [line for step in ("add up", "whole") for line in said(step, number, filled)]
            lines += [
                line for number in packages for line in said("out", number, filled) if words.split()[1] == "package"
            ]
    with filled.reading() as books:
        assert [*differences(books)] == []
    as_recorded("orders/damages", lines)


def test_what_was_altered_is_named_first_to_last(filled: Shop) -> None:
    """The chain names each altered record, at most so many; a head of a report that isn't contained any more."""
    with filled.reading() as books:
        assert [*alterations(books)] == []
        lines = ["== another head", *map(str, alterations(books, "ABCD"))]
    with closing(sqlite3.connect(filled.where)) as books:
        for (name,) in books.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            books.execute(f'drop trigger "{name}"')
        for count in (1, MOST_BREAKS, MOST_BREAKS + 1, MOST_BREAKS + 2):
            books.execute(f"update journal_entry set person = 'nobody' where id <= {count}")
            books.commit()
            lines += ["", f"== {count} altered", *map(str, verify_shop(filled))]
    as_recorded("orders/altered", lines)


def test_bags_of_the_story(filled: Shop) -> None:
    """What the story above leaves behind."""
    told = Chronicle(filled, "orders/every-state")
    told.each("bags", bags(filled))
    told.is_as_recorded()


def test_a_released_walk_is_printed_again_whatever_its_books_say(filled: Shop, tmp_path: Path) -> None:
    """One that is not on paper yet must add up first."""
    with filled.reading() as books:
        walks = books.find(WalkRecord)
    first = next(walk for walk in walks if walk.released_at is not None)
    later_one = next(walk for walk in walks if walk.released_at is None)
    with closing(sqlite3.connect(filled.where)) as books_file:
        for (name,) in books_file.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            books_file.execute(f'drop trigger "{name}"')
    with damaged(filled, "update owed_balance set pieces = pieces + 1 where place in ('in a bag', 'promised')"):
        assert release_walks(filled, [first.number], tmp_path / "again", **WHO)
        with pytest.raises(StateRefused, match="books that add up"):
            release_walks(filled, [first.number, later_one.number], tmp_path / "first", **WHO)
        assert not (tmp_path / "first").exists()
