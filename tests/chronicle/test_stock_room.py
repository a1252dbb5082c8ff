"""The stock room of the harbour shop: counts, receipts, jobs, bins, parts, equipment, lost bags, word for word."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from fulfil.documents import sheets_of
from fulfil.orders.verify import verify_shop
from fulfil.records.part import Supply
from fulfil.stock.bin_changes import add_bin, change_bin, retire_bin
from fulfil.stock.bin_labels import labels_by_aisle
from fulfil.stock.bulk_counts import count_bin_by_hand, count_bin_by_weight, goods_in
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.catalogue_out import export_catalogue, export_stock
from fulfil.stock.equipment_changes import (
    add_scale,
    add_service,
    change_scale,
    change_service_terms,
    retire_scale,
    retire_service,
)
from fulfil.stock.jobs import book_in, close_job, lacking, make_jobs
from fulfil.stock.levels import (
    adjust_bin,
    count_bin,
    level_frame,
    movement_frame,
    receive,
    reject_pieces,
    reorder_frame,
    use_frame,
)
from fulfil.stock.part_changes import add_part, change_part, retire_part
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, FILES, NOW, WHO, check, key, plan, release, write_catalogue
from tests.who import Who


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def test_levels_and_what_they_say(shop: Shop, tmp_path: Path) -> None:
    """Counted, adjusted, received, rejected; over-promised bins; use, reorder point and movement by hand-made weeks."""
    told = Chronicle(shop, "stock/levels")
    told.tell("counted", count_bin(shop, "TAI-1", 290, **WHO))
    told.tell("counted again", count_bin(shop, "TAI-1", 290, note="second look", **later(1)))
    told.tell("adjusted", adjust_bin(shop, "TAI-2", -2, " bent ", **later(2)))
    told.tell("received", receive(shop, "MUA-3", 500, " note 77 ", **later(3)))
    told.tell("rejected, bought", reject_pieces(shop, "WAKA-3", 4, "cracked", day=DAY, **later(4)))
    told.tell("rejected, made", reject_pieces(shop, "MUA-4", 1, "burr", day=DAY, **later(5)))
    told.refused(
        "what can't be",
        lambda: count_bin(shop, "TAI-1", -1, **WHO),
        lambda: count_bin(shop, "TAI-9", 1, **WHO),
        lambda: adjust_bin(shop, "TAI-1", 0, "why", **WHO),
        lambda: adjust_bin(shop, "TAI-1", 1, " ", **WHO),
        lambda: adjust_bin(shop, "TAI-2", -5, "more than is there", **WHO),
        lambda: receive(shop, "TAI-1", 0, "note", **WHO),
        lambda: receive(shop, "TAI-1", 1, "", **WHO),
        lambda: reject_pieces(shop, "TAI-1", 0, "bent", day=DAY, **WHO),
        lambda: reject_pieces(shop, "TAI-1", 1, " ", day=DAY, **WHO),
        lambda: reject_pieces(shop, "WAKA-4", 3, "bent", day=DAY, **WHO),
    )
    for place, (pieces, days) in enumerate(((30, 0), (12, 8), (50, 15), (7, 22))):
        at = NOW - timedelta(days=22 - days)
        key(shop, f"U-{place}", ("PIN-08", pieces), ("SCREW-3", 3 * pieces), ("CAM-7", 1 + place % 2), received_at=at)
        plan(shop, at=at, day=at.date())
        release(shop, tmp_path, at=at)
        check(shop, f"U-{place}", at=at)
    told.tell("four weeks of use")
    key(shop, "U-9", ("BELL-3", 6), ("LACQ-10", 12), ("KIT-D", 40))
    plan(shop)
    told.tell("promised", count_bin(shop, "WAKA-2", 1, **later(9)))
    release(shop, tmp_path)
    told.tell("promised to bags", count_bin(shop, "WAKA-2", 2, **later(10)))
    with shop.reading() as books:
        told.tell("levels", level_frame(books))
        told.tell("levels of two", level_frame(books, ["BELL-3", "PIN-08"]))
        told.tell("use", use_frame(books, until=DAY, weeks=4))
        told.tell("reorder", reorder_frame(books, until=DAY, weeks=4))
        told.tell("movement", movement_frame(books, until=DAY, weeks=4))
        told.tell("lacking", lacking(books, at=NOW))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_jobs_of_the_make_room_and_of_suppliers(shop: Shop, tmp_path: Path) -> None:
    """What is short becomes jobs, once; what comes is booked in by hand or by weight and serves those who wait."""
    told = Chronicle(shop, "stock/jobs")
    key(shop, "J-1", ("CAM-7", 40), ("SPRING-2", 150))
    key(shop, "J-2", ("KIT-D", 60), ("BALL-2", 25), minutes=5, service_code="AIR")
    key(shop, "J-3", ("CAM-7", 5), minutes=9, service_code="AIR")
    plan(shop)
    with shop.reading() as books:
        told.tell("lacking", lacking(books, at=NOW))
        told.tell("lacking after the cut-off of the day", lacking(books, at=NOW + timedelta(hours=6)))
    told.each("to make", make_jobs(shop, Supply.MAKE, day=DAY, **later(10)))
    told.each("to buy", make_jobs(shop, Supply.BUY, day=DAY, **later(11)))
    key(shop, "J-4", ("CAM-7", 2), minutes=12)
    plan(shop)
    told.each("to make, once more", make_jobs(shop, Supply.MAKE, day=DAY, **later(13)))
    for name in ("make-list", "buy-list", "short-list"):
        told.each(name, sheets_of(shop, name, at=NOW))
    jobs = {one.part_number: one.number for one in make_jobs(shop, Supply.MAKE, day=DAY, **later(14))}
    buys = {one.part_number: one.number for one in make_jobs(shop, Supply.BUY, day=DAY, **later(14))}
    told.refused(
        "what can't be booked in",
        lambda: book_in(shop, "J-0", day=DAY, **WHO, counted=1),
        lambda: book_in(shop, jobs["CAM-7"], day=DAY, **WHO),
        lambda: book_in(shop, jobs["CAM-7"], day=DAY, **WHO, counted=1, bin_code="NO-1"),
        lambda: book_in(shop, buys["SPRING-2"], day=DAY, **WHO, gross_g=Decimal("9.40"), tare_g=Decimal("0.10")),
        lambda: book_in(shop, buys["SPRING-2"], day=DAY, **WHO, gross_g=Decimal("9.25"), counted=50),
        lambda: book_in(shop, buys["SPRING-2"], day=DAY, **WHO, gross_g=Decimal("9.305"), scale_code="KOTARE"),
        lambda: close_job(shop, jobs["CAM-7"], " ", **WHO),
    )
    told.tell("by hand, into the bin with fewer", book_in(shop, jobs["CAM-7"], day=DAY, **later(20), counted=6))
    told.tell(
        "by weight",
        book_in(shop, buys["SPRING-2"], day=DAY, **later(21), gross_g=Decimal("9.30"), scale_code="KOTARE", within=2),
    )
    told.tell(
        "both",
        book_in(shop, buys["BALL-2"], day=DAY, **later(22), gross_g=Decimal("0.82"), counted=25, bin_code="MUA-3"),
    )
    told.tell("closed", close_job(shop, buys["SPRING-2"], " no more this year ", **later(23)))
    told.refused(
        "twice",
        lambda: close_job(shop, buys["SPRING-2"], "x", **WHO),
        lambda: book_in(shop, buys["SPRING-2"], day=DAY, **WHO, counted=1),
    )
    with shop.reading() as books:
        told.tell("lacking still", lacking(books, at=NOW))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_counts_in_bulk(shop: Shop) -> None:
    """Tubs and bins by weight: what is booked, how sure it is, what it may cost, which sample would narrow it."""
    told = Chronicle(shop, "stock/bulk-counts")
    tub: dict[str, Any] = {"bin_code": "TAI-1", "source": "note 5"}
    told.tell("a tub", goods_in(shop, "PIN-08", [Decimal("80.50")], [Decimal("50.00")], **tub, **WHO))
    told.tell(
        "three tubs of another lot",
        goods_in(
            shop,
            "PIN-08",
            [Decimal("81.0"), Decimal("90.5"), Decimal("95.5")],
            [Decimal("50.0")],
            bin_code="TAI-1",
            lot="L7",
            scale_code="TOROA",
            half_width_pieces=40,
            **later(1),
        ),
    )
    told.tell(
        "no whole number", goods_in(shop, "REED-A", [Decimal("12.00")], [Decimal("2.20")], bin_code="TAI-2", **later(2))
    )
    told.tell(
        "never sampled", goods_in(shop, "BELL-3", [Decimal("142.30")], [Decimal("0.30")], bin_code="WAKA-2", **later(3))
    )
    told.refused(
        "what can't be",
        lambda: goods_in(shop, "PIN-08", [], [Decimal(0)], bin_code="TAI-1", **WHO),
        lambda: goods_in(shop, "PIN-08", [Decimal(9)], [], bin_code="TAI-1", **WHO),
        lambda: goods_in(shop, "PIN-08", [Decimal("50.01")], [Decimal("50.00")], bin_code="TAI-1", **WHO),
        lambda: goods_in(shop, "REED-A", [Decimal("47.00")], [Decimal("1.00")], bin_code="TAI-1", **WHO),
        lambda: goods_in(shop, "KIT-D", [Decimal("50.00")], [Decimal("1.00")], bin_code="TAI-1", **WHO),
        lambda: count_bin_by_hand(shop, "TAI-1", -1, **WHO),
    )
    told.tell(
        "a bin that agrees",
        count_bin_by_weight(shop, "MOANA-1", Decimal("28.00"), Decimal("0.10"), **later(4), tolerance_pieces=3),
    )
    told.tell(
        "one that doesn't",
        count_bin_by_weight(
            shop, "MOANA-4", Decimal("6.20"), Decimal(0), **later(5), tolerance_pieces=2, reason="weekly"
        ),
    )
    told.tell("one too wide", count_bin_by_weight(shop, "TAI-3", Decimal("158.00"), Decimal(0), **later(6)))
    told.tell("one that is odd", count_bin_by_weight(shop, "WAKA-3", Decimal("45.30"), Decimal(0), **later(7)))
    key(shop, "G-1", ("REED-A", 40))
    plan(shop)
    told.tell("by hand, promised", count_bin_by_hand(shop, "WAKA-3", 38, **later(8), reason="asked"))
    told.tell("by hand, right", count_bin_by_hand(shop, "WAKA-3", 38, **later(9)))
    told.tell("by hand, more", count_bin_by_hand(shop, "WAKA-3", 39, **later(10)))
    told.is_as_recorded()


def test_bins_come_change_and_go(shop: Shop, tmp_path: Path) -> None:
    """By the reader of the file, tied by pieces, promises and bags; the pickers are told."""
    told = Chronicle(shop, "stock/bins")
    new = {"aisle": "Mua", "side": "left", "section": "3", "level": "1", "y_mm": "2000", "part": "CAM-7", "pieces": "7"}
    told.tell("added", add_bin(shop, "MUA-5", new, **WHO))
    told.tell("twice", add_bin(shop, "mua-5", new, **WHO))
    told.tell("with faults", add_bin(shop, "MUA-6", {**new, "aisle": "Ra", "part": "CAM-9", "side": "up"}, **WHO))
    told.tell("moved", change_bin(shop, "MUA-5", {"y_mm": "2100"}, **later(1)))
    told.tell("not changed", change_bin(shop, "MUA-5", {"y_mm": "2100"}, **later(2)))
    told.tell("wrongly", change_bin(shop, "MUA-5", {"level": "0"}, **later(2)))
    told.refused(
        "what ties it",
        lambda: change_bin(shop, "MUA-5", {"pieces": "8"}, **WHO),
        lambda: change_bin(shop, "MUA-5", {"part": "PIN-08"}, **WHO),
        lambda: retire_bin(shop, "MUA-5", **WHO),
        lambda: retire_bin(shop, "MUA-9", **WHO),
    )
    count_bin(shop, "MUA-4", 0, **WHO)
    told.tell("another part", change_bin(shop, "MUA-4", {"part": "PIN-08", "lot": "L2"}, **later(3)))
    key(shop, "B-1", ("BELL-3", 7), ("CAM-7", 30))
    plan(shop)
    count_bin(shop, "WAKA-4", 0, **later(3))
    told.refused("promised", lambda: retire_bin(shop, "WAKA-4", **WHO))
    release(shop, tmp_path)
    told.tell("moved while on paper", change_bin(shop, "WAKA-4", {"section": "6"}, **later(4)))
    told.tell("only its lot", change_bin(shop, "WAKA-4", {"lot": "L9"}, **later(5)))
    check(shop, "B-1")
    told.refused("in bags that may come back", lambda: retire_bin(shop, "WAKA-4", **WHO))
    told.tell("retired", retire_bin(shop, "MUA-3", **later(6)))
    with shop.reading() as books:
        told.tell("labels of an aisle", labels_by_aisle(books, ["Mua", "Tai"]))
        told.refused("no such aisle", lambda: labels_by_aisle(books, ["Ra"]))
    told.each("count sheet", sheets_of(shop, "count-sheet", at=NOW))
    told.is_as_recorded()


def test_parts_come_change_and_go(shop: Shop) -> None:
    """By the reader of the file; a retired part is still served, and whoever wants it is named."""
    told = Chronicle(shop, "stock/parts")
    new = {
        "description": "Damper rod",
        "family": "rod",
        "longest_mm": "90",
        "supply": "buy",
        "price": "0,40",
        "unit_weight_g": "3,1",
        "piece_sd_g": "0,02",
        "sample_pieces": "50",
        "weight_source": "sampled",
        "currency": "NZD",
    }
    told.tell("added", add_part(shop, "ROD-9", new, **WHO))
    told.tell("twice", add_part(shop, "rod-9", new, **WHO))
    told.tell("with faults", add_part(shop, "ROD-8", {**new, "supply": "steal", "price": "dear"}, **WHO))
    told.tell("changed", change_part(shop, "ROD-9", {"price": "0.45", "unit_weight_g": "3.2"}, **later(1)))
    told.tell(
        "its weight taken out",
        change_part(
            shop,
            "ROD-9",
            dict.fromkeys(("unit_weight_g", "piece_sd_g", "sample_pieces", "weight_source"), ""),
            **later(2),
        ),
    )
    told.tell("nothing", change_part(shop, "ROD-9", {"price": "0.45"}, **later(3)))
    for place in range(7):
        key(shop, f"P-{place}", ("SPRING-2", 1))
    told.tell("retired", retire_part(shop, "SPRING-2", **later(4)))
    told.tell("again by hand", add_part(shop, "SPRING-2", new, **later(5)))
    told.tell("back", change_part(shop, "SPRING-2", {"retired": "no"}, **later(6)))
    retire_part(shop, "KIT-D", **later(7))
    told.tell("of a retired kit", retire_part(shop, "FELT-9", **later(8)))
    told.refused(
        "what can't be", lambda: retire_part(shop, "FELT-9", **WHO), lambda: retire_part(shop, "FELT-8", **WHO)
    )
    told.is_as_recorded()


def test_scales_and_services_come_change_and_go(shop: Shop, tmp_path: Path) -> None:
    """A scale with bags that wait for it, a service with orders that go by it."""
    told = Chronicle(shop, "stock/equipment")
    plate = {"accuracy_class": "II", "e_g": "0.1", "d_g": "0.01", "max_g": "1200", "min_g": "0.5"}
    told.tell("a scale", add_scale(shop, "RURU", plate, **WHO))
    told.tell("twice", add_scale(shop, "ruru", plate, **WHO))
    told.tell("changed", change_scale(shop, "RURU", {"repeatability_g": "0.02"}, **later(1)))
    told.tell("wrongly", change_scale(shop, "RURU", {"d_g": "9"}, **later(1)))
    told.tell("a service", add_service(shop, "SHIP", {"name": "夜便", "kind": "parcel", "cut_off": "25:00"}, **WHO))
    told.tell(
        "rightly",
        add_service(
            shop,
            "SHIP",
            {"name": "Ship", "kind": "parcel", "cut_off": "09:05", "countries": "NZ", "max_weight_g": "0"},
            **WHO,
        ),
    )
    told.tell("changed", change_service_terms(shop, "SHIP", {"cut_off": "09:15"}, **later(2)))
    for place in range(7):
        key(shop, f"V-{place}", ("SPRING-2", 1), ("REED-A", 2))
    told.refused("in use", lambda: retire_service(shop, "ROAD", **WHO), lambda: retire_service(shop, "NO", **WHO))
    told.tell("not in use", retire_service(shop, "SHIP", **later(3)))
    told.tell(
        "again",
        add_service(
            shop,
            "SHIP",
            {"name": "Ship", "kind": "parcel", "cut_off": "09:05", "countries": "NZ", "max_weight_g": "0"},
            **WHO,
        ),
    )
    plan(shop)
    release(shop, tmp_path)
    told.tell("a scale that bags wait for", retire_scale(shop, "KOTARE", **later(4)))
    told.refused("twice", lambda: retire_scale(shop, "KOTARE", **WHO))
    folder = write_catalogue(tmp_path / "again", {"services.csv": FILES["services.csv"].replace("ROAD,", "TRUCK,")})
    told.tell("a file without the service", import_catalogue(shop, folder, **later(5)))
    told.is_as_recorded()


def test_a_catalogue_comes_in_again_and_goes_out(shop: Shop, tmp_path: Path) -> None:
    """Only what is different, never stock; with stock it is a count; what books forbid is found."""
    told = Chronicle(shop, "stock/catalogue")
    bins = FILES["bins.csv"].replace("TAI-1,Tai,left,1,1,800,PIN-08,300", "TAI-1,Tai,left,1,1,900,PIN-08,311")
    bins = bins.replace("TAI-2,Tai,right,2,2,2100,REED-A,6\n", "").replace(
        "MUA-3,Mua,left,2,1,1700,BALL-2,0", "MUA-3,Mua,left,2,1,1700,CAM-7,4"
    )
    bins += "MUA-9,Mua,left,2,2,1700,BALL-2,12\n"
    bins = (
        bins.replace("90\n", "91\n")
        .replace("120\n", "121\n")
        .replace("40\n", "41\n")
        .replace("25\n", "26\n")
        .replace(",2\n", ",3\n")
    )
    parts = FILES["parts.csv"].replace("0.03,NZD", "0.04,NZD").replace('LACQ-10,"Shellac', 'LACQ-11,"Shellac')
    folder = write_catalogue(tmp_path / "again", {"bins.csv": bins, "parts.csv": parts})
    told.tell("with a bin that holds pieces gone", import_catalogue(shop, folder, **later(1)))
    write_catalogue(folder, {"bins.csv": bins + "TAI-2,Tai,right,2,2,2100,REED-A,6\n", "parts.csv": parts})
    told.tell("a lacquer that has another number", import_catalogue(shop, folder, **later(2)))
    parts = FILES["parts.csv"].replace("0.03,NZD", "0.04,NZD").replace("DISC-21,", "DISC-22,")
    discless = (bins + "TAI-2,Tai,right,2,2,2100,REED-A,6\n").replace("DISC-21,9", "DISC-22,9")
    count_bin(shop, "MUA-2", 0, **WHO)
    key(shop, "K-1", ("DISC-21", 2), ("PIN-08", 305))
    write_catalogue(folder, {"bins.csv": discless, "parts.csv": parts})
    told.tell("without discs", import_catalogue(shop, folder, **later(3)))
    told.tell("again", import_catalogue(shop, folder, **later(4)))
    plan(shop)
    told.tell(
        "as a count",
        import_catalogue(
            shop,
            write_catalogue(folder, {"bins.csv": discless.replace("311\n", "3\n"), "parts.csv": parts}),
            **later(5),
            with_stock=True,
        ),
    )
    told.tell(
        "as a right count",
        import_catalogue(
            shop, write_catalogue(folder, {"bins.csv": discless, "parts.csv": parts}), **later(6), with_stock=True
        ),
    )
    told.tell(
        "unprintable",
        import_catalogue(
            shop, write_catalogue(folder, {"parts.csv": FILES["parts.csv"].replace("Bell 30", "鈴 30")}), **later(7)
        ),
    )
    few = {
        "services.csv": "\n".join(FILES["services.csv"].splitlines()[:3]) + "\n",
        "scales.csv": "\n".join(FILES["scales.csv"].splitlines()[:2]) + "\n",
    }
    told.tell("fewer services and scales", import_catalogue(shop, write_catalogue(tmp_path / "few", few), **later(7)))
    told.tell("parts again", import_catalogue(shop, write_catalogue(tmp_path / "first"), **later(8)))
    out = tmp_path / "out"
    told.tell("goes out", export_catalogue(shop, out))
    told.each("its bins", (out / "bins.csv").read_text().splitlines())
    told.each("its kits", (out / "kits.csv").read_text().splitlines())
    told.tell("again", export_catalogue(shop, out))
    told.tell("stock", export_stock(shop, tmp_path / "stock" / "levels.csv"))
    (out / "kits.csv").write_text("mine")
    told.refused("somebody's file", lambda: export_catalogue(shop, out), lambda: export_stock(shop, out / "kits.csv"))
    told.tell("replaced", export_stock(shop, out / "kits.csv", replace=True))
    told.is_as_recorded()
