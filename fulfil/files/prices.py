"""``zones.csv``, ``prices.csv``, ``surcharges.csv`` and ``sdr_rates.csv``: what services charge, what an SDR costs.

All four may be missing: then no charge is worked out, and a clerk enters SDR rates by hand.
"""

from collections.abc import Iterable
from datetime import date
from typing import Any

from fulfil.errors import QuantityRefused, Refusal
from fulfil.files.columns import Column, amount, code, whole
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.quantities import parse_decimal
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.tariff import REST, Price, Surcharge, Zone
from fulfil.records.text import tidy
from fulfil.standards import dangerous_goods, iso3166, iso4217


def day(cell: str) -> date:
    """A day (ISO 8601)."""
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise QuantityRefused("read a day", cell, "ISO 8601, such as 2026-01-31") from None


def _country(cell: str) -> str:
    return cell if cell == REST else iso3166.validate(cell)


def _percent(cell: str) -> int:
    """Per cent with at most two decimals, as hundredths of a per cent."""
    hundredths = parse_decimal(cell, "a per cent") * 100
    if hundredths != hundredths.to_integral_value() or hundredths > 99_999:
        raise QuantityRefused("read a per cent", cell, "at most two decimals, below 1000")
    return int(hundredths)


def _beginnings(cell: str) -> str:
    """Beginnings of post codes in capitals, in one order, so that the same ones are the same text."""
    return " ".join(sorted(set(tidy(cell).upper().split())))


ZONES = (
    Column("service", "service_code", code),
    Column("country", "country", _country, do="write an ISO 3166-1 code, or * for all others"),
    Column("zone", "zone", code),
)
PRICES = (
    Column("service", "service_code", code),
    Column("valid_from", "valid_from", day, do="write the day as 2026-01-31"),
    Column("zone", "zone", code),
    Column("up_to_g", "up_to_g", whole),
    Column("price", "price", amount),
    Column("currency", "currency", iso4217.validate),
)
SURCHARGES = (
    Column("service", "service_code", code),
    Column("valid_from", "valid_from", day, do="write the day as 2026-01-31"),
    Column("surcharge", "name", code),
    Column("country", "country", _country, do="write an ISO 3166-1 code, or * for all"),
    Column("post_codes", "post_codes", _beginnings, is_needed=False),
    Column("percent", "basis_points", _percent, is_needed=False),
    Column("amount", "amount", amount, is_needed=False),
    Column("currency", "currency", iso4217.validate, is_needed=False),
    Column("percent_of", "percent_of", code, is_needed=False, do="name a surcharge, or write * for all"),
    Column("above_g", "above_g", whole, is_needed=False),
    Column("above_longest_mm", "above_longest_mm", whole, is_needed=False),
    Column("above_length_girth_mm", "above_length_girth_mm", whole, is_needed=False),
    Column("hazard", "hazard", dangerous_goods.validate, is_needed=False),
    Column("insured_step", "insured_step", amount, is_needed=False),
    Column("insured_free", "insured_free", amount, is_needed=False),
)
SDR_RATES = (
    Column("currency", "currency", iso4217.validate),
    Column("as_of", "as_of", day, do="write the day as 2026-01-31"),
    Column("per_sdr", "per_sdr", code),
    Column("source", "source", is_needed=False),
)


def read_zones(rows: Iterable[Row], file: FileReading, *, services: frozenset[str]) -> tuple[Zone, ...]:
    """The zones; a service that ``services.csv`` doesn't have, or a country twice, is a finding."""
    zones = []
    for row in rows:
        zone = file.record(Zone, ZONES, row)
        if zone is None or not _is_known(zone.service_code, row, file, services):
            continue
        if file.is_new(row, "country", f"{zone.service_code} {zone.country}"):
            zones.append(zone)
    return tuple(zones)


def read_prices(rows: Iterable[Row], file: FileReading, *, services: frozenset[str]) -> tuple[Price, ...]:
    """The prices in minor units; two prices for the same weight, or a table in two currencies, are findings."""
    prices = []
    currencies: dict[tuple[str, date], str] = {}
    for row in rows:
        values = file.values(PRICES, row)
        if values is None:
            continue
        try:
            values["price_minor"] = iso4217.to_minor(values.pop("price"), values["currency"])
        except Refusal as refusal:
            file.find(row, "price", f"expected {refusal.expected} in {values['currency']}")
            continue
        price = file.build(Price, PRICES, row, values)
        if price is None or not _is_known(price.service_code, row, file, services):
            continue
        known = currencies.setdefault((price.service_code, price.valid_from), price.currency)
        if known != price.currency:
            says = f"the other prices of {price.service_code} from {price.valid_from} are in {known}"
            file.find(row, "currency", says, "keep one currency in one table")
        elif file.is_new(row, "up_to_g", f"{price.service_code} {price.valid_from} {price.zone} {price.up_to_g}"):
            prices.append(price)
    return tuple(prices)


