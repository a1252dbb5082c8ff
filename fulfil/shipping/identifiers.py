"""The next number out of a range that the shop was given: SSCC or S10, in order, none again before it has rested.

An S10 number rests at least 12 months, 24 are recommended (UPU S10-12) and kept here. An SSCC must not be used again
within a year of its shipment (GS1 General Specifications, quoted from memory); it rests 12 months here.

>>> from datetime import UTC, datetime
>>> given = IdentifierRange(code="R1", kind="s10", prefix="RR", country="GB", first=47312482, last=47312483,
...     given_on=date(2026, 1, 5))
>>> next_number(given, [], on=date(2026, 3, 2))
(47312482, 'RR473124829GB')

When the range is used up, the number that has rested longest comes again, if it has rested enough; else nothing is
invented:

>>> used = [Identifier(number=given.number(serial), package_number=f"P{serial}", range_code="R1", serial=serial,
...     issued_at=datetime(2026, 3, 2, tzinfo=UTC)) for serial in (47312482, 47312483)]
>>> next_number(given, used, on=date(2028, 3, 1))
Traceback (most recent call last):
    ...
fulfil.errors.StateRefused: Cannot take a number from the range 'R1': expected a serial that was never used or has rested 24 months; ask for a new range.
>>> next_number(given, used, on=date(2028, 3, 2))[0]
47312482

A number is recognised however it is written: small letters, spaces, hyphens and a bar code's own prefix count for nothing.

>>> folded("rr 473 124 829 gb"), folded("(00) 3761 0425 0021 2345 69"), folded("p2603020001")
('RR473124829GB', '376104250021234569', 'P2603020001')

Limits: the range is trusted to be the shop's own; numbers printed by other means aren't known here.
"""  # noqa: E501 - a refusal is one sentence

from collections.abc import Iterable
from contextlib import suppress
from datetime import date

from fulfil.errors import CodeRefused, StateRefused
from fulfil.records.identifier import Identifier, IdentifierKind, IdentifierRange
from fulfil.standards import gs1, s10

_SSCC_WITH_AI = 20

REST_MONTHS = {IdentifierKind.SSCC: 12, IdentifierKind.S10: s10.REUSE_MONTHS_RECOMMENDED}


def next_number(given: IdentifierRange, issued: Iterable[Identifier], *, on: date) -> tuple[int, str]:
    """The next serial and its number: after the highest one used; then the one that has rested longest.

    Raises:
        StateRefused: all serials are used and none has rested long enough.
    """
    last_used: dict[int, date] = {}
    for one in issued:
        day = one.issued_at.date()
        last_used[one.serial] = max(day, last_used.get(one.serial, day))
    serial = max(last_used, default=given.first - 1) + 1
    if serial > given.last:
        serial = min(last_used, key=lambda used: (last_used[used], used))
        months = REST_MONTHS[given.kind]
        if not has_rested(last_used[serial], on, months):
            expected = f"a serial that was never used or has rested {months} months; ask for a new range"
            raise StateRefused("take a number from the range", given.code, expected)
    return serial, given.number(serial)


def has_rested(since: date, until: date, months: int) -> bool:
    """Whether so many whole calendar months lie between two days.

    >>> has_rested(date(2026, 1, 31), date(2026, 2, 28), 1), has_rested(date(2026, 1, 31), date(2026, 3, 1), 1)
    (False, True)
    """
    passed = (until.year - since.year) * 12 + until.month - since.month
    return passed - (until.day < since.day) >= months


def folded(text: str) -> str:
    """A number for comparison: capitals and digits alone; of an SSCC without its application identifier 00.

    The identifier is left out only before 18 digits whose check digit is right (GS1 General Specifications, 3.2 and
    7.9), since a carrier's own number of 20 digits may begin with 00 too.

    >>> folded("00376104250021234560"), folded("]C100376104250021234569")
    ('00376104250021234560', '376104250021234569')
    """
    bare = text.strip().upper()
    bare = bare[3:] if bare.startswith("]C1") else bare
    kept = "".join(letter for letter in bare if letter.isascii() and letter.isalnum())
    if len(kept) == _SSCC_WITH_AI and kept.isdigit() and kept.startswith("00"):
        with suppress(CodeRefused):
            return gs1.validate_sscc(kept[2:])
    return kept
