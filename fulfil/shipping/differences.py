"""What a reconciliation compares and finds: facts of packages and manifests, causes, differences with their money.

>>> one = reconcile_one(Cause.SHIPPED_TWICE, "package P1", "is on manifests M1, M2")
>>> one.code, one.money
('325AC792', '')
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from hashlib import sha256

from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.standards import iso4217


class Cause(StrEnum):
    """Why two numbers differ; the order is that of urgency."""

    NO_CUSTOMS_PAPER = "no customs paper"
    SHIPPED_TWICE = "shipped twice"
    PIECES_OVER = "pieces over"
    PIECES_IN_HAND = "pieces in hand"
    NOT_SHIPPED = "not shipped"
    MANIFEST_TOTAL = "manifest total"
    UNKNOWN_ON_MANIFEST = "unknown on manifest"
    DECLARED_MASS = "declared mass"
    BAG_ASTRAY = "bag in another order's package"
    CANCELLED_SENT = "cancelled, but shipped"
    MANIFEST_SERVICE = "another service than its manifest"
    NO_STOCK_MOVE = "no stock entry"
    NEVER_WEIGHED = "never weighed"
    BILLED_UNKNOWN = "billed, unknown number"
    BILLED_NOT_SHIPPED = "billed, not shipped"
    BILLED_TWICE = "billed twice"
    BILLED_SERVICE = "billed as another service"
    BILLED_CURRENCY = "billed in another currency"
    BILLED_WEIGHT = "billed weight"
    BILLED_SURCHARGE = "billed surcharge"
    BILLED_PRICE = "billed price"
    BILLED_UNPRICED = "billed, no price of ours"
    NOT_BILLED = "not billed"


@dataclass(frozen=True)
class Difference:
    """One difference: what is at stake in minor units (0 where nobody can say), what it is, what to do."""

    cause: Cause
    subject: str
    says: str
    do: str
    money_minor: int = 0
    currency: str = ""

    @property
    def code(self) -> str:
        """A short code that changes when the difference does."""
        return sha256("|".join((self.cause, self.subject, self.says)).encode()).hexdigest()[:8].upper()

    @property
    def money(self) -> str:
        """The amount with its currency, empty where there is none."""
        return iso4217.print_money(self.money_minor, self.currency) if self.currency else ""


@dataclass(frozen=True)
class PackageFacts:
    """What the books say of a package. ``weighed_g`` is its last passed weighing, ``declared_net_g`` what customs got.

    ``state`` is the package's own word; ``waits`` says that it should have left today. ``lacks`` are the customs papers
    that it has to have and hasn't. ``astray`` are bags in it that belong to other orders, with the order of each.
    ``order_state`` is that of its order, ``manifest_service`` the service of its manifest. ``sent_pieces`` are the
    pieces that the order's book says left in it, ``stock_pieces`` those that the book of what is there handed over;
    None where nobody looked.
    """

    number: str
    order_number: str
    service_code: str
    state: str
    waits: bool
    manifest_number: str
    gross_g: Decimal | None
    weighed_g: Decimal | None
    declared_net_g: int | None
    charge: Charge | None
    is_void: bool = False
    surcharges: tuple[ChargedSurcharge, ...] = ()
    lacks: tuple[str, ...] = ()
    astray: tuple[tuple[str, str], ...] = ()
    order_state: str = ""
    manifest_service: str = ""
    sent_pieces: int | None = None
    stock_pieces: int | None = None

    @property
    def charge_minor(self) -> int:
        """Price and surcharges as agreed; 0 without a price."""
        price_minor = self.charge.price_minor if self.charge else 0
        return price_minor + sum(one.amount_minor for one in self.surcharges)


@dataclass(frozen=True)
class ManifestFacts:
    """A closed manifest as it was printed: its totals, (package number, gross mass) of each row, and its day."""

    number: str
    service_code: str
    packages: int
    weight_g: Decimal
    rows: tuple[tuple[str, Decimal], ...]
    day: date | None = None


def reconcile_one(cause: Cause, subject: str, says: str) -> Difference:
    """A bare difference, to compute the code of one that is written down."""
    return Difference(cause, subject, says, "")


def major_units(difference: Difference) -> Decimal:
    """The amount at stake in the currency's major unit, without its sign."""
    return abs(iso4217.from_minor(difference.money_minor, difference.currency)) if difference.currency else Decimal(0)
