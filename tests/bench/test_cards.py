"""The cards at the benches: each command once, each position of the cart once, from the first to the last."""

import pytest

from fulfil.bench.cards import badge_sheets, card_sheets
from fulfil.checking.entry import Card, EntryKind, read_entry
from fulfil.errors import QuantityRefused
from fulfil.records.settings import Settings


@pytest.mark.parametrize(("asked", "positions"), [(None, 6), (0, 0), (1, 1), (12, 12)])
def test_a_card_for_each_command_then_for_each_position(asked: int | None, positions: int) -> None:
    """What each bar code types is read as what the card says."""
    sheets = card_sheets(Settings(cart_positions=6), asked)
    entries = [read_entry(sheet.code) for sheet in sheets]
    assert [entry.card for entry in entries[: len(Card)]] == [*Card]
    places = entries[len(Card) :]
    assert {entry.kind for entry in places} <= {EntryKind.POSITION}
    assert [int(entry.number) for entry in places] == [*range(1, positions + 1)]
    assert [sheet.title for sheet in sheets[len(Card) :]] == [f"position {one}" for one in range(1, positions + 1)]


def test_fewer_than_no_positions_are_refused() -> None:
    """A slip of the finger."""
    with pytest.raises(QuantityRefused, match="0 or more"):
        card_sheets(Settings(), -1)


@pytest.mark.parametrize("name", ["", " ", " ngaio", "ngaio "])
def test_a_badge_needs_a_name_without_spaces_around_it(name: str) -> None:
    """A scanner would type the spaces too."""
    with pytest.raises(QuantityRefused, match="a name without spaces around it"):
        badge_sheets(Settings(), ["piripi", name])
