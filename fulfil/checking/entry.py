"""One line at a bench, whoever typed it: a scanner, a scale that types, or fingers. What kind of thing is it?

Scanner and scale both type like a keyboard, so the line itself must say what it is::

    *UNDO  *HAND-COUNT …   a command card; without the star and in small letters when typed
    @anna                  a person's badge
    empty box 128          what the empty box weighs
    *POS-3   pos 3         a cart position
    47.10 g  0.523 kg      a mass, digits as the scale shows them
    50 pcs   #50           pieces
    11 bags                bags in a package, alone or behind its mass: 646 11 bags
    47.10    50            a number: what it means depends on what is asked for
    anything else          a code: bag, order, walk, package

>>> read_entry("*HAND-COUNT").card, read_entry("47.10 g").number, read_entry("@anna").text
(<Card.HAND_COUNT: 'hand count'>, Decimal('47.10'), 'anna')
>>> both = read_entry("646 g, 11 bags")
>>> both.kind.value, both.number, both.bags
('mass', Decimal('646'), 11)
>>> read_entry("reopen a spring is missing").card.value, read_entry("reopen a spring is missing").text
('reopen', 'a spring is missing')

Limits: an order whose number is a command's word is reached by its bag labels.
"""

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum


class Card(StrEnum):
    """The commands, as the cards print them."""

    LOOKS_RIGHT = "looks right"
    LOOKS_WRONG = "looks wrong"
    HAND_COUNT = "hand count"
    DAMAGED = "damaged"
    UNDO = "undo"
    SKIP = "skip"
    LET_GO = "let go"
    PICKER = "picker"
    REOPEN = "reopen"
    PHOTO = "photo"
    EMPTY_BOX = "empty box"
    SHOW = "show"
    HELP = "help"
    LEAVE = "leave"


SAYS: dict[Card, str] = {
    Card.LOOKS_RIGHT: "the bag in hand looks as it should",
    Card.LOOKS_WRONG: "it does not: another part, finish or size; add what you see",
    Card.HAND_COUNT: "the next number is your own count",
    Card.DAMAGED: "pieces are damaged: the bag goes back",
    Card.UNDO: "take the last verdict back, or put the bag in hand down",
    Card.SKIP: "put the bag in hand aside, it stays to be checked",
    Card.LET_GO: "leave this order to another bench",
    Card.PICKER: "the next badge is the picker's of this walk",
    Card.REOPEN: "open a sealed package again; add the reason",
    Card.PHOTO: "keep the path of a photo of the open package",
    Card.EMPTY_BOX: "the next weight is the empty box's, cushioning, papers and strip in it",
    Card.SHOW: "say again what is in hand",
    Card.HELP: "list the commands",
    Card.LEAVE: "close the bench; it goes on from here next time",
}
"""What each command does, for cards and help."""

WITH_WORDS = (Card.LOOKS_WRONG, Card.REOPEN, Card.PHOTO, Card.EMPTY_BOX)
"""Commands that may be followed by words."""

_SHORT = {
    "ok": Card.LOOKS_RIGHT,
    "yes": Card.LOOKS_RIGHT,
    "no": Card.LOOKS_WRONG,
    "hand": Card.HAND_COUNT,
    "empty": Card.EMPTY_BOX,
    "quit": Card.LEAVE,
    "exit": Card.LEAVE,
    "?": Card.HELP,
}
_BY_WORD = {**{card.value: card for card in Card}, **_SHORT}
_BY_CODE = {f"*{card.value.replace(' ', '-').upper()}": card for card in Card}
_POSITION = re.compile(r"(?:\*POS-|pos +)([0-9]{1,3})", re.IGNORECASE)
_NUMBER = r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)"
"""A decimal comma is a point: many keypads have nothing else, and nobody keys a sign between thousands."""
_MASS = re.compile(rf"{_NUMBER} ?(g|kg)", re.IGNORECASE)
_PIECES = re.compile(r"#([0-9]{1,9})|([0-9]{1,9}) ?(?:pcs|pieces|pc)", re.IGNORECASE)
_PLAIN = re.compile(_NUMBER)
_BADGE = re.compile(r"[!-~]([ -~]{0,38}[!-~])?")
"""As :data:`fulfil.records.text.Code` is."""
_BAGS = re.compile(r"(?:(?P<mass>.*\S)[ ,;/]+)?(?P<bags>[0-9]{1,3}) ?bags?", re.IGNORECASE)


class EntryKind(StrEnum):
    """What a line is."""

    NOTHING = "nothing"
    CARD = "command"
    BADGE = "badge"
    POSITION = "cart position"
    MASS = "mass"
    PIECES = "pieces"
    BAGS = "bags"
    NUMBER = "number"
    CODE = "code"


