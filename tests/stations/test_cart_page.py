"""The cart in a browser: a walk begun, marked bag by bag, ended; what is found on it; nothing happens twice."""

import re
from datetime import timedelta

import pytest

from fulfil.bench.checkers import picker_of
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.walks.times import whose_hands
from fulfil.walks.under_way.picking import filled_bags
from tests.stations.cart_shop import WALK, bags, clock, shop
from tests.stations.conftest import Clock
from tests.stations.tablet import Tablet, house_of, words

__all__ = ["bags", "clock", "shop"]

CART = StationKind.CART


@pytest.fixture
def cart(house) -> Tablet:
    """Carla's cart."""
    return Tablet(house, "cart-1", CART, "carla")


def mark(cart: Tablet, line: str, key: str = "", **more: str) -> dict:
    """A mark as the page's script sends it; the shop's answer."""
    key = key or re.sub("[^a-z0-9]", "-", line.lower()).ljust(8, "-")[:40]
    data = {"line": line, "key": key, "walk": WALK, "who": "carla", **more}
    got = cart.client.post("/cart", data=data, headers={"X-Part": "1"})
    assert got.status_code == 200, got.text
    return got.json()


def happened(house, *events: Happening) -> list[tuple[str, str]]:
    """What was journalled, as (event, subject)."""
    with house.shop.reading() as books:
        return [(entry.event, entry.subject) for entry in books.find(JournalEntry, event=[*events])]


def test_a_walk_is_taken_by_touch_and_its_stops_stand_in_walking_order(cart, house):
    """The walks that wait; then every stop with its bin, its bags, their positions and windows; the room's map."""
    before = cart.client.get("/cart").text
    mark(cart, f"begin {WALK}")
    page = cart.client.get("/cart").text

    assert f'value="begin {WALK}"' in before
    assert "5 orders, 3 stops, 20 bags" in words(before)
    assert [int(one) for one in re.findall(r'data-stop="([0-9]+)"', page)] == [1, 2, 3]
    said = words(page)
    assert re.search(
        r"3 7 × [A-Z0-9-]+: 2.73 – 2.85 g bag B2607140012|4 7 × [A-Z0-9-]+: 2.73 – 2.85 g bag B2607140012", said
    )
    assert "count by hand bag B2607140001" in said
    assert page.count('id="at-') == 3
    with house.shop.reading() as books:
        assert whose_hands(books, WALK).person == "carla"
        assert picker_of(books, WALK) == "carla"


def test_marks_are_journalled_once_and_can_be_taken_back(cart, house, bags):
    """The same key, the same mark with another key, and another answer."""
    mark(cart, f"begin {WALK}")
    code = bags[0].code
    first = [mark(cart, f"filled {code}", key="once-only") for _ in range(3)]
    mark(cart, f"filled {code}", key="another-key")

    assert first == [{"done": True, "says": [], "anew": False}] * 3
    assert happened(house, Happening.BAG_FILLED) == [("bag filled", code)]
    assert f'data-bag="{code}" class="filled"' in cart.client.get("/cart").text
    mark(cart, f"not-filled {code}")
    with house.shop.reading() as books:
        assert filled_bags(books, [code]) == frozenset()
        (entry,) = books.find(JournalEntry, event=Happening.BAG_FILLED)
    assert '"station": "cart-1"' in entry.particulars


def test_the_walk_ends_and_its_cart_is_at_the_bench(cart, house):
    """Then the next walk may be taken; the ended one isn't offered again once all its bags are filled."""
    mark(cart, f"begin {WALK}")
    with house.shop.reading() as books:
        codes = [bag.code for bag in books.find(Bag)]
    for code in codes:
        mark(cart, f"filled {code}")
    told = mark(cart, f"end {WALK}")

    assert told["says"] == [f"Walk {WALK} has ended; its cart is at the bench."]
    assert "No walk waits" in words(cart.client.get("/cart").text)


def test_nobody_marks_another_ones_walk(cart, house, clock, bags):
    """Neither before it is begun nor while somebody else is on it; and no mark counts for another person."""
    assert "nobody is on it" in mark(cart, f"filled {bags[0].code}")["says"][0]
    mark(cart, f"begin {WALK}")
    other = Tablet(house, "cart-2", CART, "mara")
    refused = mark(other, f"filled {bags[0].code}", who="mara")
    begun = mark(other, f"begin {WALK}", who="mara")
    as_carla = mark(other, f"filled {bags[0].code}", key="in-her-name", who="carla")

    assert "carla is on it" in refused["says"][0]
    assert "carla has been on it since" in begun["says"][0]
    assert as_carla["says"] == ["Cannot send what was marked by 'carla': expected carla signed in; mara is."]
    assert happened(house, Happening.BAG_FILLED) == []


