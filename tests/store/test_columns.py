"""Columns give back exactly what was put in."""

from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.records.order import OrderState
from fulfil.store.columns import Micrograms, Moment, Word

MASSES = st.decimals(min_value=-(10**9), max_value=10**9, places=6, allow_nan=False, allow_infinity=False)
OFFSETS = st.integers(-23 * 60, 23 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))


@given(MASSES)
def test_every_mass_comes_back_exactly(mass_g: Decimal) -> None:
    """A mass of up to six decimals is a whole number of micrograms and comes back equal, printed without exponent."""
    stored = Micrograms().process_bind_param(mass_g, None)
    back = Micrograms().process_result_value(stored, None)

    assert isinstance(stored, int)
    assert back == mass_g
    assert "E" not in str(back)


@given(st.datetimes(min_value=datetime(2000, 1, 1), max_value=datetime(2100, 1, 1), timezones=OFFSETS))  # noqa: DTZ001
def test_every_moment_comes_back(moment: datetime) -> None:
    """A time of any offset is stored as UTC without one and comes back as the same moment in UTC."""
    stored = Moment().process_bind_param(moment, None)
    back = Moment().process_result_value(stored, None)

    assert stored is not None
    assert stored.tzinfo is None
    assert back == moment
    assert back is not None
    assert back.tzinfo is UTC


def test_time_without_offset_is_refused() -> None:
    """A time that doesn't say its offset can't be stored."""
    with pytest.raises(QuantityRefused) as refused:
        Moment().process_bind_param(datetime(2026, 3, 2, 8), None)  # noqa: DTZ001
    assert str(refused.value) == (
        "Cannot store a time '2026-03-02T08:00:00': expected a time with its offset from UTC."
    )


def test_words_are_stored_as_their_text() -> None:
    """An enum is stored by its text, not its Python name, and a foreign word is refused."""
    word = Word(OrderState)

    assert word.process_bind_param(OrderState.HELD, None) == "held"
    assert word.process_result_value("held", None) is OrderState.HELD
    with pytest.raises(QuantityRefused, match="'lost'"):
        word.process_bind_param("lost", None)  # type: ignore[arg-type]