@dataclass(frozen=True)
class Entry:
    """A line read: its kind, its text (a code, a name, the words after a command), its number where it has one.

    A mass is in grams; pieces and positions are whole. ``bags`` are those counted with it, 0 where none were.
    """

    kind: EntryKind
    text: str = ""
    number: Decimal = Decimal(0)
    card: Card | None = None
    bags: int = field(default=0, repr=False)


def card_code(card: Card) -> str:
    """What a command card's bar code says.

    >>> card_code(Card.LET_GO)
    '*LET-GO'
    """
    return next(code for code, other in _BY_CODE.items() if other is card)


def position_code(position: int) -> str:
    """What a cart position's bar code says: ``*POS-3``."""
    return f"*POS-{position}"


def wrong_digits(mass_g: Decimal, d_g: Decimal) -> str:
    """What to type instead of a mass that hasn't the digits of its scale; empty where it has.

    A reading is copied digit by digit, so that half a reading, or half a scanned code, is no weight.

    >>> wrong_digits(Decimal("47.1"), Decimal("0.02")), wrong_digits(Decimal("525"), Decimal(5))
    ('Type the digits that the scale shows: 47.10, not 47.1.', '')
    """
    digits = d_g.normalize().as_tuple().exponent
    last = min(0, digits) if isinstance(digits, int) else 0
    if mass_g.as_tuple().exponent == last:
        return ""
    shown = mass_g.quantize(Decimal(1).scaleb(last))
    return f"Type the digits that the scale shows: {shown:f}, not {mass_g:f}."


def as_code(entry: Entry) -> Entry:
    """A plain whole number as the code that it may be, where no weight and no count is asked for.

    >>> as_code(read_entry("0035")), as_code(read_entry("47.10")).kind.value
    (Entry(kind=<EntryKind.CODE: 'code'>, text='0035', number=Decimal('0'), card=None), 'number')
    """
    return Entry(EntryKind.CODE, entry.text) if entry.kind is EntryKind.NUMBER and entry.text.isdigit() else entry


def wrong_badge(name: str) -> str:
    """What is wrong with the name on a badge; empty where nothing is.

    >>> wrong_badge("anna"), wrong_badge("Zoë")
    ('', "'Zoë' is no badge of this shop: its name has up to 40 plain letters, digits and signs. Scan it again.")
    """
    if _BADGE.fullmatch(name):
        return ""
    expected = "its name has up to 40 plain letters, digits and signs. Scan it again."
    return f"'{name[:40]}' is no badge of this shop: {expected}"


def read_entry(line: str) -> Entry:
    """The line as what it is; every line is something, half a character of a scanner too."""
    text = " ".join(line.replace("\0", "\ufffd").encode("utf-8", "surrogatepass").decode("utf-8", "replace").split())
    if not text:
        return Entry(EntryKind.NOTHING)
    card = _BY_CODE.get(text.upper()) or _BY_WORD.get(text.lower())
    if card:
        return Entry(EntryKind.CARD, card=card)
    for one in WITH_WORDS:
        for word in (card_code(one), one.value, *(short for short, of in _SHORT.items() if of is one)):
            if text.lower().startswith(f"{word.lower()} "):
                return Entry(EntryKind.CARD, text[len(word) + 1 :], card=one)
    if text.startswith("@") and len(text) > 1:
        return Entry(EntryKind.BADGE, text[1:].strip())
    if found := _POSITION.fullmatch(text):
        return Entry(EntryKind.POSITION, text, Decimal(found[1]))
    if found := _BAGS.fullmatch(text):
        bags = int(found["bags"])
        weighed = read_entry((found["mass"] or "").rstrip(" ,;/"))
        if weighed.kind is EntryKind.NOTHING:
            return Entry(EntryKind.BAGS, text, Decimal(bags), bags=bags)
        if weighed.kind in (EntryKind.MASS, EntryKind.NUMBER):
            return replace(weighed, text=text, bags=bags)
    if found := _MASS.fullmatch(text):
        number = Decimal(found[1].replace(",", "."))
        # A kilogram reading keeps its digits: 0.523 kg is 523 g, not 523.000 g.
        return Entry(EntryKind.MASS, text, number.scaleb(3) if found[2].lower() == "kg" else number)
    if found := _PIECES.fullmatch(text):
        return Entry(EntryKind.PIECES, text, Decimal(found[1] or found[2]))
    if found := _PLAIN.fullmatch(text):
        return Entry(EntryKind.NUMBER, text, Decimal(found[1].replace(",", ".")))
    return Entry(EntryKind.CODE, text)
