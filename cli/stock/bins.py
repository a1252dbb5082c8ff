"""``fulfil bins``: count what lies in a bin, say when it lacks pieces; add, change, retire one (``bin_changing``)."""

from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, Noun, command, listed
from ..numbers import BIN, SCALE
from ..telling import told_first, yes_option

if TYPE_CHECKING:
    from fulfil.shop.told import Told


@click.group(cls=Noun)
def bins() -> None:
    """Add, change, retire a bin; count what lies in it, say when it lacks pieces."""


@command(bins, "count", "fulfil bins count 01L-01-1A --gross 1306.0 --tare 250.0 --within 2", is_once=True)
@click.argument("code", type=BIN, metavar="BIN")
@click.option("--gross", default="", help="The bin on the scale, in grams.")
@click.option("--tare", default="", help="The empty bin, in grams.")
@click.option("--counted", default="", help="Pieces by your own count; always booked.")
@click.option("--scale", type=SCALE, default="", help="The scale; else the finest that can have shown these readings.")
@click.option("--within", default="0", help="How wide half an interval may be to decide, in pieces.")
@click.option("--reason", default="", help="Why the books may differ; kept with the booking.")
def count(ask: Ask, code: str, gross: str, tare: str, counted: str, scale: str, within: str, reason: str) -> Answer:
    """Holds a bin's weight, or your count, against its books; a difference is booked with the reason."""
    from fulfil.counting.readings import read_grams
    from fulfil.errors import WeighingRefused
    from fulfil.quantities import parse_pieces
    from fulfil.stock.bulk_counts import count_bin_by_hand, count_bin_by_weight

    if bool(counted) == bool(gross) or (gross and not tare):
        raise WeighingRefused("count bin", code, "either --counted, or --gross with the empty bin's --tare")
    with ask.shop() as shop:
        if counted:
            done = count_bin_by_hand(
                shop, code, parse_pieces(counted, least=0), at=ask.at, person=ask.person, reason=reason
            )
        else:
            done = count_bin_by_weight(
                shop,
                code,
                read_grams(gross, "gross"),
                read_grams(tare, "tare"),
                at=ask.at,
                person=ask.person,
                scale_code=scale,
                reason=reason,
                tolerance_pieces=parse_pieces(within, least=0),
            )
    lines = [f"Bin {code}: {done.sentence}", *([done.remedy] if done.remedy else []), *listed(done.findings)]
    facts = {
        "bin": done.place.model_dump(mode="json"),
        "book_pieces": done.book_pieces,
        "booked": done.booked,
        "says": done.sentence,
        "remedy": done.remedy,
        "estimate": None
        if done.counted is None
        else {"pieces": done.counted.pieces, "lower": done.counted.lower, "upper": done.counted.upper},
    }
    facts["findings"] = [finding.as_dict() for finding in done.findings]
    return Answer(lines, facts, must_act=done.must_act or bool(done.findings))


@command(bins, "lacks", "fulfil bins lacks 01L-01-1A --holds 15")
@click.argument("code", type=BIN, metavar="BIN")
@click.option("--holds", required=True, help="Pieces left in it for bags that aren't filled yet; 0 when it is empty.")
@click.option(
    "--filled", multiple=True, metavar="BAG", help="A bag filled from it before, on a walk still out; repeat."
)
@yes_option
def lacks(ask: Ask, code: str, holds: str, filled: tuple[str, ...], is_agreed: bool) -> Answer:
    """Says that a bin is empty or holds too few: its bags are left empty and promised anew, or short."""
    from fulfil.quantities import parse_pieces
    from fulfil.stock.empty_bins import bin_lacks

    left = parse_pieces(holds, least=0)
    with ask.shop() as shop:
        day = ask.day(shop)

        def step(is_preview: bool) -> "Told":
            return bin_lacks(
                shop, code, left, day=day, at=ask.at, person=ask.person, filled=filled, is_preview=is_preview
            )

        return told_first(step, is_agreed=is_agreed)
