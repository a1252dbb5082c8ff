"""The desk of the harbour shop: orders come in, change, are held, combined, cancelled and forgotten, word for word."""

from datetime import timedelta
from pathlib import Path
from typing import Any

from fulfil.despatch.desk.forgetting import forget_customers
from fulfil.orders.changing import change_address, change_lines, change_notes, change_service
from fulfil.orders.combining import combine_orders, look_alike_orders
from fulfil.orders.extras import explain_country, keep_mapping
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order, import_orders
from fulfil.orders.kits import import_kits, set_kit
from fulfil.orders.listed import recent_manifests, recent_orders, recent_packages, recent_walks
from fulfil.orders.previewing import example, preview_orders
from fulfil.orders.pulling import put_back
from fulfil.orders.search import find_orders
from fulfil.orders.shown import show_order
from fulfil.orders.verify import verify_shop
from fulfil.records.order_mapping import OrderMapping
from fulfil.records.pulled import PulledBag
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import NOW, WHO, bags, check, key, order_of, pack, plan, release, send
from tests.who import Who

OWN = """order,received_at,source,name,street,city,post_code,country,service,part,pieces,unit_price,currency,line
K-1,2026-07-14T08:40+12:45,web,Ngaio Sample,1 Sample Quay,Te Whānau-Sample,8016,NZ,ROAD,REED-A,20,1.10,NZD,1
K-1,2026-07-14T08:40+12:45,web,Ngaio Sample,1 Sample Quay,Te Whānau-Sample,8016,NZ,ROAD,pin-08,150,,NZD,2
K-2,2026-07-14T08:41+12:45,web,Žofie Vzorková,2 Sample Quay,Waitangi-Sample,8016,NZ,AIR,CAM-7,4,,,1
K-3,2026-07-14T08:42+12:45,web,Nobody,3 Sample Quay,Waitangi-Sample,8016,NZ,BOAT,CAM-9,4,,,1
K-4,2026-07-14T08:43+12:45,web,Somebody,4 Sample Quay,Waitangi-Sample,8016,NZ,ROAD,CAM-7,0,,,1
K-5,2026-07-14T08:44+12:45,web,Someone Else,5 Sample Quay,Ville-Modèle,1000,BE,AIR,BELL-3,3,7.777,EUR,1
K-6,2026-07-14T08:45+12:45,web,One More,6 Sample Quay,Ville-Modèle,1000,BE,AIR,BELL-3,3,,EUR,1
"""
THEIRS = """No;When;Who;Street;Town;Code;Land;Ship;Item;Count;Each
S-1;14.07.2026 07:05;Þórður Dæmi;1 Sample Quay;Kaingaroa-Sample;8016;Aotearoa;Lorry;SPRING-2;12;0,25
S-1;14.07.2026 07:05;Þórður Dæmi;1 Sample Quay;Kaingaroa-Sample;8016;Aotearoa;Lorry;POSTAGE;1;6,90
S-1;14.07.2026 07:05;Þórður Dæmi;1 Sample Quay;Kaingaroa-Sample;8016;Aotearoa;Lorry;SPRING-2;3;0,25
S-2;14.07.2026 07:06;Žofie Vzorková;2 Sample Quay;Waitangi-Sample;8016;Aotearoa;Lorry;BELL-3;2;9,00
R-9;14.07.2026 09:30;þórður dæmi;1 Sample Quay;Kaingaroa-Sample;8016;Aotearoa;Lorry;SPRING-2;-4;0,25
R-8;14.07.2026 09:31;Nobody Known;1 Sample Quay;Town;8016;Aotearoa;Lorry;BELL-3;-1;9,00
S-3;14.07.2026 09:32;Žofie Vzorková;2 Sample Quay;Waitangi-Sample;8016;Aotearoa;Lorry;BELL-3;-2;9,00
S-4;14.07.2026 09:33;Žofie Vzorková;2 Sample Quay;Waitangi-Sample;8016;Rēkohu;Lorry;BELL-3;2;9,00
"""
_HERE = "1 Sample Quay;Town;8016;Aotearoa;Lorry"
RETURNS = (
    (
        f"S-5;14.07.2026 09:40;Once Only;{_HERE};CAM-7;2;6,40",
        f"S-6;14.07.2026 09:41;Two Lines;{_HERE};SPRING-2;5;0,25",
        f"S-6;14.07.2026 09:41;Two Lines;{_HERE};BELL-3;2;9,00",
        f"S-7;14.07.2026 09:41;Two Lines;{_HERE};BELL-3;3;9,00",
        f"R-12;14.07.2026 09:50;Once Only;{_HERE};CAM-7;-2;6,40",
        f"R-14;14.07.2026 09:51;Two Lines;{_HERE};SPRING-2;-1;0,25",
        f"R-11;14.07.2026 09:52;Þórður Dæmi;{_HERE};SPRING-2;-6;0,25",
        f"R-16;14.07.2026 09:39;Two Lines;{_HERE};BELL-3;-1;9,00",
    ),
    (
        f"R-15;14.07.2026 09:53;Two Lines;{_HERE};BELL-3;-4;9,00",
        f"R-13;14.07.2026 09:54;Þórður Dæmi;{_HERE};SPRING-2;-9;0,25",
    ),
    (f"R-17;14.07.2026 09:55;Two Lines;{_HERE};BELL-3;-1;9,00",),
    (
        f"S-8;14.07.2026 09:56;Third Decimal;{_HERE};BELL-3;1;9,00",
        f"S-8;14.07.2026 09:56;Third Decimal;{_HERE};POSTAGE;1;6,905",
        f"R-18;14.07.2026 09:57;Third Decimal;{_HERE};BELL-3;-1;9,001",
        f"S-9;14.07.2026 09:58;Twice Posted;{_HERE};BELL-3;1;9,00",
        f"S-9;14.07.2026 09:58;Twice Posted;{_HERE};POSTAGE;2;3,50",
        f"S-9;14.07.2026 09:58;Twice Posted;{_HERE};POSTAGE;1;1,00",
    ),
)
"""Orders that are wanted no more: in whole, in part, by two notices, by one that came before its order."""
COLUMNS = {
    "order": "No",
    "received_at": "When",
    "name": "Who",
    "street": "Street",
    "city": "Town",
    "post_code": "Code",
    "country": "Land",
    "service": "Ship",
    "part": "Item",
    "pieces": "Count",
    "unit_price": "Each",
}
MAPPING = OrderMapping(
    source="stall",
    delimiter=";",
    decimal_sign=",",
    time_format="%d.%m.%Y %H:%M",
    time_zone="Pacific/Chatham",
    columns=COLUMNS,
    words={"service": {"lorry": "ROAD"}},
    return_prefix="R-",
    charge_codes=("POSTAGE",),
    merges_repeated=True,
    first_row_holds=("name",),
)


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def test_a_file_of_our_own_columns(shop: Shop, tmp_path: Path) -> None:
    """Right orders come in, wrong ones say why, the rejects are written, and the same file again changes nothing."""
    told = Chronicle(shop, "desk/own-file")
    path, rejects = tmp_path / "own.csv", tmp_path / "rejects.csv"
    path.write_text(OWN, encoding="utf-8")
    told.tell("a dry run", import_orders(shop, path, **WHO, is_dry_run=True))
    told.tell("the file", import_orders(shop, path, **WHO, rejects=rejects))
    told.each("its rejects", rejects.read_text(encoding="utf-8-sig").splitlines())
    told.tell("again", import_orders(shop, path, **later(5)))
    path.write_text(OWN.replace("REED-A,20,1.10", "REED-A,21,1.20").replace("2 Sample Quay", "7 Sample Quay"))
    told.tell("changed by its sender", import_orders(shop, path, **later(6)))
    told.is_as_recorded()


