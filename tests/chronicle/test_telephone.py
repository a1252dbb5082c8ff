"""Calls at the harbour shop, question by question: what is asked, shown, offered, doubted, refused and taken in."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fulfil.orders.keying import answers
from fulfil.orders.keying.part_search import find_part, search_parts
from fulfil.orders.keying.questions import Keyed, KeyingDesk
from fulfil.orders.keying.taking import take_in
from fulfil.records.despatch.service import Service
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.shop.conversation import Conversation
from fulfil.shop.drafts import keep_draft
from fulfil.stock.part_changes import retire_part
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import NOW, WHO, check, key, pack, plan, release

FIRST = (
    "Éloïse Modèle",
    "Orgues Modèle",
    "Schweiz",
    "Musterweg 7",
    "ABC 1",
    "8001",
    "Zürich-Muster",
    "call me",
    "+41 44 000 00 00",
    "eloise at home",
    "eloise@example.invalid",
    "pigeon",
    "parcel",
    "sky parcel",
    "",
    "cog",
    "brass",
    "reed-a",
    "two",
    "60",
    "cam",
    "0",
    "snail cam",
    "2 pcs",
    "",
    "x" * 201,
    "count twice",
    "pad well",
    "perhaps",
    "yes",
    "maybe",
    "",
)
SECOND = ("eloise MODELE", "perhaps", "", "", "", "AIR", "PIN-08", "1", "DISC-21", "3", "", "", "", "", "no", "")
THIRD = (
    "Ann Invented",
    "",
    "USA",
    "1 Sample Road",
    "90001",
    "Sampletown",
    "Nowhere",
    "california",
    "",
    "",
    "AIR",
    "LACQ-10",
    "99",
    "",
    "",
    "",
    "",
    "",
)
INLAND = (
    "Ngaio Sample",
    "-",
    "",
    "2 Sample Quay",
    "8016",
    "Ōwenga-Sample",
    "+64 3 305 0001",
    "",
    "road",
    "BELL-3",
    "9",
    "",
    "",
    "",
    "",
    "yes",
)

ELSEWHERE = (
    "Éloïse Modèle",
    "no",
    "",
    "Schweiz",
    "Musterweg 9",
    "8001",
    "Zürich-Muster",
    "",
    "",
    "AIR",
    "CAM-7",
    "1",
    "",
    "",
    "",
    "",
    "",
)


def talk(told: Chronicle, shop: Shop, said: tuple[str, ...], given: dict[str, str] | None = None) -> Keyed:
    """One call: each question with its default and what it shows, each answer with what comes of it."""
    desk = KeyingDesk(shop)
    call = Conversation(lambda: desk.script(given), given)
    for text in said:
        asked = call.question
        assert asked is not None
        told.lines += [f"{asked.key}: {asked.asks} [{call.suggestion()}]", *(f"    | {line}" for line in asked.shows)]
        call.enter(text)
        told.lines.append(f"  > {text[:60]}")
        told.lines += [f"    ! {call.trouble}"] * bool(call.trouble) + [f"    ? {line}" for line in call.offered]
    assert call.result is not None, call.question
    told.tell("understood", call.result)
    told.tell("sum", call.result.total_minor)
    return call.result


def test_calls(shop: Shop, tmp_path: Path) -> None:
    """A new customer, the same again, one with a State, one inland: everything said back; one draft is forgotten."""
    told = Chronicle(shop, "telephone/calls")
    code = keep_draft(shop, "", {"name": "Éloïse Modèle"}, source="phone", **WHO).code
    told.tell("a draft")
    for number, said in (("", FIRST), ("T-77", SECOND), ("", THIRD), ("", ELSEWHERE), ("", INLAND)):
        keyed = talk(told, shop, said)
        told.tell(
            "taken in", take_in(shop, keyed, number=number, source="phone", code=code if said is FIRST else "", **WHO)
        )
    told.tell("under the same number", take_in(shop, keyed, number="T-77", source="post", code="", **WHO))
    told.is_as_recorded()


@pytest.mark.parametrize("key_of", ["fault", "right"])
def test_answers_at_once(shop: Shop, key_of: str) -> None:
    """A file of answers: all faults together, or the order."""
    told = Chronicle(shop, f"telephone/at-once-{key_of}")
    given = {
        "name": "Ann Invented",
        "street": "1 Sample Road",
        "country": "Germany",
        "post code": "10115",
        "city": "Town",
        "service": "AIR",
        "part 1": "REED-A",
        "pieces 1": "3",
    }
    if key_of == "fault":
        given |= {
            "country": "Atlantis",
            "service": "pigeon",
            "part 1": "cog",
            "pieces 1": "x",
            "email": "ann",
            "only complete": "perhaps",
        }
    desk = KeyingDesk(shop)
    made, faults = Conversation(lambda: desk.script(given), given).at_once()
    told.tell("made", made)
    told.each("faults", faults)
    told.is_as_recorded()


def test_what_single_answers_mean(shop: Shop) -> None:
    """Texts, e-mail, countries, services, telephone, addresses: read, refused or doubted."""
    told = Chronicle(shop, "telephone/answers")
    with shop.reading() as books:
        services = {one.code: one for one in books.find(Service)}
    asked: list[tuple[str, Callable[[str], Any], tuple[str, ...]]] = [
        (
            "text",
            lambda said: answers.text("note", said),
            ("", " a  b ", "y" * 200, "y" * 201, "a\tb", "a\x07b", "አዲስ"),
        ),
        ("something", lambda said: answers.something("town", said), ("Å", "--", "", "7")),
        ("country", answers.country, ("CH", "ch", "Suisse", "", "Atlantis", "UK")),
        ("email", answers.email, ("", "a@b.c", "a@b", "a b@c.d", "a@b.c, d@e.f", "a@b.")),
        ("pieces", answers.pieces, ("0", "1", "12 pcs", "-1", "1.5", "")),
        (
            "service to NZ",
            lambda said: answers.service(services, said, "NZ"),
            ("road", "Island lorry round (invented)", "island", "parcel", "", "AIR"),
        ),
        ("service to BE", lambda said: answers.service(services, said, "BE"), ("road", "air", "POST")),
        ("service of none", lambda said: answers.service({}, said, "BE"), ("road",)),
        ("telephone", answers.doubt_phone, ("", "+64 3 305 0001", "call me", "123")),
        ("post code", lambda said: answers.doubt("post_code", country="CH", post_code=said), ("8001", "ABC", "")),
        ("region", lambda said: answers.doubt("region", country="US", region=said), ("CA", "XX", "")),
    ]
    for name, read, texts in asked:
        for said in texts:
            try:
                told.lines.append(f"{name} '{said[:30]}': {read(said)!r}"[:200])
            except Exception as refusal:
                told.lines.append(f"{name} '{said[:30]}': {type(refusal).__name__} {refusal}"[:330])
    told.is_as_recorded()


def test_parts_by_words(shop: Shop, tmp_path: Path) -> None:
    """By number in any case, by words, none, several, retired; what is free as pieces go their way; other money."""
    told = Chronicle(shop, "telephone/parts")
    key(shop, "P-1", ("REED-A", 9))
    steps: list[Callable[[], Any]] = [
        lambda: plan(shop),
        lambda: release(shop, tmp_path),
        lambda: check(shop, "P-1"),
        lambda: pack(shop, "P-1"),
    ]
    for step in (lambda: None, *steps):
        step()
        with shop.reading() as books:
            told.lines += [
                f"{said}: {[one.line() for one in search_parts(books, said)]}" for said in ("reed-a", " tongue FILED ")
            ]
    key(shop, "P-2", ("CAM-7", 99))
    with shop.reading() as books:
        told.lines.append(find_part(books, "snail").line())
    retire_part(shop, "BELL-3", **WHO)
    with shop.writing() as books:
        books.replace([revised(books.need(Part, "DISC-21"), {"currency": "EUR"})])
    with shop.reading() as books:
        told.refused(
            "not one",
            *(
                lambda said=said: find_part(books, said)
                for said in ("brass", "cog", "reed snail", "", "bell-3", "Bell", "-")
            ),
        )
    desk = KeyingDesk(shop)
    told.refused("other money", lambda: desk.find_part("DISC-21"))
    told.tell("offers", [desk.offers(""), desk.offers("e"), desk.offers("cog")])
    last = desk.last_order_of("NGAIO orakei-sample"), desk.last_order_of("Nobody")
    told.tell("last order", [one and one.number for one in last])
    assert NOW
    told.is_as_recorded()
