"""The figures of a day against days before, worked out by hand on the harbour shop; the page says them in words too."""

from datetime import timedelta
from pathlib import Path

import pypdfium2
import pytest

from fulfil.despatch.figures.day_figures import DayFigures, busy_hours, day_figures
from fulfil.despatch.figures.day_figures_paper import day_figures_sheet, usual
from fulfil.records.happening import Happening
from fulfil.shop.printing import print_papers
from fulfil.store.shop import Shop
from fulfil.walks.times import say_walk
from tests.harbour_shop import DAY, NOW, check, key, make_harbour, pack, plan, release, ship

TODAY = DAY + timedelta(days=2)


def a_day(shop: Shop, folder: Path, days: int, lines: int) -> None:
    """Orders of a day keyed, walked in half an hour, checked five minutes apart, packed, shipped."""
    day, at = DAY + timedelta(days=days), NOW + timedelta(days=days)
    numbers = [f"A{days}-{one}" for one in range(lines)]
    for number in numbers:
        key(shop, number, ("SPRING-2", 4), received_at=at)
    plan(shop, day=day, at=at)
    release(shop, folder, at=at)
    with shop.reading() as books:
        from fulfil.records.plan import WalkRecord

        walks = [one.number for one in books.find(WalkRecord, day=day)]
    for walk in walks:
        say_walk(shop, walk, Happening.WALK_BEGUN, at=at, person="ngaio")
        say_walk(shop, walk, Happening.WALK_ENDED, at=at + timedelta(minutes=30), person="ngaio")
    for place, number in enumerate(numbers):
        check(shop, number, at=at + timedelta(minutes=40 + 4 * place))
        pack(shop, number, at=at + timedelta(minutes=60 + 3 * place))
    ship(shop, day=day, at=at + timedelta(hours=3))


@pytest.fixture
def figures(tmp_path: Path):
    """A day of three orders, two days later one of five."""
    with make_harbour(tmp_path / "shop.sqlite") as shop:
        for days, lines in ((0, 3), (2, 5)):
            a_day(shop, tmp_path, days, lines)
        with shop.reading() as books:
            yield shop, day_figures(books, TODAY)


def test_hours_are_what_was_written_down(figures: tuple[Shop, DayFigures]) -> None:
    """Half an hour a walk; five checks four minutes apart are 16 minutes, five packages three apart are 12."""
    _, done = figures
    by_name = {one.name: one for one in done.courses}
    walked = by_name["walking"].today + by_name["searching and counting"].today

    assert done.days == 1
    assert walked == pytest.approx(0.5)
    assert by_name["checking"].today == pytest.approx(16 / 60)
    assert by_name["checking"].before == (pytest.approx(8 / 60),)
    assert by_name["packing"].today == pytest.approx(12 / 60)
    assert usual(by_name["packing"]) == pytest.approx(6 / 60)


def test_shares_and_counts(figures: tuple[Shop, DayFigures]) -> None:
    """Every bag passed, nothing was short, and one walk for all is shorter than five."""
    by_name = {one.name: one for one in figures[1].courses}

    assert by_name["bags sent back"].today == 0
    assert by_name["lines short"].today == 0
    assert 0 < by_name["walking saved against one walk per order"].today < 100
    assert 0 <= by_name["counts proven by weight"].today <= 100


def test_a_pause_is_no_work() -> None:
    """Five minutes are; five minutes and a second aren't."""
    assert busy_hours([0, 300, 601]) == pytest.approx(300 / 3600)
    assert busy_hours([7]) == 0


def test_the_page_says_it_in_words_too(figures: tuple[Shop, DayFigures], tmp_path: Path) -> None:
    """Value and usual value of each figure, and where most hours went."""
    shop, done = figures
    (path,) = print_papers(shop, tmp_path / "out", lambda books: day_figures_sheet(books, done))
    text = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path))

    assert "16 min" in text
    assert "8 min" in text
    assert "searching and counting: " in " ".join(text.split())


def test_a_shop_on_its_first_day(tmp_path: Path) -> None:
    """Nothing is known, and that is said."""
    with make_harbour(tmp_path / "shop.sqlite") as shop, shop.reading() as books:
        sheet = day_figures_sheet(books, day_figures(books, DAY))
    assert sheet.sentence.startswith("No day before this one is on record. No hours were written down today")
    assert {row.today for _, rows in sheet.groups for row in rows} <= {"not known", "0"}
