"""The check bench in a browser: every state of its page, and that nothing happens twice."""

import re
from threading import Thread

import pytest

from fulfil.bench.places import note_picker
from fulfil.records.bench import Recount, StationAnswer, StationKind
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from tests.stations.tablet import Tablet, hidden, house_of, words


@pytest.fixture
def tablet(house) -> Tablet:
    """Anna's check bench."""
    return Tablet(house, "check-1", StationKind.CHECK, "anna")


def state_of(house, code: str) -> BagState:
    """Where a bag stands."""
    with house.shop.reading() as books:
        return books.need(Bag, code).state


def test_the_empty_bench_offers_what_waits_by_touch(tablet, bags):
    """Carts, then the positions of one, then the bags of an order: no key is needed."""
    start = tablet.client.get("/check").text
    cart = tablet.send("W2603020001")
    position = tablet.send("pos 2")

    assert 'value="W2603020001"' in start
    assert words(start).count("Scan a bag, a cart position") == 1
    assert "Cart of walk W2603020001: 8 bags" in start
    assert 'value="pos 1"' in cart
    assert "Position 2: 4 bags" in cart
    for bag in bags[4:]:
        assert f'value="{bag.code}"' in position
    assert f'value="{bags[2].code}"' not in position


def test_a_bag_in_hand_is_shown_with_its_window_and_what_to_do(tablet, bags):
    """What it should be, how many, how long, between which weights, on which scale."""
    page = tablet.send(bags[2].code)

    said = words(page)
    assert "13 × cap screw M3 x 30 zinc" in said
    assert "Put the bag on scale FINE and key what it shows." in said
    assert 'aria-label="Window 50.88 to 51.31 g"' in page
    assert "Its longest side is 33 mm" in page
    assert f"{bags[2].code} , in hand" in said
    assert hidden(page)["bag"] == bags[2].code


def test_look_alikes_cautions_and_second_looks_stand_beside_the_bag(tablet, bags):
    """A look-alike close by asks for a look, by button; only then it passes."""
    page = tablet.send(bags[1].code)
    weighed = tablet.send("87.99")

    said = words(page)
    assert "Look twice: look-alike close by: SCR-0056" in said
    assert "Not one of these; they weigh the same: SCR-0056: Look" in said
    assert "LEADED BRASS" in said
    assert "Then: Look at a piece: is it what stands here?" in said
    assert "Look at a piece" in words(weighed)
    assert "PASSED" not in weighed
    assert "the scale showed 87.99 g, inside it" in weighed
    assert "PASSED" in tablet.send("ok")


def test_a_right_weight_passes_and_its_reading_stands_in_the_window(tablet, house, bags):
    """Word, shape, figure, and the next bag."""
    tablet.send(bags[2].code)
    page = tablet.send("51.09")

    assert 'class="shown passed"' in page
    assert "PASSED" in page
    assert "the scale showed 51.09 g, inside it" in page
    assert re.search(r'<circle cx="[0-9.]+" cy="22" r="5" class="reading"', page)
    assert "3 more of order O-1001." in words(page)
    assert 'data-sound="passed"' in page
    assert state_of(house, bags[2].code) is BagState.PASSED


def test_a_wrong_weight_goes_back_with_its_likely_cause_and_its_slip(tablet, house, bags):
    """The reading stands outside as a square; what to do comes before why."""
    house.print_slips = lambda numbers, _station: [f"Slip to print: {number}.pdf" for number in numbers]
    tablet.send(bags[2].code)
    page = tablet.send("47.30")

    said = words(page)
    assert "RECOUNT" in page
    assert "the scale showed 47.30 g, below it" in page
    assert re.search(r'<rect x="[0-9.-]+" y="18" width="8" height="8" class="reading"', page)
    assert said.index("Put it aside with its slip") < said.index("12 of 13")
    with house.shop.reading() as books:
        (slip,) = books.find(Recount)
    assert f"Slip to print: {slip.number}.pdf" in said


def test_the_third_time_stops_and_holds_the_order(tablet, house, bags):
    """STOP is a shape of its own."""
    for _ in range(3):
        tablet.send(bags[2].code)
        page = tablet.send("47.30")
        if "Looks right" in page:
            page = tablet.send("ok")

    assert 'class="shown stop"' in page
    assert "The order is held." in words(page)


