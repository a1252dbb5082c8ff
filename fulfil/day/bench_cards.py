"""Print the bench's cards: a card for each command, each cart position, and a badge for each person."""

from collections.abc import Sequence
from pathlib import Path

from fulfil.checking.entry import SAYS, Card, card_code, position_code
from fulfil.errors import QuantityRefused
from fulfil.files.written import write_whole
from fulfil.papers.bench import bench_card
from fulfil.records.sheets.bench_card import BenchCardSheet
from fulfil.store.shop import Shop


def print_cards(shop: Shop, out: Path, *, badges: Sequence[str] = (), positions: int | None = None) -> list[Path]:
    """Writes ``bench-cards.pdf`` and, where there are badges, ``badges.pdf``.

    ``positions`` is how many cart positions get a card; None: as many as the shop's carts have.

    Raises:
        QuantityRefused: a badge without a name, or positions below 0.
        CodeRefused: a name that a bar code can't say.
    """
    for name in badges:
        if not name.strip() or name != name.strip():
            raise QuantityRefused("print a badge for", name, "a name without spaces around it")
    with shop.reading() as books:
        settings = books.settings()
    last = settings.cart_positions if positions is None else positions
    if last < 0:
        raise QuantityRefused("print cards for positions", last, "0 or more")
    people = [
        BenchCardSheet(code=f"@{name}", title=name, says="badge", shop_name=settings.shop_name) for name in badges
    ]
    out.mkdir(parents=True, exist_ok=True)
    written = []
    for file_name, cards in (("bench-cards.pdf", card_sheets(last)), ("badges.pdf", people)):
        if cards:
            paper = bench_card.pdf(cards, page=settings.paper, printer_dpi=settings.printer_dpi)
            write_whole(out / file_name, paper)
            written.append(out / file_name)
    return written


def card_sheets(positions: int) -> list[BenchCardSheet]:
    """A card for each command, then for each cart position."""
    commands = [BenchCardSheet(code=card_code(card), title=card.value, says=SAYS[card]) for card in Card]
    places = [
        BenchCardSheet(code=position_code(number), title=f"position {number}", says="sticks on the cart, below it")
        for number in range(1, positions + 1)
    ]
    return [*commands, *places]
