"""The way in: pairing, badge and PIN, roles, time-out, what is asked of every request; a rehearsal."""

from dataclasses import replace

import pytest
from fulfil_demo_catalog.folder import claim, mark_made, mark_printed
from starlette.testclient import TestClient

from fulfil.bench.devices import LONGEST, PAIRING, add_station, retire_station
from fulfil.bench.people import MOST_WRONG, change_person, retire_person
from fulfil.errors import FileRefused
from fulfil.records.bench import Person, Role, Station, StationKind
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.stations.guard import HEADERS, MOST_BYTES
from fulfil.stations.server import make_server
from fulfil.stations.tries import MOST
from fulfil.store.shop import open_shop
from tests.stations.tablet import HOSTS, ORIGIN, PIN, Tablet, words

CHECK = StationKind.CHECK


@pytest.fixture
def stranger(house):
    """A browser that is no station."""
    return TestClient(make_server(house), base_url=ORIGIN, headers={"Origin": ORIGIN})


def test_a_stranger_sees_the_pairing_page_whatever_is_asked_for(stranger):
    """No page of the shop is shown to a device that nobody made a station."""
    for path in ("/", "/check", "/check/picture"):
        assert "Make this device a station" in stranger.get(path).text
    assert "Make this device a station" in stranger.post("/check", data={"line": "B2603020001"}).text
    assert stranger.get("/nowhere").status_code == 404


def test_a_code_makes_one_device_a_station_and_is_then_used_up(house, clock, stranger):
    """Typed twice, or after an hour, it is no code."""
    add_station(house.shop, "check-1", CHECK, "abcd2345", at=clock(), person="mara")

    assert stranger.post("/pair", data={"code": "abcd2346"}).status_code == 403
    assert "Who works at check-1?" in words(stranger.post("/pair", data={"code": " ABCD2345 "}).text)
    other = TestClient(make_server(house), base_url=ORIGIN, headers={"Origin": ORIGIN})
    assert other.post("/pair", data={"code": "abcd2345"}).status_code == 403
    add_station(house.shop, "check-2", CHECK, "late2345", at=clock(), person="mara")
    clock.passes(seconds=PAIRING.total_seconds() + 1)
    assert other.post("/pair", data={"code": "late2345"}).status_code == 403
    assert other.post("/pair", data={"code": ""}).status_code == 403


def test_badge_and_pin_sign_in_and_the_shop_keeps_neither(house, clock):
    """A badge alone is asked for its PIN; PIN, token and ticket are kept as digests only."""
    tablet = Tablet(house, "check-1", CHECK)

    asked = tablet.client.post("/sign-in", data={"badge": "@anna", "pin": ""})
    signed = tablet.sign_in("anna")

    assert 'value="anna"' in asked.text
    assert "Scan a bag" in words(signed.text)
    cookies = {cookie.name: cookie for cookie in tablet.client.cookies.jar}
    assert set(cookies) == {"station", "ticket"}
    for cookie in cookies.values():
        assert cookie.has_nonstandard_attr("HttpOnly")
        assert cookie.get_nonstandard_attr("SameSite") == "strict"
    with house.shop.reading() as books:
        kept = books.need(Station, "check-1").model_dump_json() + books.need(Person, "anna").model_dump_json()
        (entry,) = books.find(JournalEntry, event=Happening.SIGNED_IN)
    for secret in (PIN, cookies["station"].value, cookies["ticket"].value.partition(".")[0]):
        assert secret not in kept
    assert (entry.person, entry.subject) == ("anna", "check-1")


@pytest.mark.parametrize(
    ("badge", "pin"), [("@anna", "9999"), ("@nobody", PIN), ("nobody", ""), ("@Ann\u00e4", PIN), ("", PIN)]
)
def test_what_does_not_belong_together_is_refused_alike(house, badge, pin):
    """Nobody learns whether it was the name or the PIN."""
    tablet = Tablet(house, "check-1", CHECK)
    got = tablet.client.post("/sign-in", data={"badge": badge, "pin": pin})

    assert "Who works at check-1?" in words(got.text)
    if badge and pin:
        assert "a badge and its own PIN" in got.text
    assert "Who works at check-1?" in words(tablet.client.get("/check").text)


def test_five_wrong_pins_make_a_person_wait_and_stand_in_the_journal(house, clock):
    """The right one doesn't help until the time is over; another device doesn't either."""
    tablet = Tablet(house, "check-1", CHECK)
    for _ in range(MOST_WRONG):
        tablet.sign_in("anna", "9999")

    assert "a wait of 15 minutes" in tablet.sign_in("anna").text
    assert "a wait of 15 minutes" in Tablet(house, "check-2", CHECK).sign_in("anna").text
    with house.shop.reading() as books:
        assert books.count(JournalEntry, event=Happening.SIGN_IN_REFUSED, subject="check-1") == MOST_WRONG
    clock.passes(minutes=15)
    assert "Scan a bag" in tablet.sign_in("anna").text