def test_a_file_of_a_source(shop: Shop, tmp_path: Path) -> None:
    """Charges, merged lines, cancellations that find their order or wait, a country that somebody explains."""
    told = Chronicle(shop, "desk/file-of-a-source")
    path = tmp_path / "stall.csv"
    path.write_text(THEIRS, encoding="utf-8")
    told.tell("a proposal", example(shop, path, "stall"))
    told.tell("before the country is explained", preview_orders(shop, path, MAPPING, **WHO, most=2))
    told.tell("explained", explain_country(shop, " Rēkohu ", "nz", **WHO))
    keep_mapping(shop, MAPPING, **WHO)
    told.tell("kept")
    told.refused("of another source", lambda: import_orders(shop, path, **WHO, source="market"))
    told.tell("previewed", preview_orders(shop, path, MAPPING, **WHO, most=2))
    told.tell("imported", import_orders(shop, path, **WHO, source="stall"))
    told.tell("shown", _shown(shop, "S-1"))
    path.write_text(THEIRS.replace("-4;0,25", "-5;0,25"), encoding="utf-8")
    told.tell("again, with another count that came back", import_orders(shop, path, **later(3), source="stall"))
    for minutes, rows in enumerate(RETURNS, start=4):
        path.write_text("\n".join([THEIRS.splitlines()[0], *rows]) + "\n", encoding="utf-8")
        told.tell(f"returns {minutes}", import_orders(shop, path, **later(minutes), source="stall"))
    plan(shop)
    release(shop, tmp_path)
    path.write_text(
        THEIRS.splitlines()[0]
        + "\nR-10;14.07.2026 10:30;Žofie Vzorková;2 Sample Quay;Waitangi-Sample;8016;Aotearoa;Lorry;BELL-3;-3;9,00\n"
    )
    told.tell("a return of what lies in bags", import_orders(shop, path, **later(9), source="stall"))
    path.write_text(path.read_text().replace("R-10;14.07.2026 10:30", "R-19;14.07.2026 10:31"), encoding="utf-8")
    told.tell("more than is left of it", import_orders(shop, path, **later(10), source="stall"))
    told.is_as_recorded()


