r"""A mapping by example: what each column of a source's file is, by the word above it and by what is in it.

What nobody can see in the file is asked: which service a word means, whether 02/03 is in February or March. A question
names its choices; :func:`settled` makes the mapping of the answers. Nothing is kept here and nothing comes in.

>>> from fulfil.files.rows.table import read_table
>>> raw = "Bestellnr;Datum;Vorname;Nachname;Straße;Ort;Land;Artikel;Menge;Versand\n"
>>> raw += "7;14.03.2026;Erika;Muster;Weg 1;Musterstadt;Österreich;BALL-3;5;Post\n"
>>> shop = ShopWords(parts=frozenset(["ball-3"]), services={"POST": "Parcel post", "ROAD": "Road"}, country="DE",
...                  currency="EUR", time_zone="Europe/Vienna")
>>> proposal = propose(read_table(raw.encode(), "a.csv"), "shop", shop)
>>> proposal.mapping.fixed, proposal.mapping.time_format, proposal.questions
({'name': '{Vorname} {Nachname}'}, '%d.%m.%Y', ())
>>> proposal.mapping.words
{'service': {'post': 'POST'}}
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from fulfil.errors import QuantityRefused
from fulfil.files.mapping.column_guesses import guesses_of
from fulfil.files.mapping.content import date_formats
from fulfil.files.mapping.fitting import decimal_sign_of
from fulfil.files.mapping.header_words import currency_of, split_unit
from fulfil.files.mapping.number_signs import currency_in
from fulfil.files.rows.encodings import detected
from fulfil.files.rows.table import Table
from fulfil.records.order_mapping import AT_IMPORT, Layout, OrderMapping
from fulfil.records.revised import revised
from fulfil.records.text import tidy

__all__ = ["Proposal", "Question", "ShopWords", "detected", "propose", "settled"]

_NEEDED = ("order", "received_at", "name", "street", "city", "country", "service", "part", "pieces")
_SEVERAL = {
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN"),
    "¥": ("JPY", "CNY"),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
}
"""Signs of several currencies: the shop's own is meant where it is one of them."""


@dataclass(frozen=True)
class ShopWords:
    """What the shop knows: part numbers (case-folded), services (code → name), its country, currency, time zone."""

    parts: frozenset[str]
    services: Mapping[str, str]
    country: str
    currency: str
    time_zone: str


@dataclass(frozen=True)
class Question:
    """Something that the file doesn't say. ``key`` names it in answers; with ``choices`` the answer is one of them."""

    key: str
    asks: str
    choices: tuple[str, ...] = ()
    suggestion: str = ""


@dataclass(frozen=True)
class Proposal:
    """A mapping as far as the file shows it, what is to be asked, and the columns that nobody needs."""

    mapping: OrderMapping
    questions: tuple[Question, ...]
    left_alone: tuple[str, ...]


def propose(table: Table, source: str, shop: ShopWords) -> Proposal:
    """What the table shows of its source's mapping."""
    guess = guesses_of(table, shop.parts)
    columns, fixed, questions = dict(guess.columns), dict(guess.fixed), list[Question]()
    facts: dict[str, object] = {"source": source, "time_zone": shop.time_zone, "layout": guess.layout}
    if guess.items:
        facts |= {"items": guess.items[0], "between": guess.items[1]}
    facts["fills_down"] = _has_gaps(table, columns, guess.layout)
    forms = date_formats(_cells(table, columns.get("received_at", "")))
    if len(forms) > 1:
        cell = next(filter(None, _cells(table, columns["received_at"])))
        asks = f"Is the first number of '{cell}' the day or the month?"
        questions.append(Question("date", asks, ("day", "month")))
    facts["time_format"] = forms[0] if forms else ""
    words, asked = _services(table, columns, fixed, shop)
    questions += asked
    if "country" not in columns and "country" not in fixed:
        asks = "No column says the country. Which one is it for every order?"
        questions.append(Question("country", asks, (), shop.country))
    for ours in _NEEDED:
        if ours in {*columns, *fixed, "service", "country"} or (ours in ("part", "pieces") and guess.items):
            continue
        asks = f"Which column is the {_ASKED.get(ours, ours)}?"
        besides = (AT_IMPORT,) if ours == "received_at" else ()
        questions.append(Question(f"column {ours}", asks, (*table.header, *besides)))
    prices = [place for place, name in enumerate(table.header) if _is(name, columns.get("unit_price", ""))]
    sign, _, off = decimal_sign_of(table, prices)
    if off and not off[0].says.startswith("has decimal commas"):
        questions.append(Question("decimal", f"The file {off[0].says}. Which sign is the decimal one?", (".", ",")))
    proven = sign if not off and prices and _holds_sign(table, prices) else ""
    if "currency" not in columns and (said := _currency(table, prices, shop)):
        if said in _SEVERAL:
            asks = f"Which currency is '{said}'?"
            questions.append(Question("currency", asks, tuple(_SEVERAL[said])))
        else:
            fixed["currency"] = said
    mapping = OrderMapping.model_validate(
        {
            **facts,
            "columns": columns,
            "fixed": fixed,
            "decimal_sign": proven,
            "words": {"service": words} if words else {},
        }
    )
    return Proposal(mapping, tuple(questions), guess.left_alone)