def test_a_device_that_goes_through_names_waits(house, clock):
    """Whoever it says it is."""
    tablet = Tablet(house, "check-1", CHECK)
    got = [tablet.sign_in(f"name{number}").status_code for number in range(MOST)]

    assert got[0] == 403
    assert got[-1] == 429
    clock.passes(minutes=5)
    assert tablet.sign_in("anna").status_code == 200


@pytest.mark.parametrize(("kind", "person", "may"), [
    (CHECK, "anna", True), (CHECK, "carla", False), (CHECK, "mara", True), (StationKind.PACK, "ben", False),
])  # fmt: skip
def test_a_station_asks_for_its_role(house, kind, person, may):
    """The owner may do everything."""
    got = Tablet(house, "station-1", kind).client.post("/sign-in", data={"badge": person, "pin": PIN})

    assert ("a person with the role" in got.text) is not may


def test_who_does_nothing_for_a_while_is_signed_out_and_what_is_in_hand_stays(house, clock, bags):
    """Each page that is shown counts; after a shift it ends whatever is done."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    tablet.send(bags[0].code)
    clock.passes(minutes=14)
    assert "in hand" in tablet.client.get("/check").text
    clock.passes(minutes=14)
    assert "in hand" in tablet.client.get("/check").text
    clock.passes(minutes=16)
    assert "Who works at check-1?" in words(tablet.client.get("/check").text)
    gone = tablet.client.post("/check", data={"line": "35.37", "bag": bags[0].code, "key": "k" * 12},
                              headers={"X-Part": "1"})  # fmt: skip
    assert (gone.status_code, gone.headers["X-Go"]) == (409, "/")
    assert bags[0].code in tablet.sign_in("anna").text
    for _ in range(int(LONGEST.total_seconds() // 600) + 1):
        clock.passes(minutes=10)
        last = tablet.client.get("/check").text
    assert "Who works at check-1?" in words(last)


def test_signing_out_and_what_the_owner_takes_back_end_it_at_once(house, clock):
    """A ticket that was copied is worth nothing after that."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    stolen = dict(tablet.client.cookies)
    tablet.client.post("/sign-out")
    tablet.client.cookies.update(stolen)
    assert "Who works at" in tablet.client.get("/check").text

    tablet.sign_in("anna")
    clock.passes(seconds=1)
    change_person(house.shop, "anna", roles=[Role.PACK], pin=None, salt=b"s" * 16, at=clock(), person="mara")
    assert "Who works at" in tablet.client.get("/check").text
    assert "a person with the role" in tablet.sign_in("anna").text

    tablet.sign_in("ben")
    clock.passes(seconds=1)
    retire_person(house.shop, "ben", at=clock(), person="mara")
    assert "Who works at" in tablet.client.get("/check").text

    tablet.sign_in("mara")
    retire_station(house.shop, "check-1", at=clock(), person="mara")
    assert "Make this device a station" in tablet.client.get("/check").text


def test_a_ticket_is_good_at_its_own_station_only(house):
    """Carried to another tablet, or written by hand, it is none."""
    one, other = Tablet(house, "check-1", CHECK, "anna"), Tablet(house, "check-2", CHECK)
    other.client.cookies.set("ticket", one.client.cookies["ticket"])
    assert "Who works at check-2?" in words(other.client.get("/check").text)
    ticket, seen, signature = one.client.cookies["ticket"].split(".")
    for forged in (f"{ticket}.{int(seen) + 5}.{signature}", f"{ticket}.{seen}.", "x", f"{ticket}.-1.{signature}"):
        one.client.cookies.clear()
        one.client.cookies.set("station", "none")
        one.client.cookies.set("ticket", forged)
        assert "Make this device" in one.client.get("/check").text


