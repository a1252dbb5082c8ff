"""``fulfil services``: what each service charges, number ranges."""

from datetime import date
from typing import Any

import click

from ..frame import Answer, Ask, Noun, command, listed, table
from ..numbers import PACKAGE, SERVICE


@click.group(cls=Noun)
def services() -> None:
    """Add and change services, quote them, take in number ranges and carriers' bills."""


@command(services, "quote", "fulfil services quote --country NA --gross 640 --size 226x166x106")
@click.option("--package", "number", type=PACKAGE, default="", help="A package; else give country, gross and size.")
@click.option("--country", default="", help="ISO 3166-1 code of the destination.")
@click.option("--post-code", default="", help="Its post code, for surcharges that only some have.")
@click.option("--gross", default="", help="Gross mass in grams.")
@click.option("--size", default="", help="Outside length x width x height in mm.")
@click.option("--hazards", default="", help="Hazard words with spaces between.")
@click.option("--insured", default="", help="The value to insure it for, in the shop's currency.")
def quote(
    ask: Ask, number: str, country: str, post_code: str, gross: str, size: str, hazards: str, insured: str
) -> Answer:
    """Says what each service charges, line by line, and what keeps a package from it; the cheapest first."""
    from fulfil.despatch.quote import quote_for, quote_package
    from fulfil.errors import QuantityRefused
    from fulfil.quantities import keyed_grams, parse_decimal
    from fulfil.shipping.limits import NOT_INSURED, Insured
    from fulfil.shop.collecting import collections_of
    from fulfil.standards import iso4217

    given = (country, gross, size)
    if any(given) if number else not all(given):
        said = number or " ".join(word for word in given if word)
        raise QuantityRefused("quote", said, "either --package, or all of --country, --gross and --size")
    with ask.shop() as shop:
        with shop.reading() as books:
            currency = books.settings().currency
            calendar = collections_of(books)
        value = Insured(iso4217.to_minor(parse_decimal(insured, "a value"), currency), currency) if insured else None
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
                insured=value or NOT_INSURED,
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
        leaving = calendar.next_leaving(offer.service, ask.at)
        if offer.can_go:
            lines.append(f"  ready now: {leaving.says if leaving else 'no collection within a year'}")
        facts.append(_offer_facts(offer) | {"leaves_at": None if leaving is None else leaving.at.isoformat()})
    choice = quoted.choice
    must_act = not (choice.can_go if choice else any(offer.can_go for offer in quoted.offers))
    if choice and must_act and any(offer.can_go for offer in quoted.offers):
        able = ", ".join(offer.service.code for offer in quoted.offers if offer.can_go)
        lines.append(f"Ask the customer: {able} could take it. Nothing is changed before the customer agrees.")
    return Answer(lines, {"subject": quoted.subject, "chosen": quoted.chosen, "offers": facts}, must_act=must_act)


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


@command(services, "collections", "fulfil services collections --days 14")
@click.argument("service", type=SERVICE, metavar="[SERVICE]", required=False, default="")
@click.option("--days", type=click.IntRange(1, 400), default=14, show_default=True, help="How many days to look ahead.")
def collections(ask: Ask, service: str, days: int) -> Answer:
    """Says when services collect in the days ahead, in the shop's time, and why on some days they don't."""
    from fulfil.shop.collecting import days_ahead

    with ask.shop() as shop, shop.reading() as books:
        found = days_ahead(books, ask.day(shop), days, service)
    rows = [
        (f"{one.day:%a} {one.day}", one.service_code, f"{one.at:%H:%M %Z}" if one.at else "-", one.why_none)
        for one in found
    ]
    facts = [
        {
            "service": one.service_code,
            "day": str(one.day),
            "at": None if one.at is None else one.at.isoformat(),
            "why_none": one.why_none,
        }
        for one in found
    ]
    return Answer(table(rows, ("day", "service", "collects", "")), {"collections": facts})


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
