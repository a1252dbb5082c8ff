"""Keying an order at the desk: the questions of the telephone call one by one, each answer checked at once.

The questions and what their answers mean are :mod:`fulfil.orders.keying`'s, as at the keyboard. Between two answers
nothing is in this server: the draft in the books holds what was answered, so that a call that is cut off goes on at any
station. The page says which question it showed; an answer to another one is not taken.
"""

import json
from dataclasses import asdict, dataclass, field

from starlette.responses import Response

from fulfil.errors import Refusal
from fulfil.orders.keying.questions import TAKE, Keyed, KeyingDesk
from fulfil.orders.keying.taking import take_in
from fulfil.orders.refused_goods import refused_of
from fulfil.records.bench import StationKind
from fulfil.records.draft import Draft
from fulfil.shop.conversation import Conversation
from fulfil.shop.drafts import drop_draft, keep_draft
from fulfil.shop.numbers import next_code_at
from fulfil.standards.iso4217 import print_money
from fulfil.stations.desk.lines import Told, take_line
from fulfil.stations.house import House
from fulfil.stations.visit import Visit, lead, shown, worked_at
from fulfil.store.shop import Shop

PATH = "/clerk/key"
SOURCES = ("phone", "post", "counter")
_YES_OR_NO = ("same address", "only complete")


@dataclass
class Said:
    """What came of one answer: the draft after it, why it wasn't taken, what may be meant, or the order's number."""

    draft: str = ""
    trouble: str = ""
    offered: tuple[str, ...] = ()
    text: str = ""
    before: str = ""
    doubted: str = ""
    order: str = ""
    says: tuple[str, ...] = field(default=())


@worked_at(StationKind.CLERK)
def show(house: House, visit: Visit) -> Response:
    """The question that is next, of a draft or of a new order."""
    return _page(house, visit, Said(draft=visit.query.get("draft", "")[:40]))


@worked_at(StationKind.CLERK)
def take(house: House, visit: Visit) -> Response:
    """One answer, one step back, one answer to change, or the whole draft forgotten."""

    def answer(shop: Shop, verb: str) -> tuple[str, ...]:
        return (json.dumps(asdict(_answered(house, visit, shop, verb))),)

    def forget(shop: Shop, code: str) -> tuple[str, ...]:
        drop_draft(shop, code)
        return (json.dumps(asdict(Said(says=(f"Draft {code} is forgotten.",)))),)

    told = take_line(house, visit, {"answer": answer, "back": answer, "change": answer, "forget": forget})
    code = visit.form.get("draft", "")
    if told.is_refused:
        return _page(house, visit, Said(draft=code, trouble=told.says[0], text=visit.form.get("text", "")))
    if not told.says[0].startswith("{"):
        return lead(visit, f"{PATH}?draft={code}" if code else PATH)
    said = Said(**json.loads(told.says[0]))
    if said.draft and not code and not said.trouble:
        return lead(visit, f"{PATH}?draft={said.draft}")  # from here on a page that is opened again goes on with it
    return _page(house, visit, said)


def _answered(house: House, visit: Visit, shop: Shop, about: str) -> Said:
    """Runs the questions over the kept answers and this one."""
    form, at = visit.form, visit.at
    person = "" if visit.worker is None else visit.worker.name
    verb = form.get("line", "").partition(" ")[0]
    source = form["source"] if form.get("source") in SOURCES else SOURCES[0]
    code, draft = form.get("draft", ""), _draft(house, form.get("draft", ""))
    talked = _talk(house, draft)
    asked = "" if talked.question is None else talked.question.key
    said = Said(draft=code)
    if form.get("question", "") != asked:
        said.trouble = "That was for another question: here is the one that is open."
        return said
    text = form.get("text", "")
    if verb == "back":
        said.trouble = "" if talked.back() else "This is the first question."
    elif verb == "change":
        said.trouble = "" if talked.reopen(about) else "There is no such answer."
    else:
        if form.get("doubted") == f"={text.strip()}":
            talked.enter(text)  # it was asked for once more: the page says so
        talked.enter(text)
        said.trouble, said.offered = talked.trouble, talked.offered
        said.text = text if said.trouble else ""
        said.doubted = f"={text.strip()}" if talked.is_doubted else ""
    if talked.result is not None:
        return _taken(shop, talked.result, source, code, visit, person)
    if not said.trouble:
        said.before = "" if verb == "answer" else talked.suggestion() or ""
        said.draft = keep_draft(shop, code, talked.answers, source=source, at=at, person=person).code
    return said


def _taken(shop: Shop, keyed: Keyed, source: str, code: str, visit: Visit, person: str) -> Said:
    with shop.at_station(_station(visit)).writing() as books:
        number = next_code_at(books, "T", visit.at)  # before the step that the page's key belongs to
    number, findings = take_in(shop, keyed, number=number, source=source, code=code, at=visit.at, person=person)
    if findings:
        return Said(draft=code, trouble="The order was not taken.", offered=tuple(map(str, findings)))
    lines = f"{len(keyed.lines)} line{'s' if keyed.lines[1:] else ''}"
    total = print_money(keyed.total_minor, keyed.lines[0].found.part.currency)
    with shop.reading() as books:
        refused = refused_of(books, [number])
    return Said(order=number, says=(f"Order {number} is in: {lines}, {total}.", *map(str, refused)))


def _station(visit: Visit) -> str:
    return "" if visit.station is None else visit.station.name


def _draft(house: House, code: str) -> Draft | None:
    """The kept answers; None before the first.

    Raises:
        UnknownRefused: there is no such draft any more.
    """
    if not code:
        return None
    with house.shop.reading() as books:
        return books.need(Draft, code)


def _talk(house: House, draft: Draft | None) -> Conversation[Keyed]:
    desk = KeyingDesk(house.shop)
    return Conversation(desk.script, {} if draft is None else draft.answers)


def _page(house: House, visit: Visit, said: Said) -> Response:
    try:
        draft = _draft(house, said.draft)
    except Refusal as refusal:
        draft, said = None, Said(trouble=str(refusal))
    talked = _talk(house, draft)
    question = talked.question
    if said.order or question is None:
        return shown("keyed.html", visit, said=said)
    value = said.text or said.before
    lines = said.offered if said.trouble else question.shows
    is_choice = question.key == "service" or bool(said.offered)
    choices = tuple(line.split("  ")[0] for line in lines if "  " in line) if is_choice else ()
    if question.key in _YES_OR_NO:
        choices = ("yes", "no")
    return shown(
        "key.html",
        visit,
        said=said,
        told=Told((said.trouble,) if said.trouble else said.says, is_refused=bool(said.trouble)),
        question=question,
        value=value,
        suggestion=talked.suggestion() or "",
        lines=lines,
        choices=choices,
        is_last=question.key == TAKE,
        answered=[(key, talked.answers[key]) for key in talked.asked if key in talked.answers],
        source=SOURCES[0] if draft is None else draft.source,
        sources=SOURCES,
        key=house.fresh(),
    )
