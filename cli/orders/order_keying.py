"""``fulfil orders add``: an order keyed question by question, given by options, or from JSON; and drafts kept of it."""

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from fulfil.errors import FileRefused, QuantityRefused

from ..frame import Answer, Ask, command, listed, table
from ..talking import Ended, talk
from .orders import orders

if TYPE_CHECKING:
    from fulfil.orders.keying.questions import Keyed
    from fulfil.shop.conversation import Conversation
    from fulfil.store.shop import Shop

_KEYS = {"post_code": "post code", "note_picker": "note for the picker", "note_packer": "note for the packer",
         "ship_complete": "only complete"}  # fmt: skip
"""Options and names in JSON whose question has another name."""
_OTHER_WORDS = {"town": "city", "telephone": "phone", "e-mail": "email", "address": "street",
                "picker": "note for the picker", "packer": "note for the packer",
                "complete": "only complete"}  # fmt: skip
"""What people call an answer that they want to change."""
_NEEDED = ("name", "country", "street", "city", "service", "part 1", "pieces 1")


@command(
    orders,
    "add",
    'fulfil orders add --number T-7 --name "Invented Person" --street "Sample Street 5" --city Sampletown '
    "--country NA --service post --new-line BALL-3:50",
)
@click.option("--number", default="", help="The order's number; else the next number of the day.")
@click.option("--source", type=click.Choice(["phone", "post", "counter"]), default="phone", help="How it came in.")
@click.option("--name", default="", help="Who gets it.")
@click.option("--company", default="", help="The company, if any.")
@click.option("--street", default="", help="Street and house number.")
@click.option("--city", default="", help="Town.")
@click.option("--post-code", default="", help="Post code.")
@click.option("--region", default="", help="State or region, where the country uses one.")
@click.option("--country", default="", help="The country's name in any language, or its ISO 3166-1 code.")
@click.option("--phone", default="", help="Telephone.")
@click.option("--email", default="", help="E-mail.")
@click.option("--service", default="", help="The service that the customer chose, by code or name.")
@click.option("--ship-complete", is_flag=True, help="Send only when nothing is short.")
@click.option("--note-picker", default="", help="For the picker.")
@click.option("--note-packer", default="", help="For the packer.")
@click.option("--new-line", "keyed_lines", multiple=True, metavar="PART:PIECES", help="One line; repeat for more.")
@click.option(
    "--answers", type=click.File(encoding="utf-8"), default=None, help="JSON of the same names; - reads it here."
)
@click.option("--draft", "code", default="", metavar="DRAFT", help="Go on with an order that was half keyed.")
def add(
    ask: Ask, number: str, source: str, keyed_lines: tuple[str, ...], answers: Any, code: str, **given: Any
) -> Answer:
    """Takes an order from telephone, post or counter; what isn't given is asked, and each answer is checked at once.

    `<` goes one answer back. Nothing is lost: what was answered is kept as a draft until the order is in.
    """
    from fulfil.orders.keying.questions import KeyingDesk
    from fulfil.records.draft import Draft
    from fulfil.shop.conversation import Conversation
    from fulfil.shop.short_numbers import full_number

    said = _said({**given, "lines": keyed_lines})
    if answers is not None:
        said |= _of_json(answers)
    with ask.shop() as shop:
        kept: dict[str, str] = {}
        if code:
            with shop.reading() as books:
                draft = books.need(Draft, full_number(books, "draft", code))
            code, source, kept = draft.code, draft.source, draft.answers
        said = kept | said
        desk = KeyingDesk(shop)
        talked: Conversation[Keyed] = Conversation(lambda: desk.script(said), said)
        is_whole = answers is not None or (not code and all(key in said for key in _NEEDED))
        if is_whole:
            return _at_once(ask, shop, talked, number, source, code)
        return _asked(ask, shop, talked, number, source, code)


def _asked(ask: Ask, shop: "Shop", talked: "Conversation[Keyed]", number: str, source: str, code: str) -> Answer:
    """At the keyboard: question by question, kept after each."""
    from fulfil.shop.drafts import keep_draft

    draft = code

    def keep(answers: Mapping[str, str]) -> None:
        nonlocal draft
        draft = keep_draft(shop, draft, answers, source=source, at=ask.at, person=ask.person).code

    try:
        talk(talked, keep, named=_change)
    except Ended:
        if not draft:
            return Answer(["Nothing was keyed."], {"order": None, "draft": None}, must_act=True)
        return _kept(draft, [])
    assert talked.result is not None  # noqa: S101 - the talk came to its end
    return _taken(ask, shop, talked.result, talked.answers, number, source, draft)


def _at_once(ask: Ask, shop: "Shop", talked: "Conversation[Keyed]", number: str, source: str, code: str) -> Answer:
    """All answers are there: every fault is said at once, and the answers are kept."""
    from fulfil.records.finding import Finding
    from fulfil.shop.drafts import keep_draft

    keyed, faults = talked.at_once()
    if keyed is not None:
        return _taken(ask, shop, keyed, talked.answers, number, source, code)
    draft = keep_draft(shop, code, talked.answers, source=source, at=ask.at, person=ask.person).code
    findings = [Finding(f"order {number or draft}", None, key, text, why, "correct it") for key, text, why in faults]
    return _kept(draft, findings)


