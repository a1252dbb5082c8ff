"""The despatch advice, UN document type 351: what was sent, in which packages, and what is still owed.

One frozen record with the data elements of the UN Layout Key's despatch advice (UNECE Recommendation 1), from which
`fulfil.standards.ubl` writes XML and `fulfil.standards.edifact` writes DESADV. It is right when it exists: every piece
of every line is in a package, and nothing is in a package twice.

>>> advice = DespatchAdvice(
...     number="DA-17", issued=datetime(2026, 3, 2, 16, 5), order_number="PO-9",
...     seller=Party("Kleinteilehaus Muster", ("Musterweg 1",), "Musterstadt", "12345", "DE"),
...     consignee=Party("A. Nobody", ("1 Invented Road",), "Nowhere", "ZZ1 1ZZ", "GB"),
...     lines=(Line(1, "1", "SCR-0016", "Cap screw M3 x 16, steel", ordered_pieces=250, despatched_pieces=200),),
...     packages=(Package("P000123", gross_g=412, contents=((1, 200),)),),
... )
>>> advice.gross_g, advice.lines[0].outstanding_pieces
(412, 50)
>>> from dataclasses import replace
>>> replace(advice, packages=())
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot advise the despatch of line 1 '200 pieces': expected as many in packages, got 0.

Limits: pieces only; one order for each advice.
"""

import unicodedata
from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import CodeRefused
from fulfil.standards import gs1, iso3166

DOCUMENT_TYPE = "351"
"""Despatch advice in UN code list 1001."""


@dataclass(frozen=True, slots=True)
class Party:
    """Seller, buyer or consignee; `country` is ISO 3166-1 alpha-2, `gln` may be empty."""

    name: str
    address_lines: tuple[str, ...]
    city: str
    postal_code: str
    country: str
    region: str = ""
    contact_name: str = ""
    telephone: str = ""
    email: str = ""
    gln: str = ""

    def __post_init__(self) -> None:
        iso3166.validate(self.country)
        if self.gln:
            gs1.validate_gln(self.gln)
        _printable(
            *(self.name, *self.address_lines, self.city, self.postal_code, self.region),
            *(self.contact_name, self.telephone, self.email),
        )


@dataclass(frozen=True, slots=True)
class Line:
    """One order line; `number` counts the advice's lines, `order_line` is the order's own line number.

    `before_pieces` went out with earlier despatches, `cancelled_pieces` are wanted no more.
    """

    number: int
    order_line: str
    part_number: str
    description: str
    ordered_pieces: int
    despatched_pieces: int
    buyer_part_number: str = ""
    outstanding_reason: str = ""
    hs_code: str = ""
    origin: str = ""
    before_pieces: int = 0
    cancelled_pieces: int = 0

    def __post_init__(self) -> None:
        if self.number < 1 or self.ordered_pieces < 1 or self.despatched_pieces < 0:
            raise CodeRefused(
                f"advise the despatch of line {self.number}",
                f"{self.despatched_pieces} of {self.ordered_pieces} pieces",
                "a line number and ordered pieces from 1, despatched pieces from 0",
            )
        _printable(self.order_line, self.part_number, self.description, self.buyer_part_number)
        _printable(self.outstanding_reason, self.hs_code, self.origin)

    @property
    def outstanding_pieces(self) -> int:
        """Pieces still owed after this despatch; 0 when as many or more went out."""
        settled = self.despatched_pieces + self.before_pieces + self.cancelled_pieces
        return max(self.ordered_pieces - settled, 0)


@dataclass(frozen=True, slots=True)
class Package:
    """One package: its number, gross mass, outer sides, and what is in it as (line number, pieces)."""

    number: str
    gross_g: int
    contents: tuple[tuple[int, int], ...]
    sides_mm: tuple[int, int, int] | None = None
    sscc: str = ""
    tracking_number: str = ""

    def __post_init__(self) -> None:
        if self.sscc:
            gs1.validate_sscc(self.sscc)
        _printable(self.number, self.tracking_number)
        if self.gross_g < 1 or any(pieces < 1 for _, pieces in self.contents):
            raise CodeRefused(
                "advise the package", self.number, "a gross mass from 1 g and at least one piece of each line"
            )


@dataclass(frozen=True, slots=True)
class DespatchAdvice:
    """One despatch: `issued` is the seller's time, with or without its zone; lines and packages in printing order."""

    number: str
    issued: datetime
    order_number: str
    seller: Party
    consignee: Party
    lines: tuple[Line, ...]
    packages: tuple[Package, ...]
    buyer: Party | None = None
    customer_reference: str = ""
    service: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        _printable(self.number, self.order_number, self.customer_reference, self.service, self.note)
        if not self.lines:
            raise CodeRefused("advise the despatch", self.number, "at least one line")
        numbers = [line.number for line in self.lines]
        if numbers != sorted(set(numbers)):
            raise CodeRefused("advise the despatch of lines", numbers, "line numbers ascending, each once")
        names = [package.number for package in self.packages]
        if len(set(names)) != len(names):
            raise CodeRefused("advise the despatch of packages", ", ".join(names), "each package once")
        packed: Counter[int] = Counter()
        for package in self.packages:
            for number, pieces in package.contents:
                packed[number] += pieces
        for line in self.lines:
            if packed.pop(line.number, 0) != line.despatched_pieces:
                in_packages = sum(p for k in self.packages for n, p in k.contents if n == line.number)
                raise CodeRefused(
                    f"advise the despatch of line {line.number}",
                    f"{line.despatched_pieces} pieces",
                    f"as many in packages, got {in_packages}",
                )
        if packed:
            raise CodeRefused("advise the despatch of lines", sorted(packed), "only lines of this advice")

    @property
    def gross_g(self) -> int:
        """Gross mass of all packages in g."""
        return sum(package.gross_g for package in self.packages)

    def line(self, number: int) -> Line:
        """The line with this number."""
        return next(line for line in self.lines if line.number == number)


def _printable(*texts: str) -> None:
    for text in texts:
        if any(unicodedata.category(letter) in ("Cc", "Cs", "Cn") for letter in text):
            raise CodeRefused("put into a despatch advice", text, "text without control characters")