def _shown(shop: Shop, number: str) -> Any:
    with shop.reading() as books:
        one = show_order(books, number)
        return one, one.goods_minor, one.charges_minor, one.total_minor


def test_an_order_by_telephone(shop: Shop) -> None:
    """Every fault of it at once; the same again is nothing; another under its number is a conflict."""
    told = Chronicle(shop, "desk/keyed-order")
    order, lines = order_of("T-1", [("REED-A", 4), ("CAM-7", 2)], phone="+64 3 305 0001")
    wrong = order.model_copy(update={"service_code": "BOAT", "country": "XQ", "currency": "XXQ", "city": "አዲስ"})
    told.each("all that is wrong", add_order(shop, wrong, [*lines, lines[0]], **WHO))
    told.each("without a line", add_order(shop, order, [], **WHO))
    told.each("taken", add_order(shop, order, lines, **WHO))
    told.each("again", add_order(shop, order, lines, **later(1)))
    other = [
        lines[0].model_copy(update={"pieces": 5, "unit_price_minor": 1}),
        lines[1].model_copy(update={"line_no": 3}),
    ]
    told.each("otherwise", add_order(shop, order.model_copy(update={"phone": "", "city": "Town"}), other, **later(2)))
    told.is_as_recorded()


def test_changes_before_and_after_the_walk(shop: Shop, tmp_path: Path) -> None:
    """Address, service, notes and lines, with what the bench must do; what is sent stays as it was."""
    told = Chronicle(shop, "desk/changes")
    key(shop, "C-1", ("SPRING-2", 40), ("REED-A", 10), ("KIT-D", 2), company="Sample & Co")
    told.tell("taken")
    told.tell("address", change_address(shop, "C-1", {"street": "9 Sample Quay", "company": ""}, **later(1)))
    told.tell("service", change_service(shop, "C-1", "AIR", **later(2)))
    told.tell("notes", change_notes(shop, "C-1", picker="count twice", packer="", **later(3)))
    told.refused(
        "what can't be",
        lambda: change_address(shop, "C-1", {"planet": "Mars"}, **WHO),
        lambda: change_address(shop, "C-1", {"country": "XQ"}, **WHO),
        lambda: change_address(shop, "C-1", {"city": "አዲስ"}, **WHO),
        lambda: change_address(shop, "C-9", {"city": "Town"}, **WHO),
        lambda: change_service(shop, "C-1", "BOAT", **WHO),
        lambda: change_lines(shop, "C-1", {1: -1}, **WHO),
        lambda: change_lines(shop, "C-1", {9: 1}, **WHO),
        lambda: change_lines(shop, "C-1", {}, added=[("CAM-9", 1)], **WHO),
    )
    told.tell("lines", change_lines(shop, "C-1", {1: 45, 2: 8}, added=[("CAM-7", 3)], reason=" more ", **later(4)))
    plan(shop)
    told.tell("planned", [one.code for one in bags(shop)])
    told.tell("lines of a plan", change_lines(shop, "C-1", {2: 9}, **later(4)))
    plan(shop)
    release(shop, tmp_path)
    told.tell("planned and on paper")
    told.tell("notes at the bench", change_notes(shop, "C-1", picker="blue tray", packer="pad", **later(5)))
    told.tell("fewer springs than a bag has", change_lines(shop, "C-1", {1: 20}, **later(6)))
    told.tell("one kit less", change_lines(shop, "C-1", {3: 1}, **later(7)))
    plan(shop)
    release(shop, tmp_path)
    check(shop, "C-1")
    pack(shop, "C-1")
    told.tell("planned again, checked, packed and sealed")
    told.refused(
        "a sealed package",
        lambda: change_service(shop, "C-1", "ROAD", **WHO),
        lambda: change_lines(shop, "C-1", {1: 1}, **WHO),
        lambda: change_address(shop, "C-1", {"country": "BE"}, **WHO),
        lambda: cancel_order(shop, "C-1", "too late", **WHO),
    )
    told.tell("address on the label", change_address(shop, "C-1", {"city": "Ōwenga-Sample"}, **later(8)))
    told.tell("notes for the packer", change_notes(shop, "C-1", picker="", packer="string", **later(8)))
    told.tell("service, as agreed", change_service(shop, "C-1", "ROAD", reason=" by telephone ", **later(9)))
    told.tell("lines after boxes", change_lines(shop, "C-1", {2: 0}, **later(10)))
    told.tell("none wanted any more", change_lines(shop, "C-1", {1: 0, 3: 0, 4: 0}, **later(11)))
    told.refused("an order that has ended", lambda: change_notes(shop, "C-1", picker="x", **WHO))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_held_and_cancelled_at_every_stage(shop: Shop, tmp_path: Path) -> None:
    """Before the plan, on paper, packed, sent in part; what is pulled goes back, counted again."""
    told = Chronicle(shop, "desk/held-and-cancelled")
    for number in ("H-1", "H-2", "H-3"):
        key(shop, number, ("BALL-2", 5), ("SCREW-3", 30))
    told.refused(
        "no reason, no order",
        lambda: hold_order(shop, "H-1", " ", **WHO),
        lambda: cancel_order(shop, "H-1", "", **WHO),
        lambda: resume_order(shop, "H-1", **WHO),
        lambda: hold_order(shop, "H-9", "why", **WHO),
    )
    told.tell("held before the plan", hold_order(shop, "H-1", "asks about the finish", **later(1)))
    plan(shop)
    told.tell("planned without it")
    told.tell("goes on", resume_order(shop, "H-1", **later(2)))
    plan(shop)
    release(shop, tmp_path)
    told.tell("on paper")
    told.tell("held on paper", hold_order(shop, "H-2", "pays first", **later(3)))
    told.tell("cancelled while held", cancel_order(shop, "H-2", "never paid", **later(4)))
    check(shop, "H-3")
    told.tell("one is checked")
    told.tell("and cancelled", cancel_order(shop, "H-3", "bought elsewhere", **later(5)))
    send(shop, "H-1")
    told.tell("one is sent, but for the balls")
    told.tell("its rest is cancelled", cancel_order(shop, "H-1", "no balls to be had", **later(6)))
    told.refused(
        "nothing is owed", lambda: hold_order(shop, "H-1", "why", **WHO), lambda: cancel_order(shop, "H-2", "x", **WHO)
    )
    with shop.reading() as books:
        pulled = [one.bag_code for one in books.find(PulledBag)]
    told.tell("a preview of putting back", put_back(shop, pulled[0], **later(7), is_preview=True))
    told.tell("put back", put_back(shop, pulled[0], **later(7)))
    told.tell("put back, two more than it held", put_back(shop, pulled[1], pieces=32, **later(8)))
    told.refused(
        "twice, unknown, below nought", lambda: put_back(shop, pulled[0], **WHO), lambda: put_back(shop, "B-9", **WHO)
    )
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_orders_of_one_person_become_one(shop: Shop) -> None:
    """Alike are orders of one name, place, day and service; notes, holds and charges come along."""
    told = Chronicle(shop, "desk/combined")
    same: dict[str, Any] = {"name": "Ngaio Ōrākei-Sample", "city": "Te Whānau-Sample", "post_code": "8016"}
    key(shop, "D-1", ("REED-A", 5), note_picker="first", note_packer="pad", **same)
    key(shop, "D-2", ("REED-A", 5), minutes=9, note_picker="second", ship_complete=True, **same)
    key(shop, "D-3", ("CAM-7", 1), minutes=7, **{**same, "name": "ngaio ōrākei-sample"})
    key(shop, "D-4", ("CAM-7", 1), minutes=8, service_code="AIR", **same)
    change_lines(shop, "D-2", {1: 4}, **WHO)
    hold_order(shop, "D-2", "asks", **WHO)
    told.tell("four orders, three alike")
    with shop.reading() as books:
        told.each("alike", look_alike_orders(books))
    told.refused(
        "not alike",
        lambda: combine_orders(shop, "D-1", ["D-4"], **WHO),
        lambda: combine_orders(shop, "D-1", ["D-1"], **WHO),
        lambda: combine_orders(shop, "D-1", [], **WHO),
        lambda: combine_orders(shop, "D-1", ["D-9"], **WHO),
    )
    told.each("combined", combine_orders(shop, "D-1", ["D-3", "D-2"], **later(20)))
    with shop.reading() as books:
        told.each("alike now", look_alike_orders(books))
    told.each("it adds up", verify_shop(shop))
    told.is_as_recorded()


