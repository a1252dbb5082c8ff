"""Which column of a source's orders is which of ours: first by what is in it, then by the word above it.

Part numbers that the shop has, lists of them, e-mail addresses and dates tell themselves; the rest is told by its word
(:mod:`fulfil.files.mapping.header_words`). Of two columns with the same word the one for shipping is taken, never the
one for billing. First and last name, street and house number, a second address line are put together.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass

from fulfil.files.mapping.content import date_formats, is_country, is_mail, items_written, share
from fulfil.files.mapping.header_words import meant, plain
from fulfil.files.mapping.number_signs import bare
from fulfil.files.rows.table import Table
from fulfil.records.order_mapping import Layout
from fulfil.records.text import tidy

_SHIPPING = (
    "shipping", "delivery", "ship to", "ship", "liefer", "lieferung", "versand", "livraison", "envío", "envio",
    "spedizione", "consegna", "dostawa", "levering", "leverans", "recipient", "empfänger", "destinataire", "доставка",
    "доставки", "получатель", "お届け先", "届け先", "收货", "收件人", "받는분",
)  # fmt: skip
_BILLING = (
    "billing",
    "bill",
    "invoice to",
    "payer",
    "rechnung",
    "rechnungs",
    "facturation",
    "facturación",
    "fatturazione",
)
_PLAIN_NUMBERS = frozenset(
    ("nr", "no", "id", "number", "nummer", "numéro", "numero", "número", "číslo", "№", "n", "č", "#")
)
_LINE_LEVEL = ("part", "pieces", "unit_price")


@dataclass(frozen=True)
class Guess:
    """Our column → the file's; texts made of several; what a row is; how lists of items are written."""

    columns: dict[str, str]
    fixed: dict[str, str]
    layout: Layout
    items: tuple[str, str] | None
    left_alone: tuple[str, ...]


def guesses_of(table: Table, parts: Collection[str]) -> Guess:
    """What the columns are; ``parts`` are the shop's part numbers, case-folded."""
    cells = {name: [row[place] for _, row in table.rows if place < len(row)] for place, name in enumerate(table.header)}
    found: dict[str, str] = {}
    items = None
    layout = Layout.LINE
    numbered = _numbered(table.header)
    if "part" in numbered and "pieces" in numbered:
        layout = Layout.ORDER
        found |= numbered
    else:
        _find_parts(cells, parts, found)
        if "part" not in found and (listed := _find_items(cells, parts)):
            layout, (found["items"], items) = Layout.LIST, listed
    taken = {*found.values()}
    ranked = [(ours, _rank(name), name) for name in table.header if name not in taken for ours in _said(name)]
    for ours, _, name in sorted(ranked, key=lambda one: -one[1]):
        is_done = ours in found or name in found.values()
        is_line = layout is not Layout.LINE and ours in _LINE_LEVEL
        if not is_done and not is_line and _may_be(ours, cells[name]):
            found[ours] = name
    if "order" not in found:
        plainly = [name for name in table.header if plain(name) in _PLAIN_NUMBERS and name not in found.values()]
        found.update({"order": name} if (name := next(iter(plainly), "")) else {})
    for ours, is_one in (("email", is_mail), ("country", _is_country_word)):
        if ours not in found:
            fitting = [name for name in cells if name not in found.values() and share(cells[name], is_one) > 0.9]
            if fitting:
                found[ours] = fitting[0]
    if "items" in found and layout is not Layout.LIST:
        del found["items"]
    fixed = _joined(found)
    used = {*found.values()} | set(re.findall(r"\{([^{}|]+)", " ".join(fixed.values())))
    left = [name for name in table.header if name and name not in used and _pattern(name) not in used]
    return Guess(found, fixed, layout, items, tuple(left))


def _find_parts(cells: dict[str, list[str]], parts: Collection[str], found: dict[str, str]) -> None:
    shares = {name: share(column, lambda cell: tidy(cell).casefold() in parts) for name, column in cells.items()}
    best = max(shares, key=lambda name: (shares[name], "part" in _said(name)), default="")
    if best and shares[best] >= 0.5:
        found["part"] = best


def _find_items(cells: dict[str, list[str]], parts: Collection[str]) -> tuple[str, tuple[str, str]] | None:
    for name, column in cells.items():
        if any(any(letter.isdigit() for letter in cell) for cell in column):
            written = items_written(column, parts)
            if written is not None:
                return name, written
    return None


def _numbered(header: tuple[str, ...]) -> dict[str, str]:
    """Columns that come as 1, 2, 3: ours → the file's, with ``#`` for the number."""
    patterns = [_pattern(name) for name in header]
    found: dict[str, str] = {}
    for pattern in dict.fromkeys(patterns):
        if "#" in pattern and patterns.count(pattern) > 1:
            for ours in _said(re.sub(r"[\s_#.-]+", " ", pattern).strip()):
                if ours in _LINE_LEVEL:
                    found.setdefault(ours, pattern)
    return found


def _pattern(name: str) -> str:
    return re.sub(r"[0-9]+(?!.*[0-9])", "#", name)


def _said(name: str) -> tuple[str, ...]:
    """What a header may mean, with or without its word for shipping or billing before it."""
    said = meant(name, "orders")
    word = plain(name)
    for before in (*_SHIPPING, *_BILLING):
        if not said and word.startswith(before) and len(word) > len(before):
            said = meant(word.removeprefix(before).strip(), "orders")
    return said


def _rank(name: str) -> int:
    word = plain(name)
    if word.startswith(_BILLING) and not meant(name, "orders"):
        return -1
    return 1 if word.startswith(_SHIPPING) and not meant(name, "orders") else 0


def _may_be(ours: str, cells: list[str]) -> bool:
    """Whether the cells can be what the word says."""
    if not any(cells):
        return ours in ("address_2", "company", "phone", "email", "region", "note_packer", "house_no")
    if ours == "received_at":
        return bool(date_formats(cells))
    if ours == "country":
        return share(cells, is_country) >= 0.5
    if ours in ("pieces", "unit_price"):
        return share(cells, lambda cell: any(map(str.isdigit, cell)) and bare(cell)[:1] in "-0123456789") > 0.9
    if ours == "post_code":
        return share(cells, lambda cell: any(map(str.isalnum, cell)) and len(cell) <= 12) > 0.9
    if ours == "city":
        return share(cells, is_country) < 0.9
    return True


def _is_country_word(cell: str) -> bool:
    return len(cell) > 1 and is_country(cell)


def _joined(found: dict[str, str]) -> dict[str, str]:
    """Texts made of several columns; takes those columns out of ``found``."""
    fixed = {}
    first, last = found.pop("first_name", ""), found.pop("last_name", "")
    if first and last:
        found.pop("name", None)
        fixed["name"] = f"{{{first}}} {{{last}}}"
    elif (first or last) and "name" not in found:
        found["name"] = first or last
    number, second = found.pop("house_no", ""), found.pop("address_2", "")
    if "street" in found and (number or second):
        text = f"{{{found.pop('street')}}}"
        text += f" {{{number}}}" if number else ""
        fixed["street"] = text + (f", {{{second}}}" if second else "")
    return fixed
