"""Numbers come out of a given range, in order, and rest before they come again."""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused, StateRefused
from fulfil.records.identifier import Identifier, IdentifierKind, IdentifierRange
from fulfil.shipping.identifiers import has_rested, next_number

GIVEN = IdentifierRange(
    code="R1",
    kind=IdentifierKind.S10,
    prefix="RR",
    country="GB",
    first=47312482,
    last=47312484,
    given_on=date(2026, 1, 5),
)


def used(serial, day):
    """One use of a serial."""
    at = datetime(day.year, day.month, day.day, tzinfo=UTC)
    return Identifier(number=GIVEN.number(serial), package_number="P", range_code="R1", serial=serial, issued_at=at)


def test_numbers_come_in_order_with_the_published_check_digit():
    """47312482 has check digit 9 (UPU S10-12, 2017, published example)."""
    assert next_number(GIVEN, [], on=date(2026, 3, 2)) == (47312482, "RR473124829GB")
    assert next_number(GIVEN, [used(47312482, date(2026, 3, 2))], on=date(2026, 3, 2)) == (47312483, "RR473124832GB")


def test_a_used_up_range_waits_for_the_number_that_rested_longest():
    """24 months are recommended by S10-12: a day before, the range is refused; on the day, the oldest comes again."""
    all_used = [used(47312482, date(2026, 3, 3)), used(47312483, date(2026, 3, 2)), used(47312484, date(2026, 3, 4))]

    with pytest.raises(StateRefused) as refused:
        next_number(GIVEN, all_used, on=date(2028, 3, 1))

    assert str(refused.value) == (
        "Cannot take a number from the range 'R1': expected a serial that was never used or has rested 24 months; "
        "ask for a new range."
    )
    assert next_number(GIVEN, all_used, on=date(2028, 3, 2))[0] == 47312483


def test_a_number_used_twice_rests_from_its_last_use():
    """The rest begins again with each use."""
    again = [used(serial, date(2026, 3, 2)) for serial in range(47312482, 47312485)]
    again.append(used(47312482, date(2028, 3, 2)))

    assert next_number(GIVEN, again, on=date(2028, 3, 3))[0] == 47312483


def test_an_sscc_range_needs_the_shops_own_prefix():
    """Prefix 952000123 (the GS1 prefix 952 is kept for demonstrations); an empty one is refused."""
    given_by_gs1 = IdentifierRange(
        code="G", kind=IdentifierKind.SSCC, prefix="952000123", first=42, last=99, given_on=date(2026, 1, 5)
    )

    assert next_number(given_by_gs1, [], on=date(2026, 3, 2)) == (42, "095200012300000424")
    with pytest.raises(CodeRefused, match="licensed to this shop"):
        IdentifierRange(code="G", kind=IdentifierKind.SSCC, prefix="12", first=1, last=2, given_on=date(2026, 1, 5))


@pytest.mark.parametrize(
    "wrong",
    [{"first": 5, "last": 4}, {"prefix": "R"}, {"prefix": "JR"}, {"country": "ZZ"}, {"last": 100_000_000}],
)
def test_a_range_that_no_post_gives_is_refused(wrong):
    """Serials in the wrong order, one letter, a reserved letter, no country, nine digits."""
    right = {"code": "R", "kind": "s10", "prefix": "RR", "country": "GB", "first": 1, "last": 9}
    with pytest.raises(CodeRefused):
        IdentifierRange(**(right | wrong), given_on=date(2026, 1, 5))


@given(st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.integers(1, 36))
def test_rest_is_counted_in_whole_months(since, months):
    """After so many months and a day it has rested; a day before the month is full it hasn't."""
    year, month = divmod(since.year * 12 + since.month - 1 + months, 12)
    first_after = date(year + (month == 11), (month + 1) % 12 + 1, 1)

    assert has_rested(since, first_after, months)
    assert not has_rested(since, date(year, month + 1, 1), months) or since.day == 1
