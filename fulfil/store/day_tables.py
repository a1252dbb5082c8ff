"""Tables of what happens: orders, plans, bags, weighings, packages, manifests, the journal.

History doesn't bind the present: weighings, bags and packages of the past keep the code of a scale, bag type or service
that the shop has given up, so these are plain text here, without a foreign key.
"""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import ForeignKeyConstraint, Index, false
from sqlmodel import Field

from fulfil.records.despatch.dispatch import JournalEntry, Manifest, ManifestState, Package, PackageState
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.plan import Bag, BagState, CountMethod, PlanRecord, WalkRecord
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.columns import above_zero, check, not_negative, one_of, whole
from fulfil.store.row import MOST, Row, entry, grams, key, moment, word


class OrderRow(Row, Order, table=True):
    """Orders, by number, with the digest of what the customer said."""

    __tablename__ = "customer_order"
    __table_args__ = (
        one_of("state", OrderState),
        check("country_shape", "length(country) = 2"),
        Index(None, "state", "received_at"),
    )
    number: str = key()
    received_at: datetime = moment()
    state: OrderState = word(OrderState)
    content_digest: str = Field(default="", sa_column_kwargs={"server_default": ""})


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
    __table_args__ = (*not_negative("length_mm"), *above_zero("orders", "stops"))
    number: str = key()
    day: date = Field(index=True)
    released_at: datetime | None = moment()
    wave: int = Field(default=1, sa_column_kwargs={"server_default": "1"})


class BagRow(Row, Bag, table=True):
    """Bags, by code."""

    __tablename__ = "bag"
    __table_args__ = (
        _of_order_line(),
        whole("pieces", 1, MOST),
        whole("checks", 0, MOST),
        one_of("method", CountMethod),
        one_of("state", BagState),
        *above_zero("tare_g"),
        check("window_order", "lower_g <= upper_g"),
        check("risks_are_probabilities", "p_reject <= 1 AND p_pass_one_short <= 1 AND p_pass_one_over <= 1"),
        Index(None, "order_number", "line_no"),
    )
    code: str = key()
    part_number: str = Field(foreign_key="part.number")
    walk_number: str = Field(foreign_key="walk.number", index=True)
    package_number: str = Field(default="", index=True)
    method: CountMethod = word(CountMethod)
    state: BagState = word(BagState)
    tare_g: Decimal = grams()
    target_g: Decimal | None = grams()
    lower_g: Decimal | None = grams()
    upper_g: Decimal | None = grams()
    gross_g: Decimal | None = grams()
    boxed_at: datetime | None = moment()


class WeighingRow(Row, WeighingRecord, table=True):
    """Weighings; append-only."""

    __tablename__ = "weighing"
    __table_args__ = (
        one_of("kind", WeighedKind),
        one_of("verdict", Verdict),
        whole("pieces", 0, MOST),
        Index(None, "subject", "kind"),
    )
    id: int | None = entry()
    part_number: str = Field(default="", index=True, sa_column_kwargs={"server_default": ""})
    was_counted: bool = Field(default=False, sa_column_kwargs={"server_default": false()})
    at: datetime = moment()
    kind: WeighedKind = word(WeighedKind)
    verdict: Verdict = word(Verdict)
    indication_g: Decimal = grams()
    tare_g: Decimal = grams()


class PackageRow(Row, Package, table=True):
    """Packages, by number."""

    __tablename__ = "package"
    __table_args__ = (
        one_of("state", PackageState),
        *above_zero("expected_g"),
        check("window_order", "lower_g <= upper_g"),
    )
    number: str = key()
    order_number: str = Field(foreign_key="customer_order.number", index=True)
    scale_code: str = Field(default="", sa_column_kwargs={"server_default": ""})
    manifest_number: str = Field(default="", index=True)
    state: PackageState = word(PackageState)
    expected_g: Decimal = grams()
    lower_g: Decimal = grams()
    upper_g: Decimal = grams()
    gross_g: Decimal | None = grams()
    visible_from_g: Decimal = grams()
    sealed_at: datetime | None = moment()
    photo_path: str = Field(default="", sa_column_kwargs={"server_default": ""})


class ManifestRow(Row, Manifest, table=True):
    """Manifests, by number; a closed one never changes."""

    __tablename__ = "manifest"
    __table_args__ = (
        one_of("state", ManifestState),
        whole("packages", 0, MOST),
        *not_negative("weight_g"),
        check("closed_has_time", "state = 'open' OR closed_at IS NOT NULL"),
        Index(None, "day", "service_code"),
    )
    number: str = key()
    state: ManifestState = word(ManifestState)
    closed_at: datetime | None = moment()
    weight_g: Decimal = grams()


class JournalEntryRow(Row, JournalEntry, table=True):
    """The journal; append-only."""

    __tablename__ = "journal_entry"
    __table_args__ = (Index(None, "subject"), Index(None, "event", "at"))
    id: int | None = entry()
    at: datetime = moment()


class CounterRow(Row, table=True):
    """The last number given in each series."""

    __tablename__ = "counter"
    __table_args__ = (whole("last", 1, MOST),)
    series: str = key()
    last: int
