"""Do the books balance? For every line: ordered = shipped + short + held + cancelled, to the piece.

Each ordered piece is in exactly one place. Pieces that are none of the four yet (on a walk, on the bench) are
*in hand*: while there are any, the day is not over, and each is named with what to do.

>>> line = LineBalance("A-1", 1, "BALL-3", ordered=50, shipped=40, short=10, held=0, cancelled=0)
>>> line.in_hand
0
"""

from collections.abc import Iterable
from dataclasses import dataclass

from fulfil.records.finding import Finding


@dataclass(frozen=True)
class LineBalance:
    """Where the pieces of one order line are; ``packages`` are those that hold all that is in hand."""

    order_number: str
    line_no: int
    part_number: str
    ordered: int
    shipped: int
    short: int
    held: int
    cancelled: int
    packages: tuple[str, ...] = ()

    @property
    def in_hand(self) -> int:
        """Pieces that are neither shipped, short, held nor cancelled; negative when more was shipped than ordered."""
        return self.ordered - self.shipped - self.short - self.held - self.cancelled

    @property
    def says(self) -> str:
        """What is off."""
        if self.in_hand < 0:
            return f"{-self.in_hand} pieces of {self.part_number} more than ordered have left"
        return (
            f"{self.in_hand} of {self.ordered} pieces of {self.part_number} are not shipped, short, held or cancelled"
        )

    @property
    def do(self) -> str:
        """What to do about it."""
        if self.in_hand < 0:
            return "find the bag that went twice and tell the customer"
        if self.packages:
            return f"see package {' and '.join(self.packages)}, which they are in"
        return "check and pack the bags of this line, or hold the order"


@dataclass(frozen=True)
class DayBalance:
    """The sums over all lines, in pieces, and a finding for every line that doesn't balance."""

    ordered: int
    shipped: int
    short: int
    held: int
    cancelled: int
    in_hand: int
    findings: tuple[Finding, ...]

    @property
    def is_balanced(self) -> bool:
        """Whether every line balances to the piece."""
        return not self.findings


def balance(lines: Iterable[LineBalance]) -> DayBalance:
    """Sums the lines and names each one that doesn't balance."""
    ordered_lines = sorted(lines, key=lambda line: (line.order_number, line.line_no))
    findings = []
    for line in ordered_lines:
        if line.in_hand == 0:
            continue
        where = f"order {line.order_number}, line {line.line_no}"
        findings.append(Finding(where, None, "pieces", str(line.in_hand), line.says, line.do))
    return DayBalance(
        ordered=sum(line.ordered for line in ordered_lines),
        shipped=sum(line.shipped for line in ordered_lines),
        short=sum(line.short for line in ordered_lines),
        held=sum(line.held for line in ordered_lines),
        cancelled=sum(line.cancelled for line in ordered_lines),
        in_hand=sum(line.in_hand for line in ordered_lines),
        findings=tuple(findings),
    )
