"""Declarations add up, name what can't be declared, and take the right paper."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused
from fulfil.records.despatch.service import ServiceKind
from fulfil.shipping.customs import MOST_CN22_LINES, Form, Goods, declare, form_of
from fulfil.standards.cn22 import SdrRate, validate_description
from fulfil.standards.customs_territory import EUROPEAN_UNION, apart, needs_declaration

RATE = SdrRate("EUR", Decimal("1.2"), date(2026, 3, 2))


def goods(number="A", text="steel cap screws", hs="731815", origin="DE", pieces=10, net="12.3", value=100):
    """One bag's goods."""
    return Goods(number, text, hs, origin, pieces, Decimal(net), value)


def declared(*listed, gross="5000", currency="EUR"):
    """Their declaration."""
    return declare(listed, currency=currency, gross_g=Decimal(gross), subject="package P1")


def test_goods_of_one_kind_are_one_line():
    """Same words, same six digits, same origin; national digits don't part them."""
    made = declared(goods("A", hs="731815"), goods("B", hs="7318.15.95"), goods("C", origin="IT"))

    assert [(line.origin, line.pieces, line.value_minor) for line in made.lines] == [("DE", 20, 200), ("IT", 10, 100)]


def test_lines_stand_by_value_then_code():
    """The dearest first; ties by description, code and origin."""
    made = declared(goods("A", value=5), goods("B", text="brass bushes", value=9), goods("C", text="a hand", value=9))

    assert [line.description for line in made.lines] == ["a hand", "brass bushes", "steel cap screws"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"text": "spare parts"}, "customs_description"),
        ({"text": "Samples"}, "customs_description"),
        ({"text": ""}, "customs_description"),
        ({"hs": ""}, "hs_code"),
        ({"hs": "7318"}, "hs_code"),
        ({"origin": ""}, "origin"),
        ({"origin": "ZZ"}, "origin"),
        ({"net": "0"}, "net_g"),
    ],
)
def test_what_customs_would_turn_back_is_named(change, field):
    """Customs turn "spare parts" and "samples" back (public guidance for CN 23); code, origin and mass are needed."""
    found = declared(goods(**change)).findings

    assert [finding.field for finding in found] == [field]
    assert found[0].source == "package P1, part A"


def test_a_net_mass_above_the_gross_mass_is_named():
    """Net 13 g in a package of 12 g can't be."""
    found = declared(goods(net="13"), gross="12").findings

    assert [finding.field for finding in found] == ["net_g"]


def test_a_package_of_nothing_is_named():
    """Nothing to declare in a package is a fault, not an empty form."""
    assert [finding.field for finding in declared().findings] == ["goods"]


@given(st.lists(st.tuples(st.sampled_from("ABCDEF"), st.integers(1, 500), st.decimals("0.01", "900", places=2),
                          st.integers(0, 10_000)), min_size=1, max_size=12))  # fmt: skip
def test_lines_add_up_to_the_goods(listed):
    """Pieces and minor units exactly; grams to the rounded sum unless many lines are below a gram."""
    bags = [
        goods(name, text=f"brass {name} bushes", pieces=pieces, net=str(net), value=value)
        for name, pieces, net, value in listed
    ]
    made = declared(*bags, gross="999999")
    net_g = sum(one.net_g for one in bags)

    assert sum(line.pieces for line in made.lines) == sum(one.pieces for one in bags)
    assert made.value_minor == sum(one.value_minor for one in bags)
    assert made.net_g >= net_g - Decimal("0.5")
    assert all(line.net_g >= 1 for line in made.lines)
    if all(sum(one.net_g for one in bags if one.part_number == name) >= 1 for name in {b.part_number for b in bags}):
        assert abs(made.net_g - net_g) <= Decimal("0.5")


@pytest.mark.parametrize(
    ("value_minor", "included", "form"),
    [(35_999, True, Form.CN22), (36_000, True, Form.CN22), (36_001, True, Form.CN23), (36_000, False, Form.CN23)],
)
def test_300_sdr_is_the_line(value_minor, included, form):
    """300 SDR at 1.20 EUR are 360.00 EUR: included by the form's text, excluded by other guidance; both settable."""
    made = declared(goods(value=value_minor))

    assert form_of(made, ServiceKind.POSTAL, RATE, needs_declaration=True, is_300_sdr_included=included) is form


