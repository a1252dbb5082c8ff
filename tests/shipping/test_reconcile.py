"""Every difference is found, with its cause and its money, and nothing is found where nothing differs."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.shipping.balance import LineBalance
from fulfil.shipping.differences import Cause, ManifestFacts, PackageFacts
from fulfil.shipping.reconcile import reconcile


def charge(number, price_minor=500, chargeable_g=1000, currency="EUR"):
    """What was agreed."""
    return Charge(package_number=number, service_code="ROAD", zone="1", valid_from=date(2026, 1, 1),
                  chargeable_g=chargeable_g, price_minor=price_minor, currency=currency)  # fmt: skip


def package(number="P1", **change):
    """A package that left as it should."""
    facts = PackageFacts(number, f"O-{number}", "ROAD", "shipped", False, "M1", Decimal(812), Decimal(812), 700,
                         charge(number))  # fmt: skip
    return replace(facts, **change)


def manifest(*numbers, **change):
    """A manifest over packages of 812 g each."""
    rows = tuple((number, Decimal(812)) for number in numbers)
    return replace(ManifestFacts("M1", "ROAD", len(rows), Decimal(812) * len(rows), rows), **change)


def billed(number="P1", charge_minor=500, billed_g=1000, service="ROAD", currency="EUR", line_no=2, bill="B1"):
    """One line of a bill."""
    return BillLine(bill_number=bill, line_no=line_no, package_number=number, service_code=service,
                    billed_g=None if billed_g is None else Decimal(billed_g), charge_minor=charge_minor,
                    currency=currency)  # fmt: skip


def found(*, lines=(), values=None, packages=None, manifests=None, bills=()):
    """(cause, subject, money) of each difference, as ranked."""
    listed = [package()] if packages is None else packages
    papers = [manifest(*(one.number for one in listed if one.manifest_number))] if manifests is None else manifests
    made = reconcile(lines=lines, line_values=values or {}, packages=listed, manifests=papers, bills=bills)
    return [(one.cause, one.subject, one.money_minor) for one in made]


def test_a_day_as_it_should_be_has_no_difference():
    """Shipped, on one manifest, weighed as declared, billed as agreed; gross mass on the bill is right too."""
    assert found(bills=[billed()]) == []
    assert found(bills=[billed(billed_g=812)]) == []
    assert found(bills=[billed(billed_g=None, service="")]) == []


@pytest.mark.parametrize(
    ("gross_g", "billed_g", "is_ours"),
    [
        ("812.4", "813", True),  # a carrier that rounds up to the gram
        ("812.4", "812.4", True),
        ("812.4", "812.7", True),  # within the same gram
        ("812.4", "813.1", False),
        ("812.4", "812", False),
        ("812", "812", True),
        ("812", "812.2", False),
    ],
)
def test_a_billed_mass_is_ours_to_the_gram_begun(gross_g, billed_g, is_ours):
    """A gram begun counts whole (common practice, as weight steps do): both sides are rounded up, then compared."""
    ours = package(gross_g=Decimal(gross_g), weighed_g=Decimal(gross_g))
    papers = [manifest(ours.number, rows=((ours.number, Decimal(gross_g)),), weight_g=Decimal(gross_g))]
    line = billed(billed_g=billed_g, charge_minor=650)

    causes = {cause for cause, _, _ in found(packages=[ours], manifests=papers, bills=[line])}

    assert causes == {Cause.BILLED_PRICE if is_ours else Cause.BILLED_WEIGHT}


@pytest.mark.parametrize(
    ("bill", "cause", "money"),
    [
        (billed("P9", 777), Cause.BILLED_UNKNOWN, 777),
        (billed(service="AIR", charge_minor=900), Cause.BILLED_SERVICE, 400),
        (billed(billed_g=2000, charge_minor=650), Cause.BILLED_WEIGHT, 150),
        (billed(charge_minor=510), Cause.BILLED_PRICE, 10),
        (billed(charge_minor=490), Cause.BILLED_PRICE, -10),
        (billed(currency="USD"), Cause.BILLED_CURRENCY, 500),
    ],
)
def test_each_mistake_of_a_bill_is_found(bill, cause, money):
    """One line that is wrong in one way."""
    causes = {
        one: amount for one, _, amount in found(bills=[bill, *([billed()] if bill.package_number == "P9" else [])])
    }

    assert causes == {cause: money}


def test_a_double_charge_is_the_second_ones_money_and_a_credit_takes_it_back():
    """The first line is the bill, the second the difference; a credit of the same amount settles it."""
    twice = [billed(), billed(line_no=3)]

    assert found(bills=twice) == [(Cause.BILLED_TWICE, "package P1", 500)]
    assert found(bills=[*twice, billed(charge_minor=-500, line_no=4)]) == []


def test_what_did_not_leave_is_not_paid():
    """A package on no manifest, and one that is void, are charged in error."""
    here = package(manifest_number="", state="sealed", waits=True)

    assert found(packages=[here], bills=[billed()]) == [
        (Cause.NOT_SHIPPED, "package P1", 500),
        (Cause.BILLED_NOT_SHIPPED, "package P1", 500),
    ]
    assert found(packages=[package(is_void=True)], bills=[billed()]) == [(Cause.BILLED_NOT_SHIPPED, "package P1", 500)]


def test_a_package_missing_on_the_bill_of_its_manifest_is_named():
    """Only where the bill has another package of the same manifest; the money is in our favour."""
    both = [package(), package("P2")]

    assert found(packages=both) == []
    assert found(packages=both, bills=[billed()]) == [(Cause.NOT_BILLED, "package P2", -500)]


def test_a_bill_without_a_price_of_ours():
    """Nothing to compare with: the whole charge is at stake."""
    assert found(packages=[package(charge=None)], bills=[billed()]) == [(Cause.BILLED_UNPRICED, "package P1", 500)]


@pytest.mark.parametrize(
    ("change", "cause"),
    [
        ({"packages": 2}, Cause.MANIFEST_TOTAL),
        ({"weight_g": Decimal(813)}, Cause.MANIFEST_TOTAL),
        ({"rows": (), "packages": 0, "weight_g": Decimal(0)}, Cause.MANIFEST_TOTAL),
    ],
)
def test_a_manifest_that_does_not_add_up(change, cause):
    """A wrong count, a gram too many, a row lost."""
    assert [one for one, _, _ in found(manifests=[manifest("P1", **change)])] == [cause]


def test_packages_on_two_manifests_and_unknown_ones():
    """The number in two hand-overs, and one that the books don't have."""
    two = [manifest("P1"), manifest("P1", number="M2")]
    assert [one for one, _, _ in found(manifests=two)] == [Cause.SHIPPED_TWICE]
    assert [one for one, _, _ in found(manifests=[manifest("P1", "P7")])] == [Cause.UNKNOWN_ON_MANIFEST]


