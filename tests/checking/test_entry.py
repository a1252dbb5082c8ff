"""Lines at a bench: what each is, and that nothing half is taken for something whole."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.checking.entry import Card, Entry, EntryKind, card_code, position_code, read_entry, wrong_digits


@pytest.mark.parametrize("card", list(Card))
def test_a_command_is_the_same_scanned_and_typed(card):
    """The card's bar code and the typed word give the same command, in capitals or small letters."""
    assert read_entry(card_code(card)).card is card
    assert read_entry(card.value).card is card
    assert read_entry(card.value.upper()).card is card


@pytest.mark.parametrize(
    ("line", "kind", "text", "number"),
    [
        ("", EntryKind.NOTHING, "", "0"),
        ("   ", EntryKind.NOTHING, "", "0"),
        ("@anna", EntryKind.BADGE, "anna", "0"),
        ("*POS-12", EntryKind.POSITION, "*POS-12", "12"),
        ("pos 3", EntryKind.POSITION, "pos 3", "3"),
        ("47.10 g", EntryKind.MASS, "47.10 g", "47.10"),
        ("-0.50g", EntryKind.MASS, "-0.50g", "-0.50"),
        ("0.523 kg", EntryKind.MASS, "0.523 kg", "523"),
        ("#50", EntryKind.PIECES, "#50", "50"),
        ("50 pcs", EntryKind.PIECES, "50 pcs", "50"),
        ("47.10", EntryKind.NUMBER, "47.10", "47.10"),
        ("B2603020001", EntryKind.CODE, "B2603020001", "0"),
        ("47,1", EntryKind.NUMBER, "47,1", "47.1"),
        ("2603020001", EntryKind.CODE, "2603020001", "0"),
        ("@", EntryKind.CODE, "@", "0"),
    ],
)
def test_a_line_is_what_it_says(line, kind, text, number):
    """Marks and units tell kinds apart; a decimal comma and ten digits in a row are no number."""
    entry = read_entry(line)

    assert (entry.kind, entry.text, entry.number) == (kind, text, Decimal(number))


def test_words_after_a_command_are_kept():
    """'no' and its card may be followed by what the checker sees."""
    assert read_entry("no black, not zinc") == Entry(EntryKind.CARD, "black, not zinc", card=Card.LOOKS_WRONG)
    assert read_entry("*REOPEN a spring is missing").text == "a spring is missing"
    assert read_entry("undo it").kind is EntryKind.CODE


@given(st.text(max_size=60))
def test_every_line_is_something(line):
    """No line raises, whatever a scanner drops or doubles."""
    assert read_entry(line).kind in EntryKind


@given(st.integers(1, 999))
def test_position_cards_read_back(position):
    """What the card prints is what the bench reads."""
    assert read_entry(position_code(position)).number == position


@pytest.mark.parametrize(
    ("mass", "d", "says"),
    [
        ("47.10", "0.01", ""),
        ("47.10", "0.02", ""),
        ("47.1", "0.01", "47.10, not 47.1"),
        ("47", "0.1", "47.0, not 47"),
        ("525", "5", ""),
        ("520", "10", ""),
        ("525.0", "5", "525, not 525.0"),
    ],
)
def test_a_weight_has_the_digits_of_its_scale(mass, d, says):
    """A reading is copied digit by digit."""
    assert says in wrong_digits(Decimal(mass), Decimal(d))
    assert bool(wrong_digits(Decimal(mass), Decimal(d))) is bool(says)
