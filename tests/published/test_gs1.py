"""GS1 keys and element strings against published examples and two independent parsers.

Sources: GS1 General Specifications (7.9 and figures of release 21.0.1) and the GS1 check-digit page;
python-stdnum as a parser written by others; biip, which the module reads AIs with, for the way from our text to theirs.
"""

import random

import biip
import pytest
import stdnum.ean
from biip.gs1_messages import GS1Message
from biip.sscc import Sscc
from stdnum import gs1_128

from fulfil.errors import CodeRefused
from fulfil.standards import gs1

SSCCS = ["395123451234567895", "006141411234567890", "395011015300000011", "395011010013000129", "376104250021234569"]
GTINS = ["09501101530003", "95012345678903", "10857674002017", "6291041500213"]


@pytest.mark.parametrize(("payload", "digit"), [("37610425002123456", 9), ("629104150021", 3)])
def test_check_digits_equal_the_published_examples(payload, digit):
    """General Specifications 7.9, table 7-9, and the GS1 check-digit page."""
    assert gs1.check_digit(payload) == digit


@pytest.mark.parametrize("code", SSCCS)
def test_published_sscc_figures_are_valid(code):
    """Figures 5.4.2-1, 6.6.5-1, 6.6.5-2, 6.6.5-6 and table 7-9; biip agrees."""
    assert gs1.validate_sscc(code) == code
    assert Sscc.parse(code).check_digit == int(code[-1])


@pytest.mark.parametrize("code", GTINS)
def test_published_gtin_figures_are_valid(code):
    """Figures 5.1-3, 7.8.5.1-1 and 4.15.1-1 and the check-digit page; python-stdnum agrees."""
    assert gs1.validate_gtin(code) == code
    assert stdnum.ean.is_valid(code)


def test_the_published_gln_figure_is_valid():
    """Figure 2.6.6-1."""
    assert gs1.validate_gln("5412345678908") == "5412345678908"


def test_a_wrong_number_of_a_public_sample_message_is_refused():
    """Its last digit should be 6."""
    with pytest.raises(CodeRefused, match="expected check digit 6, got 4"):
        gs1.validate_sscc("342603046212321014")


def test_random_gtins_are_judged_as_python_stdnum_judges_them():
    """2,000 random numbers of 8 to 14 digits, fixed seed."""
    chance = random.Random(13)
    for _ in range(2000):
        code = "".join(chance.choices("0123456789", k=chance.choice([8, 12, 13, 14])))
        try:
            gs1.validate_gtin(code)
            is_valid = True
        except CodeRefused:
            is_valid = False

        assert is_valid == stdnum.ean.is_valid(code)


ELEMENT_STRINGS = [
    "(00)395011015300000011",
    "(420)45458",
    "(01)95012345678903(3102)000400",
    "(01)10857674002017(10)1152KMB",
    "(8005)000365(10)123456",
    "(415)5412345678908(3911)710125",
    "(10)LOT7(37)25(400)1234",
    "(421)276BN12345(00)395011015300000011",
    "(02)09501101530003(37)250(3303)001250",
]


@pytest.mark.parametrize("text", ELEMENT_STRINGS)
def test_biip_reads_the_same_elements_from_our_element_strings(text):
    """AI, value and decimal measure of each element, separators included."""
    elements = gs1.parse(text)
    theirs = GS1Message.parse(gs1.element_string(elements)).element_strings

    assert [(element.ai.ai, element.value) for element in theirs] == [(e.ai, e.value) for e in elements]
    assert [element.decimal for element in theirs if element.ai.ai[0] == "3" and len(element.ai.ai) == 4] == [
        element.measure for element in elements if element.measure is not None
    ]


@pytest.mark.parametrize("text", ELEMENT_STRINGS)
def test_python_stdnum_reads_the_same_elements(text):
    """Its own table and its own reading; it turns counts and measures into numbers, which is undone here."""
    elements = gs1.parse(text)
    theirs = gs1_128.info(gs1.element_string(elements), separator=gs1.SEPARATOR)

    assert list(theirs) == [element.ai for element in elements]
    for element in elements:
        read = theirs[element.ai]
        if element.measure is not None:
            assert (read[-1] if isinstance(read, tuple) else read) == element.measure
        else:
            assert str(read) == element.value


def test_a_made_sscc_is_read_by_biip_with_its_parts():
    """952 is the GS1 prefix for demonstrations."""
    made = gs1.sscc("952000123", 7, extension_digit=1)
    parsed = biip.parse(made).sscc

    assert (parsed.extension_digit, parsed.payload[1:10], parsed.prefix.value) == (1, "952000123", "952")
