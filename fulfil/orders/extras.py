"""What comes with orders in a file and is none: charges, cancellations and returns, country names, kept mappings."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import Refusal, UnknownRefused
from fulfil.files.orders_given import ChargeGiven, OrdersRead, ReturnGiven
from fulfil.files.reading import FileReading
from fulfil.records.despatch.goods_back import ReturnKind, ReturnNotice
from fulfil.records.happening import Happening
from fulfil.records.order_charge import OrderCharge
from fulfil.records.order_mapping import CountryName, KeptMapping, OrderMapping
from fulfil.records.part import Part
from fulfil.records.text import tidy
from fulfil.standards import iso3166, iso4217
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Extras:
    """New charges and new notices, ready to be written; ``known`` counts those that the shop has already."""

    charges: tuple[OrderCharge, ...]
    notices: tuple[ReturnNotice, ...]
    known: int


class PartNumbers:
    """The shop's part numbers, found in letters of either case."""

    def __init__(self, books: Books) -> None:
        self._numbers: dict[str, str] | None = None
        self._books = books

    def find(self, number: str) -> str:
        """The number as the shop writes it; the same text where it has none, or two that differ in case only."""
        if self._numbers is None:
            self._numbers = {}
            for part in self._books.find(Part):
                folded = part.number.casefold()
                self._numbers[folded] = "" if folded in self._numbers else part.number
        return self._numbers.get(number.casefold()) or number


def extras_of(books: Books, read: OrdersRead, currencies: dict[str, str], numbers: PartNumbers) -> Extras:
    """The charges and notices of a file that the shop hasn't yet; ``currencies`` are those of the file's orders."""
    currency = books.settings().currency
    charges = _charges(books, read.charges, currencies, currency, read.file)
    notices = _notices(books, read.returns, currency, read.file, numbers)
    return Extras(charges, notices, len(read.charges) + len(read.returns) - len(charges) - len(notices))


def _charges(
    books: Books, given: Sequence[ChargeGiven], currencies: dict[str, str], default: str, file: FileReading
) -> tuple[OrderCharge, ...]:
    numbers = sorted({one.order_number for one in given})
    known = {one.order_number for one in books.find(OrderCharge, order_number=numbers)}
    count: dict[str, int] = defaultdict(int)
    made = []
    for one in given:
        if one.order_number in known:
            continue
        currency = currencies.get(one.order_number, default)
        amount = _minor(one.unit_price * one.pieces, currency, one, file)
        if amount is not None:
            count[one.order_number] += 1
            charge = OrderCharge(
                order_number=one.order_number,
                charge_no=count[one.order_number],
                code=one.code,
                pieces=one.pieces,
                amount_minor=amount,
                currency=currency,
            )
            made.append(charge)
    return tuple(made)


def _notices(
    books: Books, given: Sequence[ReturnGiven], currency: str, file: FileReading, numbers: PartNumbers
) -> tuple[ReturnNotice, ...]:
    known = {
        (one.number, one.line_no): one for one in books.find(ReturnNotice, number=sorted({one.number for one in given}))
    }
    made = []
    for one in given:
        said = one.values.get("currency", currency)
        amount = _minor(one.unit_price * one.pieces, said, one, file)
        if amount is None:
            continue
        notice = ReturnNotice(
            number=one.number,
            line_no=one.line_no,
            kind=ReturnKind.CORRECTION if one.is_correction else ReturnKind.RETURN,
            part_number=numbers.find(one.part_number),
            pieces=one.pieces,
            name=one.values["name"],
            country=one.values["country"],
            received_at=one.values["received_at"],
            amount_minor=amount,
        )
        before = known.get((one.number, one.line_no))
        if before is None:
            made.append(notice)
        elif (before.part_number, before.pieces) != (notice.part_number, notice.pieces):
            says = f"was received before as {before.pieces} of {before.part_number}"
            file.find(one.row, "pieces", says, "ask the customer, then book it by hand")
    return tuple(made)


def _minor(amount: object, currency: str, one: ChargeGiven | ReturnGiven, file: FileReading) -> int | None:
    try:
        return iso4217.to_minor(amount, currency)  # type: ignore[arg-type]
    except Refusal as refusal:
        file.find(one.row, "unit_price", f"expected {refusal.expected} in {currency}")
        return None


def keep_mapping(shop: Shop, mapping: OrderMapping, *, at: datetime, person: str) -> None:
    """Remembers how a source's files are read."""
    with shop.writing() as books:
        books.replace([KeptMapping(source=mapping.source, mapping_json=mapping.to_json(), at=at, person=person)])
        books.journal(at=at, person=person, event=Happening.MAPPING_KEPT, subject=mapping.source)


def kept_mapping(books: Books, source: str) -> OrderMapping:
    """The mapping of a source.

    Raises:
        UnknownRefused: the shop keeps none.
    """
    kept = books.get(KeptMapping, source)
    if kept is None:
        known = ", ".join(one.source for one in books.find(KeptMapping)) or "none yet"
        raise UnknownRefused("read orders from", source, f"a source with a mapping ({known}); fulfil orders map")
    return OrderMapping.from_json(kept.mapping_json)


def explain_country(shop: Shop, said: str, code: str, *, at: datetime, person: str) -> CountryName:
    """Remembers which country a name means, for every file to come.

    Raises:
        CodeRefused: ``code`` is no country.
    """
    name = CountryName(said=tidy(said).casefold(), country=iso3166.validate(code.strip().upper()), at=at, person=person)
    with shop.writing() as books:
        books.replace([name])
        # People write countries in any script, and a journal's subject has none but ASCII.
        particulars = {"country": name.country, "said": tidy(said)}
        books.journal(
            at=at, person=person, event=Happening.COUNTRY_EXPLAINED, subject=name.country, particulars=particulars
        )
    return name


def explained_countries(books: Books) -> dict[str, str]:
    """All names that people have explained, case-folded."""
    return {one.said: one.country for one in books.find(CountryName)}
