"""Sheets: every word and figure of a paper, computed already, so that a paper only places them.

A sheet is a frozen dataclass of plain values: ``str``, ``int``, ``Decimal``, ``date``, ``time``, the words of closed
lists, and tuples of smaller ones. It knows no page, no font and no database; the same sheet gives the same paper, byte
for byte, and its twin as plain text and JSON (:mod:`fulfil.papers.twin`). It stands in its paper's own module, beside
the drawing; what several papers share has a small module of its own.

Units and writing, the same for all sheets:

* Masses are ``Decimal`` grams *with the digits to be printed* (a window has the scale's digits); papers print them by
  :func:`fulfil.quantities.print_grams`, package papers by :func:`~fulfil.quantities.print_package_mass`.
* Lengths are whole millimetres; a walk prints in metres. Pieces are whole numbers.
* Texts are printed as given, whole: wrapped where long, never cut. Empty text prints nothing.
* Rows are printed in the order given. Totals are properties of the sheet, so that they can't disagree with its rows.

>>> DocumentSheet(document_number="PL-0007", shop_name="Example Clockworks (invented)", day=date(2025, 3, 4)).notice
''
>>> sorted(head(Settings(shop_name="Example", currency="EUR", time_zone="UTC"), "PL-0007", date(2025, 3, 4)))
['day', 'document_number', 'notice', 'shop_name']
"""

from dataclasses import dataclass, fields
from datetime import date
from typing import Any, TypedDict, TypeVar

from fulfil.records.settings import Settings

SheetT = TypeVar("SheetT", bound="Sheet")


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What one paper says; each paper's sheet is a class of its own, by which its drawing is found."""


@dataclass(frozen=True, kw_only=True)
class DocumentSheet(Sheet):
    """The head of a document.

    Attributes:
        document_number: printed and drawn as a bar code on every page; printable ASCII.
        shop_name: whose paper it is.
        day: the day it is for.
        notice: said in a box on the first page, such as 'Demo shop: all data invented, weighings simulated.'
        language: of the words given, as a BCP 47 tag; goes into the file's metadata.
    """

    document_number: str
    shop_name: str
    day: date
    notice: str = ""
    language: str = "en"


class Head(TypedDict):
    """What every document of a shop begins with: arguments of its sheet, checked by name."""

    document_number: str
    shop_name: str
    day: date
    notice: str


def head(settings: Settings, number: str, day: date) -> Head:
    """The head of a shop's document."""
    return Head(document_number=number, shop_name=settings.shop_name, day=day, notice=settings.notice)


def recast(sheet: Sheet, kind: type[SheetT], **changes: Any) -> SheetT:
    """The same words as another paper's sheet, which has the same fields, but for the changes."""
    return kind(**{field.name: getattr(sheet, field.name) for field in fields(sheet)} | changes)