def read_surcharges(
    rows: Iterable[Row], file: FileReading, *, services: frozenset[str], prices: Iterable[Price]
) -> tuple[Surcharge, ...]:
    """The surcharges: a per cent of the price, or an amount in the currency of the service's prices; never both."""
    charged = {price.service_code: price.currency for price in prices}
    surcharges: list[Surcharge] = []
    placed: dict[tuple[str, str], Row] = {}
    for row in rows:
        values = file.values(SURCHARGES, row)
        if values is None:
            continue
        has_amount, has_percent = "amount" in values, "basis_points" in values
        if has_amount == has_percent:
            says = "has a per cent and an amount" if has_amount else "has neither a per cent nor an amount"
            file.find(row, "percent", says, "give one of the two, 0 to end the surcharge")
            continue
        currency = charged.get(values["service_code"], values.get("currency", ""))
        if has_amount and values.get("currency", "") != currency:
            says = f"must be {currency}, as the service's prices"
            file.find(row, "currency", says)
            continue
        if values.get("post_codes") and values["country"] == REST:
            file.find(row, "country", "must be one country where post codes are given")
            continue
        if not _is_of_something(values, row, file):
            continue
        try:
            for name in ("amount", "insured_step", "insured_free"):
                if name in values:
                    values[f"{name}_minor"] = iso4217.to_minor(values.pop(name), currency)
        except Refusal as refusal:
            file.find(row, "amount", f"expected {refusal.expected} in {currency}")
            continue
        values["currency"] = currency if has_amount else ""
        surcharge = file.build(Surcharge, SURCHARGES, row, values)
        if surcharge is None or not _is_known(surcharge.service_code, row, file, services):
            continue
        sizes = f"{surcharge.above_g} {surcharge.above_longest_mm} {surcharge.above_length_girth_mm}"
        where = f"{surcharge.country} {surcharge.post_codes} {sizes} {surcharge.hazard}"
        if file.is_new(row, "surcharge", f"{surcharge.service_code} {surcharge.valid_from} {surcharge.name} {where}"):
            surcharges.append(surcharge)
            placed[surcharge.service_code, surcharge.name] = row
    _no_circles(surcharges, placed, file)
    return tuple(surcharges)


def _is_of_something(values: dict[str, Any], row: Row, file: FileReading) -> bool:
    """A per cent may be of something, an amount for steps of an insured value; nothing else of these goes together."""
    if "basis_points" not in values and values.get("percent_of"):
        file.find(row, "percent_of", "stands beside an amount", "empty it, or give a per cent")
        return False
    if ("insured_step" in values or "insured_free" in values) and "amount" not in values:
        file.find(row, "insured_step", "stands beside no amount", "give the amount of each step")
        return False
    if "insured_free" in values and not values.get("insured_step"):
        file.find(row, "insured_free", "has no insured_step beside it", "give the step that the amount is for")
        return False
    return True


def _no_circles(surcharges: Iterable[Surcharge], placed: dict[tuple[str, str], Row], file: FileReading) -> None:
    """Each surcharge that is a per cent of another must name one of its service, and come to an end."""
    of: dict[tuple[str, str], set[str]] = {}
    for one in surcharges:
        of.setdefault((one.service_code, one.name), set()).add(one.percent_of)
    for (service, name), row in placed.items():
        seen, ahead = {name}, of[service, name] - {"", "*"}
        while ahead:
            if unknown := sorted(one for one in ahead if (service, one) not in of):
                file.find(row, "percent_of", f"{unknown[0]} is no surcharge of {service}", "name one as it is written")
                break
            if ahead & seen:
                says = f"{name} is a per cent of itself, over {', '.join(sorted(ahead & seen))}"
                file.find(row, "percent_of", says, "let one of them be of the price")
                break
            seen |= ahead
            ahead = set().union(*(of[service, one] for one in ahead)) - {"", "*"}


def read_sdr_rates(rows: Iterable[Row], file: FileReading) -> tuple[SdrRateEntry, ...]:
    """The rates; a currency twice on one day is a finding."""
    rates = []
    for row in rows:
        rate = file.record(SdrRateEntry, SDR_RATES, row)
        if rate is not None and file.is_new(row, "as_of", f"{rate.currency} {rate.as_of}"):
            rates.append(rate)
    return tuple(rates)


def _is_known(service_code: str, row: Row, file: FileReading, services: frozenset[str]) -> bool:
    if service_code in services:
        return True
    file.find(row, "service", "is no service of services.csv", "correct it, or add the service")
    return False
