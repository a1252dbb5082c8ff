"""The reconciliation of a day: sums that must agree, and every difference with its money, the dearest first.

>>> DifferenceRow(code="1A2B3C4D", cause="billed weight", subject="package P1", says="…", do="…").outcome
''
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class DifferenceRow:
    """One difference; ``money`` has its currency, ``outcome`` says who settled or carried it over."""

    code: str
    cause: str
    subject: str
    says: str
    do: str
    money: str = ""
    outcome: str = ""


@dataclass(frozen=True, kw_only=True)
class SumRow:
    """Two sums that must agree, written already, and whether they do."""

    label: str
    ours: str
    theirs: str
    agrees: bool


@dataclass(frozen=True, kw_only=True)
class ReconciliationSheet(DocumentSheet):
    """One day: ``state_sentence`` says whether it is closed; ``costs`` are (order, packages, ours, billed)."""

    state_sentence: str
    is_closed: bool
    sums: tuple[SumRow, ...]
    differences: tuple[DifferenceRow, ...]
    costs: tuple[tuple[str, str, str, str], ...] = ()

    @property
    def open_differences(self) -> int:
        """Differences that nobody has settled or carried over yet."""
        return sum(not row.outcome for row in self.differences)
