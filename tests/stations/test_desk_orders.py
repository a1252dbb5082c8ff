"""Orders from a file at the desk: looked at, taken in whole order by whole order, what was not taken said; once."""

import re

import pytest

from fulfil.orders.extras import keep_mapping
from fulfil.orders.verify import verify_shop
from fulfil.records.bench import StationKind
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_mapping import AT_IMPORT, OrderMapping
from tests.stations.browser import is_sound, sign_in
from tests.stations.cart_shop import clock, shop
from tests.stations.tablet import Tablet, words

__all__ = ["clock", "shop"]

PATH = "/clerk/orders"
HEAD = "order,received_at,source,name,street,post_code,city,country,service,part,pieces,currency\n"
GOOD = "N-1,2026-07-14T08:40:00+12:45,web,Invented Person,Sample Street 5,8016,Sampletown,NZ,ROAD,SPRING-2,4,NZD\n"
SECOND_LINE = "N-1,2026-07-14T08:40:00+12:45,web,Invented Person,Sample Street 5,8016,Sampletown,NZ,ROAD,FELT-9,2,NZD\n"
UNKNOWN = "N-2,2026-07-14T08:41:00+12:45,web,Invented Person,Sample Street 5,8016,Sampletown,NZ,ROAD,NO-PART,1,NZD\n"


@pytest.fixture
def desk(house) -> Tablet:
    """The clerk's desk."""
    return Tablet(house, "desk-1", StationKind.CLERK, "dora")


def post(tablet: Tablet, line: str, content: str, name: str = "today.csv", **more: str) -> str:
    """The form with its file, as a browser sends it; what the page says."""
    key = re.search(r'name="key" value="([^"]+)"', tablet.client.get(PATH).text)[1]
    files = {"file": (name, content.encode(), "text/csv")}
    got = tablet.client.post(PATH, data={"line": line, "key": key, **more}, files=files)
    assert got.status_code == 200, got.text
    return words(got.text).replace("&#39;", "'")


def orders(house) -> list[str]:
    """The numbers of orders from files."""
    with house.shop.reading() as books:
        return sorted(one.number for one in books.find(Order) if one.number.startswith("N-"))


def test_a_file_is_looked_at_then_taken_in_and_taken_in_once(desk, house):
    """Nothing comes in by looking; then its orders do, with all their lines; the same file again changes nothing."""
    looked = post(desk, "look file", HEAD + GOOD + SECOND_LINE)
    before = orders(house)
    taken = post(desk, "take file", HEAD + GOOD + SECOND_LINE)
    again = post(desk, "take file", HEAD + GOOD + SECOND_LINE)
    nothing = post(desk, "take file", "")

    assert "today.csv: 1 new order, 0 known already." in looked
    assert "Nothing is taken in yet: choose the file again." in looked
    assert before == []
    assert "Taken in: N-1." in taken
    assert "today.csv: 0 new orders, 1 known already." in again
    assert "a file: choose the one that holds the orders" in nothing
    with house.shop.reading() as books:
        lines = [(one.part_number, one.pieces) for one in books.find(OrderLine, order_number="N-1")]
    assert lines == [("SPRING-2", 4), ("FELT-9", 2)]
    assert verify_shop(house.shop) == ()


def test_a_key_is_for_one_file(desk, house):
    """Sent twice under its key, a file is taken in once and answered alike; another file under it is refused."""
    taken = post(desk, "take file", HEAD + GOOD, key="sent-twice")
    again = post(desk, "take file", HEAD + GOOD, key="sent-twice")
    other = post(desk, "take file", HEAD + GOOD.replace("N-1", "N-8"), key="sent-twice")

    assert "Taken in: N-1." in taken
    assert "Taken in: N-1." in again
    assert "Not done" in other
    assert orders(house) == ["N-1"]


def test_what_is_wrong_with_an_order_is_said_and_none_of_its_lines_come_in(desk, house):
    """One good order, one with an unknown part in its second line: the good one whole, of the other nothing."""
    half = UNKNOWN.replace("NO-PART", "SPRING-2")
    told = post(desk, "take file", HEAD + GOOD + half + UNKNOWN)

    assert orders(house) == ["N-1"]
    assert "Not taken, each order whole:" in told
    assert "NO-PART" in told
    assert "is no part of the shop" in told
    with house.shop.reading() as books:
        assert books.find(OrderLine, order_number="N-2") == []
    assert "today.csv" in post(desk, "take file", HEAD + GOOD + half)
    assert orders(house) == ["N-1", "N-2"]


def test_a_source_is_read_by_its_kept_mapping_and_what_is_no_table_is_refused(desk, house, clock):
    """Columns of another program; a file that is none."""
    columns = {"order": "No", "name": "Who", "street": "Road", "city": "Town", "country": "Land", "part": "Article",
               "pieces": "Count", "post_code": "Code", "service": "Way"}  # fmt: skip
    fixed = {"received_at": AT_IMPORT, "currency": "NZD"}
    mapping = OrderMapping(source="old-shop", columns=columns, fixed=fixed, time_zone="Pacific/Chatham")
    keep_mapping(house.shop, mapping, at=clock(), person="mara")
    theirs = (
        "No,Who,Road,Town,Land,Code,Way,Article,Count\nN-7,Invented Person,Quay 1,Sampletown,NZ,8016,ROAD,FELT-9,3\n"
    )
    page = desk.client.get(PATH).text
    told = post(desk, "take file", theirs, source="old-shop")
    unread = post(desk, "take file", theirs)
    unknown = post(desk, "take file", theirs, source="nobody")

    assert "<option>old-shop</option>" in page
    assert "Taken in: N-7." in told
    assert "Not done" in unread or "Not taken" in unread
    assert "Not done" in unknown
    assert orders(house) == ["N-7"]


def test_many_findings_are_counted_and_the_first_shown(desk, house):
    """A page is read by a person: thirty wrong orders are named by number, not listed without end."""
    rows = "".join(UNKNOWN.replace("N-2", f"N-{number}") for number in range(30))
    told = post(desk, "take file", HEAD + rows)

    assert orders(house) == []
    assert told.count("NO-PART") == 12
    assert "and 18 more: fulfil orders import FILE --rejects ROWS" in told


def test_a_long_file_is_turned_back(desk):
    """Four megabytes."""
    long = desk.client.post(PATH, data={"line": "take file"}, files={"file": ("a.csv", b"x" * 5_000_000)})

    assert long.status_code == 413


@pytest.mark.slow
def test_every_state_of_the_orders_file_is_sound(opened, house, tmp_path):
    """To choose, refused, looked at, taken in with findings."""
    file = tmp_path / "today.csv"
    file.write_text(HEAD + GOOD + UNKNOWN, encoding="utf-8")
    page = sign_in(opened, StationKind.CLERK, "dora")
    page.get_by_role("link", name="Orders from a file").click()
    page.wait_for_selector("#file")
    page.get_by_role("button", name="Take them in").click()
    page.wait_for_selector(".told.refused")
    is_sound(opened, "refused")
    page.set_input_files("#file", str(file))
    page.get_by_role("button", name="Only look").click()
    page.wait_for_selector(".told:not(.refused)")
    page.set_input_files("#file", str(file))
    page.get_by_role("button", name="Take them in").click()
    page.wait_for_selector(".told:has-text('Taken in: N-1.')")
    is_sound(opened, "taken in")
    assert opened.said == []
