"""Recount slips on paper: what the scale saw, what is likely, which bin to visit and what to do there."""

from collections.abc import Sequence

from fulfil.checking.bag import CHECKS_BEFORE_STOP
from fulfil.checking.legal_floor import legal_floor
from fulfil.errors import StateRefused
from fulfil.orders.recounts import open_recounts
from fulfil.papers.bench.recount_slip import RecountSlipSheet
from fulfil.papers.repeated import part_words
from fulfil.quantities import as_shown
from fulfil.records.bench import Recount, SentBackFor
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import Bag, CountMethod
from fulfil.shop.asking import ByNumber
from fulfil.shop.clock import local_day
from fulfil.store.books import Books


def recount_sheets(books: Books, numbers: Sequence[str]) -> list[RecountSlipSheet]:
    """The slips of these numbers; no numbers mean all open ones.

    Raises:
        UnknownRefused: when there is no such slip.
        StateRefused: when no slip is open.
    """
    slips = [books.need(Recount, number) for number in numbers] or open_recounts(books)
    if not slips:
        raise StateRefused("print slips of", "all bags", "a bag that was sent back and hasn't passed yet")
    return [recount_sheet(books, slip) for slip in slips]


def recount_sheet(books: Books, slip: Recount) -> RecountSlipSheet:
    """What a slip says."""
    bag, part = books.need(Bag, slip.bag_code), books.need(Part, slip.part_number)
    window = ""
    scale = books.get(ScaleRecord, bag.scale_code) if bag.scale_code else None
    if scale is not None and bag.lower_g is not None and bag.upper_g is not None:
        lower_g, upper_g = as_shown(bag.lower_g, scale.d_g), as_shown(bag.upper_g, scale.d_g)
        is_said = str(lower_g) in slip.reason and str(upper_g) in slip.reason
        must = "Weighed" if is_said else f"Must show {lower_g} – {upper_g} g"
        how = "with the bag"
        if bag.method.is_net:
            how = "without the bag: tare first"
        if bag.method is CountMethod.POUR:
            must, how = f"Each {bag.pour_pieces} must show {lower_g} – {upper_g} g", "tared before each"
        window = f"{must} on {scale.code}, {how}."
    counted = bag.pieces + slip.pieces_off if slip.pieces_off else None
    is_about_count = slip.sent_back_for in (SentBackFor.WEIGHT, SentBackFor.COUNT)
    settings = books.settings()
    return RecountSlipSheet(
        slip_number=slip.number,
        bag_code=slip.bag_code,
        bin_code=slip.bin_code,
        order_number=slip.order_number,
        walk_number=slip.walk_number,
        cart_position=bag.cart_position,
        **part_words(part),
        pieces=bag.pieces,
        window=window,
        saw=slip.reason,
        likely=slip.causes,
        steps=_steps(slip, bag),
        which=slip.which,
        most=CHECKS_BEFORE_STOP,
        legal_floor=legal_floor(bag.pieces, counted) if is_about_count else "",
        cautions=tuple(word.upper() for word in part.hazard_words),
        notice=settings.notice,
        day=local_day(slip.at, settings),
    )


def _steps(slip: Recount, bag: Bag) -> tuple[str, ...]:
    """What to do at the bin, in order."""
    if slip.which >= CHECKS_BEFORE_STOP:
        return ("Don't recount: the order is held.", "Put the bag aside and tell the person in charge.")
    first = {
        SentBackFor.LOOK: f"Go to bin {slip.bin_code}; compare a piece with the bin's label.",
        SentBackFor.DAMAGE: f"Go to bin {slip.bin_code}; replace the damaged pieces, set them aside.",
    }.get(slip.sent_back_for, f"Go to bin {slip.bin_code} with the bag.")
    if slip.other_part:
        first = f"Look first: it may be {slip.other_part}, not {slip.part_number}. {first}"
    count = "Count by hand, in tens." if bag.method is CountMethod.HAND or slip.which > 1 else "Empty it, count again."
    return (first, count, "Bring it back to the check bench.")


BY_NUMBER = (ByNumber(RecountSlipSheet, Recount, lambda books, slip, _: (recount_sheet(books, slip),)),)
