"""Goods that a service refuses, said when the order comes in and not two days later at the packing bench.

>>> from fulfil.records.tiny import PART, SERVICE
>>> from fulfil.records.revised import revised
>>> can = revised(PART, {"hazards": "flammable"})
>>> order = Order(number="A-1", source="web", received_at="2026-03-02T08:00:00Z", name="Invented Person", street="1",
...     city="Sampleton", country="NA", service_code="post", currency="EUR")
>>> print(refused_goods(order, [can], [SERVICE])[0].says)
no service takes flammable goods to NA

Nothing here clears goods: a service that doesn't refuse them takes them only after a trained person's review.
"""

from collections.abc import Iterable, Mapping, Sequence

from fulfil.records.despatch.service import Service
from fulfil.records.finding import Finding
from fulfil.records.kit import KitPart
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.store.books import Books


def refused_goods(order: Order, parts: Iterable[Part], services: Sequence[Service]) -> list[Finding]:
    """Each part that the order's service refuses, by number, with the services that don't; none of a retired service.

    What a service takes says :func:`fulfil.shipping.limits.limits_broken` for the package; here its words are compared.
    """
    found = []
    in_use = sorted((one for one in services if not one.is_retired), key=lambda one: one.code)
    chosen = next((one for one in services if one.code == order.service_code), None)
    for part in sorted(parts, key=lambda one: one.number):
        words = part.transport_words
        refused = _refused(chosen, words)
        if not words or chosen is None or not refused:
            continue
        able = [one.code for one in in_use if one.reaches(order.country) and not _refused(one, words)]
        named = " and ".join(refused)
        says, do = (
            f"service {order.service_code} refuses {named} goods",
            f"ask the customer: {', '.join(able)} may take it",
        )
        do += " after a trained person's review"
        if not able:
            says = f"no service takes {named} goods to {order.country}"
            do = f"hold it (fulfil orders hold {order.number}) and ask the person trained for dangerous goods"
        found.append(Finding(f"order {order.number}", None, "part", part.number, says, do))
    return found


def refused_of(books: Books, numbers: Sequence[str]) -> list[Finding]:
    """What is refused of these orders, in their order."""
    orders = {one.number: one for one in books.find(Order, number=sorted({*numbers}))}
    asked: dict[str, set[str]] = {number: set() for number in orders}
    for line in books.find(OrderLine, order_number=sorted(orders)):
        asked[line.order_number].add(line.part_number)
    wanted = sorted({part for parts in asked.values() for part in parts})
    kits = _parts_of_kits(books, wanted)
    parts = {
        one.number: one for one in books.find(Part, number=sorted({*wanted, *(p for k in kits.values() for p in k)}))
    }
    services = books.find(Service)
    found = []
    for number in dict.fromkeys(numbers):
        if number in orders:
            inside = {each for part in asked[number] for each in (part, *kits.get(part, ()))}
            found += refused_goods(orders[number], [parts[each] for each in inside], services)
    return found


def _parts_of_kits(books: Books, numbers: Sequence[str]) -> Mapping[str, tuple[str, ...]]:
    """The parts of those of these numbers that are kits."""
    kits: dict[str, tuple[str, ...]] = {}
    for one in books.find(KitPart, kit_number=[*numbers]):
        kits[one.kit_number] = (*kits.get(one.kit_number, ()), one.part_number)
    return kits


def _refused(service: Service | None, words: Iterable[str]) -> list[str]:
    return [] if service is None else [word for word in words if word in service.refuses.split()]
