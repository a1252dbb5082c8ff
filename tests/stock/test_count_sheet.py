"""The count sheet of a harbour shop: bins that are empty by its books, as they hang, and not what they should hold."""

from pathlib import Path

import pypdfium2

from fulfil.documents import sheets_of
from fulfil.papers.door import pdf
from fulfil.papers.sheet import Sheet
from fulfil.papers.stock.count_sheet import CountSheet
from fulfil.records.settings import Paper
from fulfil.stock.levels import adjust_bin, count_bin
from tests.harbour_shop import NOW, WHO, levels, open_harbour


def printed(sheet: Sheet) -> str:
    """What stands on the sheet's first page, read back from its PDF."""
    page = pypdfium2.PdfDocument(pdf([sheet], page=Paper.A4))[0]
    return " ".join(page.get_textpage().get_text_range().split())


def test_only_empty_bins_are_listed_in_the_order_in_which_they_hang(tmp_path: Path) -> None:
    """Two are counted empty; one more is emptied and filled again, so it isn't listed. Asked for by name and number."""
    first, second, third = sorted(code for code, pieces in levels().items() if pieces)[:3]
    with open_harbour(tmp_path) as shop:
        before = {code for code, pieces in levels().items() if not pieces}
        for code in (first, second, third):
            count_bin(shop, code, 0, **WHO)
        adjust_bin(shop, third, 7, "adjusted", **WHO)
        (sheet,) = sheets_of(shop, "count-sheet", at=NOW)
        again = sheets_of(shop, "Z26071401", at=NOW)

    assert isinstance(sheet, CountSheet)
    assert {row.bin_code for row in sheet.rows} == before | {first, second}
    assert again == [sheet]
    assert [row.bin_code for row in sheet.rows] == sorted(row.bin_code for row in sheet.rows)
    assert printed(sheet).count(f"{len(before) + 2} bins empty by the books: is anything in them?") == 1


def test_without_an_empty_bin_it_says_so(tmp_path: Path) -> None:
    """Nobody walks for nothing."""
    with open_harbour(tmp_path) as shop:
        for code, pieces in levels().items():
            if not pieces:
                count_bin(shop, code, 1, **WHO)
        (sheet,) = sheets_of(shop, "count-sheet", at=NOW)

    assert "no bin empty by the books" in printed(sheet)
