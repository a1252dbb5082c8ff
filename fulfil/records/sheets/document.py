"""What every document of the shop says of itself: its number, its day, whose it is.

>>> DocumentSheet(document_number="PL-0007", shop_name="Example Clockworks (invented)", day=date(2025, 3, 4)).notice
''
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, kw_only=True)
class DocumentSheet:
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