def test_kits(shop: Shop, tmp_path: Path) -> None:
    """By hand and by file; not while one of them is to be sent."""
    told = Chronicle(shop, "desk/kits")
    told.refused(
        "what can't be a kit",
        lambda: set_kit(shop, "KIT-D", [], **WHO),
        lambda: set_kit(shop, "KIT-D", [("KIT-D", 1)], **WHO),
        lambda: set_kit(shop, "DISC-21", [("KIT-D", 1)], **WHO),
        lambda: set_kit(shop, "KIT-D", [("CAM-9", 1)], **WHO),
    )
    set_kit(shop, "DISC-21", [("PIN-08", 7), ("CAM-7", 1)], **WHO)
    told.tell("a disc with its pins")
    path = tmp_path / "kits.csv"
    path.write_text("kit,part,pieces\nKIT-D,SPRING-2,3\nKIT-D,FELT-9,1\nDISC-21,CAM-7,1\nDISC-21,PIN-08,7\n")
    told.tell("a file", import_kits(shop, path, **WHO))
    told.tell("again", import_kits(shop, path, **WHO))
    path.write_text("kit,part,pieces\nKIT-D,DISC-21,3\nKIT-E,FELT-9,0\nDISC-21,CAM-9,1\nDISC-21,CAM-9,1\n")
    told.tell("with faults", import_kits(shop, path, **WHO))
    key(shop, "E-1", ("KIT-D", 1))
    path.write_text("kit,part,pieces\nKIT-D,FELT-9,1\n")
    told.tell("while one is ordered", import_kits(shop, path, **WHO))
    told.refused("and by hand", lambda: set_kit(shop, "KIT-D", [("FELT-9", 1)], **WHO))
    told.is_as_recorded()


