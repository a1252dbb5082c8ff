"""Types of trade documents by UN code list 1001, and the data elements that the UN Layout Key gives them.

>>> document_name("351")
'despatch advice'
>>> DESPATCH_ADVICE_ELEMENTS[:4]
('seller or consignor', 'despatch advice number', 'date', 'references of seller and buyer')
>>> document_name("999")
Traceback (most recent call last):
    ...
fulfil.errors.UnknownRefused: Cannot find the document type '999': expected one of 220, 270, 271, 351, 380, 785.

Limits: data for headings and for `fulfil.standards.despatch_advice`; the aligned positions on the sheet (UNECE
Recommendation 1, ECE/TRADE/137) are not followed to the millimetre. Type 351 is published with the UN layout for the
despatch advice and in OASIS UBL; the other codes are quoted from memory.
"""

from fulfil.errors import UnknownRefused

DOCUMENT_NAMES = {
    "220": "order",
    "270": "delivery note",
    "271": "packing list",
    "351": "despatch advice",
    "380": "commercial invoice",
    "785": "cargo manifest",
}
"""Document name codes of UN code list 1001 that the shop's papers may carry."""

DESPATCH_ADVICE_ELEMENTS = (
    "seller or consignor",
    "despatch advice number",
    "date",
    "references of seller and buyer",
    "consignee",
    "buyer",
    "transport details",
    "place of delivery",
    "terms of delivery",
    "special terms",
    "terms of payment",
    "currency",
    "marks, number and kind of packages, description",
    "gross mass in kg",
    "volume in m³",
    "net mass in kg",
    "item reference, description and quantity of each line",
    "notes",
    "contact name and telephone",
    "continuation page",
)
"""Data elements of the UN layout for the despatch advice (ship and port fields left out): a checklist for the paper."""

COMMERCIAL_INVOICE_ELEMENTS = (
    *DESPATCH_ADVICE_ELEMENTS,
    "invoice number and date",
    "order number",
    "country of origin and of destination",
    "unit price",
    "amount of each line",
    "invoice total",
    "signature",
)
"""What the aligned invoice (UNECE Recommendation 6, ECE/TRADE/148) adds; its exact boxes are quoted from memory."""


def document_name(code: str) -> str:
    """The name of the document type with this code.

    Raises:
        UnknownRefused: for a code that the shop's papers don't use.
    """
    if code not in DOCUMENT_NAMES:
        raise UnknownRefused("find the document type", code, f"one of {', '.join(DOCUMENT_NAMES)}")
    return DOCUMENT_NAMES[code]
