"""Orders from a file at the desk: looked at, taken in whole order by whole order, what was not taken said; once."""

import re

import pytest

from fulfil.orders.extras import keep_mapping
from fulfil.orders.verify import verify_shop
from fulfil.records.bench import StationKind
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_mapping import AT_IMPORT, KeptMapping, OrderMapping
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


THEIRS = (
    "Invoice No;Invoice date;Customer;Street;Postcode;Town;Country;Article;Qty;Shipping;Colour\n"
    "N-8;03/04/2026 10:00;Πηνελόπη Δείγμα;Sample Street 5;8016;Sampletown;New Zealand;SPRING-2;4;standard;red\n"
)


def learn(tablet: Tablet, line: str, shown: str = "", **more: str) -> str:
    """The form of how files are read, with what the page before it held in hidden fields; the page that comes back."""
    key = re.search(r'name="key" value="([^"]+)"', tablet.client.get("/clerk/reading").text)[1]
    held = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', shown.partition('class="bill"')[2]))
    data = {**held, **more, "line": line, "key": key}
    files = {} if held else {"file": ("old.csv", THEIRS.encode(), "text/csv")}
    got = tablet.client.post("/clerk/reading", data=data, files=files)
    assert got.status_code == 200, got.text
    return got.text


def test_a_source_is_learned_from_one_of_its_files(desk, house):
    """Columns are proposed, the rest is asked, what would come in is shown; then it is kept and used."""
    asked = learn(desk, "learn file", kind="orders", name="old-shop")
    open_ = learn(desk, "try file", asked)
    tried = learn(desk, "try file", open_, **{"answer-1": "day", "answer-2": "ROAD"})
    before = desk.client.get(PATH).text
    kept = learn(desk, "keep file", tried, **{"answer-1": "day", "answer-2": "ROAD"})
    taken = post(desk, "take file", THEIRS, source="old-shop")

    assert "2 questions that the file doesn't answer" in words(asked).replace("&#39;", "'")
    assert "Is the first number of" in words(asked)
    assert "Left alone: Colour" in words(asked)
    assert "Not done" in words(open_)
    assert "old.csv: 1 new order, 0 known already." in words(tried)
    assert "Nothing is taken in, nothing is kept yet." in words(tried)
    assert "N-8, 2026-04-03 10:00" in words(tried)
    assert "4 × SPRING-2" in words(tried)
    assert "<option selected>ROAD</option>" in tried
    assert "old-shop" not in before
    assert "Kept: from now on files of old-shop are read so." in words(kept)
    assert "Taken in: N-8." in taken
    assert orders(house) == ["N-8"]


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("", THEIRS, "Not done"),
        ("old-shop", "", "choose one that this program or carrier has sent"),
        ("old-shop", '[{"order": 1}]', "a table (CSV or a workbook)"),
    ],
)
def test_what_teaches_nothing_is_refused(desk, house, name, content, says):
    """No name, no file, no table."""
    data = {"line": "learn file", "key": "learn-1234", "kind": "orders", "name": name}
    got = desk.client.post("/clerk/reading", data=data, files={"file": ("old.csv", content.encode(), "text/csv")})
    forged = desk.client.post("/clerk/reading", data=data | {"key": "learn-1235", "content": "no base 64!"})

    assert says in words(got.text)
    assert "Not done" in words(forged.text)
    with house.shop.reading() as books:
        assert books.find(KeptMapping) == []


@pytest.mark.slow
def test_every_state_of_how_files_are_read_is_sound(opened, house, tmp_path):
    """To choose, refused, asked, shown, kept: the file is chosen once."""
    file = tmp_path / "old.csv"
    file.write_text(THEIRS, encoding="utf-8")
    page = sign_in(opened, StationKind.CLERK, "dora")
    page.goto(f"{opened.address}/clerk/orders")
    page.get_by_role("link", name="Files of another program").click()
    page.wait_for_selector("#file")
    is_sound(opened, "to choose")
    page.fill("#name", "old-shop")
    page.set_input_files("#file", str(file))
    page.get_by_role("button", name="Look at the file").click()
    page.wait_for_selector("#answer-1")
    is_sound(opened, "asked")
    page.get_by_role("button", name="Show what would come in").click()
    page.wait_for_selector(".told.refused")
    page.select_option("#answer-1", "day")
    page.select_option("#answer-2", "ROAD")
    page.get_by_role("button", name="Show what would come in").click()
    page.wait_for_selector(".told:has-text('1 new order')")
    is_sound(opened, "shown")
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_selector(".told:has-text('Kept')")
    assert opened.said == []


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
