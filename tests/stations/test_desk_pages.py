"""The clerk's page and the make-room's: what is next, what is off, jobs; done by touch as by command, and once."""

import re
from datetime import timedelta

import pytest

from fulfil.counting.scale_alarms import keep_alarms, standing_alarms
from fulfil.despatch.desk.next_steps import next_steps
from fulfil.orders.holding import hold_order
from fulfil.orders.verify import verify_shop
from fulfil.records.bench import StationAnswer, StationKind
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, ManifestState
from fulfil.records.equipment import ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Supply
from fulfil.records.place import Bin
from fulfil.records.shorts import Job
from fulfil.stock.jobs import make_jobs
from tests.harbour_shop import DAY, check, key, pack, plan
from tests.stations.browser import is_sound, picture, sign_in
from tests.stations.cart_shop import clock, shop
from tests.stations.tablet import PIN, Tablet, words

__all__ = ["clock", "shop"]

DESK, MAKE = StationKind.CLERK, StationKind.MAKE_ROOM


@pytest.fixture
def desk(house) -> Tablet:
    """The owner's desk."""
    return Tablet(house, "desk-1", DESK, "mara")


def press(tablet: Tablet, line: str, **more: str) -> str:
    """A button of the page, with the page's own key; what the page says then."""
    path = f"/{tablet.kind.value}"
    fresh = re.search(r'name="key" value="(fresh-[0-9]+)', tablet.client.get(path).text)
    key = fresh[1] if fresh else tablet.house.fresh()
    got = tablet.client.post(path, data={"line": line, "key": key, **more}, headers={"X-Part": "1"})
    assert got.status_code == 200, got.text
    return got.text


def test_the_desk_shows_what_the_next_steps_are_and_closes_a_manifest(desk, house, clock):
    """Two orders packed: the manifest waits for the others, then is closed by touch, once."""
    for number in ("H-1", "H-2"):
        check(house.shop, number)
        pack(house.shop, number)
    with house.shop.reading() as books:
        steps = next_steps(books, at=clock())
    page = desk.client.get("/clerk").text
    for step in steps:
        assert step.says in words(page)
    closed = press(desk, "close ROAD", second="@dora", pin=PIN)

    assert re.search(r"Manifest M\w+ is closed: 2 packages", words(closed))
    with house.shop.reading() as books:
        (manifest,) = books.find(Manifest)
        (entry,) = books.find(JournalEntry, event=Happening.MANIFEST_CLOSED)
    assert (manifest.state, manifest.packages, manifest.closed_by) == (ManifestState.CLOSED, 2, "mara")
    assert '"station": "desk-1"' in entry.particulars
    assert "at least one sealed package" in words(press(desk, "close ROAD", second="@dora", pin=PIN))
    assert verify_shop(house.shop) == ()


def test_the_same_key_closes_one_manifest(desk, house):
    """A double touch hears the first answer."""
    check(house.shop, "H-1")
    pack(house.shop, "H-1")
    data = {"line": "close ROAD", "key": "one-key-only", "second": "dora", "pin": PIN}
    first, again = (desk.client.post("/clerk", data=data, headers={"X-Part": "1"}).text for _ in range(2))

    assert "is closed: 1 package" in words(first)
    assert "is closed: 1 package" in words(again)
    with house.shop.reading() as books:
        assert books.count(Manifest) == 1


def test_closing_asks_for_a_second_person(desk, house):
    """Nobody, the one who is signed in, a wrong PIN, one who may not: nothing is closed; then who agreed is written."""
    check(house.shop, "H-1")
    pack(house.shop, "H-1")
    nobody = words(press(desk, "close ROAD"))
    oneself = words(press(desk, "close ROAD", second="@mara", pin=PIN))
    wrong = words(press(desk, "close ROAD", second="@dora", pin="9999"))
    picker = words(press(desk, "close ROAD", second="@carla", pin=PIN))
    with house.shop.reading() as books:
        before = books.count(Manifest, state=ManifestState.CLOSED)
    closed = words(press(desk, "close ROAD", second="@dora", pin=PIN))

    assert "a second person" in nobody
    assert "mara is signed in here" in oneself
    assert "a badge and its own PIN" in wrong
    assert "a person with the role" in picker
    assert before == 0
    assert "is closed: 1 package" in closed
    assert "dora agreed." in closed
    with house.shop.reading() as books:
        (agreed,) = books.find(JournalEntry, event=Happening.CLOSING_AGREED)
        answers = " ".join(one.answer for one in books.find(StationAnswer))
    assert (agreed.person, agreed.subject) == ("dora", "ROAD")
    assert "mara" in agreed.particulars
    assert PIN not in answers + agreed.particulars