def test_a_station_of_another_kind_is_led_to_its_own_page(house):
    """A check bench never shows the packing page."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    assert "Check bench" in tablet.client.get("/").text


@pytest.mark.parametrize("path", ["/", "/check", "/kept/station.css", "/kept/station.js", "/nowhere"])
def test_every_answer_tells_the_browser_to_trust_nothing_else(house, path):
    """Also an answer that says there is nothing here."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    got = tablet.client.get(path)

    for name, value in HEADERS.items():
        assert got.headers[name] == value
    policy = dict(part.strip().split(" ", 1) for part in HEADERS["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert "unsafe" not in HEADERS["Content-Security-Policy"]
    assert "http" not in HEADERS["Content-Security-Policy"]


def test_no_page_holds_script_style_or_an_address_from_elsewhere(house, bags):
    """What the policy forbids isn't there to be forbidden."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    pages = [tablet.client.get("/check").text, tablet.send(bags[0].code), tablet.send("1.00")]
    for page in pages:
        assert "style=" not in page
        assert "<style" not in page
        assert "onclick" not in page
        assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"Origin": ORIGIN}, 200),
        ({"Origin": "http://127.0.0.1:9999"}, 403),
        ({"Origin": "https://else.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": ""}, 403),
        ({"Sec-Fetch-Site": "same-origin", "Origin": "null"}, 200),
        ({"Sec-Fetch-Site": "cross-site", "Origin": ORIGIN}, 403),
        ({"Sec-Fetch-Site": "same-site", "Origin": ORIGIN}, 403),
        ({"Sec-Fetch-Site": "none", "Origin": ORIGIN}, 403),
    ],
)
def test_a_post_comes_from_our_own_pages_only(house, headers, code):
    """Other sites in the same browser can't press our buttons."""
    tablet = Tablet(house, "check-1", CHECK, "anna")
    assert tablet.client.post("/check", data={"line": "", "key": "k" * 12}, headers=headers).status_code == code


def test_names_that_are_not_ours_odd_methods_and_long_bodies_are_refused(house):
    """A name that was rebound to this address, a method that no page uses, more than a bench has to say."""
    tablet = Tablet(house, "check-1", CHECK, "anna")

    assert tablet.client.get("/", headers={"Host": "evil.example"}).status_code == 421
    assert tablet.client.put("/check").status_code == 405
    assert tablet.client.post("/check", content=b"x" * (MOST_BYTES + 1)).status_code == 413
    assert tablet.client.post("/check", content=iter([b"x" * 40_000] * 3)).status_code == 413
    assert frozenset({"127.0.0.1"}) == HOSTS


def test_over_tls_cookies_are_for_tls_only(house):
    """And the browser is told to stay with it."""
    house.is_secure = True
    client = TestClient(make_server(house), base_url="https://127.0.0.1", headers={"Origin": "https://127.0.0.1"})
    add_station(house.shop, "check-1", CHECK, "abcd2345", at=house.clock(), person="mara")
    got = client.post("/pair", data={"code": "abcd2345"}, follow_redirects=False)

    assert "Secure" in got.headers["set-cookie"]
    assert got.headers["strict-transport-security"] == "max-age=31536000"


PAGES = {"check-1": "check", "desk-1": "clerk", "wall-1": "wall"}
WHO = {"check-1": "anna", "desk-1": "dora", "wall-1": ""}


def test_each_name_is_a_station_with_its_person(house, clock):
    """Paired and signed in at once, and again after signing out; the list names them all."""
    house = replace(house, hosts=house.hosts | {f"{name}.localhost" for name in PAGES})
    for name, kind in PAGES.items():
        add_station(house.shop, name, StationKind(kind), f"code-{name}", at=clock(), person="mara")
    house.rehearsal = {name: (f"code-{name}", WHO[name], PIN) for name in PAGES}
    house.second = ("mara", PIN)
    for name, kind in PAGES.items():
        origin = f"http://{name}.localhost"
        client = TestClient(make_server(house), base_url=origin, headers={"Origin": origin})
        page = client.get("/")
        assert page.url.path == f"/{kind}"
        assert WHO[name] in words(page.text)
        if WHO[name]:
            assert client.post("/sign-out").url.path == f"/{kind}"
    listed = TestClient(make_server(house), base_url="http://127.0.0.1").get("/rehearsal").text
    assert all(f"http://{name}.localhost:80/" in listed for name in PAGES)
    for called in ("Check bench check-1 · anna", "Desk desk-1 · dora", "Wall wall-1"):
        assert called in words(listed)
    assert f"Closing asks for a second person: mara, PIN {PIN}." in words(listed)
    assert "no station yet" not in listed


def test_the_next_rehearsal_takes_the_place_of_the_last_one_with_its_papers(tmp_path):
    """What was printed at a bench is the rehearsal's; a letter that somebody put there is not, and keeps its folder."""
    out, papers = tmp_path / "demo", tmp_path / "demo" / "papers"
    open_shop(claim(out), create=True).close()
    mark_made(out)
    papers.mkdir()
    (papers / "packing-list.pdf").write_bytes(b"%PDF")
    with pytest.raises(FileRefused, match=r"found papers/packing-list\.pdf"):
        claim(out)
    mark_printed(out, papers)
    (out / "letter.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileRefused, match=r"found letter\.txt"):
        claim(out)
    (out / "letter.txt").unlink()

    assert claim(out) == out / "shop.sqlite"
    assert not (papers / "packing-list.pdf").exists()


def test_a_shop_at_work_has_no_such_page(house):
    """Nor is a name a way in."""
    house = replace(house, hosts=house.hosts | {"check-1.localhost"})
    client = TestClient(make_server(house), base_url="http://check-1.localhost")

    assert client.get("/rehearsal").status_code == 404
    assert "Make this device a station" in client.get("/").text
