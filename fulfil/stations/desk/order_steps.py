"""What is done to one order at the desk: what customs are told of it, and its sealed packages opened again.

Each is the step that its command calls: ``fulfil customs particulars``, ``fulfil customs rate``, ``fulfil packages
reopen``. What is noted of an order and of its lines is noted together or not at all.
"""

from collections.abc import Mapping
from datetime import date

from fulfil.despatch.abroad.customs import category_of, enter_sdr_rate, note_particulars_within
from fulfil.despatch.pack import reopen_package
from fulfil.errors import QuantityRefused, StateRefused
from fulfil.quantities import parse_decimal
from fulfil.records.despatch.customs import CustomsParticulars, SdrRateEntry
from fulfil.records.order import OrderLine
from fulfil.standards import iso4217
from fulfil.standards.cn22 import SdrRate
from fulfil.stations.desk.lines import Step
from fulfil.stations.visit import Visit
from fulfil.store.books import Books
from fulfil.store.shop import Shop

TOLD = ("importer_reference", "sender_reference", "comment")
"""What customs are told of an order besides its category."""


def order_steps(visit: Visit) -> dict[str, Step]:
    """The steps of an order's buttons, by their verbs."""
    assert visit.worker is not None  # noqa: S101
    at, person, form = visit.at, visit.worker.name, visit.form

    def reopen(shop: Shop, package: str) -> tuple[str, ...]:
        done = reopen_package(shop, package, form.get("reason", ""), at=at, person=person)
        return (f"Package {done.number} is open again: the packing bench checks its bags and weighs it anew.",)

    def particulars(shop: Shop, order: str) -> tuple[str, ...]:
        with shop.writing() as books:
            news = _news(books, order, form)
            if not news:
                raise StateRefused("note for customs", order, "something that is not noted yet")
            for line_no, said in sorted(news.items()):
                note_particulars_within(books, order, line_no, said, at=at, person=person)
        words = [f"{name.replace('_', ' ')} {value or 'none'}" for name, value in news.get(0, {}).items()]
        words += [f"line {line} {said['category'] or 'as the order'}" for line, said in sorted(news.items()) if line]
        return (f"Noted for customs of order {order}: {'; '.join(words)}.",)

    def rate(shop: Shop, currency: str) -> tuple[str, ...]:
        per_sdr, said, code = form.get("per_sdr", "").strip(), form.get("as_of", ""), iso4217.parse(currency)
        try:
            as_of = date.fromisoformat(said)
        except ValueError as trouble:
            raise QuantityRefused("read the day of the rate", said, "a day such as 2026-03-02") from trouble
        SdrRate(code, parse_decimal(per_sdr, "an SDR rate"), as_of)
        entry = SdrRateEntry(currency=code, as_of=as_of, per_sdr=per_sdr, source=form.get("source", ""))
        enter_sdr_rate(shop, entry, at=at, person=person)
        return (f"1 SDR = {code} {per_sdr} on {as_of}.",)

    return {"reopen": reopen, "particulars": particulars, "rate": rate}


def _news(books: Books, order: str, form: Mapping[str, str]) -> dict[int, dict[str, str]]:
    """What the form says that isn't noted yet, for the order (line 0) and for its lines."""
    kept = {one.line_no: one for one in books.find(CustomsParticulars, order_number=order)}
    whole = kept.get(0)
    said = {name: " ".join(form[name].split()) for name in ("category", *TOLD) if name in form}
    was = {name: "" if whole is None else getattr(whole, name) for name in said}
    was["category"] = category_of(whole)
    news = {0: {name: value for name, value in said.items() if value != was[name]}}
    for line in books.find(OrderLine, order_number=order):
        category = form.get(f"category-{line.line_no}", "")
        before = kept.get(line.line_no)
        if category != ("" if before is None else before.category):
            news[line.line_no] = {"category": category}
    return {line: said for line, said in news.items() if said}