def test_what_lists_show_and_what_is_forgotten(shop: Shop, tmp_path: Path) -> None:
    """Open orders and the last day's; found by words; customers who ended long ago are forgotten, once."""
    told = Chronicle(shop, "desk/lists")
    old = NOW - timedelta(days=400)
    key(shop, "F-0", ("REED-A", 1), received_at=old, phone="+64 3 305 0001", email="a@example.org", note_packer="pad")
    key(shop, "F-1", ("SCREW-3", 3), received_at=old + timedelta(minutes=1))
    key(shop, "F-2", ("BELL-3", 40), received_at=old + timedelta(minutes=2), company="Bells & Sons")
    cancel_order(shop, "F-1", "test", **WHO)
    plan(shop)
    release(shop, tmp_path)
    send(shop, "F-0")
    key(shop, "F-3", ("CAM-7", 2))
    plan(shop)
    with shop.reading() as books:
        for is_all in (False, True):
            told.tell(f"orders {is_all}", [one.number for one in recent_orders(books, is_all=is_all)])
            told.tell(f"walks {is_all}", [one.number for one in recent_walks(books, is_all=is_all)])
            told.tell(f"packages {is_all}", [one.number for one in recent_packages(books, is_all=is_all)])
            told.tell(f"manifests {is_all}", [one.number for one in recent_manifests(books, is_all=is_all)])
        for said in ("305 0001", "bells", "snail", "quay 8016", "F-", "reed nz", "nowhere", "Bells & Sons"):
            told.tell(f"found by {said}", [(one.order.number, one.parts) for one in find_orders(books, said)])
    told.tell("forgotten", forget_customers(shop, NOW - timedelta(days=30), **later(30)))
    told.tell("again", forget_customers(shop, NOW - timedelta(days=30), **later(31)))
    told.tell("before all", forget_customers(shop, old, **later(32)))
    told.is_as_recorded()
