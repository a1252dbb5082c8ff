"""``fulfil customs``: declarations, SDR rates, reviews of hazardous goods."""

from pathlib import Path
from typing import Any

import click

from ..frame import Answer, Ask, Noun, command, folder_option, listed, table
from ..numbers import ORDER, PACKAGE


@click.group(cls=Noun)
def customs() -> None:
    """Declare goods to customs; enter SDR rates; record reviews of hazards."""


@command(customs, "papers", "fulfil customs papers 1002 --out papers")
@click.argument("order", type=ORDER, metavar="ORDER")
@folder_option
@click.option("--for-spreadsheet", is_flag=True, help="Write the CSV so that a spreadsheet runs and changes nothing.")
def papers(ask: Ask, order: str, out: Path, for_spreadsheet: bool) -> Answer:
    """Prints CN 22, CN 23 or commercial invoice of an order, and writes the same as CSV and JSON."""
    from fulfil.despatch.abroad.customs import customs_rows
    from fulfil.despatch.abroad.customs_papers import declare_order

    with ask.shop() as shop:
        done = declare_order(
            shop, order, out, day=ask.day(shop), at=ask.at, person=ask.person, for_spreadsheet=for_spreadsheet
        )
        with shop.reading() as books:
            rows = customs_rows(done.declared, books.settings())
    facts = {
        "lines": rows,
        "findings": [finding.as_dict() for finding in done.findings],
        "papers": [str(path) for path in done.written],
    }
    if not done.declared:
        return Answer([f"Order {order} crosses no customs border: nothing to declare."], facts)
    lines = table(
        [(one["package"], one["paper"], one["description"], one["hs_code"], one["origin"], one["pieces"],
          one["net_kg"], f"{one['currency']} {one['value']}") for one in rows],
        ("package", "paper", "goods", "HS", "origin", "pieces", "net_kg", "value"),
    )  # fmt: skip
    if done.findings:
        lines += ["Nothing was printed; put this right first:", *listed(done.findings)]
    lines += [f"to print: {path}" for path in done.written]
    return Answer(lines, facts, must_act=bool(done.findings))


@command(customs, "particulars", "fulfil customs particulars W-1001 --category gift")
@click.argument("order", type=ORDER, metavar="ORDER")
@click.option("--line", "line_no", type=click.IntRange(min=1), default=None, help="Only this line; else the order.")
@click.option("--category", default=None, help="As on the forms: sale of goods, gift, commercial sample, documents …")
@click.option(
    "--importer-reference", default=None, help="What the addressee's customs office gave: a tax code, a licence."
)
@click.option("--sender-reference", default=None, help="What the shop's customs office gave.")
@click.option("--comment", default=None, help="What customs should know besides.")
def particulars(ask: Ask, order: str, line_no: int | None, **given: str | None) -> Answer:
    """Notes what customs are told of an order besides its goods; papers printed before must be printed again.

    The category is the shop's own declaration: a sale that is called a gift is a false one.
    """
    from fulfil.despatch.abroad.customs import note_particulars
    from fulfil.errors import UnknownRefused

    said = {name: value.strip() for name, value in given.items() if value is not None}
    if not said or (line_no and {*said} != {"category"}):
        raise UnknownRefused(
            "note for customs", order, "a category, a reference or a comment; of one line its category"
        )
    with ask.shop() as shop:
        noted = note_particulars(shop, order, line_no or 0, at=ask.at, person=ask.person, **said)
    where = f"order {order}, line {line_no}" if line_no else f"order {order}"
    words = "; ".join(f"{name.replace('_', ' ')} '{value}'" for name, value in said.items())
    return Answer([f"Noted for {where}: {words}."], {"particulars": noted.model_dump(mode="json")})


@command(customs, "rate", "fulfil customs rate EUR 1.1634 --as-of 2026-03-02 --source 'IMF, representative rates'")
@click.argument("currency")
@click.argument("per_sdr")
@click.option("--as-of", type=click.DateTime(["%Y-%m-%d"]), required=True, help="The day of the rate.")
@click.option("--source", default="", help="Where you read it.")
def rate(ask: Ask, currency: str, per_sdr: str, as_of: Any, source: str) -> Answer:
    """Enters what one special drawing right costs; it decides between CN 22 and CN 23. No rate is built in."""
    from fulfil.despatch.abroad.customs import enter_sdr_rate
    from fulfil.quantities import parse_decimal
    from fulfil.records.despatch.customs import SdrRateEntry
    from fulfil.standards import iso4217
    from fulfil.standards.cn22 import SdrRate

    day = as_of.date()
    SdrRate(iso4217.parse(currency), parse_decimal(per_sdr, "an SDR rate"), day)
    entry = SdrRateEntry(currency=iso4217.parse(currency), as_of=day, per_sdr=per_sdr, source=source)
    with ask.shop() as shop:
        enter_sdr_rate(shop, entry, at=ask.at, person=ask.person)
    return Answer([f"1 SDR = {entry.currency} {per_sdr} on {day}."], {"rate": entry.model_dump(mode="json")})


@command(customs, "review", "fulfil customs review P2603020001 --reason 'enamel, UN 1263, limited quantity, label on'")
@click.argument("package", type=PACKAGE, metavar="PACKAGE")
@click.option("--reason", required=True, help="What was seen, and by which rule it may go.")
def review(ask: Ask, package: str, reason: str) -> Answer:
    """Records that a trained person has looked at a package's restricted goods. The program never clears goods."""
    from fulfil.despatch.abroad.customs import review_hazards

    with ask.shop() as shop:
        done = review_hazards(shop, package, reason, at=ask.at, person=ask.person)
    lines = [
        f"Reviewed by {ask.person}: {done.hazards}. Weigh package {package} again to seal it.",
        "What its service refuses stays refused; the carrier's rules, data sheets and local codes govern.",
    ]
    return Answer(lines, {"review": done.model_dump(mode="json")})
