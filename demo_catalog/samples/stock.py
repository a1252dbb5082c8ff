"""Invented papers of the stock: bin labels, count sheet, short list, make list, buy list, replenishment list.

>>> make_list().pieces, buy_list().pieces
(1230, 15000)
>>> short_list().pieces_to_make
1240
"""

from fulfil.papers.repeated import LIFT
from fulfil.papers.stock.bin_label import BinLabelSheet
from fulfil.papers.stock.buy_list import BuyListSheet
from fulfil.papers.stock.count_sheet import CountRow, CountSheet
from fulfil.papers.stock.jobs import JobRow
from fulfil.papers.stock.make_list import MakeListSheet
from fulfil.papers.stock.replenishment_list import FetchRow, FillRow, ReplenishmentListSheet
from fulfil.papers.stock.short_list import ShortListSheet, ShortRow, WaitingOrder
from fulfil.records.part import Supply
from fulfil.standards import dangerous_goods

from .sample import Sample
from .shop import DAY, NOTICE, PARTS, SHOP


def _job(i: int, job: int, pieces: int, *, booked: int = 0, due: str = "", weight: str = "", packs: str = "",
         supplier: str = "", cautions: tuple[str, ...] = (), reason: str = "") -> JobRow:  # fmt: skip
    part, words, _, size, finish, _ = PARTS[i]
    return JobRow(
        job_number=f"J25030400{job}",
        part_number=part,
        description=words,
        size=size,
        finish=finish,
        pieces=pieces,
        booked_pieces=booked,
        due=due,
        orders=("O-1003 (40)", "O-1007 (12)")[: 1 + job % 2],
        weight=weight,
        packs=packs,
        supplier=supplier,
        reason=reason,
        cautions=cautions,
    )


def make_list() -> MakeListSheet:
    """Two jobs of the make-room, the first one made in part."""
    rows = (
        _job(3, 1, 40, booked=10, due="Tue 4 Mar, 15:30", weight="about 97.6 g", cautions=("LEADED BRASS",)),
        _job(5, 2, 1200, due="Thu 6 Mar, 12:00", weight="about 1322 g", reason="rejected: edges burred"),
    )
    return MakeListSheet(document_number="JM250304", shop_name=SHOP, day=DAY, notice=NOTICE, rows=rows)


def buy_list() -> BuyListSheet:
    """Jobs for two suppliers, and one that nobody supplies."""
    rows = (
        _job(0, 3, 12_000, packs="24 packs of 500", supplier="Invented Fasteners"),
        _job(2, 4, 2_000, supplier="Invented Fasteners", due="Wed 5 Mar, 10:00"),
        _job(4, 5, 1_000, supplier=""),
    )
    return BuyListSheet(document_number="JB250304", shop_name=SHOP, day=DAY, notice=NOTICE, rows=rows)


def bin_labels() -> tuple[BinLabelSheet, ...]:
    """Bins of one aisle."""
    return tuple(
        BinLabelSheet(
            bin_code=f"A04-L-{i + 1:02d}-{i % 4 + 1}",
            part_number=part,
            description=words,
            family=family,
            size=size,
            finish=finish,
            cautions=("LEADED BRASS",) if family == "gear" else (),
        )
        for i, (part, words, family, size, finish, _) in enumerate(PARTS)
    )


def count_sheet() -> CountSheet:
    """Bins of three aisles, one of them with a caution."""
    rows = tuple(
        CountRow(
            bin_code=f"A0{i // 2 + 1}-{'LR'[i % 2]}-{i + 1:02d}-{i % 4 + 1}",
            part_number=part,
            description=words,
            family=family,
            size=size,
            finish=finish,
            cautions=("LEADED BRASS",) if family == "gear" else (),
        )
        for i, (part, words, family, size, finish, _) in enumerate(PARTS)
    )
    why = "empty by the books"
    return CountSheet(document_number="Z25030401", shop_name=SHOP, day=DAY, notice=NOTICE, why=why, rows=rows)


