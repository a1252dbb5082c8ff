"""Close the day: refused until each difference is settled, or carried over with a reason; then it stays closed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from fulfil.despatch.reconcile import DayReconciliation, reconcile_day, reconciliation
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.files.spreadsheet import csv_bytes
from fulfil.files.written import write_all
from fulfil.papers.day.reconciliation import NUMBERED, DifferenceRow, ReconciliationSheet, SumRow
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.sheet import head
from fulfil.records.day_close import ClosedDay, Outcome, Settlement
from fulfil.records.happening import Happening
from fulfil.records.settings import Settings
from fulfil.records.text import cut
from fulfil.shipping.differences import Difference
from fulfil.shop.asking import ByName
from fulfil.shop.clock import local_time
from fulfil.store.books import Books
from fulfil.store.safe.closed_days import must_be_open
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Word:
    """What a person says about a difference, by its code."""

    code: str
    reason: str
    carry_over: bool = False


def settle(
    shop: Shop, code: str, reason: str, *, day: date, at: datetime, person: str, carry_over: bool = False
) -> Settlement:
    """A person's word on a difference: settled for good, or carried over to the next day.

    Raises:
        UnknownRefused: when the day has no such difference.
        StateRefused: when it has a word already, the reason is empty, or the day is closed.
    """
    return settle_all(shop, [Word(code, reason, carry_over)], day=day, at=at, person=person)[0]


def settle_all(shop: Shop, words: Iterable[Word], *, day: date, at: datetime, person: str) -> list[Settlement]:
    """Words on several differences, all of them or none; refused as by :func:`settle`."""
    made = []
    with shop.writing() as books:
        must_be_open(books, day, "change the day", day)
        now = reconciliation(books, day=day)
        for word in words:
            found = _wanted(now, word)
            settlement = Settlement(
                day=day,
                difference=found.code,
                outcome=Outcome.CARRIED_OVER if word.carry_over else Outcome.SETTLED,
                says=cut(f"{found.subject}: {found.says}"),
                subject=cut(found.subject),
                reason=word.reason,
                at=at,
                person=person,
            )
            books.add([settlement])
            particulars = {
                "outcome": settlement.outcome,
                "says": settlement.says,
                "reason": word.reason,
                "money": found.money,
            }
            books.journal(
                at=at, person=person, event=Happening.DIFFERENCE_SETTLED, subject=found.code, particulars=particulars
            )
            made.append(settlement)
    return made


def _wanted(now: DayReconciliation, word: Word) -> Difference:
    """The open difference that a word is about."""
    wanted = word.code.strip().upper()
    found = next((one for one in now.differences if one.code == wanted), None)
    if found is None:
        known = ", ".join(one.code for one in now.open_differences[:5]) or "none is open"
        raise UnknownRefused("settle the difference", word.code, f"the code of one of this day ({known})")
    if wanted in now.words:
        said = now.words[wanted]
        raise StateRefused("settle the difference", wanted, f"an open one; {said.person} has it {said.outcome}")
    if not word.reason.strip():
        raise StateRefused("settle the difference", wanted, "a reason, for the one who asks next month")
    return found


def close_day(shop: Shop, *, day: date, at: datetime, person: str) -> ClosedDay:
    """Closes a day whose differences all have their word and whose manifests are all closed.

    Raises:
        StateRefused: when a difference or a manifest is open, or the day is closed already.
    """
    with shop.writing() as books:
        must_be_open(books, day, "change the day", day)
        now = reconciliation(books, day=day)
        if now.open_manifests:
            numbers = ", ".join(manifest.number for manifest in now.open_manifests)
            raise StateRefused("close the day", day, f"no open manifest; close {numbers}")
        if now.open_differences:
            count = len(now.open_differences)
            codes = ", ".join(one.code for one in now.open_differences[:5])
            expected = (
                f"each difference settled or carried over with a reason; {count} {'is' if count == 1 else 'are'} open "
                f"({codes}{', …' if count > 5 else ''})"
            )
            raise StateRefused("close the day", day, expected)
        words = list(now.words.values())
        carried = sum(one.outcome is Outcome.CARRIED_OVER for one in words)
        closed = ClosedDay(
            day=day,
            at=at,
            person=person,
            ordered=now.balance.ordered,
            shipped=now.balance.shipped,
            packages=now.packages,
            settled=len(words) - carried,
            carried_over=carried,
        )
        books.add([closed])
        particulars = closed.model_dump(mode="json", exclude={"at", "person"})
        books.journal(at=at, person=person, event=Happening.DAY_CLOSED, subject=str(day), particulars=particulars)
    return closed


def reconciliation_sheet(books: Books, now: DayReconciliation) -> ReconciliationSheet:
    """The reconciliation as a page."""
    settings = books.settings()
    rows = []
    for one in now.differences:
        word = now.words.get(one.code)
        outcome = "" if word is None else f"{word.outcome.capitalize()} by {word.person}: {word.reason}"
        row = DifferenceRow(
            code=one.code, cause=one.cause, subject=one.subject, says=one.says, do=one.do, money=one.money,
            outcome=outcome,
        )  # fmt: skip
        rows.append(row)
    costs = now.frames["costs"]
    return ReconciliationSheet(
        **head(settings, NUMBERED.number(now.day), now.day),
        state_sentence=_state_sentence(now, settings),
        is_closed=now.closed is not None,
        sums=tuple(
            SumRow(label=one.label, ours=_grouped(one.ours), theirs=_grouped(one.theirs), agrees=one.holds)
            for one in now.sums
        ),
        differences=tuple(rows),
        costs=tuple(
            (
                str(row["order"]),
                str(row["packages"]),
                f"{row['currency']} {row['agreed']}",
                f"{row['currency']} {row['billed']}" if row["billed"] else "–",
            )
            for row in costs.to_dict("records")
        ),
    )


def write_tables(now: DayReconciliation, out: Path, *, for_spreadsheet: bool) -> list[Path]:
    """Writes the reconciliation's frames as CSV for programs, or under other names so that no spreadsheet spoils it.

    Raises:
        FileRefused: when a file can't be written.
    """
    made = {}
    suffix = "-for-spreadsheet" if for_spreadsheet else ""
    for name, frame in sorted(now.frames.items()):
        rows = [[None if cell != cell else cell for cell in row] for row in frame.itertuples(index=False)]
        content = csv_bytes([str(column) for column in frame.columns], rows, for_spreadsheet=for_spreadsheet)
        made[f"{now.day}-{name}{suffix}.csv"] = content
    return write_all(out, made)


def _grouped(said: str) -> str:
    """A sum as printed: whole pieces in groups of three, others as they are."""
    return pieces_text(int(said)) if said.isdigit() else said


def _state_sentence(now: DayReconciliation, settings: Settings) -> str:
    if now.closed is not None:
        closed = f"Closed {local_time(now.closed.at, settings)} by {now.closed.person}"
        return f"{closed}: {now.closed.settled} settled, {now.closed.carried_over} carried over."
    if now.open_differences:
        count = len(now.open_differences)
        are_open = "difference is" if count == 1 else "differences are"
        return f"{count} {are_open} open: settle each, or carry it over with a reason."
    return "Nothing is open: the day can be closed."


def _as_it_stands(shop: Shop, at: datetime) -> tuple[ReconciliationSheet, ...]:
    now = reconcile_day(shop, day=at.date())
    with shop.reading() as books:
        return (reconciliation_sheet(books, now),)


BY_NAME = (ByName(ReconciliationSheet, _as_it_stands),)
