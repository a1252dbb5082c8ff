"""``fulfil services``: what each service charges, number ranges, carriers' bills."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..frame import Answer, Ask, Noun, command, listed, many, table
from ..numbers import ORDER, PACKAGE, SERVICE

if TYPE_CHECKING:
    from fulfil.files.bill_mapping import BillMapping


@click.group(cls=Noun)
def services() -> None:
    """Quote services, take in number ranges and carriers' bills."""


@command(services, "quote", "fulfil services quote --country NA --gross 640 --size 226x166x106")
@click.option("--package", "number", type=PACKAGE, default="", help="A package; else give country, gross and size.")
@click.option("--country", default="", help="ISO 3166-1 code of the destination.")
@click.option("--post-code", default="", help="Its post code, for surcharges that only some have.")
@click.option("--gross", default="", help="Gross mass in grams.")
@click.option("--size", default="", help="Outside length x width x height in mm.")
@click.option("--hazards", default="", help="Hazard words with spaces between.")
def quote(ask: Ask, number: str, country: str, post_code: str, gross: str, size: str, hazards: str) -> Answer:
    """Says what each service charges, line by line, and what keeps a package from it; the cheapest first."""
    from fulfil.despatch.quote import quote_for, quote_package
    from fulfil.errors import QuantityRefused
    from fulfil.quantities import keyed_grams

    given = (country, gross, size)
    if any(given) if number else not all(given):
        said = number or " ".join(word for word in given if word)
        raise QuantityRefused("quote", said, "either --package, or all of --country, --gross and --size")
    with ask.shop() as shop:
        if number:
            quoted = quote_package(shop, number, as_of=ask.day(shop))
        else:
            outside_mm = _size(size)
            quoted = quote_for(
                shop,
                country,
                keyed_grams(gross),
                outside_mm,
                hazards=hazards,
                as_of=ask.day(shop),
                post_code=post_code,
            )
    lines, facts = [], []
    for offer in quoted.offers:
        chosen = " (chosen by the customer)" if offer.service.code == quoted.chosen else ""
        word = "can take it" if offer.can_go else "can't take it"
        lines.append(f"{offer.service.code}  {offer.service.name}: {word}{chosen}")
        if offer.quote is not None:
            rows = [(f"  {one.label}", one.value, one.rule) for one in offer.quote.lines]
            lines += table(rows, ("", "", ""))[1:]
        lines += listed(offer.findings)
        facts.append(_offer_facts(offer))
    choice = quoted.choice
    must_act = not (choice.can_go if choice else any(offer.can_go for offer in quoted.offers))
    if choice and must_act and any(offer.can_go for offer in quoted.offers):
        able = ", ".join(offer.service.code for offer in quoted.offers if offer.can_go)
        lines.append(f"Ask the customer: {able} could take it. Nothing is changed before the customer agrees.")
    return Answer(lines, {"subject": quoted.subject, "chosen": quoted.chosen, "offers": facts}, must_act=must_act)


@command(services, "change", "fulfil services change 1002 ROAD --reason 'customer agreed by telephone'")
@click.argument("order", type=ORDER, metavar="ORDER")
@click.argument("service", type=SERVICE, metavar="SERVICE")
@click.option("--reason", required=True, help="Who agreed, and when.")
def change(ask: Ask, order: str, service: str, reason: str) -> Answer:
    """Sends an order with another service, as agreed with the customer; its boxes are chosen and weighed again."""
    from fulfil.orders.changing import change_service

    with ask.shop() as shop:
        done = change_service(shop, order, service, reason=reason, at=ask.at, person=ask.person)
    lines = [f"Order {order} goes with service {service}.", *(f"  {one}" for one in done.tells)]
    return Answer(lines, {"order": order, "service": service, "tells": [*done.tells]})


@command(
    services,
    "range",
    "fulfil services range S1 --kind s10 --service POST --prefix RR --country GB --first 1 --last 500",
)
@click.argument("code")
@click.option("--kind", type=click.Choice(["sscc", "s10"]), required=True, help="GS1 SSCC, or postal S10 number.")
@click.option("--service", type=SERVICE, default="", help="The service it was given for; else all.")
@click.option("--prefix", required=True, help="GS1 company prefix, or the two letters of the S10 service.")
@click.option("--country", default="", help="S10: the country of the post.")
@click.option("--first", type=click.IntRange(min=0), required=True, help="The first serial given.")
@click.option("--last", type=click.IntRange(min=0), required=True, help="The last serial given.")
@click.option("--given-on", type=click.DateTime(["%Y-%m-%d"]), default=None, help="Day of the letter; else today.")
def range_(ask: Ask, code: str, given_on: Any, **given: Any) -> Answer:
    """Takes in a range of numbers that a GS1 organisation or a post gave to this shop. Never make one up."""
    from fulfil.despatch.ship import add_range
    from fulfil.records.identifier import IdentifierRange

    service = given.pop("service")
    with ask.shop() as shop:
        day: date = ask.day(shop) if given_on is None else given_on.date()
        record = IdentifierRange(code=code, given_on=day, service_code=service, **given)
        add_range(shop, record, at=ask.at, person=ask.person)
    numbers = f"{record.number(record.first)} to {record.number(record.last)}"
    return Answer([f"Range {code} is taken in: {numbers}."], {"range": record.model_dump(mode="json")})


