"""Tables of what happens: orders, plans, bags, weighings, packages, manifests, the journal.

History doesn't bind the present: weighings, bags and packages of the past keep the code of a scale, bag type or service
that the shop has given up, so these are plain text here, without a foreign key.
"""

from datetime import date

from sqlalchemy import ForeignKeyConstraint, Index, false
from sqlmodel import Field

from fulfil.records.despatch.dispatch import JournalEntry, Manifest, Package
from fulfil.records.order import Order, OrderLine
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.weighing import WeighingRecord
from fulfil.store.columns import above_zero, check, not_negative, whole
from fulfil.store.row import MOST, Row, entry, key


class OrderRow(Row, Order, table=True):
    """Orders, by number, with the digest of what the customer said."""

    __tablename__ = "customer_order"
    __table_args__ = (
        check("country_shape", "length(country) = 2"),
        Index(None, "state", "received_at"),
        Index(None, "received_at"),
    )
    number: str = key()
    content_digest: str = Field(default="", sa_column_kwargs={"server_default": ""})
    insured_minor: int = Field(default=0, sa_column_kwargs={"server_default": "0"})


class OrderLineRow(Row, OrderLine, table=True):
    """Order lines, by order and line."""

    __tablename__ = "order_line"
    __table_args__ = (
        whole("pieces", 1, 999_999),
        whole("unit_price_minor", 0, MOST),
        whole("short_pieces", 0, MOST),
        whole("cancelled_pieces", 0, MOST),
        check("short_at_most_ordered", "short_pieces + cancelled_pieces <= pieces"),
    )
    order_number: str = Field(primary_key=True, foreign_key="customer_order.number")
    line_no: int = key()
    part_number: str = Field(foreign_key="part.number", index=True)
    short_reason: str = Field(default="", sa_column_kwargs={"server_default": ""})


def _of_order_line() -> ForeignKeyConstraint:
    return ForeignKeyConstraint(["order_number", "line_no"], ["order_line.order_number", "order_line.line_no"])


class PlanRow(Row, PlanRecord, table=True):
    """Plans, by day and wave."""

    __tablename__ = "plan"
    __table_args__ = (*not_negative("length_mm", "one_by_one_mm", "bound_mm"), whole("wave", 1, 9999))
    day: date = key()
    wave: int = Field(default=1, primary_key=True)


class WalkRow(Row, WalkRecord, table=True):
    """Walks, by number."""

    __tablename__ = "walk"
    __table_args__ = (*not_negative("length_mm"), *above_zero("orders", "stops"), Index(None, "released_at"))
    number: str = key()
    day: date = Field(index=True)
    wave: int = Field(default=1, sa_column_kwargs={"server_default": "1"})


class BagRow(Row, Bag, table=True):
    """Bags, by code."""

    __tablename__ = "bag"
    __table_args__ = (
        _of_order_line(),
        whole("pieces", 1, MOST),
        whole("checks", 0, MOST),
        *above_zero("tare_g"),
        check("window_order", "lower_g <= upper_g"),
        check("risks_are_probabilities", "p_reject <= 1 AND p_pass_one_short <= 1 AND p_pass_one_over <= 1"),
        Index(None, "order_number", "line_no"),
        Index(None, "bin_code"),
        Index(None, "scale_code", "state"),
    )
    code: str = key()
    part_number: str = Field(foreign_key="part.number")
    walk_number: str = Field(foreign_key="walk.number", index=True)
    package_number: str = Field(default="", index=True)
    pours: int = Field(default=1, sa_column_kwargs={"server_default": "1"})


class WeighingRow(Row, WeighingRecord, table=True):
    """Weighings; append-only."""

    __tablename__ = "weighing"
    __table_args__ = (
        whole("pieces", 0, MOST),
        Index(None, "subject", "kind"),
        Index(None, "at"),
    )
    id: int | None = entry()
    part_number: str = Field(default="", index=True, sa_column_kwargs={"server_default": ""})
    was_counted: bool = Field(default=False, sa_column_kwargs={"server_default": false()})


class PackageRow(Row, Package, table=True):
    """Packages, by number."""

    __tablename__ = "package"
    __table_args__ = (
        *above_zero("expected_g"),
        check("window_order", "lower_g <= upper_g"),
        Index(None, "state", "service_code"),
    )
    number: str = key()
    order_number: str = Field(foreign_key="customer_order.number", index=True)
    scale_code: str = Field(default="", sa_column_kwargs={"server_default": ""})
    empty_scale_code: str = Field(default="", sa_column_kwargs={"server_default": ""})
    manifest_number: str = Field(default="", index=True)
    photo_path: str = Field(default="", sa_column_kwargs={"server_default": ""})


class ManifestRow(Row, Manifest, table=True):
    """Manifests, by number; a closed one never changes."""

    __tablename__ = "manifest"
    __table_args__ = (
        whole("packages", 0, MOST),
        *not_negative("weight_g"),
        check("closed_has_time", "state = 'open' OR closed_at IS NOT NULL"),
        Index(None, "day", "service_code"),
        Index(None, "state", "service_code"),
    )
    number: str = key()


class JournalEntryRow(Row, JournalEntry, table=True):
    """The journal; append-only."""

    __tablename__ = "journal_entry"
    __table_args__ = (Index(None, "subject"), Index(None, "event", "at"))
    id: int | None = entry()


class CounterRow(Row, table=True):
    """The last number given in each series."""

    __tablename__ = "counter"
    __table_args__ = (whole("last", 1, MOST),)
    series: str = key()
    last: int
