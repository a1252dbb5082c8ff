"""Despatch advice as OASIS UBL 2.1 XML (Universal Business Language, OASIS Standard of 4 November 2013).

The document type DespatchAdvice: DespatchLine for each order line, TransportHandlingUnit for each package with the
lines in it. Masses in KGM, lengths in MMT, pieces in H87 (UN/ECE Recommendation 20). The same advice gives the same
bytes.

>>> from datetime import datetime
>>> from fulfil.standards.despatch_advice import Line, Package, Party
>>> advice = DespatchAdvice(
...     number="DA-17", issued=datetime(2026, 3, 2, 16, 5), order_number="PO-9",
...     seller=Party("Kleinteilehaus Muster", ("Musterweg 1",), "Musterstadt", "12345", "DE"),
...     consignee=Party("A. Nobody", ("1 Invented Road",), "Nowhere", "ZZ1 1ZZ", "GB"),
...     lines=(Line(1, "1", "SCR-0016", "Cap screw M3 x 16", ordered_pieces=250, despatched_pieces=200),),
...     packages=(Package("P000123", gross_g=412, contents=((1, 200),)),),
... )
>>> document = write(advice).decode("utf-8")
>>> '<cbc:GrossWeightMeasure unitCode="KGM">0.412</cbc:GrossWeightMeasure>' in document
True
>>> '<cbc:OutstandingQuantity unitCode="H87">50</cbc:OutstandingQuantity>' in document
True

Limits: the tests validate such documents against the OASIS schema, which fixes names, order and types. Business rules
that trading partners agree on top (customisations, code lists) aren't checked. Attribute codes of dimensions
(AAB gross weight, LN, WD, HT) are those of UN code list 6313, read in a public copy.
"""

from decimal import Decimal
from xml.etree import ElementTree

from fulfil.standards.despatch_advice import DOCUMENT_TYPE, DespatchAdvice, Line, Package, Party

_NAMESPACE = "urn:oasis:names:specification:ubl:schema:xsd:"
_ROOT_ATTRIBUTES = {
    "xmlns": f"{_NAMESPACE}DespatchAdvice-2",
    "xmlns:cac": f"{_NAMESPACE}CommonAggregateComponents-2",
    "xmlns:cbc": f"{_NAMESPACE}CommonBasicComponents-2",
}
_PIECES = {"unitCode": "H87"}
_KILOGRAMS = {"unitCode": "KGM"}
_MILLIMETRES = {"unitCode": "MMT"}


def write(advice: DespatchAdvice) -> bytes:
    """The advice as one XML document in UTF-8, indented by two spaces."""
    root = ElementTree.Element("DespatchAdvice", _ROOT_ATTRIBUTES)
    _basic(root, "UBLVersionID", "2.1")
    _basic(root, "ID", advice.number)
    _basic(root, "IssueDate", advice.issued.date().isoformat())
    _basic(root, "IssueTime", advice.issued.timetz().isoformat("seconds"))
    _basic(root, "DespatchAdviceTypeCode", DOCUMENT_TYPE, {"listID": "UN/ECE 1001", "listAgencyID": "6"})
    _basic(root, "Note", advice.note)
    _basic(root, "LineCountNumeric", str(len(advice.lines)))
    order = _aggregate(root, "OrderReference")
    _basic(order, "ID", advice.order_number)
    _basic(order, "CustomerReference", advice.customer_reference)
    _party(_aggregate(root, "DespatchSupplierParty"), advice.seller)
    _party(_aggregate(root, "DeliveryCustomerParty"), advice.consignee)
    if advice.buyer is not None:
        _party(_aggregate(root, "BuyerCustomerParty"), advice.buyer)
    _shipment(root, advice)
    for line in advice.lines:
        _line(_aggregate(root, "DespatchLine"), advice, line, line.despatched_pieces)
    ElementTree.indent(root)
    written: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return written + b"\n"


def _shipment(root: ElementTree.Element, advice: DespatchAdvice) -> None:
    shipment = _aggregate(root, "Shipment")
    _basic(shipment, "ID", advice.number)
    if advice.packages:
        _basic(shipment, "GrossWeightMeasure", _kilograms(advice.gross_g), _KILOGRAMS)
    _basic(shipment, "TotalTransportHandlingUnitQuantity", str(len(advice.packages)))
    if advice.service:
        consignment = _aggregate(shipment, "Consignment")
        _basic(consignment, "ID", advice.number)
        _basic(consignment, "CarrierServiceInstructions", advice.service)
    for package in advice.packages:
        _package(_aggregate(shipment, "TransportHandlingUnit"), advice, package)


