"""Code 128 and GS1-128 against published figures, worked examples and independent readers.

Sources: ISO/IEC 15417:2007, Figure 1 ("AIM"), as quoted by open encoders; public worked examples of check characters;
figures of the GS1 General Specifications 21.0.1; zxing-cpp as reader; ReportLab's Code 128 as a second encoder.
"""

import random

import numpy as np
import pytest
import zxingcpp
from reportlab.graphics.barcode.code128 import Code128 as ReportLabCode128

from fulfil.standards import code128, gs1

AIM = "11010010000101000110001100010001010111011000101110110001100011101011"
TEN_DIGITS = "110100111001011001110010001011000111000101101100001010011011110110100111100101100011101011"
SSCC = (
    "110100111001111010111011011001100110100010001100010111011000100100110011011001101110111011011001100110110011"
    "001101100110011000100100100011101101100011101011"
)

CHECKED_BY_HAND = [
    ([104, 33, 41, 45], 45),
    ([103, 40, 41, 99, 34, 56, 78], 67),
    ([103, 48, 42, 42, 17, 18, 19, 35], 54),
    ([103, 33, 34, 35, 36, 37, 38], 42),
    ([104, 65, 66, 67, 68, 69, 70], 97),
    ([105, 34, 56, 78], 73),
    ([105, 12, 34, 56, 78, 90], 85),
]

GS1_FIGURES = [
    ("(00)395123451234567895", 156, 96),
    ("(00)006141411234567890", 156, 30),
    ("(00)395011015300000011", 156, 47),
    ("(420)45458", 90, 88),
    ("(420)87109", 90, 26),
    ("(01)09501101530003", 134, 71),
    ("(01)95012345678903(3102)000400", 189, 3),
    ("(01)10857674002017(10)1152KMB", 211, 17),
    ("(8005)000365(10)123456", 156, 70),
    ("(415)5412345678908(3911)710125", 189, 68),
]


def read(modules: str) -> list[zxingcpp.Barcode]:
    """What zxing-cpp sees in a clean picture of the symbol: three pixels a module, quiet zones of ten modules."""
    quiet = np.full(3 * code128.QUIET_ZONE_MODULES, 255, dtype=np.uint8)
    bars = np.repeat(np.where(np.frombuffer(modules.encode(), dtype=np.uint8) == ord("1"), 0, 255), 3)
    row = np.concatenate([quiet, bars.astype(np.uint8), quiet])
    return zxingcpp.read_barcodes(
        np.tile(row, (60, 1)), formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.Code128)
    )


def stated_check_value(modules: str) -> int:
    """The check character of a symbol: the eleven modules before the thirteen of the stop."""
    from barcode.charsets.code128 import CODES

    return CODES.index(modules[-24:-13])


@pytest.mark.parametrize(("values", "check"), CHECKED_BY_HAND)
def test_check_values_equal_the_worked_examples(values, check):
    """Seven worked examples, start sets A, B and C."""
    assert code128.check_value(values) == check


def test_the_standards_figure_is_reproduced_module_by_module():
    """ISO/IEC 15417 Figure 1, "AIM"."""
    assert code128.modules("AIM") == AIM


def test_ten_digits_take_ninety_modules():
    """An open encoder's published symbol for 1234567890."""
    assert code128.modules("1234567890") == TEN_DIGITS


@pytest.mark.parametrize(("text", "length", "check"), GS1_FIGURES)
def test_gs1_figures_have_the_published_length_and_check_character(text, length, check):
    """Figures 5.4.2-1, 6.6.5-1 to 6.6.5-6, 5.1-3, 7.8.5.1-1, 4.15.1-1 and 2.6.6-1 of the General Specifications."""
    symbol = code128.gs1_modules(gs1.element_string(gs1.parse(text)))

    assert len(symbol) == length
    assert stated_check_value(symbol) == check


def test_the_sscc_figure_is_reproduced_module_by_module():
    """General Specifications, figure 6.6.5-2."""
    assert code128.gs1_modules("00395011015300000011") == SSCC


@pytest.mark.parametrize("text", ["99", "999999", "9912345", "99A", "123", "12AB", "BAG0012345", " ", "a\tb~"])
def test_a_scanner_reads_back_what_was_encoded(text):
    """Among them the leading 99 that python-barcode 0.16.1 drops."""
    found = read(code128.modules(text))

    assert [barcode.bytes.decode() for barcode in found] == [text]
    assert found[0].symbology_identifier == "]C0"


@pytest.mark.parametrize(
    "text", [row[0] for row in GS1_FIGURES] + ["(10)LOT7(37)25(400)1234", "(10)99", "(00)995123451234567897"]
)
def test_a_scanner_reads_back_element_strings_with_separators(text):
    """FNC1 first gives ]C1; FNC1 between elements comes back as ASCII 29."""
    elements = gs1.parse(text)
    found = read(code128.gs1_modules(gs1.element_string(elements)))

    assert [barcode.bytes.decode() for barcode in found] == [gs1.element_string(elements)]
    assert found[0].symbology_identifier == "]C1"
    assert gs1.parse("]C1" + found[0].bytes.decode()) == elements


def test_two_encoders_say_the_same_to_a_scanner():
    """ReportLab chooses other code sets; both symbols decode to the same text (200 random texts, fixed seed)."""
    chance = random.Random(128)
    for _ in range(200):
        text = chance.choice(["", "99", "9"]) + "".join(chance.choices("0123456789AZaz -/", k=chance.randint(1, 12)))
        other = ReportLabCode128(text)
        other.validate()
        other.encode()
        widths = other.decompose()
        # ReportLab writes bars as A, B … and spaces as a, b … of width 1, 2 …
        theirs = "".join(("1" if w.isupper() else "0") * (ord(w.upper()) - 64) for w in widths)
        decoded = [[barcode.bytes.decode() for barcode in read(symbol)] for symbol in (code128.modules(text), theirs)]

        assert decoded == [[text], [text]]
