"""The questions of a keyed order, in the order of a telephone call: who, where to, by what, which parts, what besides.

A customer whom the shop has sent to before is offered the last address. A post code or region that the country doesn't
know is asked for twice, never refused: real addresses break rules. Each line is said back with its price, what is free
of the part, and the running total; the whole order is read back before it is stored, and any answer can be changed
there. How answers are kept and asked again is :mod:`fulfil.shop.conversation`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any

from fulfil.errors import QuantityRefused
from fulfil.files.columns import yes_or_no
from fulfil.orders.keying import answers
from fulfil.orders.keying.part_search import MOST_OFFERED, PartFound, find_part, folded, search_parts
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order
from fulfil.records.settings import Settings
from fulfil.shipping.address import address_lines
from fulfil.shipping.address_check import address_fields, address_warnings
from fulfil.shop.conversation import Question, Script
from fulfil.standards import iso3166
from fulfil.standards.iso4217 import print_money
from fulfil.store.shop import Shop

TAKE = "take it in"
"""The last question's key."""
ADDRESS = ("company", "country", "street", "post code", "city", "region")
FIELDS = ("name", *ADDRESS, "phone", "email", "service", "note for the picker", "note for the packer", "only complete")
"""The questions but for the lines (``part 1``, ``pieces 1``, ``part 2`` …)."""
_RECORD = {"post code": "post_code", "note for the picker": "note_picker", "note for the packer": "note_packer"}
_RECORD |= {"service": "service_code", "only complete": "ship_complete"}


_UNREAD = object()
"""Stands for a part that was not found, where all faults are wanted at once."""


@dataclass(frozen=True)
class KeyedLine:
    """One line as it was keyed: its number among the answers, a part, its pieces."""

    no: int
    found: PartFound
    pieces: int

    @property
    def sum_minor(self) -> int:
        """Pieces at the part's price."""
        return self.pieces * self.found.part.price_minor


@dataclass
class Keyed:
    """What was answered: fields of the order by their names in the record, and its lines."""

    values: dict[str, Any] = field(default_factory=dict)
    lines: list[KeyedLine] = field(default_factory=list)

    @property
    def total_minor(self) -> int:
        """The sum of the lines."""
        return sum(line.sum_minor for line in self.lines)


