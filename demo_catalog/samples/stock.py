"""Invented papers of the stock: bin labels, count sheet, short list, make list, buy list.

>>> make_list().pieces, buy_list().pieces
(1230, 15000)
>>> short_list().pieces_to_make
1240
"""

from fulfil.papers.stock.bin_label import BinLabelSheet
from fulfil.papers.stock.buy_list import BuyListSheet
from fulfil.papers.stock.count_sheet import CountRow, CountSheet
from fulfil.papers.stock.jobs import JobRow
from fulfil.papers.stock.make_list import MakeListSheet
from fulfil.papers.stock.short_list import ShortListSheet, ShortRow, WaitingOrder
from fulfil.records.part import Supply

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


SAMPLES = {
    "bin-labels": Sample(bin_labels),
    "bin-labels-on-sheets": Sample(bin_labels, on_sheets=True),
    "buy-list": Sample(lambda: [buy_list()]),
    "count-sheet": Sample(lambda: [count_sheet()]),
    "make-list": Sample(lambda: [make_list()]),
    "short-list": Sample(lambda: [short_list()]),
}
