"""That something has happened is heard at once on PostgreSQL, and looked up on SQLite; by every server process."""

import warnings
from threading import Event
from time import monotonic

import pytest

from fulfil.bench.people import add_person
from fulfil.records.bench import Role
from fulfil.records.happening import Happening
from fulfil.stations.news import News
from fulfil.store.shop import open_shop
from tests.bench_shop import AT
from tests.stations.tablet import PIN


def happens(shop, name: str) -> None:
    """Something that is journalled."""
    add_person(shop, name, [Role.PICK], PIN, salt=b"s" * 16, at=AT, person="mara")


def test_on_sqlite_it_is_looked_up_when_it_is_old(shop):
    """Not at each question: within its time the same number is given."""
    now = [0.0]
    news = News(shop, tick=lambda: now[0])
    first = news.newest()
    happens(shop, "ngaio")
    assert news.newest() == first
    now[0] += 1
    assert news.newest() == first + 1
    news.close()


def test_a_preview_is_no_news(shop):
    """Nothing was saved."""
    now = [0.0]
    news = News(shop, tick=lambda: now[0])
    first = news.newest()
    with shop.writing(is_preview=True) as books:
        books.journal(at=AT, person="mara", event=Happening.WALK_BEGUN, subject="W-1")
    now[0] += 1
    assert news.newest() == first
    news.close()


@pytest.mark.slow
def test_on_postgresql_another_connection_hears_it():
    """Two servers of one shop: what the one saves the other hears, without looking."""
    from tests.on_postgresql import databases

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        store = databases()
    store.make("news")
    address = store.url("news").render_as_string(hide_password=False)
    with open_shop(address) as one, open_shop(address) as other:
        stopped = Event()
        news = News(other, tick=lambda: 0.0)  # its clock stands: it never looks by itself again
        before = news.newest()
        ends = monotonic() + 20
        while not news._hears and monotonic() < ends:
            stopped.wait(0.02)
        happens(one, "ngaio")
        while news.newest() == before and monotonic() < ends:
            stopped.wait(0.02)
        assert news.newest() > before
        news.close()
