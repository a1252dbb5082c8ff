"""What the packing bench asks the shop to do: one want a line, each carried out in one transaction.

>>> BoxTheBag("B-1").bag_code
'B-1'
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from fulfil.checking.wants import LetGo, SignIn, TakeWalk


@dataclass(frozen=True)
class TakeOrder:
    """Take an order: choose its boxes, and put this bag into its box if one was scanned."""

    order_number: str
    bag_code: str = ""
    package_number: str = ""


@dataclass(frozen=True)
class BoxTheBag:
    """This bag lies in its box."""

    bag_code: str


@dataclass(frozen=True)
class UnboxTheBag:
    """This bag was taken out again."""

    bag_code: str


@dataclass(frozen=True)
class ChoosePackage:
    """Go on with this package of the order in hand."""

    package_number: str


@dataclass(frozen=True)
class WeighPackage:
    """Give the verdict on the closed package."""

    package_number: str
    gross_g: Decimal
    photo_path: str = ""
    bags_counted: int = 0


@dataclass(frozen=True)
class ReopenPackage:
    """Open a sealed package again."""

    package_number: str
    reason: str


@dataclass(frozen=True)
class WeighEmpty:
    """Take down what the empty box weighs; ``reason`` is why it is right though it seems not."""

    package_number: str
    empty_g: Decimal
    reason: str = ""


@dataclass(frozen=True)
class ForgetEmpty:
    """Take the empty box's weight back."""

    package_number: str


PackWant: TypeAlias = (
    TakeOrder
    | BoxTheBag
    | UnboxTheBag
    | ChoosePackage
    | WeighPackage
    | ReopenPackage
    | WeighEmpty
    | ForgetEmpty
    | LetGo
    | SignIn
    | TakeWalk
    | None
)