@command(services, "bill", "fulfil services bill march.csv --columns carrier-columns.csv")
@click.argument("path", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--columns", type=click.Path(path_type=Path, dir_okay=False), required=True, help="CSV: which column is what."
)
@click.option("--number", default="", help="The bill's number; else the file's name.")
@click.option("--total", default="", help="What the bill says that it comes to, duties and taxes included.")
@click.option("--show", is_flag=True, help="Only show how each row is read; nothing is taken in.")
def bill(ask: Ask, path: Path, columns: Path, number: str, total: str, show: bool) -> Answer:
    """Takes in a carrier's bill, whole or not at all, to compare it with what was agreed (`fulfil day reconcile`).

    The columns are a CSV file of setting,value rows: package_column, charge_column, currency, and where the bill has
    them weight_column, weight_unit, weight_step, currency_column, service_column, 'service WORD', 'surcharge NAME',
    charge_is_total, kind_column, 'kind WORD' (price, a surcharge's name, credit, duty, tax, skip), 'skip WORD',
    decimal_sign, separator, encoding.
    """
    from fulfil.despatch.reconcile import take_bill
    from fulfil.files.bill_mapping import read_mapping
    from fulfil.files.catalogue import read_bytes
    from fulfil.quantities import parse_decimal

    mapping = read_mapping(read_bytes(columns), columns.name)
    said_total = parse_decimal(total, "an amount of money") if total else None
    if show:
        return _as_read(path, mapping)
    with ask.shop() as shop:
        taken = take_bill(shop, path, mapping, at=ask.at, person=ask.person, number=number, total=said_total)
    facts = {
        "lines": taken.lines,
        "unknown": taken.unknown,
        "is_unchanged": taken.is_unchanged,
        "notes": list(taken.notes),
        "findings": [finding.as_dict() for finding in taken.findings],
    }
    notes = [f"Note: {note}." for note in taken.notes]
    if taken.findings:
        return Answer(["Nothing of the bill was taken in:", *listed(taken.findings), *notes], facts, must_act=True)
    said = "was there already" if taken.is_unchanged else "is taken in"
    lines = [f"Bill {number or path.stem} {said}: {many(taken.lines, 'line')}."]
    if taken.unknown:
        lines.append(f"{many(taken.unknown, 'line')} for numbers that aren't ours: see `fulfil day reconcile`.")
    return Answer([*lines, *notes], facts)


def _as_read(path: Path, mapping: "BillMapping") -> Answer:
    """How a bill's rows are read, before anything is taken in."""
    from fulfil.files.carrier_bill import read_bill
    from fulfil.files.catalogue import read_bytes
    from fulfil.standards import iso4217

    read = read_bill(read_bytes(path), path.name, mapping)
    rows = [
        {
            "line": one.line_no,
            "package": one.package_number,
            "service": one.service_code,
            "weight_g": "" if one.billed_g is None else f"{one.billed_g:f}",
            "charge": iso4217.print_money(one.charge_minor, one.currency),
            "of which": ", ".join(
                f"{name} {iso4217.print_money(minor, one.currency)}" for name, minor in one.surcharges if minor
            ),
            "rows": one.rows,
        }
        for one in read.lines
    ]
    lines = table([tuple(row.values()) for row in rows], tuple(rows[0])) if rows else []
    lines += [*listed(read.findings), *(f"Note: {note}." for note in read.notes), "Nothing is taken in yet."]
    facts = {
        "lines": rows,
        "notes": list(read.notes),
        "findings": [finding.as_dict() for finding in read.findings],
    }
    return Answer(lines, facts, must_act=bool(read.findings))


def _size(text: str) -> tuple[int, int, int]:
    from fulfil.errors import QuantityRefused
    from fulfil.quantities import parse_mm

    sides = [parse_mm(side.strip()) for side in text.lower().replace("×", "x").split("x")]
    if len(sides) != 3:
        raise QuantityRefused("read the size", text, "length x width x height in mm, such as 226x166x106")
    return sides[0], sides[1], sides[2]


def _offer_facts(offer: Any) -> dict[str, Any]:
    facts: dict[str, Any] = {"service": offer.service.code, "can_go": offer.can_go}
    facts["findings"] = [finding.as_dict() for finding in offer.findings]
    if offer.quote is not None:
        facts |= {
            "zone": offer.quote.zone,
            "chargeable_g": offer.quote.weight.chargeable_g,
            "price_minor": offer.quote.price_minor,
            "surcharges": [{"name": one.name, "amount_minor": amount} for one, amount in offer.quote.surcharges],
            "charge_minor": offer.quote.charge_minor,
            "currency": offer.quote.currency,
            "lines": [{"label": one.label, "value": one.value, "rule": one.rule} for one in offer.quote.lines],
        }
    return facts
