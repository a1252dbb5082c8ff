"""What a day's bags are counted with: the scales that passed, the bags, the shop's settings, and what both have taught.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.store.shop import open_shop
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True).reading() as books:
...     bench_of_day(books, date(2026, 3, 2)).scales
()
"""

from datetime import date

from fulfil.counting.count_lines import Bench, bench_of
from fulfil.counting.scale_checks import usable_scales
from fulfil.counting.scale_room import bias_shares
from fulfil.counting.timed_checks import count_times
from fulfil.records.equipment import BagType
from fulfil.store.books import Books


def bench_of_day(books: Books, day: date) -> Bench:
    """Scales with the error that they may have, bag types, and the times that checks took, as they are on a day."""
    return bench_of(
        usable_scales(books),
        books.find(BagType),
        books.settings(),
        bias_shares=bias_shares(books, day),
        times=count_times(books, day),
    )