def _taken(
    ask: Ask, shop: "Shop", keyed: "Keyed", answers: Mapping[str, str], number: str, source: str, draft: str
) -> Answer:
    from fulfil.orders.keying.taking import take_in
    from fulfil.orders.refused_goods import refused_of
    from fulfil.shop.drafts import keep_draft
    from fulfil.standards.iso4217 import print_money

    number, findings = take_in(shop, keyed, number=number, source=source, code=draft, at=ask.at, person=ask.person)
    if findings:
        draft = draft or keep_draft(shop, "", answers, source=source, at=ask.at, person=ask.person).code
        return _kept(draft, findings)
    currency = keyed.lines[0].found.part.currency
    total = print_money(keyed.total_minor, currency)
    lines = f"{len(keyed.lines)} line{'s' if keyed.lines[1:] else ''}"
    with shop.reading() as books:
        refused = refused_of(books, [number])
    facts = {
        "order": number, "findings": [], "total_minor": keyed.total_minor, "currency": currency, "draft": None,
        "refused": [one.as_dict() for one in refused],
    }  # fmt: skip
    return Answer([f"Order {number} is in: {lines}, {total}.", *listed(refused)], facts, must_act=bool(refused))


def _kept(draft: str, findings: Sequence[Any]) -> Answer:
    lines = ["The order was not taken:", *listed(findings)] if findings else ["The order is not in yet."]
    lines.append(f"What was keyed is kept. Go on with it: fulfil orders add --draft {draft}")
    facts = {"order": None, "findings": [one.as_dict() for one in findings], "draft": draft}
    return Answer(lines, facts, must_act=True)


def _change(said: str) -> str:
    """The key of the answer that a person wants to change, said at the end: ``line 2`` is its pieces."""
    folded = " ".join(said.casefold().split())
    if folded.startswith("line "):
        return f"pieces {folded.removeprefix('line ')}"
    return _OTHER_WORDS.get(folded, folded)


def _said(given: Mapping[str, Any]) -> dict[str, str]:
    """Answers by the keys of their questions, from options or JSON."""
    said = {}
    for name, value in given.items():
        if name == "lines" or value in (None, "", False):
            continue
        said[_KEYS.get(name, name)] = "yes" if value is True else str(value)
    for place, line in enumerate(given.get("lines", ()), start=1):
        part, pieces = _part_and_pieces(line)
        said |= {f"part {place}": part, f"pieces {place}": pieces}
    return said


def _part_and_pieces(line: Any) -> tuple[str, str]:
    if isinstance(line, dict) and {"part", "pieces"} <= line.keys():
        return str(line["part"]), str(line["pieces"])
    part, colon, pieces = str(line).rpartition(":")
    if not colon or not part:
        raise QuantityRefused("read the line", str(line), "PART:PIECES, such as BALL-3:50")
    return part.strip(), pieces.strip()


def _of_json(file: Any) -> dict[str, str]:
    name = getattr(file, "name", "answers")
    try:
        given = json.load(file)
    except ValueError as trouble:
        raise FileRefused("read the answers", name, f"one JSON object ({trouble})") from None
    if not isinstance(given, dict):
        raise FileRefused("read the answers", name, 'one JSON object, such as {"name": "Ann Invented", "lines": []}')
    from fulfil.orders.keying.questions import FIELDS

    known = {key for name in (*FIELDS, *_KEYS) for key in (name, name.replace(" ", "_"))} | {"lines"}
    if unknown := sorted(given.keys() - known):
        raise FileRefused("read the answers", unknown[0], f"one of {', '.join(sorted(known))}")
    return _said(given)


@command(orders, "drafts", "fulfil orders drafts")
@click.option("--drop", "code", default="", metavar="DRAFT", help="Forget this one.")
def drafts(ask: Ask, code: str) -> Answer:
    """Lists orders that were half keyed, or forgets one."""
    from fulfil.shop.clock import local_time
    from fulfil.shop.drafts import drafts as kept
    from fulfil.shop.drafts import drop_draft
    from fulfil.shop.short_numbers import full_number

    with ask.shop() as shop:
        if code:
            with shop.reading() as books:
                code = full_number(books, "draft", code)
            dropped = drop_draft(shop, code)
            return Answer([f"Draft {code} is forgotten."], {"dropped": dropped.model_dump(mode="json")})
        found = kept(shop)
        with shop.reading() as books:
            settings = books.settings()
    rows = [
        (one.code, one.answers.get("name", ""), len(one.answers), one.person, local_time(one.at, settings))
        for one in found
    ]
    lines = table(rows, ("draft", "name", "answers", "keyed by", "last")) if rows else ["None is half keyed."]
    if rows:
        lines.append(f"Go on with one: fulfil orders add --draft {found[0].code}")
    return Answer(lines, {"drafts": [one.model_dump(mode="json") for one in found]}, must_act=bool(rows))