def test_a_late_mark_is_dated_when_it_was_made(cart, house, clock: Clock, bags):
    """Not before its person signed in, whatever the tablet says."""
    begun = clock.now
    mark(cart, f"begin {WALK}")
    clock.passes(minutes=10)
    mark(cart, f"filled {bags[0].code}", late_s="240")
    mark(cart, f"filled {bags[1].code}", late_s="999999")
    mark(cart, f"filled {bags[2].code}", late_s="nonsense")
    with house.shop.reading() as books:
        at = {entry.subject: entry.at for entry in books.find(JournalEntry, event=Happening.BAG_FILLED)}

    assert at[bags[0].code] == clock.now - timedelta(minutes=4)
    assert at[bags[1].code] == begun
    assert at[bags[2].code] == clock.now


def test_an_empty_bin_says_which_bags_stay_empty_and_spares_those_filled_before(cart, house, bags):
    """Of the five bags from MOANA-4 two were filled, one of the others gets what is left, two stay empty."""
    mark(cart, f"begin {WALK}")
    for code in ("B2607140016", "B2607140017"):
        mark(cart, f"filled {code}")
    told = mark(cart, "lacks MOANA-4 2")

    assert told["anew"]
    assert told["says"][0] == "Bin MOANA-4 holds 8 by count; the books said 15."
    empty = re.findall(r"leave bag (\w+) of (\d) pieces", " ".join(told["says"]))
    assert empty == [("B2607140018", "5"), ("B2607140020", "2")]
    with house.shop.reading() as books:
        stay = {bag.code for bag in books.find(Bag, walk_number=WALK)}
        assert books.need(Bin, "MOANA-4").pieces == 8
    assert {bag.code for bag in bags} - stay == {"B2607140018", "B2607140020"}
    again = mark(cart, "lacks MOANA-4 many")
    assert again["says"] == [
        "Cannot read pieces and bin of 'MOANA-4 many': expected a bin and a whole number, 0 or more."
    ]


def test_pieces_found_in_another_bin_are_booked_there(cart, house, bags):
    """Bags filled from that bin before are counted with it; a bin of another part is refused."""
    mark(cart, f"begin {WALK}")
    mark(cart, "filled B2607140011")
    told = mark(cart, "found MOANA-1 200 in place of MOANA-4")
    wrong = mark(cart, "found MOANA-2 5 in place of MOANA-4")

    assert told["says"][0] == "Bin MOANA-1 holds 206 by count; the books said 90."
    assert wrong["says"][0].startswith(
        "Cannot book what was found in bin 'MOANA-2: 5': expected another bin of SPRING-2"
    )
    with house.shop.reading() as books:
        assert books.need(Bin, "MOANA-1").pieces == 206


def test_without_script_the_buttons_name_their_fields(cart, house, bags):
    """A plain form: the page comes back with what was done."""
    key = re.search(r'name="key" value="([^"]+)"', cart.client.get("/cart").text)[1]
    begun = cart.client.post("/cart", data={"line": f"begin {WALK}", "key": key, "walk": ""})
    key = re.search(r'name="key" value="([^"]+)"', begun.text)[1]
    bin_code = bags[0].bin_code
    data = {"line": f"lacks {bin_code} $left-1", "left-1": "7", "key": key, "walk": WALK}
    got = cart.client.post("/cart", data=data)

    assert begun.status_code == got.status_code == 200
    assert f"Bin {bin_code} holds 7 by count" in words(got.text)


def test_after_a_restart_a_mark_that_was_done_is_done(cart, house, clock, bags):
    """The tablet asks again with the key that it kept."""
    mark(cart, f"begin {WALK}")
    mark(cart, f"filled {bags[0].code}", key="kept-by-the-tablet")
    again = cart.after_restart(house_of(house.shop, clock))

    assert mark(again, f"filled {bags[0].code}", key="kept-by-the-tablet") == {"done": True, "says": [], "anew": False}
    assert happened(house, Happening.BAG_FILLED) == [("bag filled", bags[0].code)]


def test_who_is_signed_out_is_led_to_the_door_and_no_verdict_is_ever_offered(cart, house, bags):
    """A mark of nobody is not done; the cart's page has no button of the check bench."""
    mark(cart, f"begin {WALK}")
    page = cart.client.get("/cart").text
    assert not re.search(r"passed|looks right|Looks right|/check", page)
    cart.client.post("/sign-out")
    got = cart.client.post("/cart", data={"line": f"filled {bags[0].code}", "key": "k" * 12}, headers={"X-Part": "1"})

    assert (got.status_code, got.headers["x-go"]) == (409, "/")
    assert happened(house, Happening.BAG_FILLED) == []
