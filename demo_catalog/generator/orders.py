"""Five days of orders: the demo day and the four days after it.

A customer has a project (a clock, an automaton, a music box, repairs, a refill of screws), which says what kinds of
parts the order draws; within these, often ordered parts come up more often. An order has one line or several, one of
each day has forty; now and then a line asks for another finish of the part before it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from zoneinfo import ZoneInfo

from fulfil_demo_catalog.generator.catalogue import CataloguePart, parts
from fulfil_demo_catalog.generator.chance import Chance, Urn
from fulfil_demo_catalog.generator.equipment import EUROPE
from fulfil_demo_catalog.generator.far_towns import FAR_TOWNS
from fulfil_demo_catalog.generator.lands import LANDS
from fulfil_demo_catalog.generator.people import Customer, customers, of_land

COLUMNS = (
    "order", "received_at", "source", "name", "company", "street", "city", "post_code", "region", "country", "phone",
    "email", "service", "ship_complete", "note_picker", "note_packer", "currency", "line", "part", "pieces",
    "unit_price",
)  # fmt: skip

DEMO_DAY = date(2026, 3, 2)
WEEK = tuple(DEMO_DAY + timedelta(days=n) for n in range(1, 5))
ORDERS_A_DAY = 100
LINES_A_DAY = 600
LONGEST_ORDER = 40
ZONE = ZoneInfo("Europe/Luxembourg")

PIECES = {
    "single": ((1, 60), (2, 30), (3, 7), (4, 3)),
    "few": ((1, 30), (2, 30), (3, 15), (4, 15), (5, 10)),
    "some": ((2, 25), (4, 20), (5, 15), (6, 15), (10, 15), (12, 5), (20, 5)),
    "handful": ((5, 20), (8, 10), (10, 30), (12, 10), (20, 15), (25, 10), (50, 5)),
    "hundreds": ((10, 14), (20, 18), (25, 10), (30, 6), (50, 20), (100, 17), (150, 3), (200, 6), (250, 2), (500, 3),
                 (1000, 0.7), (1500, 0.3)),
}  # fmt: skip
"""Pieces of a line by the habit of the family, with their weights."""

PROJECTS: dict[str, dict[str, float]] = {
    "clock": {"clock": 6, "fasteners": 3, "workshop": 1, "automata": 0.3, "music": 0.2},
    "automaton": {"automata": 7, "fasteners": 3, "clock": 1, "workshop": 1, "music": 0.5},
    "music box": {"music": 40, "fasteners": 2, "clock": 0.5, "automata": 0.5, "workshop": 1},
    "repairs": {"clock": 3, "workshop": 3, "fasteners": 2, "automata": 1, "music": 1},
    "refill": {"fasteners": 8, "workshop": 1, "clock": 0.3, "automata": 0.3, "music": 0.1},
}
_PROJECT_WEIGHTS = (34, 22, 8, 18, 18)

RATES = {"EUR": Decimal(1), "USD": Decimal("1.10"), "GBP": Decimal("0.85"), "JPY": Decimal(160)}
"""Invented rates, fixed for the demo."""

_STEPS = {"JPY": Decimal(1)}
_NOTES_PICKER = (
    "one lot only, please",
    "undamaged heads, please: for show",
    "rather a few too late than a mix of lots",
)
_NOTES_PACKER = ("a gift: no prices in the parcel", "leave with the neighbour", "please pad well",
                 "write 'Werkstatt' on the label", "keep dry")  # fmt: skip


Coming = tuple[datetime, str, Customer, int]
"""When an order comes, through what, from whom, and how many lines it has."""


@dataclass(frozen=True)
class Line:
    """A part and how many pieces of it."""

    part: CataloguePart
    pieces: int


@dataclass(frozen=True)
class DemoOrder:
    """An order with its lines."""

    number: str
    received_at: datetime
    source: str
    customer: Customer
    service: str
    ship_complete: bool
    note_picker: str
    note_packer: str
    lines: tuple[Line, ...]

    def head(self) -> dict[str, str]:
        """What all lines of the order share, by column."""
        who = self.customer
        values = (
            self.number, self.received_at.isoformat(), self.source, who.name, who.company, who.street, who.city,
            who.post_code, who.region, who.land.code, who.phone, who.email, self.service,
            "yes" if self.ship_complete else "no", self.note_picker, self.note_packer, who.land.currency,
        )  # fmt: skip
        return dict(zip(COLUMNS, values, strict=False))

    def line_rows(self) -> Iterator[dict[str, str]]:
        """The columns of each line."""
        for number, line in enumerate(self.lines, start=1):
            price = unit_price(line.part.price_eur, self.customer.land.currency)
            values = (str(number), line.part.number, str(line.pieces), str(price))
            yield dict(zip(COLUMNS[-4:], values, strict=True))


def unit_price(price_eur: Decimal, currency: str) -> Decimal:
    """The price in another currency, rounded half up to its minor unit, at least one of them."""
    step = _STEPS.get(currency, Decimal("0.01"))
    return max(step, (price_eur * RATES[currency]).quantize(step, ROUND_HALF_UP))


@cache
def orders(day: date) -> tuple[DemoOrder, ...]:
    """The orders of a day in the order in which they came, from eight of the working day before."""
    chance = Chance(f"orders {day}")
    counts = _line_counts(chance)
    buyers = _buyers(day, chance)
    came = list(zip(_times(day, chance), ["web"] * ORDERS_A_DAY, buyers, counts, strict=True))
    if day == DEMO_DAY:
        came = _reached(_told(came))
    made: list[DemoOrder] = []
    for at, source, buyer, count in came:
        serial = 1 + sum((order.source == "web") == (source == "web") for order in made)
        number = f"{day:%y%m%d}-{serial:03d}" if source == "web" else f"{day:%y%m%d}-P{serial}"
        # Nobody telephones before seven: the three come shortly before the day begins.
        heard = at if source == "web" else datetime.combine(day, time(7, 10 * serial + 15), ZONE)
        # Who orders from a far town takes the place of a customer as far away, so nothing else of the order changes.
        who = FAR_TOWNS.get(buyer.email, buyer) if day == DEMO_DAY else buyer
        made.append(_order(number, heard, source, who, count, chance))
    return tuple(sorted(made, key=lambda order: order.received_at))


def _told(came: list[Coming]) -> list[Coming]:
    """Three short orders of the demo day come by telephone and post in the morning instead."""
    for source, code, hour in (("phone", "GB", 5), ("post", "PL", 6), ("phone", "DE", 7)):
        at = datetime.combine(DEMO_DAY, time(hour, 20), ZONE)
        index = next(
            index
            for index, (_, through, buyer, count) in enumerate(came)
            if through == "web" and buyer.land.code == code and count <= 6
        )
        came[index] = (at, source, *came[index][2:])
    return sorted(came, key=lambda coming: coming[0])


def _reached(came: list[Coming]) -> list[Coming]:
    """The day's last order from the United States comes from New Zealand instead.

    The first one from there has a flammable part and waits for its review; with a second one packages of the day go to
    all fifty countries. Both lands are outside Europe and pay in dollars, so nothing else of the order changes.
    """
    index = max(index for index, (_, _, buyer, _) in enumerate(came) if buyer.land.code == "US")
    known = {buyer.email for _, _, buyer, _ in came}
    at, source, _, count = came[index]
    came[index] = (at, source, next(buyer for buyer in of_land("NZ") if buyer.email not in known), count)
    return came


def _line_counts(chance: Chance) -> list[int]:
    """Lines of each order: skewed, a few single ones, one of forty, and the day's sum of 600."""
    counts = [1 if chance.happens(0.08) else min(18, 2 + int(3.6 * chance.lognormal(0.8))) for _ in range(ORDERS_A_DAY)]
    longest = chance.below(ORDERS_A_DAY)
    counts[longest] = LONGEST_ORDER
    while sum(counts) != LINES_A_DAY:
        which = chance.below(ORDERS_A_DAY)
        step = 1 if sum(counts) < LINES_A_DAY else -1
        if which != longest and counts[which] > 1 and 2 <= counts[which] + step <= 20:
            counts[which] += step
    return counts


