r"""Text as records keep it: trimmed, composed, without control characters; and the words of closed lists.

Part numbers, names and addresses are stored as given apart from NFC composition and outer and repeated inner
spaces, so that the same name typed twice is the same text (Unicode Standard Annex 15).

>>> tidy("  Zahnrad \u0041\u030a  12 ")
'Zahnrad Å 12'
"""

import unicodedata
from typing import Annotated

from pydantic import AllowInfNan, BeforeValidator, StringConstraints


def tidy(text: str) -> str:
    """Composes (NFC), trims, and collapses runs of inner white space, line breaks included."""
    composed = text if text.isascii() else unicodedata.normalize("NFC", text)
    return " ".join(composed.split())


LONGEST = 200
"""Characters of a :data:`Line`."""


def cut(text: str) -> str:
    """What a :data:`Line` holds of a text: its first 200 characters.

    >>> len(cut("x" * 201)), cut("short")
    (200, 'short')
    """
    return text[:LONGEST]


def _tidied(value: object) -> object:
    """Text tidied and without control characters; what is no text is left to the type's own check."""
    return _without_controls(tidy(value)) if isinstance(value, str) else value


def _without_controls(text: str) -> str:
    # A quick yes for nearly all texts: printable ones hold nothing of these categories.
    if text.isprintable():
        return text
    for character in text:
        if unicodedata.category(character) in ("Cc", "Cs", "Co", "Cn"):
            raise ValueError(f"holds the control character U+{ord(character):04X}")
    return text


Text = Annotated[str, BeforeValidator(_tidied)]
"""Any printable text, may be empty."""

Line = Annotated[Text, StringConstraints(max_length=LONGEST)]
"""One line of text of at most 200 characters, may be empty."""

Name = Annotated[Text, StringConstraints(min_length=1, max_length=200)]
"""One line of text that must not be empty."""

Code = Annotated[Text, StringConstraints(min_length=1, max_length=40, pattern=r"^[ -~]+$")]
"""A number or code that is printed as a bar code: 1 to 40 printable ASCII characters."""

Country = Annotated[Text, StringConstraints(pattern=r"^[A-Z]{2}$")]
"""A country as its ISO 3166-1 alpha-2 code; whether it is assigned is checked where it enters."""

Currency = Annotated[Text, StringConstraints(pattern=r"^[A-Z]{3}$")]
"""A currency as its ISO 4217 code."""

Estimate = Annotated[float, AllowInfNan(False)]
"""An estimated number: finite, its unit in the field's name."""
