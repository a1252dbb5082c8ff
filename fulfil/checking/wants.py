"""Between the check bench's machine and the shop: what the shop knows (*facts*), and what it shall do (*wants*).

>>> TakeBag("A-1", "B-1")
TakeBag(order_number='A-1', bag_code='B-1')
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from fulfil.records.plan import BagState


@dataclass(frozen=True, kw_only=True)
class BagFacts:
    """What the bench knows of a bag. ``needs_gross`` asks for a weight beside the count; ``second_look`` are reasons.

    ``how`` says what hands do where the scale is tared; ``pours`` is how many lots the bag was filled in, 0 for a bag
    that is weighed at once. ``stands_against`` says why the bag can't be checked now; empty for one that waits.
    ``passes_by`` is the statement of the sampling plan that lets it through unchecked.
    """

    code: str
    order_number: str
    walk_number: str
    position: int
    part_number: str
    pieces: int
    looks: str
    bin_code: str
    description: str = ""
    is_weighed: bool
    scale_code: str = ""
    d_g: Decimal | None = None
    lower_g: Decimal | None = None
    target_g: Decimal | None = None
    upper_g: Decimal | None = None
    why_by_hand: str = ""
    how: str = ""
    pours: int = 0
    needs_gross: bool = False
    second_look: tuple[str, ...] = ()
    look_alikes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    picture: str = ""
    state: BagState = BagState.PLANNED
    checks: int = 0
    stands_against: str = ""
    passes_by: str = ""


@dataclass(frozen=True)
class OrderFacts:
    """An order at the bench; ``stands_against`` says why it can't be checked now."""

    number: str
    position: int
    waiting: tuple[str, ...] = ()
    stands_against: str = ""


@dataclass(frozen=True)
class WalkFacts:
    """A walk whose cart stands at the bench."""

    number: str
    orders: int
    bags: int
    picker: str = ""
    stands_against: str = ""


@dataclass(frozen=True)
class Unknown:
    """A code that no bench takes: with the code that it may be half of, or with what else it is."""

    code: str
    expected: str = "a bag, an order or a walk"
    half_of: str = ""
    stands_against: str = ""


Found: TypeAlias = BagFacts | OrderFacts | WalkFacts | Unknown | None


@dataclass(frozen=True)
class TakeBag:
    """Take an order (if it isn't in hand) and put its bag in hand; no bag code: only the order."""

    order_number: str
    bag_code: str = ""


@dataclass(frozen=True)
class CheckBag:
    """Give the verdict on the bag in hand."""

    bag_code: str
    gross_g: Decimal | None = None
    counted: int | None = None
    looks_wrong: str = ""
    is_damaged: bool = False
    pours_g: tuple[Decimal, ...] = ()


@dataclass(frozen=True)
class PassUnchecked:
    """Let a bag through by the sampling plan."""

    order_number: str
    bag_code: str
    statement: str


@dataclass(frozen=True)
class UndoCheck:
    """Take the last verdict back."""

    bag_code: str


@dataclass(frozen=True)
class SkipBag:
    """Put the bag in hand aside."""

    bag_code: str


@dataclass(frozen=True)
class LetGo:
    """Leave the order to others."""

    order_number: str


@dataclass(frozen=True)
class TakeWalk:
    """The cart of this walk stands at the bench."""

    walk_number: str


@dataclass(frozen=True)
class SignIn:
    """This person works at the bench."""

    person: str


@dataclass(frozen=True)
class NotePicker:
    """This person picked the walk."""

    walk_number: str
    person: str


Want: TypeAlias = (
    TakeBag | CheckBag | PassUnchecked | UndoCheck | SkipBag | LetGo | TakeWalk | SignIn | NotePicker | None
)
