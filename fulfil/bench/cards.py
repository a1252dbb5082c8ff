"""The bench's cards as sheets: a card for each command, each cart position, and a badge for each person."""

from collections.abc import Sequence

from fulfil.checking.entry import SAYS, Card, card_code, position_code
from fulfil.errors import QuantityRefused
from fulfil.papers.bench.bench_card import BenchCardSheet
from fulfil.records.settings import Settings
from fulfil.shop.asking import from_books


def card_sheets(settings: Settings, positions: int | None = None) -> list[BenchCardSheet]:
    """A card for each command, then for each cart position: as many as the shop's carts have, or as are asked for.

    Raises:
        QuantityRefused: positions below 0.
    """
    last = settings.cart_positions if positions is None else positions
    if last < 0:
        raise QuantityRefused("print cards for positions", last, "0 or more")
    commands = [BenchCardSheet(code=card_code(card), title=card.value, says=SAYS[card]) for card in Card]
    places = [
        BenchCardSheet(code=position_code(number), title=f"position {number}", says="sticks on the cart, below it")
        for number in range(1, last + 1)
    ]
    return [*commands, *places]


def badge_sheets(settings: Settings, names: Sequence[str]) -> list[BenchCardSheet]:
    """A badge for each person.

    Raises:
        QuantityRefused: a badge without a name.
        CodeRefused: when it is printed, a name that a bar code can't say.
    """
    for name in names:
        if not name.strip() or name != name.strip():
            raise QuantityRefused("print a badge for", name, "a name without spaces around it")
    return [BenchCardSheet(code=f"@{name}", title=name, says="badge", shop_name=settings.shop_name) for name in names]


BY_NAME = (from_books(BenchCardSheet, lambda books, _: card_sheets(books.settings())),)
