"""Surcharges: the table in force, the closest row, per cents to the minor unit."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.records.despatch.tariff import Surcharge
from fulfil.shipping.surcharges import Shipped, depends_on_post_code, percent_of, surcharges_of, with_amounts

SMALL = Shipped(Decimal(800), (200, 150, 80))
FEBRUARY, MARCH = date(2026, 2, 1), date(2026, 3, 1)


def surcharge(name, country="*", post_codes="", basis_points=0, amount_minor=0, valid_from=FEBRUARY, service="ROAD"):
    """One row of the table."""
    return Surcharge(service_code=service, valid_from=valid_from, name=name, country=country, post_codes=post_codes,
                     basis_points=basis_points, amount_minor=amount_minor,
                     currency="EUR" if amount_minor else "")  # fmt: skip


TABLE = [
    surcharge("fuel surcharge", basis_points=1325),
    surcharge("fuel surcharge", basis_points=1450, valid_from=MARCH),
    surcharge("fuel surcharge", basis_points=9900, service="AIR"),
    surcharge("peak surcharge", amount_minor=50),
    surcharge("peak surcharge", valid_from=MARCH),
    surcharge("remote area surcharge", country="GB", amount_minor=200),
    surcharge("remote area surcharge", country="GB", post_codes="IV ZE", amount_minor=1800),
    surcharge("remote area surcharge", country="GB", post_codes="IV27", amount_minor=2500),
]


def held(country, post_code, day):
    """(name, amount on a price of 10.00) of each surcharge."""
    found = surcharges_of(TABLE, "ROAD", SMALL, country=country, post_code=post_code, as_of=day)
    return [(one.name, amount) for one, amount in with_amounts(found, 1000)]


def test_a_surcharge_holds_from_its_day_until_the_next_table_of_its_name():
    """Fuel of February and of March; the peak ends with a table of nothing; before February there was none."""
    assert held("DE", "10115", date(2026, 2, 28)) == [("fuel surcharge", 133), ("peak surcharge", 50)]
    assert held("DE", "10115", MARCH) == [("fuel surcharge", 145)]
    assert held("DE", "10115", date(2026, 1, 31)) == []


@pytest.mark.parametrize(
    ("country", "post_code", "minor"),
    [("GB", "iv1 1aa", 1800), ("GB", "IV27 4AA", 2500), ("GB", "M2 5BQ", 200), ("GB", "", 200), ("DE", "IV1", 0)],
)
def test_the_closest_row_holds(country, post_code, minor):
    """The longest beginning before shorter ones, these before the country; spaces and capitals don't matter."""
    assert dict(held(country, post_code, MARCH)).get("remote area surcharge", 0) == minor


def test_names_that_depend_on_the_post_code():
    """Only where the country has rows with post codes."""
    assert depends_on_post_code(TABLE, "ROAD", country="GB", as_of=MARCH) == ["remote area surcharge"]
    assert depends_on_post_code(TABLE, "ROAD", country="DE", as_of=MARCH) == []


@given(st.integers(-(10**9), 10**9), st.integers(0, 99_999))
def test_a_per_cent_is_half_a_minor_unit_off_at_most(price_minor, basis_points):
    """And a credit's is the charge's with the other sign."""
    made = percent_of(price_minor, basis_points)

    assert abs(10_000 * made - price_minor * basis_points) <= 5_000
    assert percent_of(-price_minor, basis_points) == -made


def added(table, shipped=SMALL, price_minor=1000):
    """(name, amount) of what a table adds in Germany."""
    found = surcharges_of(table, "ROAD", shipped, country="DE", post_code="10115", as_of=MARCH)
    return {one.name: amount for one, amount in with_amounts(found, price_minor, shipped.insured_minor)}


@pytest.mark.parametrize(
    ("shipped", "names"),
    [
        (Shipped(Decimal(30_000), (1200, 300, 200)), {}),
        (Shipped(Decimal("30_000.1"), (1200, 300, 200)), {"heavy": 700}),
        (Shipped(Decimal(40_001), (1200, 300, 200)), {"heavy": 1500}),
        (Shipped(Decimal(900), (100, 1201, 90)), {"long": 900}),
        (Shipped(Decimal(900), (1200, 451, 450)), {"bulky": 2500}),
        (Shipped(Decimal(900), (200, 150, 80), frozenset({"magnet", "sharp"})), {"magnets": 350}),
    ],
)
def test_size_weight_and_kind_of_goods(shipped, names):
    """From both sides of each limit; of two rows of one name the one from the larger mass on holds."""
    table = [
        surcharge("heavy", amount_minor=700).model_copy(update={"above_g": 30_000}),
        surcharge("heavy", amount_minor=1500).model_copy(update={"above_g": 40_000}),
        surcharge("long", amount_minor=900).model_copy(update={"above_longest_mm": 1200}),
        surcharge("bulky", amount_minor=2500).model_copy(update={"above_length_girth_mm": 3000}),
        surcharge("magnets", amount_minor=350).model_copy(update={"hazard": "magnet"}),
    ]
    assert added(table, shipped) == names


def test_a_per_cent_may_be_of_a_surcharge_or_of_all():
    """Price 10.00, remote area 18.00: fuel 10 % of all is 2.80 + 0.09; a toll of 5 % of the remote area is 0.90.

    All is the price with everything that doesn't ask for all itself: 10.00 + 18.00 + 0.90, of which 10 % are 2.89.
    """
    far = surcharge("far", amount_minor=1800)
    toll = surcharge("toll", basis_points=500).model_copy(update={"percent_of": "far"})
    fuel = surcharge("fuel", basis_points=1000).model_copy(update={"percent_of": "*"})
    levy = surcharge("levy", basis_points=1000).model_copy(update={"percent_of": "fuel"})

    assert added([far, toll, fuel, levy]) == {"far": 1800, "toll": 90, "fuel": 289, "levy": 29}
    assert added([toll]) == {}


@pytest.mark.parametrize(
    ("insured_minor", "minor"), [(0, 0), (50_000, 0), (50_001, 150), (60_000, 150), (60_001, 300), (100_000, 750)]
)
def test_insurance_is_charged_by_begun_steps_above_what_is_free(insured_minor, minor):
    """1.50 for each begun 100.00 above 500.00."""
    row = surcharge("insurance", amount_minor=150).model_copy(
        update={"insured_step_minor": 10_000, "insured_free_minor": 50_000}
    )
    shipped = Shipped(Decimal(800), (200, 150, 80), insured_minor=insured_minor)
    assert added([row], shipped).get("insurance", 0) == minor


def test_per_cents_of_each_other_are_refused():
    """A circle has no amount; a catalogue with one isn't taken in, this is for rows from elsewhere."""
    one = surcharge("one", basis_points=500).model_copy(update={"percent_of": "two"})
    two = surcharge("two", basis_points=500).model_copy(update={"percent_of": "one"})
    with pytest.raises(QuantityRefused, match="no surcharge that is a per cent of itself"):
        added([one, two])
