"""``fulfil goods``: what comes in by the tub."""

import click

from ..frame import Answer, Ask, Noun, command, listed
from ..numbers import BIN, PART, SCALE


@click.group(cls=Noun)
def goods() -> None:
    """Count goods that come in by weight and book them into a bin."""


@command(
    goods,
    "in",
    "fulfil goods in BALL-3 --bin 01L-01-1A --gross 2812.4 --gross 2799.0 --tare 210.3 --tubs 2",
    is_once=True,
)
@click.argument("part", type=PART, metavar="PART")
@click.option("--bin", "bin_code", type=BIN, default="", help="Where they go; the part's only bin when it has one.")
@click.option("--gross", multiple=True, required=True, help="A tub on the scale, in grams; once for each tub.")
@click.option("--tare", multiple=True, required=True, help="The empty tub; once for all, or once for each.")
@click.option("--tubs", default="", help="How many tubs there are, to guard against one forgotten.")
@click.option("--scale", type=SCALE, default="", help="The scale; else the finest that can have shown these readings.")
@click.option("--lot", default="", help="Their lot, when it isn't the bin's.")
@click.option("--within", default="", help="The half-width wanted, in pieces; else half a percent.")
@click.option("--source", "source", default="", help="Where they come from: a delivery note, the make-room.")
def in_(
    ask: Ask,
    part: str,
    bin_code: str,
    gross: tuple[str, ...],
    tare: tuple[str, ...],
    tubs: str,
    scale: str,
    lot: str,
    within: str,
    source: str,
) -> Answer:
    """Counts tubs by weight with a 95 % interval, says what that leaves open, and books the estimate.

    A weight that no whole number of pieces has books nothing.
    """
    from fulfil.counting.readings import read_grams
    from fulfil.errors import WeighingRefused
    from fulfil.quantities import parse_pieces
    from fulfil.stock.bulk_counts import goods_in

    if tubs and parse_pieces(tubs) != len(gross):
        raise WeighingRefused("count tubs", tubs, f"one --gross for each tub; {len(gross)} given")
    with ask.shop() as shop:
        done = goods_in(
            shop,
            part,
            [read_grams(one, "gross") for one in gross],
            [read_grams(one, "tare") for one in tare],
            bin_code=bin_code or _only_bin(shop, part),
            at=ask.at,
            person=ask.person,
            source=source,
            lot=lot,
            scale_code=scale,
            half_width_pieces=parse_pieces(within) if within else 0,
        )
    if done.findings:
        lines = ["Nothing was booked.", *listed(done.findings)]
        facts = {
            "pieces": 0,
            "bin": done.place.model_dump(mode="json"),
            "findings": [one.as_dict() for one in done.findings],
        }
        return Answer(lines, facts, must_act=True)
    lines = [
        f"{done.counted.sentence} Booked into bin {done.place.code}: {done.place.pieces} now.",
        f"The interval leaves {done.cost} {done.currency} open; most of it comes from the {done.counted.largest_part}.",
        *([done.remedy] if done.remedy else []),
        *(f"Note: {note}." for note in done.notes),
    ]
    facts = {
        "pieces": done.counted.pieces,
        "lower": done.counted.lower,
        "upper": done.counted.upper,
        "scale": done.scale_code,
        "cost_of_interval": str(done.cost),
        "currency": done.currency,
        "remedy": done.remedy,
        "bin": done.place.model_dump(mode="json"),
        "notes": list(done.notes),
        "findings": [],
    }
    return Answer(lines, facts)


def _only_bin(shop: object, part: str) -> str:
    from fulfil.errors import UnknownRefused
    from fulfil.records.place import Bin
    from fulfil.store.shop import Shop

    assert isinstance(shop, Shop)  # noqa: S101 - for the type checker
    with shop.reading() as books:
        bins = [place.code for place in books.find(Bin, part_number=part)]
    if len(bins) != 1:
        raise UnknownRefused("find the bin of part", part, f"--bin, one of: {', '.join(bins) or 'none yet'}")
    return bins[0]
