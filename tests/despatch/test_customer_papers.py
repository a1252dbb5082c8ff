"""What reaches a customer: nothing internal, each line's cautions in the customer's language."""

from datetime import timedelta
from functools import partial
from pathlib import Path

from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.orders.changing import change_notes
from fulfil.papers import twin
from fulfil.papers.phrases import customer_cautions, unreviewed
from fulfil.records.order import Order
from fulfil.shop.printing import print_papers
from fulfil.standards import dangerous_goods
from tests.shipping_shop import DAY, NOW, sealed_shop


def test_notes_and_bench_cautions_stay_in_the_shop(tmp_path: Path) -> None:
    """A note for the packer is the packer's; a caution stands at its line, in words for who uses the part."""
    with sealed_shop(tmp_path / "shop.sqlite") as shop:
        change_notes(shop, "A-2", at=NOW + timedelta(hours=1), person="clerk", packer="a gift: no prices")
        with shop.reading() as books:
            sheet = packing_list_sheet(books, books.need(Order, "A-2"), day=DAY)
        said = twin.text(sheet)
        (path,) = print_papers(shop, tmp_path, partial(packing_list_sheet, order=_order(shop), day=DAY))

    assert "gift" not in said
    assert not any(caution in said for caution in dangerous_goods.cautions(dangerous_goods.HAZARD_WORDS))
    by_part = {line.part_number: line.cautions for line in sheet.lines}
    assert by_part == {"SCR-16": (), "SCR-20": (), "BUSH-3": customer_cautions(("leaded-brass",), "")}
    assert path.read_bytes().startswith(b"%PDF")


def _order(shop):
    with shop.reading() as books:
        return books.need(Order, "A-2")


def test_every_hazard_has_words_in_every_language_of_the_list() -> None:
    """Nine hazards, sixteen languages, none empty, English always behind; unreviewed ones are on the list."""
    waiting = {(language, words) for language, _, words in unreviewed()}
    for language in ("bg", "cs", "da", "de", "el", "es", "fi", "fr", "it", "nb", "nl", "pl", "pt", "ro", "sv"):
        for words in customer_cautions(dangerous_goods.HAZARD_WORDS, language):
            own, _, english = words.partition(" / ")
            assert own.endswith(".")
            assert english.endswith(".")
            assert (language, own) in waiting
