"""Kits: parts made of parts, in the shop's words and on the papers.

A kit is sold as one line at one price. Stock, walks, bags and checks know its parts only; the customer's papers know
the kit. Its bags go together into one more bag with a label of its own: what it should weigh is the sum of the bags
that passed, or of their unit weights before, and the mean empty bag; its window is made as a package's is, for the
finest scale of the shop that carries it, which the label names.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fulfil.errors import StateRefused
from fulfil.files.catalogue import read_bytes
from fulfil.files.columns import Column, code, needed_names, pieces
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import read_rows
from fulfil.orders.places import kits_of, orders_with
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.kit import KitPart
from fulfil.records.order import OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import ENDED_PLACES, Owed
from fulfil.store.books import Books
from fulfil.store.shop import Shop

KITS = (Column("kit", "kit_number", code), Column("part", "part_number", code), Column("pieces", "pieces", pieces))


@dataclass(frozen=True)
class KitsImport:
    """What came in: new or changed kits; nothing where there are findings."""

    kits: int
    findings: tuple[Finding, ...]


def import_kits(shop: Shop, path: Path, *, at: datetime, person: str, encoding: str = "utf-8-sig") -> KitsImport:
    """Imports a CSV file of kits (``kit``, ``part``, ``pieces``, a row a part), whole or not at all.

    Kits of the file take the place of those with the same number; the others stay.

    Raises:
        FileRefused: the file can't be read, or ``encoding`` is no encoding.
    """
    rows = read_rows(read_bytes(path), path.name, needed=needed_names(KITS), optional=(), encoding=encoding)
    file = FileReading(path.name, list(rows.findings))
    with shop.writing() as books:
        known = {part.number: part for part in books.find(Part)}
        kits = {row.cells["kit"] for row in rows.rows}
        made = []
        for row in rows.rows:
            one = file.record(KitPart, KITS, row)
            if one is None or not file.is_new(row, "part", f"{one.kit_number} {one.part_number}"):
                continue
            for column, number in (("kit", one.kit_number), ("part", one.part_number)):
                if number not in known:
                    file.find(row, column, "is no part of the shop", "add it to parts.csv")
            if one.part_number in kits:
                file.find(row, "part", "is a kit itself", "name the parts that are in it")
            made.append(one)
        if file.findings:
            return KitsImport(0, tuple(file.findings))
        numbers = sorted({one.kit_number for one in made})
        used = {line.part_number for line in _open_lines(books)}
        before = kits_of(books)
        now: dict[str, list[KitPart]] = {number: [] for number in numbers}
        for one in made:
            now[one.kit_number].append(one)
        changed = [number for number in numbers if before.get(number) != _content(now[number])]
        for number in changed:
            if number in used:
                says, do = "is in orders that aren't sent yet, so it must stay as it is", "import it when they are sent"
                return KitsImport(0, (Finding(path.name, None, "kit", number, says, do),))
        books.remove(KitPart, kit_number=changed)
        books.add([one for number in changed for one in now[number]])
        if changed:
            books.journal(
                at=at, person=person, event=Happening.KITS_IMPORTED, subject="kits", particulars={"kits": changed}
            )
    return KitsImport(len(changed), ())


def set_kit(shop: Shop, number: str, parts: Sequence[tuple[str, int]], *, at: datetime, person: str) -> None:
    """Says what one kit is made of.

    Raises:
        UnknownRefused: the kit or a part is no part of the shop.
        StateRefused: the kit is in an order that isn't sent yet, or holds itself or another kit.
    """
    with shop.writing() as books:
        books.need(Part, number)
        kits = kits_of(books)
        for part, _ in parts:
            books.need(Part, part)
        if any(part == number or part in kits for part, _ in parts) or not parts:
            raise StateRefused("make the kit", number, "parts that are no kits, one or more")
        if any(line.part_number == number for line in _open_lines(books)):
            raise StateRefused("change the kit", number, "one that is in no order that waits to be sent")
        books.remove(KitPart, kit_number=number)
        books.add([KitPart(kit_number=number, part_number=part, pieces=n) for part, n in parts])
        books.journal(at=at, person=person, event=Happening.KIT_SET, subject=number, particulars={"parts": dict(parts)})


def _content(rows: Sequence[KitPart]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted((row.part_number, row.pieces) for row in rows))


def _open_lines(books: Books) -> list[OrderLine]:
    """Lines of orders of which something is still owed."""
    numbers = orders_with(books, *(place for place in Owed if place not in ENDED_PLACES))
    return books.find(OrderLine, order_number=numbers)
