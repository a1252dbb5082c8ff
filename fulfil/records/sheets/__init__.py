"""Sheets: every word and figure of a paper, computed already, so that a paper only places them.

A sheet is a frozen dataclass of plain values: ``str``, ``int``, ``Decimal``, ``date``, ``time``, the words of closed
lists, and tuples of smaller sheets. It knows no page, no font and no database; the same sheet gives the same paper,
byte for byte, and its twin as plain text and JSON (:mod:`fulfil.papers.twin`).

Units and writing, the same for all sheets:

* Masses are ``Decimal`` grams *with the digits to be printed* (a window has the scale's digits); papers print them by
  :func:`fulfil.quantities.print_grams`, package papers by :func:`~fulfil.quantities.print_package_mass`.
* Lengths are whole millimetres; a walk prints in metres. Pieces are whole numbers.
* Texts are printed as given, whole: wrapped where long, never cut. Empty text prints nothing.
* Rows are printed in the order given. Totals are properties of the sheet, so that they can't disagree with its rows.
"""

from fulfil.records.sheets.bag_label import BagLabelSheet
from fulfil.records.sheets.cart_card import CartCardSheet, CartPosition
from fulfil.records.sheets.checklist import CheckBag, ChecklistSheet
from fulfil.records.sheets.counting_table import CountingTable, CountingTableSheet
from fulfil.records.sheets.customs import CustomsRow, CustomsSheet
from fulfil.records.sheets.day_report import BalanceRow, DayReportSheet, Figure
from fulfil.records.sheets.document import DocumentSheet
from fulfil.records.sheets.drift_chart import DriftChartSheet
from fulfil.records.sheets.invoice import InvoiceRow, InvoiceSheet
from fulfil.records.sheets.line_chart import ChartLine, LineChart
from fulfil.records.sheets.logistic_label import LogisticLabelSheet
from fulfil.records.sheets.manifest import ManifestRow, ManifestSheet
from fulfil.records.sheets.package_label import PackageLabelSheet
from fulfil.records.sheets.packing_list import PackedPackage, PackingLine, PackingListSheet
from fulfil.records.sheets.pick_list import PickBag, PickListSheet, PickStop
from fulfil.records.sheets.reconciliation import DifferenceRow, ReconciliationSheet, SumRow
from fulfil.records.sheets.route_map import MapAisle, MapPassage, MapRack, MapStop, MapVisits, RouteMapSheet
from fulfil.records.sheets.short_list import ShortListSheet, ShortRow, WaitingOrder
from fulfil.records.sheets.unit_weight_card import CardLot, CardReach, CardSample, UnitWeightCardSheet

__all__ = [
    "BagLabelSheet",
    "BalanceRow",
    "CardLot",
    "CardReach",
    "CardSample",
    "CartCardSheet",
    "CartPosition",
    "ChartLine",
    "CheckBag",
    "ChecklistSheet",
    "CountingTable",
    "CountingTableSheet",
    "CustomsRow",
    "CustomsSheet",
    "DayReportSheet",
    "DifferenceRow",
    "DocumentSheet",
    "DriftChartSheet",
    "Figure",
    "InvoiceRow",
    "InvoiceSheet",
    "LineChart",
    "LogisticLabelSheet",
    "ManifestRow",
    "ManifestSheet",
    "MapAisle",
    "MapPassage",
    "MapRack",
    "MapStop",
    "MapVisits",
    "PackageLabelSheet",
    "PackedPackage",
    "PackingLine",
    "PackingListSheet",
    "PickBag",
    "PickListSheet",
    "PickStop",
    "ReconciliationSheet",
    "RouteMapSheet",
    "ShortListSheet",
    "ShortRow",
    "SumRow",
    "UnitWeightCardSheet",
    "WaitingOrder",
]
