"""Rows of a carrier's bill, one for each kind of charge, put together to one line a package.

A bill may say in one row what a package costs, or in three what the carriage, the fuel and the toll cost. The mapping
says what each kind is: ``price``, the name of a surcharge as in ``surcharges.csv``, ``credit`` (taken off, whatever its
sign), ``duty`` or ``tax`` (added up and said, never compared), ``skip``. Rows of a package whose kinds differ are one
line; a kind that comes again begins another line, so that what is billed twice stays twice:

>>> rows = [KindRow(2, "P1", "base", "price", 690), KindRow(3, "P1", "fuel", "fuel", 55),
...         KindRow(4, "P1", "base", "price", 690)]
>>> [(line.line_no, line.charge_minor, dict(line.surcharges)) for line in joined(rows, names=["fuel"])]
[(2, 745, {'fuel': 55}), (4, 690, {'fuel': 0})]
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal

PRICE, CREDIT, DUTY, TAX, SKIP = "price", "credit", "duty", "tax", "skip"
NOT_COMPARED = (DUTY, TAX)


@dataclass(frozen=True)
class KindRow:
    """One row: where it stands, whose it is, its kind as the carrier says, what that means, what it charges.

    ``key`` is the package's number folded, ``number`` as it is written.
    """

    line_no: int
    key: str
    said: str
    means: str
    amount_minor: int
    number: str = ""
    service_code: str = ""
    billed_g: Decimal | None = None


@dataclass
class Joined:
    """A line of a bill, of one row or several."""

    line_no: int
    number: str
    service_code: str = ""
    billed_g: Decimal | None = None
    charge_minor: int = 0
    named: dict[str, int] = field(default_factory=dict)
    kinds: set[str] = field(default_factory=set)

    @property
    def surcharges(self) -> tuple[tuple[str, int], ...]:
        """The surcharges by name, 0 where there is none."""
        return tuple(sorted(self.named.items()))

    def take(self, row: KindRow) -> None:
        """One more row."""
        self.kinds.add(row.said)
        self.charge_minor += row.amount_minor
        if row.means in self.named:
            self.named[row.means] += row.amount_minor
        self.service_code = self.service_code or row.service_code
        self.billed_g = row.billed_g if self.billed_g is None else self.billed_g


def joined(rows: Iterable[KindRow], *, names: Sequence[str]) -> list[Joined]:
    """Lines of the rows, in the order of their first rows; ``names`` are the surcharges that the mapping knows."""
    lines: list[Joined] = []
    of: dict[str, list[Joined]] = {}
    for row in rows:
        known = of.setdefault(row.key, [])
        line = next((one for one in known if row.said not in one.kinds and row.means != CREDIT), None)
        if line is None:
            named = {} if row.means == CREDIT else dict.fromkeys(names, 0)
            line = Joined(row.line_no, row.number, named=named)
            known.append(line)
            lines.append(line)
        line.take(row)
        if row.means == CREDIT:
            known.remove(line)
    return lines


def step_of(cells: Iterable[str], decimal_sign: str, unit_g: Decimal) -> Decimal | None:
    """What the last digit of the column's finest number is worth, in grams to the milligram, rounded up; None without.

    >>> step_of(["1.25", "2", ""], ".", Decimal(1000)), step_of(["1,5"], ",", Decimal(1000))
    (Decimal('10.000'), Decimal('100.000'))
    """
    decimals = [len(cell.rpartition(decimal_sign)[2]) if decimal_sign in cell else 0 for cell in cells if cell]
    if not decimals:
        return None
    return (unit_g * Decimal(1).scaleb(-max(decimals))).quantize(Decimal("0.001"), ROUND_CEILING)
