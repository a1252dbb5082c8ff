"""The customs declaration of one package: the particulars of the postal forms CN 22 and CN 23.

>>> row = CustomsRow(description="steel cap screws for clock movements", pieces=250, net_g=301, value_minor=1650,
...                  hs_code="731815", origin="DE")
>>> row.pieces
250
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, Box, Strokes, beside, block
from fulfil.papers.numbering import After
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph

TITLE = "Customs declaration"
NUMBERED = After("G", instead_of="P")
SIGNED = "date and sender's signature"
UNDERTAKING = (
    "I certify that the particulars given in this declaration are correct and that this item does not contain any "
    "dangerous article or articles prohibited by legislation or by postal or customs regulations."
)
"""Words of the form, quoted from memory."""
IN_FRENCH = {
    "customs declaration": "déclaration en douane",
    "may be opened officially": "peut être ouvert d'office",
    "sender": "expéditeur",
    "addressee": "destinataire",
    "sender's customs reference": "référence en douane de l'expéditeur",
    "importer's reference": "référence de l'importateur",
    "designated operator": "opérateur désigné",
    "comments": "observations",
    "postal charges": "frais de port",
    "gross mass": "poids brut",
    "office of origin": "bureau d'origine",
    "date of posting": "date de dépôt",
    "licence, certificate": "licence, certificat",
    SIGNED: "date et signature de l'expéditeur",
    "sender's signature": "signature de l'expéditeur",
    "contents in detail": "contenu détaillé",
    "pieces": "nombre",
    "net kg": "kg net",
    "value": "valeur",
    "HS code": "code SH",
    "origin": "origine",
    "total": "total",
    "sale of goods": "vente de marchandises",
    "gift": "cadeau",
    "commercial sample": "échantillon commercial",
    "documents": "documents",
    "returned goods": "marchandises retournées",
    "other": "autre",
}
"""The forms' captions in French, the language of the union; quoted from memory."""


def in_both(caption: str) -> str:
    """A caption in French and English, as the forms have it; of categories with commas between, each.

    >>> in_both("licence, certificate"), in_both("gift, documents")
    ('licence, certificat / licence, certificate', 'cadeau / gift, documents')
    """
    if caption in IN_FRENCH:
        french = IN_FRENCH[caption]
        return caption if french == caption else f"{french} / {caption}"
    return ", ".join(in_both(word) if word in IN_FRENCH else word for word in caption.split(", "))


@dataclass(frozen=True, kw_only=True)
class CustomsRow:
    """One kind of goods: pieces, net mass in whole grams, value in minor units, commodity code, origin."""

    description: str
    pieces: int
    net_g: int
    value_minor: int
    hs_code: str
    origin: str


@dataclass(frozen=True, kw_only=True)
class CustomsSheet(DocumentSheet):
    """What one package declares; ``form`` is 'CN 22' or 'CN 23' by the class, ``category`` the box that is ticked.

    Attributes:
        item_number: the package's S10 number, or the shop's own.
        invoice_number: of the order's commercial invoice, empty where none is printed.
        postage: what the post charges with its currency, empty where the shop has no price.
        sdr_sentence: how the form was chosen, with rate and date.
        importer_contact: telephone and e-mail of the addressee, where given.
        comments: what customs should know besides.
        operator: the post that takes it, as the shop names its service.
        sender_reference, importer_reference: what the two customs offices gave sender and addressee.
    """

    form: str
    item_number: str
    order_number: str
    invoice_number: str
    from_lines: tuple[str, ...]
    from_contact: str = ""
    to_lines: tuple[str, ...]
    importer_contact: str = ""
    category: str
    currency: str
    rows: tuple[CustomsRow, ...]
    gross_g: Decimal
    sdr_sentence: str = ""
    postage: str = ""
    comments: tuple[str, ...] = ()
    operator: str = ""
    sender_reference: str = ""
    importer_reference: str = ""

    @property
    def net_g(self) -> int:
        """Net mass of all rows."""
        return sum(row.net_g for row in self.rows)

    @property
    def value_minor(self) -> int:
        """Value of all rows."""
        return sum(row.value_minor for row in self.rows)


def ticked(words: str, size_pt: float, width: float) -> Block:
    """A box that is crossed, and the words that it stands for."""
    side = 0.8 * size_pt * MM_PER_POINT
    top = 0.15 * size_pt * MM_PER_POINT
    cross = Strokes((((0.0, top), (side, top + side)), ((side, top), (0.0, top + side))), 0.4)
    box = block(top + side, Box(0.0, top, side, side, line_mm=0.4), cross)
    return beside((0.4, box), (side + 2.0, paragraph(words, Face.BOLD, size_pt, width - side - 2.0)))