def test_one_alone_closes_with_the_own_pin_again(desk, house):
    """Where the shop says that one person is enough, their PIN is asked for once more."""
    house.closes_alone = True
    check(house.shop, "H-1")
    pack(house.shop, "H-1")

    assert "your PIN once more" in words(press(desk, "close ROAD"))
    assert "a badge and its own PIN" in words(press(desk, "close ROAD", pin="0001"))
    assert "is closed: 1 package" in words(press(desk, "close ROAD", pin=PIN))


def test_an_alarm_and_a_review_get_their_words_at_the_desk(desk, house, clock):
    """What was done about a scale, and a trained person's look at restricted goods; nothing without words."""
    with house.shop.writing() as books:
        scale = books.find(ScaleRecord)[0].code
        keep_alarms(books, [(scale, clock(), "drifts", "adjust it")], at=clock())
    page = words(desk.client.get("/clerk").text)
    empty = words(press(desk, f"acted-on {scale}", reason=""))
    done = words(press(desk, f"acted-on {scale}", reason="adjusted, check weights passed"))

    assert f"Scale {scale}: drifts" in page
    assert "what was done, in words" in empty
    assert f"The alarm of scale {scale} ends." in done
    assert "Not done" in words(press(desk, "review P2607140099", reason="seen"))
    with house.shop.reading() as books:
        assert standing_alarms(books) == ()


def test_what_is_off_stands_with_what_mends_it(desk, house, clock):
    """A held order is let go on by touch; one that isn't held is refused."""
    hold_order(house.shop, "H-3", "address unclear", at=clock(), person="mara")
    page = words(desk.client.get("/clerk").text)
    gone_on = words(press(desk, "resume H-3"))

    assert "Order H-3 is held: address unclear" in page
    assert "Order H-3 goes on" in gone_on
    assert "Not done" in words(press(desk, "resume H-3"))
    with house.shop.reading() as books:
        assert books.need(Order, "H-3").state is not OrderState.HELD


def test_differences_get_their_word_and_the_day_is_closed(desk, house, clock):
    """The evening at the desk: compare, settle or carry over, close; nothing without a reason."""
    for number in ("H-1", "H-2", "H-3", "H-4", "H-5"):
        check(house.shop, number)
        pack(house.shop, number)
    press(desk, "close ROAD", second="@dora", pin=PIN)
    page = desk.client.get("/clerk?whole=1").text
    codes = re.findall(r'value="settle (\w+)"', page)
    for code in codes:
        assert "a reason" in words(press(desk, f"settle {code}", **{f"reason-{code}": ""}))
        press(desk, f"settle {code}", **{f"reason-{code}": "looked at", "as": "carry over"})
    closed = words(press(desk, "close-day today", second="@dora", pin=PIN))

    assert f"{DAY} is closed" in closed
    with house.shop.reading() as books:
        assert books.get(ClosedDay, DAY) is not None


def test_orders_are_found_and_shown(desk, house):
    """By a name without its accents, and by number; one that isn't there is said to be none."""
    found = words(desk.client.get("/clerk?find=sample").text)
    shown = words(desk.client.get("/clerk?order=H-1").text)

    assert "H-1" in found
    assert "Order H-1 is released" in shown
    assert "4 × " in shown
    assert "No order has that." in words(desk.client.get("/clerk?find=nobody-at-all").text)
    assert "Not done" in words(desk.client.get("/clerk?order=H-99").text)
    assert "<script" not in desk.client.get("/clerk?find=%3Cscript%3E").text.partition("<main")[2]


def test_a_desk_asks_for_its_role(house):
    """A picker can't sign in at the desk, nor a checker in the make-room."""
    desk = Tablet(house, "desk-1", DESK)
    room = Tablet(house, "make-1", MAKE)

    assert desk.sign_in("carla").status_code == 403
    assert room.sign_in("anna").status_code == 403
    assert desk.client.post("/clerk", data={"line": "close ROAD", "key": "k" * 9}).url.path == "/"


def short_of_made_parts(house, clock) -> None:
    """An order for more of a part that the make-room makes than there is."""
    key(house.shop, "H-9", ("CAM-7", 40), minutes=30)
    plan(house.shop)