_SHORT = (40, 1200, 15000)


def _waiting(pieces: int, orders: int) -> tuple[WaitingOrder, ...]:
    """Orders that wait for so many pieces: eleven each, the last one for the rest."""
    each = [11] * (orders - 1)
    some = enumerate([*each, pieces - sum(each)], start=1001)
    return tuple(WaitingOrder(order_number=f"O-{number}", pieces=one) for number, one in some)


def short_list() -> ShortListSheet:
    """Shorts to make and to buy."""
    rows = [
        ShortRow(
            part_number=PARTS[i][0],
            description=PARTS[i][1],
            size=PARTS[i][3],
            finish=PARTS[i][4],
            pieces=_SHORT[i % 3],
            supply=Supply.MAKE if i < 2 else Supply.BUY,
            supplier="" if i < 2 else ("Invented Fasteners", "Sample Springs")[i // 4],
            waiting=_waiting(_SHORT[i % 3], 1 + 2 * (i % 2)),
        )
        for i in range(6)
    ]
    return ShortListSheet(document_number="SL-250304", shop_name=SHOP, day=DAY, notice=NOTICE, rows=tuple(rows))


_COUNTS = (
    (("4 bags of 100", "40.00 – 43.48 g", "with bag, aim at 41.74"),),
    (("1 bag of 250, in 5 pours of 50", "12.31 – 12.69 g", "each pour, aim at 12.50"),),
    (("3 bags of 40", "COUNT BY HAND", "too light for this scale"), ("1 bag of 38", "COUNT BY HAND", "no sample yet")),
    (("", "Take all of it", ""),),
)


def replenishment_list() -> ReplenishmentListSheet:
    """Four reserve bins, one carried whole and heavy, two for one picking bin; all ways to count."""
    pieces = (400, 250, 158, 15_000)
    picking = ("A01-L-02-2", "A01-R-07-1", "A01-R-07-1", "A03-L-11-3")
    fetch = tuple(
        FetchRow(
            no=i + 1,
            bin_code=f"R0{4 - i}-L-{i + 3:02d}-4",
            part_number=PARTS[part][0],
            description=PARTS[part][1],
            family=PARTS[part][2],
            size=PARTS[part][3],
            finish=PARTS[part][4],
            lot=("L26-713", "", "", "L25-407")[i],
            pieces=pieces[i],
            counts=_COUNTS[i],
            why=f"{(12, 0, 0, 80)[i]} left; a day takes 61.5 ± 4.2, at most 180 on 95 % of days",
            cautions=("HEAVY",) if i == 3 else ("LEADED BRASS",) * (part == 3),
        )
        for i, part in enumerate((0, 3, 3, 2))
    )
    fill = tuple(
        FillRow(
            bin_code=code,
            part_number=fetch[nos[0] - 1].part_number,
            description=fetch[nos[0] - 1].description,
            pieces=sum(fetch[no - 1].pieces for no in nos),
            nos=nos,
        )
        for code, nos in ((picking[3], (4,)), (picking[0], (1,)), (picking[1], (2, 3)))
    )
    return ReplenishmentListSheet(
        document_number="RL250304",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        for_days=5,
        fetch=fetch,
        fill=fill,
        fetch_m="86 m",
        fill_m="142 m",
        cautions=(
            f"{LIFT} What is heavy belongs between hip and chest.",
            *dangerous_goods.cautions(["leaded-brass"]),
        ),
    )


SAMPLES = {
    "bin-labels": Sample(bin_labels),
    "bin-labels-on-sheets": Sample(bin_labels, on_sheets=True),
    "buy-list": Sample(lambda: [buy_list()]),
    "count-sheet": Sample(lambda: [count_sheet()]),
    "make-list": Sample(lambda: [make_list()]),
    "replenishment-list": Sample(lambda: [replenishment_list()]),
    "short-list": Sample(lambda: [short_list()]),
}
