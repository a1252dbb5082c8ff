"""An order keyed at the desk: asked as at the keyboard, kept with each answer, taken in once."""

import re

import pytest

from fulfil.records.bench import StationKind
from fulfil.records.draft import Draft
from fulfil.records.order import Order, OrderLine
from tests.stations.browser import is_sound, picture, sign_in, until
from tests.stations.cart_shop import clock, shop
from tests.stations.tablet import Tablet, hidden, words

__all__ = ["clock", "shop"]

PATH = "/clerk/key"


@pytest.fixture
def desk(house) -> Tablet:
    """The clerk's desk."""
    return Tablet(house, "desk-1", StationKind.CLERK, "dora")


class Call:
    """A telephone call at the page: it follows where the page leads, as a browser does."""

    def __init__(self, tablet: Tablet, path: str = PATH) -> None:
        self.tablet = tablet
        self.page = tablet.client.get(path).text

    def send(self, line: str, text: str = "", **more: str) -> str:
        """A button of the page with its own hidden fields; what the page says then."""
        data = {**hidden(self.page), "text": text, "line": line, **more}
        got = self.tablet.client.post(PATH, data=data, headers={"X-Part": "1"})
        if got.status_code == 409:
            got = self.tablet.client.get(got.headers["X-Go"])
        assert got.status_code == 200, got.text
        self.page = got.text
        return words(self.page)

    def answer(self, *texts: str) -> str:
        """Some answers after each other."""
        for text in texts:
            said = self.send("answer", text)
        return said


ADDRESS = ("Invented Person", "", "Namibia", "Sample Street 5", "", "Sampletown", "")


def test_an_order_is_keyed_question_by_question_and_is_in_once(desk, house):
    """Who, where to, by what, which parts with price and stock, read back, taken in; the same post again adds none."""
    call = Call(desk)
    assert "Who gets it?" in words(call.page)
    call.answer("Invented Person")
    with house.shop.reading() as books:
        (draft,) = books.find(Draft)
    while "Which service?" not in (said := words(call.page)):
        wants = {"country": "New Zealand", "street": "Sample Street 5", "town": "Sampletown", "post code": "9999"}
        asked = re.search(r'name="question" value="([^"]*)"', call.page)
        call.answer(wants.get(asked[1], wants["town"] if asked[1] == "city" else ""))
    call.answer("ROAD")
    found = call.answer("SPRING-2")
    priced = call.answer("4")
    call.answer("", "", "", "no")
    read_back = words(call.page)
    data = {**hidden(call.page), "text": "", "line": "answer"}
    first, again = (words(desk.client.post(PATH, data=data, headers={"X-Part": "1"}).text) for _ in range(2))

    assert "free of" in found
    assert "a piece" in found
    assert "together" in priced
    assert "Sample Street 5" in read_back
    assert "4 x SPRING-2" in read_back
    assert re.search(r"Order T\w+ is in: 1 line", first)
    assert first == again
    assert said
    with house.shop.reading() as books:
        (order,) = [one for one in books.find(Order) if one.name == "Invented Person"]
        assert [(one.part_number, one.pieces) for one in books.find(OrderLine, order_number=order.number)] == [
            ("SPRING-2", 4)
        ]
        assert books.get(Draft, draft.code) is None


def test_what_is_wrong_is_asked_again_and_what_is_right_stays(desk, house):
    """A refused answer, a doubted one typed again, one back, one changed, gone on with later, forgotten."""
    call = Call(desk)
    nothing = call.answer("")
    call.answer("Invented Person", "")
    nowhere = call.answer("Nowhereland")
    call.answer("New Zealand")
    back = call.send("back")
    (code,) = re.findall(r'name="draft" value="(K\w+)"', call.page)[:1]
    call.answer("Switzerland")
    later = Call(desk, f"{PATH}?draft={code}")
    changed = later.send("change name")
    with house.shop.reading() as books:
        kept = books.need(Draft, code).answers
    later.answer("Another Person")
    on_the_desk = words(desk.client.get("/clerk").text)
    old = call.answer("Sample Street 5")
    gone = later.send(f"forget {code}")

    assert "An answer is needed here." in nothing
    assert "a country's name in any language" in nowhere.replace("&#39;", "'")
    assert "Which country?" in back
    assert 'value="New Zealand"' not in call.page
    assert "Who gets it?" in changed
    assert "name" not in kept
    assert kept["country"] == "Switzerland"
    assert f"{code} Another Person half keyed by dora" in on_the_desk
    assert old
    assert f"Draft {code} is forgotten." in gone
    with house.shop.reading() as books:
        assert books.find(Draft) == []


def test_a_doubted_answer_is_taken_when_it_is_typed_again(desk, house):
    """A telephone number with words in it: asked once more, then kept."""
    call = Call(desk)
    call.answer("Invented Person")
    for _ in range(9):
        asked = re.search(r'name="question" value="([^"]*)"', call.page)[1]
        if asked == "phone":
            break
        call.answer({"country": "New Zealand", "street": "Sample Street 5", "city": "Sampletown"}.get(asked, ""))
    doubted = call.answer("call me")
    taken = call.answer("call me")

    assert "Type it again to keep it." in doubted
    assert 'value="call me"' not in call.page
    assert "E-mail?" in taken


def test_an_answer_to_another_question_is_not_taken(desk, house):
    """Two tablets at one draft, or the browser's back button: the page says so and shows the open question."""
    call = Call(desk)
    call.answer("Invented Person")
    old = {**hidden(call.page), "line": "answer", "text": "first"}
    call.answer("Invented Company")
    got = words(desk.client.post(PATH, data={**old, "key": "another-key"}, headers={"X-Part": "1"}).text)

    assert "That was for another question" in got
    assert "Which country?" in got


@pytest.mark.slow
def test_every_state_of_keying_is_sound(opened, house, clock):
    """The first question, one refused, parts to choose from, read back, in; by keyboard alone."""
    page = sign_in(opened, StationKind.CLERK, "dora")
    page.get_by_role("link", name="Key an order").click()
    page.wait_for_selector("#text")
    is_sound(opened, "the first question")
    page.keyboard.type("Invented Person\n")
    page.wait_for_url("**/clerk/key?draft=*")

    def answer(text: str, asks: str) -> None:
        page.keyboard.type(f"{text}\n")
        until(page, f"document.body.innerText.includes({asks!r})")

    answer("", "Which country?")
    answer("Nowhereland", "Not done")
    is_sound(opened, "refused")
    page.fill("#text", "")
    answer("New Zealand", "Street and house number?")
    answer("Sample Street 5", "Post code")
    answer("6011", "Town?")
    answer("Sampletown", "Telephone?")
    answer("", "E-mail?")
    answer("", "Which service?")
    answer("ROAD", "Line 1")
    answer("spring", "free of")
    is_sound(opened, "a part")
    picture(opened, "keying", "tablet")
    # To be led to a page is an answer of its own, which Chromium names on its console.
    assert [one for one in opened.said if "409" not in one] == []
