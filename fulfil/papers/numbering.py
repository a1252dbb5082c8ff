"""How a paper's number follows from what it is about, and back: said once, used to print and to find it again.

*After* the number of a walk, order or package comes a letter before it, which may take the place of that number's own
letter. *Of the day* are the papers of which there is one a day. Many papers have no number of their own and show that
of their bag, bin or part: a letter that is empty.

>>> After("C", instead_of="W").number("W2603020001"), After("C", instead_of="W").key("C2603020001")
('C2603020001', 'W2603020001')
>>> After("N").key("W2603020001") is None
True
>>> OfTheDay("S", "01").number(date(2026, 3, 2)), OfTheDay("S", "01").day("S26030201")
('S26030201', datetime.date(2026, 3, 2))
>>> OfTheDay("JM").day("JM269902") is None
True
"""

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class After:
    """A number that is another one behind ``letter``, at most ``most`` characters of it (what a bar code holds)."""

    letter: str = ""
    instead_of: str = ""
    most: int | None = None

    def number(self, key: str) -> str:
        """The paper's number, by the number of what it is about."""
        return f"{self.letter}{key.removeprefix(self.instead_of)}"[: self.most]

    def key(self, number: str) -> str | None:
        """The number of what a paper with this number is about; None where no such paper has it."""
        return f"{self.instead_of}{number.removeprefix(self.letter)}" if number.startswith(self.letter) else None


@dataclass(frozen=True)
class OfTheDay:
    """A number that is a day between ``letters`` and ``ending``: two digits each for year, month and day."""

    letters: str
    ending: str = ""

    def number(self, day: date) -> str:
        """The paper's number of that day."""
        return f"{self.letters}{day:%y%m%d}{self.ending}"

    def day(self, number: str) -> date | None:
        """The day that a number says (of this century); None where no such paper has it."""
        found = re.fullmatch(f"{self.letters}([0-9]{{2}})([0-9]{{2}})([0-9]{{2}}){self.ending}", number)
        if found is not None:
            with suppress(ValueError):
                return date(2000 + int(found[1]), int(found[2]), int(found[3]))
        return None


OWN = After()
"""No number but that of what the paper is about."""
