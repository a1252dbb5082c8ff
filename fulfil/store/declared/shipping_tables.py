"""Tables of shipping: zones, prices and charges, given numbers, customs entries, hand-overs, bills, closed days."""

from datetime import date

from sqlalchemy import Index
from sqlmodel import Field

from fulfil.records.day_close import ClosedDay, Settlement
from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine, CarrierBill
from fulfil.records.despatch.customs import CustomsParticulars, HazardReview, SdrRateEntry
from fulfil.records.despatch.handover import ManifestCopy, ManifestVoid
from fulfil.records.despatch.papers import PapersPrinted
from fulfil.records.despatch.service import Closure
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge, Price, Surcharge, Zone
from fulfil.records.identifier import CarrierNumber, Identifier, IdentifierRange
from fulfil.store.columns import check, whole
from fulfil.store.row import MOST, Row, entry, key


class ZoneRow(Row, Zone, table=True):
    """Zones, by service and country."""

    __tablename__ = "zone"
    service_code: str = key()
    country: str = key()


class PriceRow(Row, Price, table=True):
    """Prices, by service, first day, zone and weight."""

    __tablename__ = "price"
    __table_args__ = (whole("up_to_g", 1, MOST), whole("price_minor", 0, MOST))
    service_code: str = key()
    valid_from: date = key()
    zone: str = key()
    up_to_g: int = key()


class SurchargeRow(Row, Surcharge, table=True):
    """Surcharges, by service, first day, name, country, post codes, and from which size, for which goods."""

    __tablename__ = "surcharge"
    __table_args__ = (whole("basis_points", 0, 99_999), whole("amount_minor", 0, MOST))
    service_code: str = key()
    valid_from: date = key()
    name: str = key()
    country: str = key()
    post_codes: str = key()
    above_g: int = key()
    above_longest_mm: int = key()
    above_length_girth_mm: int = key()
    hazard: str = key()


class ClosureRow(Row, Closure, table=True):
    """Days without a collection, by service (empty: the shop) and first day."""

    __tablename__ = "closure"
    __table_args__ = (check("days_in_order", "first_day <= last_day"),)
    service_code: str = key()
    first_day: date = key()


class ChargeRow(Row, Charge, table=True):
    """What is expected to be charged, by package; append-only."""

    __tablename__ = "charge"
    __table_args__ = (whole("chargeable_g", 1, MOST), whole("price_minor", 0, MOST))
    package_number: str = Field(primary_key=True, foreign_key="package.number")


class ChargedSurchargeRow(Row, ChargedSurcharge, table=True):
    """What is expected to be added, by package and name; append-only."""

    __tablename__ = "charged_surcharge"
    __table_args__ = (whole("basis_points", 0, 99_999), whole("amount_minor", 0, MOST))
    package_number: str = Field(primary_key=True, foreign_key="package.number")
    name: str = key()


class IdentifierRangeRow(Row, IdentifierRange, table=True):
    """Given ranges, by code."""

    __tablename__ = "identifier_range"
    __table_args__ = (check("range_order", "first <= last"),)
    code: str = key()


class IdentifierRow(Row, Identifier, table=True):
    """Used numbers, by number and package; append-only."""

    __tablename__ = "identifier"
    number: str = key()
    package_number: str = Field(primary_key=True, foreign_key="package.number", index=True)
    range_code: str = Field(foreign_key="identifier_range.code", index=True)


class CarrierNumberRow(Row, CarrierNumber, table=True):
    """Carriers' own numbers of packages, by number."""

    __tablename__ = "carrier_number"
    number: str = key()
    package_number: str = Field(foreign_key="package.number", index=True)


class SdrRateRow(Row, SdrRateEntry, table=True):
    """Rates of the SDR, by currency and day."""

    __tablename__ = "sdr_rate"
    currency: str = key()
    as_of: date = key()


class CustomsParticularsRow(Row, CustomsParticulars, table=True):
    """What customs are told of orders, by order and line; line 0 is the whole order."""

    __tablename__ = "customs_particulars"
    __table_args__ = (whole("line_no", 0, MOST),)
    order_number: str = Field(primary_key=True, foreign_key="customer_order.number")
    line_no: int = key()


class HazardReviewRow(Row, HazardReview, table=True):
    """Reviews of hazards; append-only."""

    __tablename__ = "hazard_review"
    id: int | None = entry()
    package_number: str = Field(foreign_key="package.number", index=True)


class PapersPrintedRow(Row, PapersPrinted, table=True):
    """Papers of packages as printed; append-only."""

    __tablename__ = "papers_printed"
    id: int | None = entry()
    package_number: str = Field(foreign_key="package.number", index=True)


class ManifestCopyRow(Row, ManifestCopy, table=True):
    """Closed manifests as printed; append-only."""

    __tablename__ = "manifest_copy"
    manifest_number: str = Field(primary_key=True, foreign_key="manifest.number")


class ManifestVoidRow(Row, ManifestVoid, table=True):
    """Void entries, by package; append-only."""

    __tablename__ = "manifest_void"
    package_number: str = Field(primary_key=True, foreign_key="package.number")
    manifest_number: str = Field(foreign_key="manifest.number", index=True)
    replaced_by: str = Field(foreign_key="package.number")


class CarrierBillRow(Row, CarrierBill, table=True):
    """Carriers' bills, by number; append-only."""

    __tablename__ = "carrier_bill"
    __table_args__ = (Index(None, "at"),)
    number: str = key()
    digest: str = Field(unique=True)


class BillLineRow(Row, BillLine, table=True):
    """Lines of bills; append-only."""

    __tablename__ = "bill_line"
    __table_args__ = (whole("charge_minor", -MOST, MOST), whole("line_no", 1, MOST))
    bill_number: str = Field(primary_key=True, foreign_key="carrier_bill.number")
    line_no: int = key()
    package_number: str = Field(index=True)
    number_key: str = Field(default="", index=True, sa_column_kwargs={"server_default": ""})


class BilledSurchargeRow(Row, BilledSurcharge, table=True):
    """Surcharges that lines of bills name; append-only."""

    __tablename__ = "billed_surcharge"
    __table_args__ = (whole("amount_minor", -MOST, MOST), whole("line_no", 1, MOST))
    bill_number: str = Field(primary_key=True, foreign_key="carrier_bill.number")
    line_no: int = key()
    name: str = key()


class SettlementRow(Row, Settlement, table=True):
    """Words on differences, by day and difference; append-only."""

    __tablename__ = "settlement"
    day: date = key()
    difference: str = Field(primary_key=True, index=True)
    subject: str = Field(default="", sa_column_kwargs={"server_default": ""})


class ClosedDayRow(Row, ClosedDay, table=True):
    """Closed days; append-only."""

    __tablename__ = "closed_day"
    __table_args__ = tuple(
        whole(name, 0, MOST) for name in ("ordered", "shipped", "packages", "settled", "carried_over")
    )
    day: date = key()
