"""A carrier's bill at the desk: looked at, refused whole, taken in once, its difference settled; any bytes."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.despatch.bill_mapping import keep_bill_mapping
from fulfil.files.bill_mapping import BillMapping
from fulfil.records.bench import StationKind
from fulfil.records.despatch.carrier_bill import BillLine, CarrierBill
from fulfil.records.despatch.dispatch import Package
from fulfil.stations.posted_file import plain_name, read_form
from tests.harbour_shop import check, pack, ship
from tests.stations.browser import is_sound, sign_in
from tests.stations.cart_shop import clock, shop
from tests.stations.tablet import Tablet, words

__all__ = ["clock", "shop"]

PATH = "/clerk/bill"


@pytest.fixture
def package(house, clock) -> str:
    """One package that has left; its carrier's files are known."""
    check(house.shop, "H-1")
    pack(house.shop, "H-1")
    ship(house.shop)
    mapping = BillMapping("Parcel", "Net", currency="NZD")
    keep_bill_mapping(house.shop, "invented-road", mapping, at=clock(), person="mara")
    with house.shop.reading() as books:
        return books.find(Package, order_number="H-1")[0].number


def post(tablet: Tablet, line: str, content: bytes, name: str = "march.csv", **more: str) -> str:
    """The form with its file, as a browser sends it; what the page says."""
    page = tablet.client.get(PATH).text
    key = re.search(r'name="key" value="([^"]+)"', page)[1]
    data = {"line": line, "key": key, "carrier": "invented-road", **more}
    got = tablet.client.post(PATH, data=data, files={"file": (name, content, "text/csv")})
    assert got.status_code == 200, got.text
    return words(got.text)


def test_a_carriers_bills_are_learned_from_one_of_them(house, package):
    """What the file doesn't say is asked; tried, kept under the carrier's name, and bills of it are read at once."""
    desk = Tablet(house, "desk-1", StationKind.CLERK, "dora")
    theirs = f"Parcel no,Weight kg,Charge\n{package},0.1,99.50\n".encode()
    asked = desk.client.post(
        "/clerk/reading",
        data={"line": "learn file", "key": "learn-bill", "kind": "bills", "name": "sky-parcel"},
        files={"file": ("sky.csv", theirs, "text/csv")},
    ).text
    form = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', asked))
    form |= dict.fromkeys(re.findall(r'<input id="(answer-\d+)"', asked), "NZD")
    form |= {"line": "try file", "key": "try-bill"}
    tried = words(desk.client.post("/clerk/reading", data=form).text)
    kept = words(desk.client.post("/clerk/reading", data=form | {"line": "keep file", "key": "keep-bill"}).text)

    assert "Bills of sky-parcel, as in sky.csv" in words(asked)
    assert "1 line, NZD 99.50 would come in: is that its total?" in tried
    assert "Kept: from now on files of sky-parcel are read so." in kept
    assert "<option>sky-parcel</option>" in desk.client.get(PATH).text
    assert "Bill sky is taken in: 1 line." in post(desk, "bill file", theirs, "sky.csv", carrier="sky-parcel")


def test_a_bill_is_looked_at_taken_in_once_and_settled(house, package):
    """From the file to the word on its difference; a wrong total, an unreadable charge: nothing is taken in."""
    desk = Tablet(house, "desk-1", StationKind.CLERK, "dora")
    good = f"Parcel,Net\n{package},99.50\n".encode()
    looked = post(desk, "look file", good)
    unread = post(desk, "bill file", f"Parcel,Net\n{package},much\n".encode())
    off = post(desk, "bill file", good, total="12.00")
    with house.shop.reading() as books:
        before = books.count(BillLine)
    taken = post(desk, "bill file", good, number="B-7", total="99.50")
    again = post(desk, "bill file", good, number="B-7")
    nothing = post(desk, "bill file", b"")

    assert "1 line, NZD 99.50 would come in" in looked
    assert "Nothing of the bill was taken in:" in unread
    assert "Nothing of the bill was taken in:" in off
    assert before == 0
    assert "Bill B-7 is taken in: 1 line." in taken
    assert "Bill B-7 was there already" in again
    assert "choose the one that the carrier has sent" in nothing
    with house.shop.reading() as books:
        (bill,) = books.find(CarrierBill)
    assert (bill.number, bill.file_name, bill.person) == ("B-7", "march.csv", "dora")
    page = desk.client.get("/clerk?whole=1").text
    (code,) = re.findall(rf'{package}.*?value="settle (\w+)"', page, re.DOTALL)[:1]
    settled = desk.client.post(
        "/clerk", data={"line": f"settle {code}", "key": "settle-1", f"reason-{code}": "claimed", "as": "settled"}
    )
    assert "is settled" in words(settled.text)


def test_a_file_that_is_too_long_is_turned_back(house, package):
    """Four megabytes at the bill's page, 64 kB elsewhere."""
    desk = Tablet(house, "desk-1", StationKind.CLERK, "dora")
    long = desk.client.post(PATH, data={"line": "bill file"}, files={"file": ("a.csv", b"x" * 5_000_000)})
    elsewhere = desk.client.post("/clerk", data={"line": "bill file"}, files={"file": ("a.csv", b"x" * 70_000)})

    assert (long.status_code, elsewhere.status_code) == (413, 413)


@given(st.binary(min_size=1, max_size=400))
def test_any_bytes_come_through_a_form_unchanged(content):
    """As RFC 7578 sends them, whatever line ends, zeros and half characters they hold."""
    head = b'--b0und-ary\r\nContent-Disposition: form-data; name="file"; filename="a.bin"\r\n'
    body = head + b"Content-Type: application/octet-stream\r\n\r\n" + content + b"\r\n--b0und-ary--\r\n"
    _, file = read_form("multipart/form-data; boundary=b0und-ary", body)

    assert file is not None
    assert file.content == content


@given(st.text(max_size=30))
def test_a_file_s_name_leads_into_no_folder(called):
    """Whatever it is called it is one name."""
    name = plain_name(called)
    assert name
    assert not {"/", "\\", "\0"} & {*name}
    assert name not in (".", "..")


@pytest.mark.parametrize("body", [b"", b"--x", b"--x\r\n\r\n", b"\xff" * 20])
def test_a_broken_form_is_an_empty_one(body):
    """No file, no fault."""
    assert read_form("multipart/form-data; boundary=x", body)[1] is None


@pytest.mark.slow
def test_every_state_of_the_bill_is_sound(opened, house, package, tmp_path):
    """To choose, refused, looked at, taken in."""
    file = tmp_path / "march.csv"
    file.write_text(f"Parcel,Net\n{package},99.50\n", encoding="utf-8")
    page = sign_in(opened, StationKind.CLERK, "dora")
    page.get_by_role("link", name="Take in a carrier's bill").click()
    page.wait_for_selector("#file")
    is_sound(opened, "to choose")
    page.get_by_role("button", name="Take it in").click()
    page.wait_for_selector(".told.refused")
    page.set_input_files("#file", str(file))
    page.get_by_role("button", name="Only look at it").click()
    page.wait_for_selector(".told:not(.refused)")
    page.set_input_files("#file", str(file))
    page.get_by_role("button", name="Take it in").click()
    page.wait_for_selector(".told:has-text('is taken in')")
    is_sound(opened, "taken in")
    assert opened.said == []