class KeyingDesk:
    """What the shop knows while an order is keyed."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        with shop.reading() as books:
            self.settings: Settings = books.settings()
            self.services = {one.code: one for one in books.find(Service, is_retired=False)}

    def find_part(self, said: str) -> PartFound:
        """The part that is meant, in the shop's currency."""
        with self._shop.reading() as books:
            found = find_part(books, said)
        if found.part.currency != self.settings.currency:
            expected = f"a part with a price in {self.settings.currency}; this one's is in {found.part.currency}"
            raise QuantityRefused("sell the part", found.part.number, expected)
        return found

    def offers(self, said: str) -> tuple[str, ...]:
        """Parts to choose from."""
        with self._shop.reading() as books:
            found = search_parts(books, said) if said else []
        more = (f"… and {len(found) - MOST_OFFERED} more: say more words",) if len(found) > MOST_OFFERED else ()
        return (*(one.line() for one in found[:MOST_OFFERED]), *more)

    def last_order_of(self, name: str) -> Order | None:
        """The newest order of somebody of this name."""
        wanted = folded(name)
        with self._shop.reading() as books:
            names = books.fields(Order, ("number", "name"))
            theirs = books.find(Order, number=[number for number, called in names if folded(called) == wanted])
        return max(theirs, key=_received, default=None)

    def script(self, given: dict[str, str] | None = None) -> Script[Keyed]:
        """The questions; ``given`` are answers that make a question needless where it would only be offered."""
        keyed = Keyed()
        values = keyed.values
        values["name"] = yield Question("name", "Who gets it?", partial(answers.something, "name"))
        before = None if given and "street" in given else self.last_order_of(values["name"])
        is_same = False
        if before is not None:
            is_same = yield Question(
                "same address", f"Order {before.number} went there. Send it there again?", yes_or_no, "yes",
                shows=_label(before.model_dump()),
            )  # fmt: skip
        if is_same and before is not None:
            values |= {_RECORD.get(name, name): getattr(before, _RECORD.get(name, name)) for name in ADDRESS}
        else:
            yield from self._address(values)
        phone, mail = (before.phone, before.email) if is_same and before is not None else ("", "")
        values["phone"] = yield Question(
            "phone", "Telephone?", partial(answers.text, "telephone number"), phone, doubts=answers.doubt_phone
        )
        values["email"] = yield Question("email", "E-mail?", answers.email, mail)
        able = [one for one in self.services.values() if one.reaches(values["country"])]
        values["service_code"] = yield Question(
            "service", "Which service?", lambda said: answers.service(self.services, said, values["country"]),
            able[0].code if len(able) == 1 else None,
            shows=tuple(f"{one.code}  {one.name}, ready by {one.cut_off:%H:%M}" for one in able),
            stand_in="",
        )  # fmt: skip
        yield from self._lines(keyed)
        for who in ("picker", "packer"):
            key = f"note for the {who}"
            values[f"note_{who}"] = yield Question(key, f"A note for the {who}?", partial(answers.text, key), "")
        asks = "Send it only when nothing is short?"
        values["ship_complete"] = yield Question("only complete", asks, yes_or_no, "no", stand_in=False)
        asks = "Enter takes it in; or say what to change: name, street, phone, line 2 …"
        yield Question(TAKE, asks, _taken, "yes", shows=tuple(self._read_back(keyed)), is_kept=False)
        return keyed

    def _address(self, values: dict[str, Any]) -> Script[None]:
        values["company"] = yield Question("company", "Company?", partial(answers.text, "company"), "")
        home = self.settings.country
        is_known = home in iso3166.codes()
        values["country"] = yield Question(
            "country", "Which country?", answers.country, home if is_known else None,
            stand_in=home if is_known else "LU",
        )  # fmt: skip
        country = values["country"]
        asked = address_fields(country)
        values["street"] = yield Question("street", "Street and house number?", partial(answers.something, "street"))
        values["post_code"] = values["region"] = ""
        if asked.has_post_code:
            example = f" (such as {asked.post_code_example})" if asked.post_code_example else ""
            values["post_code"] = yield Question(
                "post code", f"Post code{example}?", partial(answers.text, "post code"), "",
                doubts=lambda said: answers.doubt("post_code", country=country, post_code=said),
            )  # fmt: skip
        values["city"] = yield Question("city", "Town?", partial(answers.something, "town"))
        if asked.region_word:
            values["region"] = yield Question(
                "region", f"{asked.region_word.capitalize()}?",
                lambda said: asked.region(answers.text(asked.region_word, said)), "",
                doubts=lambda said: answers.doubt("region", country=country, region=said),
            )  # fmt: skip

    def _lines(self, keyed: Keyed) -> Script[None]:
        line_no, is_unread = 0, False
        while True:
            line_no += 1
            needed = "" if is_unread or any(line.pieces for line in keyed.lines) else None
            asks = f"Line {line_no}, part (number, or words of it)"
            asks += "?" if needed is None else "; Enter when there are no more?"
            found = yield Question(
                f"part {line_no}", asks, lambda said: self.find_part(said) if said else None, needed,
                shows=tuple(self._said_back(keyed)), offers=self.offers, stand_in=_UNREAD,
            )  # fmt: skip
            if found is None:
                break
            shows = () if found is _UNREAD else (found.line(),)
            pieces = yield Question(
                f"pieces {line_no}", "How many? (0 takes the line out)", answers.pieces, shows=shows, stand_in=1
            )
            is_unread = is_unread or found is _UNREAD
            if found is not _UNREAD:
                keyed.lines.append(KeyedLine(line_no, found, pieces))
        keyed.lines = [line for line in keyed.lines if line.pieces]

    def _said_back(self, keyed: Keyed) -> Iterator[str]:
        if keyed.lines and keyed.lines[-1].pieces:
            line = keyed.lines[-1]
            short = max(0, line.pieces - line.found.free)
            yield self._line(line) + (f"; {short} short today" if short else "")
            yield f"together {print_money(keyed.total_minor, self.settings.currency)}"

    def _line(self, line: KeyedLine) -> str:
        part, currency = line.found.part, self.settings.currency
        return (
            f"{line.pieces} x {part.number}, {part.description}: {print_money(part.price_minor, currency)} a piece, "
            f"{print_money(line.sum_minor, currency)}"
        )

    def _read_back(self, keyed: Keyed) -> Iterator[str]:
        values = keyed.values
        if not values["country"] or not values["service_code"]:
            return
        yield from _label(values)
        for what, name in (("Telephone", "phone"), ("E-mail", "email")):
            if values[name]:
                yield f"{what} {values[name]}"
        complete = ", only when nothing is short" if values["ship_complete"] else ""
        yield f"By {values['service_code']}, {self.services[values['service_code']].name}{complete}"
        for line in keyed.lines:
            yield f"line {line.no}: {self._line(line)}"
        yield f"together {print_money(keyed.total_minor, self.settings.currency)}"
        for who in ("picker", "packer"):
            if values[f"note_{who}"]:
                yield f"Note for the {who}: {values[f'note_{who}']}"
        place = {name: values[name] for name in ("street", "city", "country", "post_code", "region")}
        for one in address_warnings(**place, phone=values["phone"], subject="order"):
            yield f"Look at the address: {one.field} '{one.value}' {one.says}"


def _label(values: dict[str, Any]) -> tuple[str, ...]:
    fields = ("name", "company", "street", "city", "country", "post_code", "region")
    return address_lines(**{name: str(values[name]) for name in fields})


def _received(order: Order) -> tuple[datetime, str]:
    return order.received_at, order.number


def _taken(said: str) -> None:
    try:
        is_yes = yes_or_no(said)
    except QuantityRefused:
        is_yes = False
    if not is_yes:
        expected = "yes, or one to change: " + ", ".join([*FIELDS, "line 1"])
        raise QuantityRefused("take the order in with the answer", said, expected)