def test_a_hand_count_hides_the_wanted_count_until_the_own_one_is_in(tablet, house, bags):
    """Nowhere on the page, not in what is read aloud, not in a refusal; then the verdict says it."""
    bag = bags[5]
    pages = [tablet.send(bag.code), tablet.send("show"), tablet.send("99"), tablet.send("nonsense"), tablet.send("1.5")]
    for page in pages:
        aloud = re.search(r'data-say="([^"]*)"', page)[1]
        assert not re.findall(r"(?<![0-9])35(?![0-9])", words(page) + aloud)
    assert "the wanted count is hidden until you have counted" in pages[0]
    assert "99 is far from what was ordered" in words(pages[2])
    verdict = tablet.send("34", **{"as": "count"})

    assert "counted by hand: 34 pieces, 1 short of 35" in words(verdict)
    assert state_of(house, bag.code) is BagState.RECOUNT


def test_the_pad_says_that_it_is_a_count_even_a_far_one(tablet, house, bags):
    """A number from the pad is no half scan."""
    tablet.send(bags[5].code)
    page = tablet.send("300", **{"as": "count"})

    assert "counted by hand: 300 pieces" in words(page)


def test_a_weighed_bag_can_be_counted_by_hand_and_hides_its_count_then(tablet, house, bags):
    """The button asks for the own count."""
    tablet.send(bags[2].code)
    page = tablet.send("hand count")

    assert "the wanted count is hidden" in page
    assert "Window" not in page
    assert "counted by hand: 13 pieces, as ordered" in words(tablet.send("13", **{"as": "count"}))


def test_undo_put_down_put_aside_and_leave(tablet, house, bags):
    """What can be taken back is taken back with its pieces."""
    tablet.send(bags[2].code)
    assert "is put down" in words(tablet.send("undo"))
    tablet.send(bags[2].code)
    tablet.send("51.09")
    assert "Undone" in words(tablet.send("undo"))
    assert state_of(house, bags[2].code) is BagState.PLANNED
    tablet.send(bags[3].code)
    assert "put aside; it still waits" in words(tablet.send("skip"))
    assert "is free for another bench" in words(tablet.send("let go"))


def test_what_the_bench_refuses_changes_nothing_and_says_what_to_do(tablet, house, bags):
    """Another order's bag, half a code, a weight for no bag, too few digits."""
    said = [words(tablet.send(line)) for line in ("nonsense", "12.00", bags[2].code, bags[4].code, "51.1", "-1.00")]

    assert "NOT TAKEN" in said[0]
    assert "is for no bag: scan its label first" in said[1]
    assert "is in hand: weigh it, put it aside" in said[3]
    assert "Type the digits that the scale shows: 51.10, not 51.1." in said[4]
    assert "a negative weight" in said[5]
    assert {state_of(house, bag.code) for bag in bags} == {BagState.PLANNED}


def test_nobody_checks_the_walk_that_they_picked(tablet, house, clock, bags):
    """The rule of the terminal, by the name that signed in."""
    note_picker(house.shop, "W2603020001", at=clock(), person="anna")
    page = tablet.send(bags[2].code)

    assert "anna picked it: sign in another" in words(page)
    assert state_of(house, bags[2].code) is BagState.PLANNED


def test_a_badge_at_the_bench_does_not_change_who_is_believed(tablet, house, bags):
    """Another person needs a PIN, too."""
    assert "anna is signed in here. Sign out first" in words(tablet.send("@ben"))
    assert "Sign out at the top" in words(tablet.send("leave"))
    tablet.send("W2603020001")
    tablet.send("picker")
    assert "was picked by carla" in words(tablet.send("@carla"))


def test_the_journal_says_who_did_it_and_at_which_station(tablet, house, bags):
    """Each entry of the bench."""
    tablet.send(bags[2].code)
    tablet.send("51.09")
    with house.shop.reading() as books:
        entries = books.find(JournalEntry, event=[Happening.BAG_CHECKED, Happening.ORDER_TAKEN])

    assert {entry.person for entry in entries} == {"anna"}
    assert all('"station": "check-1"' in entry.particulars for entry in entries)


def test_the_same_key_is_done_once_and_answered_the_same(tablet, house, bags):
    """A tablet that got no answer asks again."""
    tablet.send(bags[2].code)
    data = {"line": "51.09", "key": "once-and-only", "bag": bags[2].code}
    first, again = (tablet.client.post("/check", data=data, headers={"X-Part": "1"}).text for _ in range(2))

    assert words(first).partition("Scan the next")[0] == words(again).partition("Scan the next")[0]
    assert "PASSED" in again
    with house.shop.reading() as books:
        assert books.count(WeighingRecord) == 1
        assert books.count(JournalEntry, event=Happening.BAG_CHECKED) == 1
    other = tablet.client.post("/check", data=data | {"line": "undo"}, headers={"X-Part": "1"}).text
    assert "what was asked with this key before" in words(other)
    assert state_of(house, bags[2].code) is BagState.PASSED


