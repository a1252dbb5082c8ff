"""Tables of the shop: each is a record with keys, indices and the checks that even raw SQL can't break.

The classes say *where* records are kept; rows are written and read through :class:`fulfil.store.books.Books`, which
speaks in plain records. A table class never validates (that is SQLModel's rule for ``table=True``), so the records
validate on their way in and CHECK, UNIQUE and FOREIGN KEY stand behind them.
"""

from sqlmodel import SQLModel

from fulfil.records.dispatch import JournalEntry, Manifest, Package
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.imported import ImportedFile
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement, StockEntry
from fulfil.records.plan import Allocation, Bag, PlanRecord, WalkRecord
from fulfil.records.service import Service
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighingRecord
from fulfil.store.catalogue_tables import (
    BagTypeRow,
    BinRow,
    BoxTypeRow,
    ImportedFileRow,
    PartRow,
    RoomElementRow,
    ScaleRow,
    ServiceRow,
    SettingsRow,
    StockEntryRow,
    UnitWeightRow,
)
from fulfil.store.day_tables import (
    AllocationRow,
    BagRow,
    CounterRow,
    JournalEntryRow,
    ManifestRow,
    OrderLineRow,
    OrderRow,
    PackageRow,
    PlanRow,
    WalkRow,
    WeighingRow,
)
from fulfil.store.row import Row

__all__ = ["APPEND_ONLY", "ROWS", "CounterRow", "Row"]

ROWS: dict[type[SQLModel], type[Row]] = {
    Allocation: AllocationRow,
    Bag: BagRow,
    BagType: BagTypeRow,
    Bin: BinRow,
    BoxType: BoxTypeRow,
    ImportedFile: ImportedFileRow,
    JournalEntry: JournalEntryRow,
    Manifest: ManifestRow,
    Order: OrderRow,
    OrderLine: OrderLineRow,
    Package: PackageRow,
    Part: PartRow,
    PlanRecord: PlanRow,
    RoomElement: RoomElementRow,
    ScaleRecord: ScaleRow,
    Service: ServiceRow,
    Settings: SettingsRow,
    StockEntry: StockEntryRow,
    UnitWeight: UnitWeightRow,
    WalkRecord: WalkRow,
    WeighingRecord: WeighingRow,
}
"""The table class of each record class."""

APPEND_ONLY = ("journal_entry", "stock_entry", "weighing")
"""Tables whose rows are never changed nor removed."""