def test_other_papers():
    """No border, no paper; a parcel carrier takes an invoice; no rate, or too many kinds, takes a CN 23."""
    made = declared(goods())
    many = declared(
        *(goods(str(n), text=f"brass gears of {n} teeth", hs=f"91149{n}") for n in range(MOST_CN22_LINES + 1))
    )

    assert form_of(made, ServiceKind.POSTAL, RATE, needs_declaration=False) is Form.NONE
    assert form_of(made, ServiceKind.PARCEL, None, needs_declaration=True) is Form.INVOICE
    assert form_of(made, ServiceKind.POSTAL, None, needs_declaration=True) is Form.CN23
    assert form_of(many, ServiceKind.POSTAL, RATE, needs_declaration=True) is Form.CN23


@pytest.mark.parametrize(
    ("country", "post_code", "name"),
    [
        ("DE", "27498", "Heligoland"), ("DE", "78266", "Büsingen"), ("ES", "51001", "Ceuta"),
        ("ES", "52006", "Melilla"),
        ("IT", "23041", "Livigno"), ("GR", "630 86", "Mount Athos"), ("ES", "35001", "Canary Islands"),
        ("ES", "38201", "Canary Islands"), ("FR", "97400", "French overseas departments"), ("FI", "22100", "Åland"),
        ("IT", "22061", "Campione d'Italia"), ("FR", "98800", "French overseas countries"),
    ],
)  # fmt: skip
def test_territories_apart_take_a_declaration_from_everywhere_in_the_union(country, post_code, name):
    """Directive 2006/112/EC, Article 6, and Regulation (EU) No 952/2013, Articles 1(3) and 4; codes from memory."""
    found = apart(country, post_code)
    assert found is not None
    assert found.name == name
    assert needs_declaration("LU", country, post_code=post_code)
    assert needs_declaration(country, country, post_code=post_code)
    assert needs_declaration(country, country, sender_post_code=post_code)
    assert not needs_declaration(country, country, sender_post_code=post_code, post_code=post_code)


@pytest.mark.parametrize(
    ("country", "post_code"),
    [("DE", "27499"), ("ES", "28001"), ("ES", "50001"), ("IT", "23040"), ("FR", "98000"), ("FR", "75001"),
     ("FI", "20100"), ("FI", ""), ("GR", "10431"), ("LU", "3500")],
)  # fmt: skip
def test_the_mainland_beside_them_takes_none(country, post_code):
    """Neighbouring post codes, Monaco's under France, an address without one."""
    assert apart(country, post_code) is None
    assert not needs_declaration("LU", country, post_code=post_code)


@pytest.mark.parametrize(
    "text",
    [
        "clock parts",
        "electronics",
        "Ersatzteile",
        "12 x",
        "pièces détachées",
        "machine parts for clocks",
        "Muster",
        "x",
        "7",
    ],
)
def test_words_that_say_nothing_are_turned_back(text):
    """Public postal guidance for CN 23 names "spare parts" and "samples"; the others are common practice."""
    with pytest.raises(CodeRefused):
        validate_description(text)


@pytest.mark.parametrize(
    "text",
    ["steel cap screws for clock movements", "brass gears for clock parts", "enamel colours", "時計用の歯車",
     "Federn aus Stahl",
     "damper kits for barrel organs", "steel balls 2 mm", "wool felts"],
)  # fmt: skip
def test_words_that_say_what_it_is_pass(text):
    """The thing is named, whatever it is for."""
    assert validate_description(text) == text


def test_a_postal_parcel_takes_a_cn_23_whatever_it_is_worth():
    """CN 22 form text: for letter-post items up to 300 SDR; parcels take CN 23."""
    made = declared(goods())
    given = {"needs_declaration": True}
    assert form_of(made, ServiceKind.POSTAL, RATE, **given) is Form.CN22
    assert form_of(made, ServiceKind.POSTAL, RATE, is_parcel=True, **given) is Form.CN23


def test_borders_of_the_customs_union():
    """27 member states (Regulation (EU) No 952/2013, Article 4); the United Kingdom and Norway are outside."""
    assert len(EUROPEAN_UNION) == 27
    assert not needs_declaration("LU", "GR")
    assert not needs_declaration("CH", "LI")
    assert all(needs_declaration("LU", other) for other in ("GB", "NO", "CH", "IS", "TR", "US"))
    assert needs_declaration("US", "LU")
