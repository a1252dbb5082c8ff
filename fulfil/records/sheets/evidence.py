"""The evidence sheet: how an order's bags were counted and checked, to be sent to a customer who asks.

>>> EvidenceBag(bag_code="B1", line_no=1, part_number="BALL-3", description="Ball", pieces=50, facts=("a",)).p_right
''
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class EvidenceBag:
    """One bag: ``facts`` are sentences in order; ``p_right`` is written already, empty where no weight tells."""

    bag_code: str
    line_no: int
    part_number: str
    description: str
    pieces: int
    facts: tuple[str, ...]
    p_right: str = ""


@dataclass(frozen=True, kw_only=True)
class EvidenceSheet(DocumentSheet):
    """The evidence of an order; ``claims`` say what was asked, ``packages`` what was sealed and weighed."""

    order_number: str
    to_lines: tuple[str, ...]
    claims: tuple[str, ...] = ()
    bags: tuple[EvidenceBag, ...]
    packages: tuple[str, ...] = ()
    statement: str = ""