def test_two_at_the_same_moment_are_done_once(tablet, house, bags):
    """A double click, and one more."""
    tablet.send(bags[2].code)
    data = {"line": "51.09", "key": "once-and-only", "bag": bags[2].code}
    got: list[str] = []

    def post() -> None:
        got.append(tablet.client.post("/check", data=data, headers={"X-Part": "1"}).text)

    threads = [Thread(target=post) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(got) == 4
    assert all("PASSED" in one for one in got)
    with house.shop.reading() as books:
        assert books.count(WeighingRecord) == 1


@pytest.mark.parametrize("key", ["", "short", "x" * 41, "quote'1; --", "späte-schlüssel"])
def test_a_key_that_is_none_is_refused(tablet, house, bags, key):
    """And nothing is done."""
    data = {"line": bags[2].code, "key": key, "bag": ""}
    assert "NOT TAKEN" in tablet.client.post("/check", data=data, headers={"X-Part": "1"}).text
    with house.shop.reading() as books:
        assert books.count(JournalEntry, event=Happening.ORDER_TAKEN) == 0


def test_what_was_meant_for_one_bag_is_not_taken_for_another(tablet, house, bags):
    """A page that somebody went back to, or a second tablet of the station."""
    tablet.send(bags[2].code)
    old = tablet.client.get("/check").text
    tablet.send("51.09")
    tablet.send(bags[3].code)
    late = tablet.send("51.09", bag=hidden(old)["bag"])

    assert f"That was for {bags[2].code}: nothing was done. {bags[3].code} is in hand now." in words(late)
    assert state_of(house, bags[3].code) is BagState.PLANNED


def test_after_a_restart_the_bench_goes_on_and_the_last_answer_is_known(tablet, house, clock, bags):
    """The server is killed after it did what was asked and before the tablet heard of it."""
    tablet.send(bags[2].code)
    tablet.send("51.09", key="once-and-only")
    tablet.send(bags[3].code)
    again = tablet.after_restart(house_of(house.shop, clock))
    back = again.client.get("/check").text
    answer = again.send("51.09", key="once-and-only", bag=bags[2].code)

    assert hidden(back)["bag"] == bags[3].code
    assert f"Bag {bags[2].code} weighs 51.09 g" in words(answer)
    assert hidden(answer)["bag"] == bags[3].code
    with house.shop.reading() as books:
        assert books.count(WeighingRecord) == 1


def test_an_answer_that_was_not_kept_is_told_as_done(tablet, house, bags):
    """The server stopped between the deed and its answer: the deed stands, and the page says so."""
    tablet.send(bags[2].code)
    tablet.send("51.09", key="once-and-only")
    with house.shop.writing() as books:
        (kept,) = books.find(StationAnswer, key="once-and-only")
        books.change([kept], {"answer": ""})
    again = tablet.send("51.09", key="once-and-only", bag=bags[2].code)

    assert "That was done already." in words(again)


def test_without_script_each_form_is_a_plain_form(tablet, house, bags):
    """The answer leads back to the page, so that reloading it sends nothing again."""
    shown = hidden(tablet.client.get("/check").text)
    got = tablet.client.post("/check", data={"line": bags[2].code} | shown, follow_redirects=False)

    assert (got.status_code, got.headers["location"]) == (303, "/check")
    assert f"Bag {bags[2].code}" in tablet.client.get("/check").text


def test_a_fault_of_the_program_is_said_in_words_and_reported(tablet, house, bags, monkeypatch):
    """And nothing was done."""
    told: list[Exception] = []

    def report(trouble: Exception) -> str:
        told.append(trouble)
        return "A report is written."

    house.report = report
    monkeypatch.setattr(type(house.check_bench("check-1").bench), "enter", lambda *_, **__: 1 / 0)
    data = {"line": bags[2].code, "key": "k" * 12, "bag": ""}
    got = tablet.client.post("/check", data=data, headers={"X-Part": "1"})

    assert got.status_code == 500
    assert "A report is written." in got.text
    assert isinstance(told[0], ZeroDivisionError)


def test_a_picture_is_shown_of_the_part_in_hand_only(tablet, house, bags, tmp_path):
    """Nothing else of the disk can be asked for."""
    from fulfil.records.part import Part

    photo = tmp_path / "part.png"
    photo.write_bytes(b"\x89PNG")
    with house.shop.writing() as books:
        books.change([books.need(Part, bags[2].part_number)], {"photo_path": str(photo)})
        books.change([books.need(Part, bags[3].part_number)], {"photo_path": "/etc/passwd"})

    assert tablet.client.get("/check/picture").status_code == 404
    page = tablet.send(bags[2].code)
    assert f'src="/check/picture?{bags[2].part_number}"' in page
    assert tablet.client.get("/check/picture").content == b"\x89PNG"
    tablet.send("undo")
    tablet.send(bags[3].code)
    assert tablet.client.get("/check/picture").status_code == 404
