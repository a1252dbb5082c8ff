"""The papers around orders: every word of the sheet is on the page, inside the margins, with room around the bars."""

from datetime import date
from typing import Any

import pytest

from fulfil.papers.door import leaves, pdf
from fulfil.papers.orders.evidence import EvidenceBag, EvidenceSheet
from fulfil.papers.orders.partial_note import FollowingLine, PartialNoteSheet
from fulfil.papers.orders.pull_slip import PullRow, PullSlipSheet
from fulfil.papers.stock.buy_list import BuyListSheet
from fulfil.papers.stock.jobs import JobRow
from fulfil.papers.stock.make_list import MakeListSheet
from fulfil.records.settings import Paper
from tests.papers import geometry

HEAD: dict[str, Any] = {
    "document_number": "X260302-017",
    "shop_name": "Invented Works",
    "day": date(2026, 3, 2),
    "notice": "Invented.",
}
LONG = "Gear m 0.5, 96 teeth, 3 wide, bore 4, with a description that is as long as the catalogue allows " * 2
ADDRESS = ("Invented Person", "Sample Street 1", "NAMIBIA")


def jobs(count: int, supplier: str = "") -> tuple[JobRow, ...]:
    """Some jobs, one of them extreme."""
    usual = [
        JobRow(job_number=f"J26030200{n:02}", part_number=f"GEA-{n:04}", description="Gear", pieces=12 + n,
               orders=("O-1 (5)", "O-2 (7)"), due="Mon 02 Mar, 15:30", weight="about 26.4 g", supplier=supplier)
        for n in range(count)
    ]  # fmt: skip
    extreme = JobRow(job_number="J2603029999", part_number="X" * 40, description=LONG.strip()[:200], size="96 teeth",
                     finish="brass", pieces=999_999_999, booked_pieces=999_999, reason="rejected: teeth burred",
                     orders=tuple(f"O-{n} (3)" for n in range(60)), cautions=("Leaded brass: wash your hands.",),
                     supplier=f"{supplier} 2")  # fmt: skip
    return (*usual, extreme)


SHEETS = {
    "make": MakeListSheet(rows=jobs(14), **HEAD),
    "make nothing": MakeListSheet(rows=(), **HEAD),
    "buy": BuyListSheet(rows=jobs(14, "Invented Supplier"), **HEAD),
    "note": PartialNoteSheet(
            order_number="O-1", from_lines=ADDRESS, to_lines=ADDRESS, sentences=("One.", LONG.strip()),
            contact="a@b.c",
            lines=tuple(FollowingLine(part_number=f"P-{n}", description=LONG.strip(), ordered=99_999, sent=n,
                                      to_follow=3, expected="Mon 02 Mar, 15:30") for n in range(20)), **HEAD,
    ),
    "pull": PullSlipSheet(
            order_number="O-1", reason=LONG.strip(), tells=("Package P1: print its labels again.",),
            rows=tuple(PullRow(bag_code=f"B26030200{n:02}", walk_number="W2603020001", cart_position=99, was="passed",
                               part_number="X" * 40, description=LONG.strip(), pieces=999_999, bin_code="04L-17-3B")
                       for n in range(16)), **HEAD,
    ),
    "evidence": EvidenceSheet(
            order_number="O-1", to_lines=ADDRESS, claims=("Claim E1, line 1, GEA-0001: short, 2 pieces.",),
            bags=tuple(EvidenceBag(bag_code=f"B26030200{n:02}", line_no=n, part_number="GEA-0001", description="Gear",
                                   pieces=50, facts=("Weighed 18.30 g.", LONG.strip()), p_right="> 99.9 %")
                       for n in range(1, 14)),
            packages=("Package P1 weighed 315 g.",), statement="Judgement.", **HEAD,
    ),
}  # fmt: skip


@pytest.mark.parametrize("page", Paper)
@pytest.mark.parametrize("name", SHEETS)
def test_usual_and_extreme_sheets_keep_their_place(name: str, page: Paper) -> None:
    """Inside the margins, no text on text, none too small, quiet zones free, on both pages."""
    geometry.assert_all(leaves([SHEETS[name]], page=page))


@pytest.mark.parametrize("name", SHEETS)
def test_every_word_is_on_the_paper_and_a_reprint_is_the_same(name: str, read_text) -> None:
    """Numbers, parts, pieces and places are found in the file's text; two prints are byte for byte the same."""
    sheet = SHEETS[name]
    made = pdf([sheet], page=Paper.A4)
    text = "".join(read_text(made))
    rows = getattr(sheet, "rows", ()) or getattr(sheet, "bags", ()) or getattr(sheet, "lines", ())
    codes = ("job_number", "bag_code", "part_number", "bin_code")

    for row in rows:
        for code in codes:
            assert str(getattr(row, code, "")) in text
    assert "Invented." in text
    assert pdf([sheet], page=Paper.A4) == made
