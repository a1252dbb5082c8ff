"""Quotes: line by line, exact, by the table in force on the day."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.records.despatch.service import SideRounding
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.finding import Finding
from fulfil.records.tiny import SERVICE
from fulfil.shipping.services import (
    Quote,
    Tariffs,
    chargeable_weight,
    dimensional_weight,
    offers,
    round_side,
    up_to_step,
)

ROAD = SERVICE.model_copy(
    update={
        "code": "road",
        "max_weight_g": Decimal(30_000),
        "max_longest_mm": 1500,
        "refuses": "",
        "divisor_cm3_per_kg": 6000,
        "side_rounding": SideRounding.HALF_UP,
        "weight_step_g": 500,
        "least_charge_g": 1000,
    }
)


def price(service, day, zone, up_to_g, minor, currency="EUR"):
    """One price."""
    return Price(service_code=service, valid_from=day, zone=zone, up_to_g=up_to_g, price_minor=minor, currency=currency)


OLD, NEW = date(2025, 1, 1), date(2026, 3, 1)
TARIFFS = Tariffs(
    [Zone(service_code="road", country="DE", zone="1"), Zone(service_code="road", country="*", zone="2")],
    [price("road", OLD, "1", 5000, 500), price("road", NEW, "1", 2000, 600), price("road", NEW, "1", 5000, 900)],
)


def test_a_quote_explains_itself_line_by_line():
    """304 × 205 × 95 mm: sides to whole cm half up, 30 × 21 × 10 cm over 6000 is 1050 g, charged as 1500 g."""
    quoted = TARIFFS.quote(ROAD, "DE", Decimal("812.4"), (205, 95, 304), as_of=date(2026, 3, 2))

    assert isinstance(quoted, Quote)
    assert [(line.label, line.value, line.rule) for line in quoted.lines] == [
        ("zone", "1", "DE with service road"),
        ("gross mass", "813 g", "812.4 g up to whole grams"),
        ("sides", "300 × 210 × 100 mm", "304 × 205 × 95 mm, each side half-up to 10 mm"),
        ("dimensional weight", "1050 g", "volume over 6000 cm³/kg, up to whole grams"),
        ("chargeable weight", "1500 g", "dimensional weight, up to steps of 500 g"),
        ("price", "EUR 6.00", "zone 1, up to 2000 g, prices from 2026-03-01"),
    ]
    assert quoted.charge("P1").chargeable_g == 1500


@pytest.mark.parametrize(("day", "minor"), [(date(2026, 2, 28), 500), (date(2026, 3, 1), 600)])
def test_the_table_in_force_on_the_day_holds(day, minor):
    """A new table holds from its first day on, the old one until then."""
    quoted = TARIFFS.quote(ROAD, "DE", Decimal(800), (100, 100, 100), as_of=day)

    assert isinstance(quoted, Quote)
    assert quoted.price_minor == minor


@pytest.mark.parametrize(
    ("country", "gross", "day", "says"),
    [
        ("FR", 800, NEW, "it has none for zone 2"),
        ("DE", 5001, NEW, "its prices for zone 1 end at 5000 g"),
        ("DE", 800, date(2024, 12, 31), "has no prices on this day"),
    ],
)
def test_what_has_no_price_is_named(country, gross, day, says):
    """A zone without prices, a weight beyond the table, a day before it."""
    quoted = TARIFFS.quote(ROAD, country, Decimal(gross), (100, 100, 100), as_of=day)

    assert isinstance(quoted, Finding)
    assert quoted.says == says


def test_a_country_in_no_zone_is_named():
    """Without a rest zone, a country that isn't listed has no price."""
    quoted = Tariffs([], []).quote(ROAD, "DE", Decimal(1), (1, 1, 1), as_of=NEW)

    assert isinstance(quoted, Finding)
    assert str(quoted) == "service road, country 'DE': lies in none of its zones. Do: add it to zones.csv."


