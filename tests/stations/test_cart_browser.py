"""The cart's page in Chromium, through dead spots: marks wait on the tablet, are sent once, and the page says so."""

import pytest

from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag
from tests.stations.browser import is_sound, picture, show_badge, sign_in, until
from tests.stations.cart_shop import WALK, bags, clock, shop

__all__ = ["bags", "clock", "shop"]


@pytest.fixture
def cart(opened, bags):
    """Carla's phone, the walk begun."""
    page = sign_in(opened, StationKind.CART, "carla")
    page.get_by_role("button", name=WALK).click()
    page.wait_for_selector(".fill")
    return opened


def filled(house) -> list[str]:
    """The bags that were marked, in the journal's order."""
    with house.shop.reading() as books:
        return [entry.subject for entry in books.find(JournalEntry, event=Happening.BAG_FILLED)]


def press_filled(page) -> None:
    """The first bag that is to fill at the stop that is shown."""
    page.locator(".place:visible .fill button.go:visible").first.click()


@pytest.mark.slow
def test_every_state_of_the_cart_is_sound(opened, bags):
    """Walks that wait, a stop, the trouble with a bin, not sent yet, not taken, all filled."""
    page = sign_in(opened, StationKind.CART, "carla")
    is_sound(opened, "walks that wait")
    page.get_by_role("button", name=WALK).click()
    page.wait_for_selector(".fill")
    is_sound(opened, "a stop")
    page.locator(".place:visible summary").click()
    is_sound(opened, "a bin in trouble")
    page.locator(".place:visible summary").click()
    opened.context.set_offline(True)
    press_filled(page)
    press_filled(page)
    page.wait_for_selector("#outbox.waits")
    is_sound(opened, "not sent yet")
    picture(opened, "cart", "phone")
    opened.context.set_offline(False)
    page.wait_for_selector("#outbox.waits", state="hidden")
    while page.locator(".place:visible .fill button.go:visible").count():
        press_filled(page)
    page.wait_for_selector(".last:visible")
    assert page.inner_text("#all-done") == f"The end of walk {WALK}"
    assert page.inner_text("#left-over") == "All bags are filled"
    assert page.get_by_role("button", name="Next stop").is_disabled()
    is_sound(opened, "all filled")


def test_marks_wait_through_a_dead_spot_and_go_out_once(cart, house, bags):
    """Marked without a signal, the page closed and opened again without one; then all is sent, each once, in order."""
    page = cart.page
    until(page, "navigator.serviceWorker.controller !== null")
    until(page, "caches.open('cart').then((kept) => kept.match('/cart')).then((got) => Boolean(got))")
    cart.context.set_offline(True)
    for _ in range(3):
        press_filled(page)
    page.wait_for_selector("#outbox.waits")
    before = page.inner_text("#outbox")
    page.reload()
    page.wait_for_selector(".fill")
    again = page.inner_text("#outbox")
    press_filled(page)
    unsent = page.locator(".unsent").count()
    assert filled(house) == []
    cart.context.set_offline(False)
    page.wait_for_selector("#outbox.waits", state="hidden")

    assert "3 marks are not sent yet" in before
    assert "3 marks are not sent yet" in again
    assert "Don't mark them again" in before
    assert unsent == 4
    with house.shop.reading() as books:
        way = sorted(books.find(Bag), key=lambda bag: (bag.stop_no, bag.cart_position, bag.code))
    assert filled(house) == [bag.code for bag in way[:4]]
    assert page.locator(".unsent").count() == 0


def test_an_answer_that_is_lost_doubles_nothing(cart, house):
    """The mark arrives, its answer doesn't: it is sent again with its key, and stands in the journal once."""
    page = cart.page
    cut = {"left": 2}

    def line(route) -> None:
        if route.request.method == "POST" and cut["left"]:
            cut["left"] -= 1
            route.fetch()  # it arrives; its answer doesn't
            route.abort()
        else:
            route.continue_()

    page.route("**/cart", line)
    press_filled(page)
    page.wait_for_selector("#outbox.waits")
    page.wait_for_selector("#outbox.waits", state="hidden")

    assert cut["left"] == 0
    assert len(filled(house)) == 1


def test_marks_stay_with_the_one_who_made_them(cart, house, clock):
    """Carla's mark waits; ben signs in on the tablet and can't send it; she can."""
    page = cart.page
    cart.context.set_offline(True)
    press_filled(page)
    page.wait_for_selector("#outbox.waits")
    with house.shop.writing() as books:
        from fulfil.records.bench import Station

        (station,) = books.find(Station, name="cart-1")
        books.change([station], {"person": "", "session_digest": "", "signed_in_at": None})
    cart.context.set_offline(False)
    page.wait_for_selector("#badge")
    assert filled(house) == []
    assert "1 mark waits on this tablet" in page.inner_text("#line-down")
    show_badge(page, "mara")
    page.wait_for_url("**/cart")
    page.wait_for_selector("#outbox.waits")
    assert "Marks of carla wait on this tablet" in page.inner_text("#outbox")
    assert filled(house) == []
    page.get_by_role("button", name="Sign out").click()
    show_badge(page, "carla")
    page.wait_for_url("**/cart")
    page.wait_for_selector(".fill .filled", state="attached")
    until(page, "document.querySelector('#outbox.waits') === null")
    assert len(filled(house)) == 1


def test_a_scanner_marks_bags_and_brings_stops_up(cart, house, bags):
    """A bag's label marks it; a bin's label shows its stop; a code of another walk is said to be one."""
    page = cart.page
    with house.shop.reading() as books:
        last = books.need(Bag, "B2607140020")
    page.keyboard.type(f"{last.bin_code}\n")
    page.wait_for_selector(f'.place:visible[data-bin="{last.bin_code}"]')
    page.keyboard.type(f"{last.code}\n")
    page.wait_for_selector(f'[data-bag="{last.code}"].filled', state="attached")
    page.keyboard.type("B9999\n")
    until(page, "document.body.innerText.includes('B9999 is not on this walk')")
    until(page, "document.querySelector('#outbox.waits') === null")

    assert filled(house) == [last.code]
    assert cart.said == []


def test_with_the_keyboard_alone(cart, house):
    """Tab to the button, Enter; the next stop is read aloud."""
    page = cart.page
    page.locator(".place:visible .fill button.go:visible").first.focus()
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#outbox.waits') === null && document.querySelector('.filled') !== null")

    assert len(filled(house)) == 1