@pytest.fixture
def room(house) -> Tablet:
    """The make-room's tablet."""
    return Tablet(house, "make-1", MAKE, "mara")


def test_the_make_room_takes_jobs_and_books_pieces_in(room, house, clock):
    """Short parts onto the list by touch; part of a job counted in, then the rest; the order is planned again."""
    short_of_made_parts(house, clock)
    before = words(room.client.get("/make-room").text)
    press(room, "ask all")
    with house.shop.reading() as books:
        (job,) = books.find(Job, supply=Supply.MAKE)
        pieces = {place.code: place.pieces for place in books.find(Bin, part_number="CAM-7")}
    opened = words(room.client.get(f"/make-room?job={job.number}").text)
    part = words(press(room, f"book-in {job.number}", counted="5", bin="WAKA-1"))
    rest = words(press(room, f"book-in {job.number}", counted=str(job.pieces - 5), bin="WAKA-1"))

    assert f"Short, and on no job yet: {job.pieces} of CAM-7." in before
    assert f"{job.pieces} ×" in opened
    assert f"5 pieces of CAM-7 booked in, counted by hand. {job.pieces - 5} still to come." in part
    assert "The job is done." in rest
    assert "Orders that waited: H-9" in rest
    with house.shop.reading() as books:
        assert books.need(Job, job.number).is_closed
        assert books.need(Bin, "WAKA-1").pieces == pieces["WAKA-1"] + job.pieces
    assert verify_shop(house.shop) == ()


def test_what_can_not_be_counted_books_nothing_and_keeps_what_was_typed(room, house, clock):
    """Neither count nor weight, half a number, a weight that no scale shows; the fields stay filled."""
    short_of_made_parts(house, clock)
    (job, *_) = make_jobs(house.shop, Supply.MAKE, day=DAY, at=clock(), person="mara")
    nothing = words(press(room, f"book-in {job.number}"))
    half = press(room, f"book-in {job.number}", counted="2.5")
    ounces = words(press(room, f"book-in {job.number}", gross="3 oz"))
    closed = words(press(room, f"close {job.number}", reason=""))

    assert "a gross weight with its scale, or a count by hand" in nothing
    assert "expected a whole number of pieces" in words(half)
    assert 'value="2.5"' in half
    assert "set the scale to grams" in ounces
    assert "an open job and a reason" in closed
    with house.shop.reading() as books:
        assert books.need(Job, job.number).booked_pieces == 0
    assert "no more will come" in words(press(room, f"close {job.number}", reason="the drawing is gone"))


@pytest.mark.slow
def test_every_state_of_the_desk_is_sound(opened, house, clock):
    """Morning, something off, a search, an order, refused, the differences."""
    for number in ("H-1", "H-2"):
        check(house.shop, number)
        pack(house.shop, number)
    hold_order(house.shop, "H-3", "address unclear", at=clock(), person="mara")
    page = sign_in(opened, DESK, "mara")
    is_sound(opened, "desk")
    picture(opened, "desk", "wall")
    page.get_by_role("button", name="Let it go on").click()
    page.wait_for_selector(".told")
    is_sound(opened, "done")
    page.goto(f"{opened.address}/clerk?find=sample")
    is_sound(opened, "a search")
    page.locator(".found a").first.click()
    page.wait_for_selector(".bag")
    is_sound(opened, "an order")
    page.goto(f"{opened.address}/clerk?whole=1")
    is_sound(opened, "differences")
    assert opened.said == []


@pytest.mark.slow
def test_every_state_of_the_make_room_is_sound(opened, house, clock):
    """No jobs, the list, a job in hand, booked in, refused; and it changes by itself."""
    short_of_made_parts(house, clock)
    page = sign_in(opened, MAKE, "mara")
    is_sound(opened, "no job yet")
    make_jobs(house.shop, Supply.MAKE, day=DAY, at=clock() + timedelta(minutes=1), person="dora")
    page.wait_for_selector(".jobs a")
    is_sound(opened, "the list")
    page.locator(".jobs a").first.click()
    page.wait_for_selector(".weigh-in")
    is_sound(opened, "a job in hand")
    page.get_by_role("button", name="Book in").click()
    page.wait_for_selector(".told.refused")
    is_sound(opened, "refused")
    page.fill("#counted", "2")
    page.keyboard.press("Enter")
    page.wait_for_selector(".told:not(.refused)")
    is_sound(opened, "booked in")
    assert opened.said == []