def test_declared_against_weighed():
    """A gram between paper and scale, and a net mass above the gross one."""
    assert [one for one, _, _ in found(packages=[package(weighed_g=Decimal(811))])] == [Cause.DECLARED_MASS]
    assert [one for one, _, _ in found(packages=[package(declared_net_g=813)])] == [Cause.DECLARED_MASS]


def test_pieces_in_hand_and_over():
    """What wasn't shipped and what went twice, at the value of the pieces."""
    lines = [LineBalance("A", 1, "X", 50, 40, 0, 0, 0), LineBalance("A", 2, "X", 50, 60, 0, 0, 0)]
    values = {("A", 1): (120, "EUR"), ("A", 2): (130, "EUR")}

    assert found(lines=lines, values=values) == [
        (Cause.PIECES_OVER, "order A, line 2", 130),
        (Cause.PIECES_IN_HAND, "order A, line 1", 120),
    ]


def test_the_dearest_stands_first_whatever_its_sign_or_currency():
    """1 000 yen rank above 10 euro: no rate of exchange is invented."""
    listed = [package(str(n), charge=charge(str(n), currency=currency)) for n, currency in enumerate(("EUR", "JPY"))]
    bills = [billed("0", 1500), billed("1", 1500, currency="JPY")]

    assert [subject for _, subject, _ in found(packages=listed, bills=bills)] == ["package 1", "package 0"]


def test_a_code_holds_for_exactly_this_difference():
    """Another amount on the bill is another difference."""
    codes = {
        reconcile(lines=[], line_values={}, packages=[package()], manifests=[manifest("P1")], bills=[bill])[0].code
        for bill in (billed(charge_minor=510), billed(charge_minor=511), billed(charge_minor=510))
    }

    assert len(codes) == 2
    assert all(len(code) == 8 for code in codes)


