"""How many positions an order takes on a cart, by what fills first: its volume or its mass; sums by hand."""

from decimal import Decimal

import pytest

from fulfil.records.settings import Settings
from fulfil.walks.cart import positions_needed

CART = Settings(
    shop_name="Invented carts", cart_positions=8, cart_volume_mm3=80_000_000, cart_max_load_g=Decimal(16_000)
)
"""Eight positions of 10 litres and 2 kg each."""


@pytest.mark.parametrize(
    ("volume_mm3", "mass_g", "positions"),
    [
        (1, 1.0, 1),  # anything takes one
        (0, 0.0, 1),
        (10_000_000, 2_000.0, 1),  # exactly one position's worth of both
        (10_000_001, 2_000.0, 2),  # a cubic millimetre more
        (10_000_000, 2_000.1, 2),  # a tenth of a gram more
        (9_000_000, 7_900.0, 4),  # small and heavy, a bag of steel balls: its mass decides
        (39_000_000, 900.0, 4),  # large and light, a bag of felts: its volume decides
        (80_000_000, 16_000.0, 8),
    ],
)
def test_volume_or_mass_whichever_asks_for_more(volume_mm3: float, mass_g: float, positions: int) -> None:
    """A position holds an equal share of the cart's volume and of its load."""
    assert positions_needed(volume_mm3, mass_g, CART) == positions
