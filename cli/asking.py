"""What a command is asked and what it answers: who asks, when, of which shop; lines for people, facts for programs.

>>> Ask("", datetime(2026, 3, 2), "anna").needed()
Traceback (most recent call last):
    ...
fulfil.errors.StoreRefused: Cannot open the shop '': expected --shop PATH, or the path in FULFIL_SHOP.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from fulfil.errors import StoreRefused

if TYPE_CHECKING:
    from fulfil.store.shop import Shop


@dataclass
class Answer:
    """What a command has to say: ``lines`` for people, ``facts`` for programs; ``must_act`` makes the exit code 1.

    ``not_printed`` makes it 5: what was asked is done and stays done, only its paper is missing.
    """

    lines: list[str] = field(default_factory=list)
    facts: dict[str, Any] = field(default_factory=dict)
    must_act: bool = False
    not_printed: bool = False


@dataclass(frozen=True)
class Ask:
    """Who asks, when, and of which shop."""

    where: str
    at: datetime
    person: str
    opened: "Shop | None" = None
    """The shop where it is open already, for a step that is done once (:mod:`fulfil_cli.again`)."""
    copied_from: str = ""
    """In a dry run (:mod:`fulfil_cli.dry_run`): the shop of which ``where`` is a copy."""

    def shop(self, *, create: bool = False) -> "Shop":
        """The shop, opened."""
        from fulfil.store.shop import open_shop

        return self.opened or open_shop(self.needed(), create=create)

    def needed(self) -> str:
        """Where the shop is, or is to be."""
        if not self.where:
            raise StoreRefused("open the shop", "", "--shop PATH, or the path in FULFIL_SHOP")
        return self.where

    def day(self, shop: "Shop") -> date:
        """The shop's own day at the time of the step, wherever the computer stands."""
        from fulfil.shop.clock import local_day

        with shop.reading() as books:
            return local_day(self.at, books.settings())
