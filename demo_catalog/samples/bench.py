"""Invented papers of the bench: recount slip, unit-weight card, counting table, bench cards.

>>> recount_slip().is_last
False
"""

from datetime import timedelta
from decimal import Decimal

from fulfil.papers.bench.bench_card import BenchCardSheet
from fulfil.papers.bench.counting_table import CountingTable, CountingTableSheet
from fulfil.papers.bench.recount_slip import RecountSlipSheet
from fulfil.papers.bench.unit_weight_card import CardLot, CardReach, CardSample, UnitWeightCardSheet
from fulfil.papers.elements.line_chart import ChartLine, LineChart

from .sample import Sample
from .shop import DAY, NOTICE, PARTS, RISK, SHOP


def recount_slip() -> RecountSlipSheet:
    """A bag that is one piece short."""
    part, words, family, size, finish, _ = PARTS[0]
    return RecountSlipSheet(
        slip_number="R250304001",
        bag_code="42000031",
        bin_code="A04-L-07-2",
        order_number="O-1003",
        walk_number="W-07",
        cart_position=3,
        part_number=part,
        description=words,
        family=family,
        size=size,
        finish=finish,
        pieces=250,
        window="Must show 235.48 – 236.32 g on BENCH-1, with the bag.",
        saw="weighs 234.97 g",
        likely=("one piece short: 249 of 250", "a bag of another lot"),
        steps=("Go to the bin.", "Count the whole bag again.", "Bring it back to the bench and scan it."),
        which=1,
        most=3,
        notice=NOTICE,
        day=DAY,
    )


def unit_weight_card() -> UnitWeightCardSheet:
    """What a cap screw weighs."""
    part, words, family, size, finish, _ = PARTS[0]
    sizes = (2.0, 10.0, 50.0, 200.0, 1000.0)
    return UnitWeightCardSheet(
        document_number=part,
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        part_number=part,
        description=words,
        family=family,
        size=size,
        finish=finish,
        lots=(
            CardLot(
                lot="L-2501",
                unit_weight="0.9312 g",
                uncertainty="0.0004 g",
                piece_sd="0.0041 g",
                how="sample of 100 pieces, 12 bags learned from",
            ),
        ),
        reaches=(
            CardReach(scale="BENCH-1", interval_g=Decimal("0.01"), most=180),
            CardReach(scale="BENCH-2", interval_g=Decimal("0.1"), most=90),
            CardReach(scale="FLOOR-1", interval_g=Decimal(5), most=0, why_not="5 g is more than one piece"),
        ),
        samples=tuple(
            CardSample(
                day=DAY - timedelta(days=i),
                lot="L-2501",
                pieces=50,
                gross_g=Decimal("49.66") + i * Decimal("0.01"),
                tare_g=Decimal("3.10"),
                scale="BENCH-1",
            )
            for i in range(2)
        ),
        older_samples=4,
        chart=LineChart(
            x_label="pieces in the sample",
            y_label="largest count",
            x_ticks=(2.0, 10.0, 50.0, 200.0, 1000.0),
            y_ticks=(10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0),
            lines=(
                ChartLine(label="BENCH-1", points=tuple((n, 18 * n**0.5) for n in sizes)),
                ChartLine(label="BENCH-2", points=tuple((n, 9 * n**0.5) for n in sizes), kind="dashed"),
            ),
            rings=((100.0, 180.0),),
            is_log=True,
        ),
        advice=("Weigh a sample of 200 pieces: bags of up to 250 can then be counted on BENCH-1.",),
        risk_statement=RISK,
    )


def counting_table() -> CountingTableSheet:
    """One scale's page for the wall; the counts are invented."""
    return CountingTableSheet(
        document_number="BENCH-1",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        scale="BENCH-1",
        plate="Max 3200 g, d = 0.01 g",
        tables=tuple(
            CountingTable(
                sample_pieces=sample,
                scatters=("0.5 %", "1 %", "2 %"),
                rows=(
                    ("0.1 g", (str(sample), str(sample // 2), "by hand")),
                    ("1 g", (str(4 * sample), str(2 * sample), str(sample // 2))),
                    ("10 g", (str(5 * sample), str(2 * sample), str(sample))),
                ),
            )
            for sample in (20, 100)
        ),
        rules=("Wait until the display is steady.", "Zero the scale with nothing on it."),
        risk_statement=RISK,
        cautions=("Nothing here is for sales by weight: scales used in trade are under local law.",),
    )


def bench_cards() -> tuple[BenchCardSheet, ...]:
    """A command, a cart position and a badge."""
    return (
        BenchCardSheet(code="*UNDO", title="undo", says="take the last verdict back, or put the bag in hand down"),
        BenchCardSheet(code="#07", title="position 7", says="sticks on the cart, below it"),
        BenchCardSheet(code="@anna", title="anna", says="badge", shop_name=SHOP),
    )


SAMPLES = {
    "bench-cards": Sample(bench_cards),
    "counting-table": Sample(lambda: [counting_table()]),
    "recount-slip": Sample(lambda: [recount_slip()]),
    "unit-weight-card": Sample(lambda: [unit_weight_card()]),
}
