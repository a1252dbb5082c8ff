"""Bags that nobody finds and bins that lack pieces, in the harbour shop, word for word."""

from datetime import timedelta
from pathlib import Path

from fulfil.bench.places import note_picker
from fulfil.despatch.pack import plan_packages
from fulfil.orders.verify import verify_shop
from fulfil.records.place import Bin
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.store.shop import Shop
from fulfil.walks.times import BEGUN, ENDED, say_walk
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, NOW, WHO, bags, check, key, pack, plan, release
from tests.who import Who


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def test_bags_that_are_lost_and_bins_that_are_empty(shop: Shop, tmp_path: Path) -> None:
    """Their pieces are planned anew; a bag found twice is a twin; bags that a bin can't fill are left empty."""
    told = Chronicle(shop, "stock/lost-and-empty")
    for place, pieces in enumerate((30, 25, 20, 28)):
        key(shop, f"L-{place}", ("SPRING-2", pieces), ("FELT-9", 5), minutes=place)
    plan(shop)
    first = bags(shop, order_number="L-0")
    told.refused(
        "not on paper",
        lambda: bag_missing(shop, first[0].code, day=DAY, **WHO),
        lambda: bag_found(shop, first[0].code, **WHO),
        lambda: bag_missing(shop, "B-9", day=DAY, **WHO),
        lambda: bag_found(shop, "B-9", **WHO),
    )
    release(shop, tmp_path)
    told.tell("there twice", bag_found(shop, first[0].code, 7, **later(1)))
    told.tell("a preview", bag_missing(shop, first[0].code, day=DAY, **later(2), is_preview=True))
    told.tell("missing", bag_missing(shop, first[0].code, day=DAY, **later(2)))
    told.tell("found", bag_found(shop, first[0].code, first[0].pieces - 1, **later(3)))
    told.refused("again", lambda: bag_found(shop, first[0].code, **WHO))
    release(shop, tmp_path)
    check(shop, "L-1")
    told.tell("one order is checked")
    boxed = bags(shop, order_number="L-1")
    plan_packages(shop, "L-1", **later(4))
    told.tell("boxed")
    told.tell("missing from its box", bag_missing(shop, boxed[0].code, day=DAY, **later(5)))
    release(shop, tmp_path)
    check(shop, "L-1")
    pack(shop, "L-1")
    sealed = bags(shop, order_number="L-1")
    told.refused("in a sealed package", lambda: bag_missing(shop, sealed[0].code, day=DAY, **WHO))
    waiting = bags(shop, order_number="L-2")
    with shop.reading() as books:
        code = waiting[0].bin_code
        told.tell("the bin", books.need(Bin, code))
    say_walk(shop, waiting[0].walk_number, BEGUN, at=NOW, person="piripi")
    note_picker(shop, waiting[0].walk_number, **WHO)
    told.refused(
        "wrong words",
        lambda: bin_lacks(shop, code, -1, day=DAY, **WHO),
        lambda: bin_lacks(shop, "NO-1", 1, day=DAY, **WHO),
        lambda: bin_lacks(shop, code, 1, day=DAY, **WHO, filled=[sealed[0].code]),
    )
    told.tell("a preview", bin_lacks(shop, code, 20, day=DAY, **later(6), is_preview=True))
    told.tell("lacks", bin_lacks(shop, code, 20, day=DAY, **later(6)))
    felt = next(bag for bag in bags(shop, order_number="L-2") if bag.part_number == "FELT-9")
    told.tell("one was filled", bin_lacks(shop, felt.bin_code, 0, day=DAY, **later(7), filled=[felt.code]))
    told.tell("nothing needs more", bin_lacks(shop, "TAI-1", 12, day=DAY, **later(8)))
    say_walk(shop, waiting[0].walk_number, ENDED, at=NOW + timedelta(minutes=30), person="piripi")
    left = bags(shop, order_number="L-2")
    told.tell("of a walk that ended", bin_lacks(shop, left[0].bin_code, 0, day=DAY, **later(40)))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_a_bin_that_lacks_what_others_were_promised(shop: Shop, tmp_path: Path) -> None:
    """A filled bag keeps its pieces; orders not on paper yet are planned anew; where enough is left, none is."""
    told = Chronicle(shop, "stock/promised-from-it")
    key(shop, "P-0", ("FELT-9", 30))
    plan(shop)
    release(shop, tmp_path)
    for place, pieces in enumerate((20, 40)):
        key(shop, f"P-{place + 1}", ("FELT-9", pieces), minutes=place + 1)
    plan(shop)
    (bag,) = bags(shop, order_number="P-0")
    told.tell("all is there", bin_lacks(shop, "MOANA-2", 90, day=DAY, **later(1), filled=[bag.code]))
    told.tell("just enough", bin_lacks(shop, "MOANA-2", 60, day=DAY, **later(2), filled=[bag.code]))
    told.tell("one piece too few", bin_lacks(shop, "MOANA-2", 59, day=DAY, **later(3), filled=[bag.code]))
    told.tell("and for the bag too", bin_lacks(shop, "MOANA-2", 29, day=DAY, **later(4)))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()