def _buyers(day: date, chance: Chance) -> list[Customer]:
    """A hundred customers; on the demo day each of the fifty countries comes up."""
    must = [chance.pick(list(of_land(land.code))) for land in LANDS] if day == DEMO_DAY else []
    urn = Urn(customers(), [1.0] * len(customers()))
    buyers = [*must, *(urn.draw(chance) for _ in range(ORDERS_A_DAY - len(must)))]
    keys = [chance.share() for _ in buyers]
    return [buyer for _, _, buyer in sorted(zip(keys, range(len(buyers)), buyers, strict=True))]


def _times(day: date, chance: Chance) -> list[datetime]:
    """Seconds between eight of the working day before and eight of the day, hardly any after seven in the evening."""
    before = day - timedelta(days=3 if day.weekday() == 0 else 1)
    start = datetime(before.year, before.month, before.day, 8, tzinfo=ZONE)
    span_s = int((datetime(day.year, day.month, day.day, 8, tzinfo=ZONE) - start).total_seconds())
    times: list[datetime] = []
    while len(times) < ORDERS_A_DAY:
        at = start + timedelta(seconds=chance.below(span_s))
        if 3 <= at.hour < 19 or chance.happens(0.1):
            times.append(at)
    return sorted(times)


def _order(number: str, at: datetime, source: str, buyer: Customer, count: int, chance: Chance) -> DemoOrder:
    project = Urn(tuple(PROJECTS), _PROJECT_WEIGHTS).draw(chance)
    lines = tuple(_lines(project, count, chance))
    return DemoOrder(
        number, at, source, buyer, _service(buyer, lines, chance), chance.happens(0.15),
        chance.pick(_NOTES_PICKER) if chance.happens(0.06) else "",
        chance.pick(_NOTES_PACKER) if chance.happens(0.1) else "",
        lines,
    )  # fmt: skip