def _package(unit: ElementTree.Element, advice: DespatchAdvice, package: Package) -> None:
    if package.sscc:
        _basic(unit, "ID", package.sscc, {"schemeID": "SSCC"})
        _basic(unit, "ShippingMarks", package.number)
    else:
        _basic(unit, "ID", package.number)
    _basic(unit, "TraceID", package.tracking_number)
    for number, pieces in package.contents:
        _line(_aggregate(unit, "HandlingUnitDespatchLine"), advice, advice.line(number), pieces)
    _dimension(unit, "AAB", _kilograms(package.gross_g), _KILOGRAMS)
    for attribute, side_mm in zip(("LN", "WD", "HT"), package.sides_mm or (), strict=False):
        _dimension(unit, attribute, str(side_mm), _MILLIMETRES)


def _line(parent: ElementTree.Element, advice: DespatchAdvice, line: Line, pieces: int) -> None:
    _basic(parent, "ID", str(line.number))
    _basic(parent, "DeliveredQuantity", str(pieces), _PIECES)
    if line.outstanding_pieces and not parent.tag.endswith("HandlingUnitDespatchLine"):
        _basic(parent, "OutstandingQuantity", str(line.outstanding_pieces), _PIECES)
        _basic(parent, "OutstandingReason", line.outstanding_reason)
    reference = _aggregate(parent, "OrderLineReference")
    _basic(reference, "LineID", line.order_line)
    _basic(_aggregate(reference, "OrderReference"), "ID", advice.order_number)
    item = _aggregate(parent, "Item")
    _basic(item, "Description", line.description)
    _basic(item, "Name", line.description)
    if line.buyer_part_number:
        _basic(_aggregate(item, "BuyersItemIdentification"), "ID", line.buyer_part_number)
    _basic(_aggregate(item, "SellersItemIdentification"), "ID", line.part_number)
    if line.origin:
        _basic(_aggregate(item, "OriginCountry"), "IdentificationCode", line.origin)
    if line.hs_code:
        _basic(_aggregate(item, "CommodityClassification"), "ItemClassificationCode", line.hs_code, {"listID": "HS"})


def _party(parent: ElementTree.Element, party: Party) -> None:
    element = _aggregate(parent, "Party")
    if party.gln:
        _basic(_aggregate(element, "PartyIdentification"), "ID", party.gln, {"schemeID": "GLN"})
    _basic(_aggregate(element, "PartyName"), "Name", party.name)
    address = _aggregate(element, "PostalAddress")
    _basic(address, "CityName", party.city)
    _basic(address, "PostalZone", party.postal_code)
    _basic(address, "CountrySubentity", party.region)
    for address_line in party.address_lines:
        _basic(_aggregate(address, "AddressLine"), "Line", address_line)
    _basic(_aggregate(address, "Country"), "IdentificationCode", party.country)
    if party.contact_name or party.telephone or party.email:
        contact = _aggregate(element, "Contact")
        _basic(contact, "Name", party.contact_name)
        _basic(contact, "Telephone", party.telephone)
        _basic(contact, "ElectronicMail", party.email)


def _dimension(parent: ElementTree.Element, attribute: str, measure: str, unit: dict[str, str]) -> None:
    dimension = _aggregate(parent, "MeasurementDimension")
    _basic(dimension, "AttributeID", attribute)
    _basic(dimension, "Measure", measure, unit)


def _kilograms(mass_g: int) -> str:
    return f"{Decimal(mass_g).scaleb(-3):.3f}"


def _aggregate(parent: ElementTree.Element, name: str) -> ElementTree.Element:
    return ElementTree.SubElement(parent, f"cac:{name}")


def _basic(parent: ElementTree.Element, name: str, text: str, attributes: dict[str, str] | None = None) -> None:
    """An element with text; nothing at all for an empty text, as UBL forbids empty elements."""
    if text:
        ElementTree.SubElement(parent, f"cbc:{name}", attributes or {}).text = text
