"""A despatch advice is right when it exists."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fulfil.errors import CodeRefused
from fulfil.standards.despatch_advice import DespatchAdvice, Line, Package, Party

SELLER = Party("Kleinteilehaus Muster", ("Musterweg 1",), "Musterstadt", "12345", "DE")
ADVICE = DespatchAdvice(
    number="DA-17",
    issued=datetime(2026, 3, 2, 16, 5, tzinfo=UTC),
    order_number="PO-9",
    seller=SELLER,
    consignee=SELLER,
    lines=(Line(1, "1", "SCR-0016", "Cap screw", 250, 200), Line(2, "2", "NUT-0003", "Nut", 10, 10)),
    packages=(Package("P1", 300, ((1, 150), (2, 10))), Package("P2", 100, ((1, 50),))),
)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"lines": ()}, "Cannot advise the despatch 'DA-17': expected at least one line."),
        (
            {"lines": ADVICE.lines[::-1]},
            "Cannot advise the despatch of lines '[2, 1]': expected line numbers ascending, each once.",
        ),
        (
            {"packages": ADVICE.packages[:1]},
            "Cannot advise the despatch of line 1 '200 pieces': expected as many in packages, got 150.",
        ),
        (
            {"lines": ADVICE.lines[:1]},
            "Cannot advise the despatch of lines '[2]': expected only lines of this advice.",
        ),
        (
            {"packages": (ADVICE.packages[0], replace(ADVICE.packages[1], number="P1"))},
            "Cannot advise the despatch of packages 'P1, P1': expected each package once.",
        ),
        ({"note": "a\x00b"}, "Cannot put into a despatch advice 'a\x00b': expected text without control characters."),
    ],
)
def test_an_advice_that_contradicts_itself_is_refused(changes, sentence):
    """Every piece is in one package, every package is named once."""
    with pytest.raises(CodeRefused) as refusal:
        replace(ADVICE, **changes)

    assert str(refusal.value) == sentence


def test_masses_add_up_and_outstanding_pieces_are_what_is_missing():
    """More despatched than ordered leaves nothing outstanding."""
    assert ADVICE.gross_g == 400
    assert [line.outstanding_pieces for line in ADVICE.lines] == [50, 0]
    assert replace(ADVICE.lines[1], ordered_pieces=9).outstanding_pieces == 0
    assert ADVICE.line(2).part_number == "NUT-0003"


@pytest.mark.parametrize(
    "make",
    [
        lambda: replace(SELLER, country="ZZ"),
        lambda: replace(SELLER, gln="4012345000001"),
        lambda: replace(SELLER, name="two\nlines"),
        lambda: Line(0, "1", "P", "Part", 1, 1),
        lambda: Line(1, "1", "P", "Part", 1, -1),
        lambda: Package("P1", 0, ((1, 1),)),
        lambda: Package("P1", 5, ((1, 0),)),
        lambda: Package("P1", 5, ((1, 1),), sscc="395200012300000422"),
    ],
)
def test_parts_of_an_advice_check_themselves(make):
    """Countries, keys, counts and masses."""
    with pytest.raises(CodeRefused):
        make()


def test_a_no_break_space_in_a_name_is_no_control_character():
    """Pasted addresses have them."""
    assert replace(SELLER, name="Muster\u00a0& Co").name == "Muster\u00a0& Co"
