"""Invented papers around orders: pull slip, partial-shipment note, evidence.

>>> [len(evidence().bags), len(pull_slip().rows), len(partial_note().lines)]
[2, 2, 2]
"""

from fulfil.papers.orders.evidence import EvidenceBag, EvidenceSheet
from fulfil.papers.orders.partial_note import FollowingLine, PartialNoteSheet
from fulfil.papers.orders.pull_slip import PullRow, PullSlipSheet

from .despatch import ABROAD
from .sample import Sample
from .shop import DAY, FROM, NOTICE, PARTS, SHOP, TO


def pull_slip() -> PullSlipSheet:
    """An order that lost two lines after its walk."""
    rows = tuple(
        PullRow(
            bag_code=f"4200003{i}",
            walk_number="W-07",
            cart_position=3,
            was=("passed", "picked")[i % 2],
            part_number=PARTS[i][0],
            description=PARTS[i][1],
            pieces=(250, 12)[i % 2],
            bin_code=f"A04-L-0{i + 1}-2",
        )
        for i in range(2)
    )
    return PullSlipSheet(
        document_number="T250304001",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        order_number="O-1003",
        reason="lines 1 and 2 cancelled by the customer",
        tells=("Package PK000118: remove it from the despatch, print its labels again.",),
        rows=rows,
    )


def partial_note() -> PartialNoteSheet:
    """Forty gears follow, and springs on a day that nobody knows yet."""
    lines = (
        FollowingLine(
            part_number=PARTS[3][0],
            description=PARTS[3][1],
            ordered=100,
            sent=60,
            to_follow=40,
            expected="Tue 4 Mar, 15:30",
        ),
        FollowingLine(part_number=PARTS[4][0], description=PARTS[4][1], ordered=1_000, sent=0, to_follow=1_000),
    )
    return PartialNoteSheet(
        document_number="NO-1005",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        order_number="O-1005",
        from_lines=FROM,
        to_lines=TO,
        sentences=(
            "Thank you for order O-1005. Not everything could be sent at once; the rest follows.",
            "You don't need to do anything. If you would rather not wait, write to us: we'll remove it from the order.",
        ),
        lines=lines,
        contact="Questions: count@example.invalid",
    )


def evidence() -> EvidenceSheet:
    """A claim of a short line, and what is known of its bags."""
    facts = (
        (
            "Weighed with its bag: 235.94 g on scale BENCH-1, right between 235.48 and 236.32 g, checked by a second "
            "person on Mon 3 March 2025 at 14:02.",
        ),
        ("Counted piece by piece, checked by a second person on Mon 3 March 2025 at 14:05.",),
    )
    bags = tuple(
        EvidenceBag(
            bag_code=f"4200003{i}",
            line_no=i + 1,
            part_number=PARTS[i][0],
            description=PARTS[i][1],
            pieces=(250, 12)[i],
            facts=facts[i],
            p_right=("> 99.9 %", "")[i],
        )
        for i in range(2)
    )
    return EvidenceSheet(
        document_number="VO-1004",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        order_number="O-1004",
        to_lines=ABROAD,
        claims=(f"Your claim E250304001, line 1, {PARTS[0][0]}: short, 2 pieces.",),
        bags=bags,
        packages=("Package PK000119: 640 g when it was sealed; 641 g expected.",),
        statement="'Count right' is the chance that the bag holds exactly this many (invented figures).",
    )


SAMPLES = {
    "evidence": Sample(lambda: [evidence()]),
    "partial-note": Sample(lambda: [partial_note()]),
    "pull-slip": Sample(lambda: [pull_slip()]),
}