def surcharged(base_minor, fuel_minor, remote_minor=0, *, package_number="P1", **more):
    """A package agreed at 5.00 with 10 % fuel surcharge and 2.00 for its country; what differs on its bill."""
    agreed = (
        ChargedSurcharge(package_number="P1", name="fuel surcharge", basis_points=1000, amount_minor=50),
        ChargedSurcharge(package_number="P1", name="island surcharge", amount_minor=200),
    )
    bill = billed(package_number, base_minor + fuel_minor + 200 + remote_minor, **more)
    named = [("fuel surcharge", fuel_minor), ("island surcharge", 200), ("remote area surcharge", remote_minor)]
    made = reconcile(
        lines=[], line_values={}, packages=[package(surcharges=agreed)], manifests=[manifest("P1")], bills=[bill],
        billed_surcharges=[BilledSurcharge(bill_number="B1", line_no=2, name=name, amount_minor=amount)
                           for name, amount in named],
    )  # fmt: skip
    return [(one.cause, one.money_minor) for one in made]


def test_surcharges_as_agreed_are_no_difference():
    """Price, its per cent and the fixed one; an empty column is no surcharge."""
    assert surcharged(500, 50) == []


def test_a_surcharge_that_was_not_agreed_is_a_difference_of_its_own():
    """A remote area that is none; a fuel surcharge above its per cent."""
    assert surcharged(500, 50, 800) == [(Cause.BILLED_SURCHARGE, 800)]
    assert surcharged(500, 63) == [(Cause.BILLED_SURCHARGE, 13)]


def test_what_follows_a_wrong_price_belongs_to_it():
    """A wrong weight with 10 % fuel on its price; the strange surcharge stands apart, and the cents add up."""
    assert surcharged(650, 65, 800, billed_g=2000) == [(Cause.BILLED_SURCHARGE, 800), (Cause.BILLED_WEIGHT, 165)]
    assert surcharged(650, 50) == [(Cause.BILLED_PRICE, 165), (Cause.BILLED_SURCHARGE, -15)]


def test_a_bill_that_names_no_surcharge_is_compared_as_a_whole():
    """7.50 agreed in all: right, and ten too much."""
    fuel = (ChargedSurcharge(package_number="P1", name="fuel surcharge", basis_points=5000, amount_minor=250),)

    assert found(packages=[package(surcharges=fuel)], bills=[billed(charge_minor=750)]) == []
    assert found(packages=[package(surcharges=fuel)], bills=[billed(charge_minor=760)]) == [
        (Cause.BILLED_PRICE, "package P1", 10)
    ]


@given(st.integers(-900, 900), st.integers(-90, 90), st.integers(0, 900), st.sampled_from([None, 1000, 2000]),
       st.sampled_from(["ROAD", "AIR"]))  # fmt: skip
def test_every_minor_unit_of_surcharges_is_accounted_for(base, fuel, remote, billed_g, service):
    """Billed = agreed (7.50) + the money of all differences, whatever the bill names."""
    made = surcharged(base, fuel, remote, billed_g=billed_g, service=service)

    assert base + fuel + 200 + remote == 750 + sum(money for _, money in made)


NUMBERS = [f"P{n}" for n in range(4)]


@given(
    st.lists(
        st.tuples(
            st.sampled_from([*NUMBERS, "X1"]), st.integers(-900, 900), st.sampled_from([None, 812, 1000, 1500]),
            st.sampled_from(["ROAD", "AIR", ""]), st.sampled_from(["EUR", "EUR", "USD"]),
        ),
        max_size=12,
    )
)  # fmt: skip
def test_every_minor_unit_of_a_bill_is_accounted_for(rows):
    """In each currency: billed = agreed for the packages billed in it + the money of all differences of bills."""
    packages = [package("P0"), package("P1", is_void=True), package("P2", manifest_number=""),
                package("P3", charge=None)]  # fmt: skip
    bills = [billed(*row, line_no=place) for place, row in enumerate(rows, start=1)]
    made = reconcile(lines=[], line_values={}, packages=packages, manifests=[manifest("P0", "P1", "P3")], bills=bills)

    first = next(iter([one for one in bills if one.package_number == "P0" and one.charge_minor >= 0]
                      or [one for one in bills if one.package_number == "P0"]), None)  # fmt: skip
    for currency in ("EUR", "USD"):
        total = sum(line.charge_minor for line in bills if line.currency == currency)
        agreed = 500 if first is not None and first.currency == currency == "EUR" else 0
        named = sum(one.money_minor for one in made if one.currency == currency and one.cause.startswith("billed"))
        assert total == agreed + named


@pytest.mark.parametrize(
    ("state", "says"), [("stop", "is stopped at its weighing"), ("planned", "is planned, not sealed")]
)
def test_what_did_not_leave_says_where_it_stands(state, says):
    """In words, and what to do."""
    made = reconcile(lines=[], line_values={}, packages=[package(manifest_number="", state=state, waits=True)],
                     manifests=[], bills=[])  # fmt: skip

    assert [one.says for one in made] == [f"{says} and on no closed manifest"]