@cache
def _urn(project: str) -> Urn[CataloguePart]:
    topics = PROJECTS[project]
    return Urn(parts(), [part.popularity * topics[part.item.kind.topic] for part in parts()])


@cache
def _other_finishes() -> dict[str, tuple[CataloguePart, ...]]:
    stems: dict[str, list[CataloguePart]] = {}
    for part in parts():
        stems.setdefault(part.item.stem, []).append(part)
    return {stem: tuple(members) for stem, members in stems.items()}


def _lines(project: str, count: int, chance: Chance) -> Iterator[Line]:
    taken: set[str] = set()
    last: CataloguePart | None = None
    while len(taken) < count:
        part = _urn(project).draw(chance)
        if last is not None and chance.happens(0.05):
            part = chance.pick(_other_finishes()[last.item.stem])
        if part.number not in taken:
            taken.add(part.number)
            last = part
            habit = PIECES[part.item.kind.habit]
            yield Line(part, Urn([pieces for pieces, _ in habit], [weight for _, weight in habit]).draw(chance))


def _service(buyer: Customer, lines: tuple[Line, ...], chance: Chance) -> str:
    """What the web shop would let the customer choose, by weight and longest side; hazards it doesn't look at."""
    weight_g = sum(line.part.item.weight_g * line.pieces for line in lines)
    longest_mm = max(line.part.item.longest_mm for line in lines)
    in_europe = buyer.land.code in EUROPE.split()
    if weight_g < 1500 and longest_mm < 500 and chance.happens(0.4 if in_europe else 0.55):
        return "SUND"
    return "COG" if in_europe and chance.happens(0.7) else "PEND"
