"""Tables around orders and stock: how files are read, charges, returns, jobs, kits, claims, pulled bags."""

from datetime import date

from sqlalchemy import Index, text
from sqlmodel import Field

from fulfil.records.despatch.bill_mapping import KeptBillMapping
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.goods_back import ReturnedPieces, ReturnMatch, ReturnNotice
from fulfil.records.draft import Draft
from fulfil.records.kit import KitPart
from fulfil.records.order_charge import OrderCharge
from fulfil.records.order_mapping import CountryName, KeptMapping
from fulfil.records.pulled import PulledBag
from fulfil.records.shorts import Job
from fulfil.store.columns import check, whole
from fulfil.store.row import MOST, Row, key


class DraftRow(Row, Draft, table=True):
    """Answers that are not in the shop yet, by the draft's code."""

    __tablename__ = "draft"
    code: str = key()


class KeptMappingRow(Row, KeptMapping, table=True):
    """Mappings, by source."""

    __tablename__ = "order_mapping"
    source: str = key()


class KeptBillMappingRow(Row, KeptBillMapping, table=True):
    """Mappings of bills, by carrier."""

    __tablename__ = "bill_mapping"
    carrier: str = key()


class CountryNameRow(Row, CountryName, table=True):
    """Country names, by what was said."""

    __tablename__ = "country_name"
    __table_args__ = (check("country_shape", "length(country) = 2"),)
    said: str = key()


class OrderChargeRow(Row, OrderCharge, table=True):
    """Charges, by order."""

    __tablename__ = "order_charge"
    __table_args__ = (whole("pieces", -MOST, MOST), whole("amount_minor", -MOST, MOST))
    order_number: str = key()
    charge_no: int = key()


class ReturnNoticeRow(Row, ReturnNotice, table=True):
    """Lines of cancellations and returns, by their number."""

    __tablename__ = "return_notice"
    __table_args__ = (whole("pieces", 1, MOST), whole("amount_minor", -MOST, MOST))
    number: str = key()
    line_no: int = key()
    part_number: str = Field(index=True)


class ReturnMatchRow(Row, ReturnMatch, table=True):
    """What notices were found to be about, by notice and order line."""

    __tablename__ = "return_match"
    __table_args__ = (
        whole("pieces", 1, MOST),
        whole("cancelled_pieces", 0, MOST),
        check("cancelled_at_most_pieces", "cancelled_pieces <= pieces"),
    )
    number: str = key()
    line_no: int = key()
    order_number: str = Field(primary_key=True, foreign_key="customer_order.number", index=True)
    order_line_no: int = key()


class ReturnedPiecesRow(Row, ReturnedPieces, table=True):
    """Pieces that came back, by number; append-only."""

    __tablename__ = "returned_pieces"
    __table_args__ = (whole("pieces", 1, MOST),)
    number: str = key()
    order_number: str = Field(foreign_key="customer_order.number", index=True)


class JobRow(Row, Job, table=True):
    """Jobs, by number."""

    __tablename__ = "job"
    __table_args__ = (
        whole("pieces", 1, MOST),
        whole("booked_pieces", 0, MOST),
        lambda table: Index(
            "ix_job_to_come",
            table.c.supply,
            sqlite_where=text("is_closed = 0 AND booked_pieces < pieces"),
            postgresql_where=text("NOT is_closed AND booked_pieces < pieces"),
        ),
    )
    number: str = key()
    part_number: str = Field(foreign_key="part.number", index=True)
    day: date


class KitPartRow(Row, KitPart, table=True):
    """Parts of kits, by kit and part."""

    __tablename__ = "kit_part"
    __table_args__ = (whole("pieces", 1, 999_999), check("not_itself", "kit_number <> part_number"))
    kit_number: str = Field(primary_key=True, foreign_key="part.number")
    part_number: str = Field(primary_key=True, foreign_key="part.number")


class ClaimRow(Row, Claim, table=True):
    """Claims, by number."""

    __tablename__ = "claim"
    __table_args__ = (whole("pieces", 0, MOST), Index(None, "at"))
    number: str = key()
    order_number: str = Field(foreign_key="customer_order.number", index=True)


class PulledBagRow(Row, PulledBag, table=True):
    """Pulled bags, by code."""

    __tablename__ = "pulled_bag"
    __table_args__ = (whole("pieces", 1, MOST), whole("put_back_pieces", 0, MOST))
    bag_code: str = key()
    order_number: str = Field(index=True)
