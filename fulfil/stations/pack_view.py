"""What the packing bench's page shows: the box, the bags that are missing, the weight to expect, the verdict."""

from dataclasses import dataclass, field
from decimal import Decimal

from markupsafe import Markup

from fulfil.bench.pack_station import PackBench
from fulfil.bench.pack_words import ASIDE, LACKS
from fulfil.checking.entry import EntryKind, read_entry
from fulfil.checking.packing import PackageFacts
from fulfil.checking.saying import Say, Sound
from fulfil.orders.listed import recent_walks
from fulfil.records.despatch.dispatch import PackageState
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag
from fulfil.stations import svg
from fulfil.stations.check_view import Choice, Shown
from fulfil.store.books import Books


@dataclass(frozen=True)
class PackView:
    """The page; ``next`` is the one thing to do now."""

    package: PackageFacts | None
    shown: Shown | None
    next: str
    box: Markup
    gauge: Markup
    choices: tuple[Choice, ...]
    order_number: str
    can_undo: bool
    can_reopen: bool
    sound: str
    missing: int = field(default=0)


def pack_view(books: Books, bench: PackBench, say: Say, weighed: tuple[PackageFacts, str] | None) -> PackView:
    """The page of a bench after what it said last; ``weighed`` is the package before the last line, and that line."""
    state = bench.state
    package = state.package
    missing = 0 if package is None else len(package.missing)
    return PackView(
        package=package,
        shown=_shown(say, package, weighed),
        next=_next(package, state.sealed_number, say),
        box=Markup() if package is None else _box(books, package),
        gauge=Markup()
        if package is None or missing
        else svg.gauge(package.lower_g, package.expected_g, package.upper_g, None),
        choices=() if package is not None else _choices(books),
        order_number=state.order_number,
        can_undo=bool(state.last_bag_code),
        can_reopen=bool(state.sealed_number),
        sound=say.sound.value,
        missing=missing,
    )


def _next(package: PackageFacts | None, sealed: str, say: Say) -> str:
    if sealed:
        return f"Package {sealed} is sealed. To open it again, say why."
    if package is None:
        return "Scan a checked order, one of its bags or its cart position."
    if missing := package.missing:
        if not missing[1:]:
            return f"Put the last bag in, {missing[0]}: scan it."
        return f"Put these {len(missing)} bags in, heaviest first; scan each. Next: {missing[0]}."
    if package.state is PackageState.STOP and package.findings and (say.big != "STOP" or ASIDE in say.lines):
        return f"Put it aside for its review. Once that is recorded, weigh it again on scale {package.scale_code}."
    if package.state is PackageState.STOP:
        return f"Put right what stopped it, close it, put it on scale {package.scale_code} and key what it shows."
    return f"All bags are in: fill up, close the box, put it on scale {package.scale_code} and key what it shows."


def _shown(say: Say, package: PackageFacts | None, weighed: tuple[PackageFacts, str] | None) -> Shown | None:
    if say.big:
        drawn = Markup()
        if weighed is not None:
            before, line = weighed
            entry = read_entry(line)
            if entry.kind in (EntryKind.MASS, EntryKind.NUMBER):
                drawn = svg.gauge(before.lower_g, before.expected_g, before.upper_g, _digits(entry.number, before))
        kind, do = say.big.lower(), _to_do(say)
        others = tuple(line for line in say.lines if line != do)
        return Shown(kind, say.big, say.headline, do, others, drawn, svg.sign(kind))
    if say.sound is Sound.REFUSED:
        return Shown("refused", "NOT TAKEN", say.headline, " ".join(say.lines), shape=svg.sign("refused"))
    is_said = package is not None and say.headline.startswith("Package ")
    if not say.headline or is_said or say.headline.startswith("This is bench "):
        return None
    lines = () if package is not None else say.lines
    return Shown("none", "", say.headline, "", lines, shape=svg.sign("none"))


def _to_do(say: Say) -> str:
    """The one thing to do after a verdict: of a sealed package its missing paper before its label."""
    beginnings = (LACKS, "Next: ", "Order ") if say.big == "SEALED" else ()
    for begins in beginnings:
        if found := [line for line in say.lines if line.startswith(begins)]:
            return found[0]
    return say.lines[-1] if say.lines else ""


def _digits(mass_g: Decimal, package: PackageFacts) -> Decimal:
    return mass_g.quantize(package.lower_g) if mass_g == mass_g.quantize(package.lower_g) else mass_g


def _box(books: Books, package: PackageFacts) -> Markup:
    box = books.get(BoxType, package.box_type)
    return Markup() if box is None else svg.box(package.box_type, box.length_mm, box.width_mm, box.height_mm)


def _choices(books: Books) -> tuple[Choice, ...]:
    """Checked orders that wait for their box, in the order of the carts."""
    orders = {order.number for order in books.find(Order, state=OrderState.CHECKED)}
    walks = {walk.number for walk in recent_walks(books)}
    places = {
        (walk, position, order)
        for walk, position, order in books.fields(
            Bag, ("walk_number", "cart_position", "order_number"), order_number=sorted(orders)
        )
        if walk in walks
    } if orders else set()  # fmt: skip
    return tuple(
        Choice(order, f"Order {order}: position {position} of {walk}") for walk, position, order in sorted(places)
    )
