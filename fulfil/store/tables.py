"""Tables of the shop: each is a record with keys, indices and the checks that even raw SQL can't break.

The classes say *where* records are kept; rows are written and read through :class:`fulfil.store.books.Books`, which
speaks in plain records. A table class never validates (that is SQLModel's rule for ``table=True``), so the records
validate on their way in and CHECK, UNIQUE and FOREIGN KEY stand behind them.
"""

from sqlmodel import SQLModel

from fulfil.records.bench import BenchPlace, Recount
from fulfil.records.day_close import ClosedDay, Settlement
from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine, CarrierBill
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.customs import HazardReview, SdrRateEntry
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, Package
from fulfil.records.despatch.goods_back import ReturnedPieces, ReturnMatch, ReturnNotice
from fulfil.records.despatch.handover import ManifestCopy, ManifestVoid
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge, Price, Surcharge, Zone
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.identifier import Identifier, IdentifierRange
from fulfil.records.imported import ImportedFile
from fulfil.records.kit import KitPart
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_charge import OrderCharge
from fulfil.records.order_mapping import CountryName, KeptMapping
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import OwedBalance, OwedEntry, OwedMove, StockBalance, StockEntry, StockMove
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.records.settings import Settings
from fulfil.records.shorts import Job
from fulfil.records.weighing import ScaleStanding, WeighingRecord
from fulfil.store.bench_tables import BenchPlaceRow, RecountRow
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
    UnitWeightRow,
)
from fulfil.store.day_tables import (
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
from fulfil.store.order_tables import (
    ClaimRow,
    CountryNameRow,
    JobRow,
    KeptMappingRow,
    KitPartRow,
    OrderChargeRow,
    PulledBagRow,
    ReturnedPiecesRow,
    ReturnMatchRow,
    ReturnNoticeRow,
)
from fulfil.store.piece_tables import OwedBalanceRow, OwedMoveRow, StockBalanceRow, StockMoveRow
from fulfil.store.row import Row
from fulfil.store.shipping_tables import (
    BilledSurchargeRow,
    BillLineRow,
    CarrierBillRow,
    ChargedSurchargeRow,
    ChargeRow,
    ClosedDayRow,
    HazardReviewRow,
    IdentifierRangeRow,
    IdentifierRow,
    ManifestCopyRow,
    ManifestVoidRow,
    PriceRow,
    SdrRateRow,
    SettlementRow,
    SurchargeRow,
    ZoneRow,
)
from fulfil.store.weighing_tables import ScaleStandingRow

__all__ = ["APPEND_ONLY", "ROWS", "CounterRow", "Row"]

ROWS: dict[type[SQLModel], type[Row]] = {
    Bag: BagRow,
    BagType: BagTypeRow,
    BenchPlace: BenchPlaceRow,
    BilledSurcharge: BilledSurchargeRow,
    BillLine: BillLineRow,
    Bin: BinRow,
    BoxType: BoxTypeRow,
    CarrierBill: CarrierBillRow,
    Charge: ChargeRow,
    ChargedSurcharge: ChargedSurchargeRow,
    Claim: ClaimRow,
    ClosedDay: ClosedDayRow,
    CountryName: CountryNameRow,
    HazardReview: HazardReviewRow,
    Identifier: IdentifierRow,
    IdentifierRange: IdentifierRangeRow,
    ImportedFile: ImportedFileRow,
    Job: JobRow,
    JournalEntry: JournalEntryRow,
    KeptMapping: KeptMappingRow,
    KitPart: KitPartRow,
    Manifest: ManifestRow,
    ManifestCopy: ManifestCopyRow,
    ManifestVoid: ManifestVoidRow,
    Order: OrderRow,
    OrderCharge: OrderChargeRow,
    OrderLine: OrderLineRow,
    OwedBalance: OwedBalanceRow,
    OwedEntry: OwedMoveRow,
    OwedMove: OwedMoveRow,
    Package: PackageRow,
    Part: PartRow,
    PlanRecord: PlanRow,
    Price: PriceRow,
    PulledBag: PulledBagRow,
    Recount: RecountRow,
    ReturnMatch: ReturnMatchRow,
    ReturnNotice: ReturnNoticeRow,
    ReturnedPieces: ReturnedPiecesRow,
    RoomElement: RoomElementRow,
    ScaleRecord: ScaleRow,
    ScaleStanding: ScaleStandingRow,
    SdrRateEntry: SdrRateRow,
    Service: ServiceRow,
    Settings: SettingsRow,
    Settlement: SettlementRow,
    StockBalance: StockBalanceRow,
    StockEntry: StockMoveRow,
    StockMove: StockMoveRow,
    Surcharge: SurchargeRow,
    UnitWeight: UnitWeightRow,
    WalkRecord: WalkRow,
    WeighingRecord: WeighingRow,
    Zone: ZoneRow,
}
"""The table class of each record class."""

APPEND_ONLY = (
    "bill_line",
    "billed_surcharge",
    "carrier_bill",
    "charge",
    "charged_surcharge",
    "closed_day",
    "hazard_review",
    "identifier",
    "journal_entry",
    "manifest_copy",
    "manifest_void",
    "owed_move",
    "returned_pieces",
    "settlement",
    "stock_move",
    "weighing",
)
"""Tables whose rows are never changed nor removed."""