def test_surcharges_stand_below_the_price_and_are_added_up():
    """14.5 % of 6.00 is 0.87; the remote area by the post code, or named as possible where that isn't known."""
    fuel = Surcharge(service_code="road", valid_from=NEW, name="fuel surcharge", country="*", basis_points=1450)
    far = Surcharge(service_code="road", valid_from=OLD, name="remote area surcharge", country="DE",
                    post_codes="25 26", amount_minor=300, currency="EUR")  # fmt: skip
    tariffs = Tariffs([Zone(service_code="road", country="DE", zone="1")], [price("road", NEW, "1", 2000, 600)],
                      [fuel, far])  # fmt: skip

    near, remote, unknown = (
        tariffs.quote(ROAD, "DE", Decimal(800), (100, 100, 100), as_of=NEW, post_code=code)
        for code in ("10115", "26757", None)
    )

    assert isinstance(near, Quote)
    assert isinstance(remote, Quote)
    assert isinstance(unknown, Quote)
    assert (near.charge_minor, remote.charge_minor, unknown.charge_minor) == (687, 987, 687)
    assert [(line.label, line.value, line.rule) for line in remote.lines[-4:]] == [
        ("price", "EUR 6.00", "zone 1, up to 2000 g, prices from 2026-03-01"),
        ("fuel surcharge", "EUR 0.87", "14.5 % of the price, from 2026-03-01"),
        ("remote area surcharge", "EUR 3.00", "each package to post codes 25 26, from 2025-01-01"),
        ("charge", "EUR 9.87", "price and surcharges"),
    ]
    assert unknown.lines[-1].rule == "comes to it in some post codes: give the post code"
    assert [(one.name, one.amount_minor) for one in remote.charged_surcharges("P1")] == [
        ("fuel surcharge", 87), ("remote area surcharge", 300),
    ]  # fmt: skip


def test_offers_put_what_can_go_first_then_the_cheapest():
    """A refused hazard keeps a service from the top, its reason stays with it."""
    dear = ROAD.model_copy(update={"code": "dear"})
    cheap = ROAD.model_copy(update={"code": "cheap", "refuses": "sharp"})
    tariffs = Tariffs(
        [Zone(service_code=code, country="*", zone="z") for code in ("dear", "cheap", "road")],
        [price("dear", OLD, "z", 5000, 900), price("cheap", OLD, "z", 5000, 100), price("road", OLD, "z", 5000, 800)],
    )

    made = offers([dear, cheap, ROAD], tariffs, country="DE", gross_g=Decimal(900), outside_mm=(95, 100, 90),
                  hazards=["sharp"], as_of=NEW)  # fmt: skip
    plain = offers([dear, cheap, ROAD], tariffs, country="DE", gross_g=Decimal(900), outside_mm=(95, 100, 90),
                   hazards=[], as_of=NEW)  # fmt: skip

    assert [offer.service.code for offer in plain] == ["cheap", "road", "dear"]
    assert [(one.service.code, one.can_go) for one in made] == [("road", True), ("dear", True), ("cheap", False)]
    assert "refuses sharp" in next(offer for offer in made if offer.service.code == "cheap").findings[0].says


@given(st.integers(0, 10**6), st.integers(1, 10**4))
def test_rounding_up_is_idempotent_and_never_more_than_a_step(mass_g, step_g):
    """The result is a multiple of the step, not below, less than a step above; again it stays."""
    rounded = up_to_step(mass_g, step_g)

    assert rounded % step_g == 0
    assert mass_g <= rounded < mass_g + step_g
    assert up_to_step(rounded, step_g) == rounded


@given(st.tuples(*[st.integers(1, 3000)] * 3), st.decimals("0.1", "31500", places=1), st.sampled_from(SideRounding))
def test_charged_is_never_below_mass_volume_or_least(sides, gross_g, rule):
    """For every package and rule of sides; in any order of its sides."""
    service = ROAD.model_copy(update={"side_rounding": rule})
    weight = chargeable_weight(service, gross_g, sides)

    assert weight.chargeable_g >= max(gross_g, weight.dimensional_g, service.least_charge_g)
    assert weight == chargeable_weight(service, gross_g, tuple(sorted(sides)))
    if rule is SideRounding.UP:
        assert weight.dimensional_g >= dimensional_weight(sides, 6000)


def test_sides_and_masses_of_nothing_are_refused():
    """No side, no step, no divisor and no mass of zero."""
    with pytest.raises(QuantityRefused, match="a length and a step above 0"):
        round_side(0, 10, SideRounding.UP)
    with pytest.raises(QuantityRefused, match="three sides and a divisor above 0"):
        dimensional_weight((1, 1, 0), 5000)
    with pytest.raises(QuantityRefused, match="grams above 0"):
        chargeable_weight(ROAD, Decimal(0), (1, 1, 1))
    with pytest.raises(QuantityRefused, match="a step above 0"):
        up_to_step(5, 0)
