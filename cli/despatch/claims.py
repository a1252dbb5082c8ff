"""``fulfil claims``: what customers say was wrong, the answer, and pieces that come back."""

from decimal import Decimal
from typing import TYPE_CHECKING, Any

import click

from ..frame import GRAMS, Answer, Ask, Noun, command, table
from ..numbers import BIN, CLAIM, ORDER, PART, SCALE
from ..telling import told_first, yes_option

if TYPE_CHECKING:
    from fulfil.shop.told import Told

_CAUSES = ("short", "over", "wrong part", "damaged", "missing", "other")


@click.group(cls=Noun)
def claims() -> None:
    """Take claims down, answer them, take pieces back."""


@command(claims, "add", "fulfil claims add W-1001 --line 2 --cause short --pieces 2", is_once=True)
@click.argument("order", type=ORDER, metavar="ORDER")
@click.option("--line", "line_no", type=click.IntRange(min=1), required=True, help="The line it is about.")
@click.option("--cause", type=click.Choice(_CAUSES), required=True, help="What the customer says.")
@click.option("--pieces", type=click.IntRange(min=0), default=0, help="How many.")
@click.option("--says", default="", help="In the customer's words.")
def add(ask: Ask, order: str, line_no: int, cause: str, pieces: int, says: str) -> Answer:
    """Takes a claim down; fulfil orders evidence shows what the shop knows of the bags."""
    from fulfil.despatch.claims import add_claim
    from fulfil.records.despatch.claim import ClaimCause

    with ask.shop() as shop:
        claim = add_claim(
            shop, order, line_no, ClaimCause(cause), at=ask.at, person=ask.person, pieces=pieces, says=says
        )
    next_step = f"Next: fulfil orders evidence {order} --line {line_no}"
    return Answer([f"Claim {claim.number} is taken down. {next_step}"], claim.model_dump(mode="json"))


@command(claims, "settle", "fulfil claims settle E2603020001 --told 'two sent with order W-1044'")
@click.argument("number", type=CLAIM, metavar="CLAIM")
@click.option("--told", required=True, help="What the customer was told.")
def settle(ask: Ask, number: str, told: str) -> Answer:
    """Writes the answer down."""
    from fulfil.despatch.claims import settle_claim

    with ask.shop() as shop:
        claim = settle_claim(shop, number, told, at=ask.at, person=ask.person)
    return Answer([f"Claim {number} is settled: {claim.answer}"], claim.model_dump(mode="json"))


@command(claims, "list", "fulfil claims list --open")
@click.option("--open", "only_open", is_flag=True, help="Only those without an answer.")
def list_(ask: Ask, only_open: bool) -> Answer:
    """Lists claims."""
    from fulfil.records.despatch.claim import Claim

    with ask.shop() as shop, shop.reading() as books:
        found = books.find(Claim, answer="") if only_open else books.find(Claim)
    rows = [(one.number, one.order_number, one.line_no, one.part_number, one.cause.value, one.pieces, one.answer)
            for one in found]  # fmt: skip
    lines = table(rows, ("claim", "order", "line", "part", "cause", "pieces", "answer")) if rows else ["No claims."]
    waits = any(not one.is_settled for one in found)
    return Answer(lines, {"claims": [one.model_dump(mode="json") for one in found]}, must_act=waits)


@command(claims, "report", "fulfil claims report")
def report(ask: Ask) -> Answer:
    """Counts claims by part and cause, the most first."""
    from fulfil.despatch.claims import claim_frame

    with ask.shop() as shop, shop.reading() as books:
        frame = claim_frame(books)
    rows = [*frame.itertuples(index=False, name=None)]
    lines = table(rows, [*map(str, frame.columns)]) if rows else ["No claims."]
    return Answer(lines, {"claims": frame.to_dict("records")})


@command(claims, "take-back", "fulfil claims take-back W-1001 --line 2 --counted 5 --reason 'wrong size'", is_once=True)
@click.argument("order", type=ORDER, metavar="ORDER")
@click.option("--line", "line_no", type=click.IntRange(min=1), required=True, help="The line they belong to.")
@click.option("--counted", type=click.IntRange(min=1), default=None, help="Pieces counted by hand.")
@click.option("--gross", "gross_g", type=GRAMS, default=None, help="What the scale shows, in g.")
@click.option("--tare", "tare_g", type=GRAMS, default=Decimal(0), help="The empty tub, in g.")
@click.option("--scale", "scale_code", type=SCALE, default="", help="Which scale.")
@click.option("--part", "part_number", type=PART, default="", help="Of a kit: which of its parts.")
@click.option("--bin", "bin_code", type=BIN, default="", help="Where they go; else the part's first bin.")
@click.option("--scrap", is_flag=True, help="Don't book them back: scrap them.")
@click.option("--reason", required=True, help="Why they came back.")
def take_back(ask: Ask, order: str, line_no: int, scrap: bool, reason: str, **given: Any) -> Answer:
    """Takes returned pieces in, counted by hand or by weight, and books them back or scraps them."""
    from fulfil.despatch.claims import take_back as take
    from fulfil.records.despatch.goods_back import Outcome

    outcome = Outcome.SCRAPPED if scrap else Outcome.BOOKED_BACK
    with ask.shop() as shop:
        done = take(shop, order, line_no, outcome, reason, at=ask.at, person=ask.person, **given)
    where = "scrapped" if scrap else f"back in bin {done.bin_code}"
    return Answer([f"{done.pieces} of {done.part_number} are {where} ({done.number})."], done.model_dump(mode="json"))


@command(claims, "replace", "fulfil claims replace E2603020001 --pieces 2", is_once=True)
@click.argument("number", type=CLAIM, metavar="CLAIM")
@click.option("--pieces", type=click.IntRange(min=1), required=True, help="How many go out again.")
@yes_option
def replace(ask: Ask, number: str, pieces: int, is_agreed: bool) -> Answer:
    """Sends what a claim lacks, free of charge, as an order of its own; the claim is settled with it."""
    from fulfil.orders.replacing import replace_claim

    with ask.shop() as shop:

        def step(is_preview: bool) -> "Told":
            return replace_claim(shop, number, pieces, at=ask.at, person=ask.person, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)
