"""ISO 3166-1: every code survives, names are found exactly or not at all."""

import subprocess
import sys

import pycountry
import pytest

from fulfil.errors import CodeRefused, UnknownRefused
from fulfil.standards import iso3166
from tests.standards import code_tables


def test_every_assigned_code_is_taken_and_kosovos_user_assigned_code_besides():
    """249 countries in the data set installed."""
    assigned = [country.alpha_2 for country in pycountry.countries]

    assert iso3166.codes() == tuple(sorted([*assigned, "XK"]))
    assert all(iso3166.validate(code) == code for code in iso3166.codes())
    assert [code for code in iso3166.codes() if iso3166.parse(code).is_user_assigned] == ["XK"]


def test_the_tables_are_those_of_the_data_set_installed():
    """Codes and names of ISO 3166-1 and ISO 4217, to the letter; the first line alone names the release."""
    for name, content in code_tables.made().items():
        assert (code_tables.TABLES / name).read_text("utf-8").partition("\n")[2] == content.partition("\n")[2]


def test_every_name_finds_its_country_and_no_name_has_two():
    """Short, official, common and label names of all countries."""
    for code in iso3166.codes():
        country = iso3166.parse(code)
        for name in (country.name, country.official_name, country.common_name, country.label_name):
            if name:
                assert iso3166.by_name(name) == country
                assert iso3166.by_name(f"  {name.upper()} ") == country


def test_label_names_read_forwards():
    """No 'Korea, Republic of' on a label; real lists of islands keep their comma."""
    names = [iso3166.parse(code).label_name for code in iso3166.codes()]

    assert [name for name in names if "," in name] == [
        "Bonaire, Sint Eustatius and Saba",
        "Saint Helena, Ascension and Tristan da Cunha",
    ]
    assert iso3166.parse("VG").label_name == "British Virgin Islands"
    assert iso3166.parse("FM").label_name == "Federated States of Micronesia"


@pytest.mark.parametrize("name", ["", "  ", "Korea", "Germ", "Virgin Islands", "UK", "England", "Guinee", "DE", "nan"])
def test_a_name_that_is_not_a_countrys_own_is_refused(name):
    """No abbreviations, parts, regions or near misses; codes aren't names."""
    with pytest.raises(UnknownRefused):
        iso3166.by_name(name)


def test_the_refusal_lists_what_comes_near():
    """Five at most, by code."""
    with pytest.raises(UnknownRefused) as refusal:
        iso3166.by_name("Virgin Islands")

    assert str(refusal.value) == (
        "Cannot find the country 'Virgin Islands': expected a country's full name or its alpha-2 code; "
        "near: VG British Virgin Islands; VI U.S. Virgin Islands."
    )


@pytest.mark.parametrize("value", [None, float("nan"), 516, "", "N", "NAM", "ZZ", "XA", "\u00df", "\ufb01"])
def test_what_is_no_code_is_refused_not_guessed(value):
    """'ß' and 'ﬁ' capitalise to SS (South Sudan) and FI (Finland); NaN is what readers make of Namibia."""
    with pytest.raises(CodeRefused):
        iso3166.parse(value)


def test_namibia_survives():
    """As text it is a country like any other."""
    assert iso3166.validate("NA") == "NA"
    assert iso3166.parse("na").name == "Namibia"
    assert iso3166.by_name("Namibia").alpha_2 == "NA"


def test_the_modules_load_none_of_the_big_libraries():
    """Importing the standards costs nothing until a table is asked for."""
    heavy = ["pycountry", "babel", "barcode", "PIL", "numpy", "reportlab", "pandas"]
    program = (
        "import importlib, pkgutil, sys, fulfil.standards as standards\n"
        "for module in pkgutil.iter_modules(standards.__path__):\n"
        "    importlib.import_module(f'fulfil.standards.{module.name}')\n"
        f"print([name for name in {heavy} if name in sys.modules])"
    )
    printed = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert printed.stdout == "[]\n"