_ASKED = {"received_at": "time of the order", "order": "order's number", "pieces": "number of pieces"}


def settled(proposal: Proposal, answers: Mapping[str, str]) -> OrderMapping:
    """The mapping with the answers.

    Raises:
        QuantityRefused: a question without an answer, or an answer that is none of its choices.
    """
    mapping = proposal.mapping
    for question in proposal.questions:
        said = answers.get(question.key, question.suggestion).strip()
        choices = {choice.casefold(): choice for choice in question.choices}
        if not said or (choices and said.casefold() not in choices):
            what = f"take the answer to '{question.asks}'"
            raise QuantityRefused(what, said, f"one of {', '.join(question.choices)}" if choices else "an answer")
        mapping = _with(mapping, question.key, choices.get(said.casefold(), said))
    return mapping


def _with(mapping: OrderMapping, key: str, said: str) -> OrderMapping:
    kind, _, what = key.partition(" ")
    if kind == "column" and said == AT_IMPORT:
        return revised(mapping, {"fixed": mapping.fixed | {what: said}})
    if kind == "column":
        return revised(mapping, {"columns": mapping.columns | {what: said}})
    if kind == "word":
        words = mapping.words.get("service", {}) | {what: said}
        return revised(mapping, {"words": mapping.words | {"service": words}})
    if kind == "date":
        form = mapping.time_format
        return revised(mapping, {"time_format": form if said == "day" else _month_first(form)})
    if kind == "decimal":
        return revised(mapping, {"decimal_sign": said})
    return revised(mapping, {"fixed": mapping.fixed | {kind: said}})


def _month_first(form: str) -> str:
    return form.replace("%d", "%x").replace("%m", "%d").replace("%x", "%m")


def _is(name: str, theirs: str) -> bool:
    return (bool(theirs) and re.sub(r"[0-9]+(?!.*[0-9])", "#", name).casefold() in (theirs.casefold(), "")) or (
        name.casefold() == theirs.casefold()
    )


def _cells(table: Table, name: str) -> list[str]:
    places = [place for place, header in enumerate(table.header) if header.casefold() == name.casefold()]
    return [cells[places[0]] for _, cells in table.rows if len(cells) > places[0]] if places else []


def _has_gaps(table: Table, columns: Mapping[str, str], layout: Layout) -> bool:
    """Rows below an order's first leave its number out."""
    if layout is not Layout.LINE or "order" not in columns or "part" not in columns:
        return False
    pairs = zip(_cells(table, columns["order"]), _cells(table, columns["part"]), strict=True)
    return any(part and not order for order, part in pairs)


def _services(
    table: Table, columns: dict[str, str], fixed: dict[str, str], shop: ShopWords
) -> tuple[dict[str, str], list[Question]]:
    """The shop's codes for the source's words, and a question for each word that isn't the shop's."""
    codes = tuple(sorted(shop.services))
    said = {code.casefold(): code for code in codes} | {name.casefold(): code for code, name in shop.services.items()}
    if "service" not in columns:
        if len(codes) == 1:
            fixed["service"] = codes[0]
            return {}, []
        asks = "No column says the service. Which one is it for every order?"
        return {}, [Question("service", asks, codes)]
    words, questions = {}, []
    for word in dict.fromkeys(tidy(cell) for cell in _cells(table, columns["service"]) if cell):
        if word in codes:
            continue
        if word.casefold() in said:
            words[word.casefold()] = said[word.casefold()]
        else:
            questions.append(Question(f"word {word.casefold()}", f"Which service is '{word}'?", codes))
    return words, questions


def _holds_sign(table: Table, places: list[int]) -> bool:
    return any("," in cells[place] or "." in cells[place] for _, cells in table.rows for place in places[:1])


def _currency(table: Table, prices: list[int], shop: ShopWords) -> str:
    """The currency beside the prices or above them, or a sign of several but the shop's; empty for the shop's own."""
    for place in prices[:1]:
        above = split_unit(table.header[place])[1]
        if currency_of(above):
            return currency_of(above)
        for _, cells in table.rows:
            said = currency_in(cells[place]).rstrip(".")
            if said in _SEVERAL:
                return shop.currency if shop.currency in _SEVERAL[said] else said
            if currency_of(said):
                return currency_of(said)
    return ""
