"""A catalogue as the files that :mod:`fulfil.files.catalogue` reads: what is written and read again is the same.

Every file of :data:`~fulfil.files.catalogue.FILES` is written, with its header where it has no rows, so that nothing of
an older export stays beside it. Cells stand under the columns that the reader knows, in its order; what a column's
reader would take for the default is left empty only where the reader asks for it.

>>> from fulfil.records.tiny import BIN, PART
>>> bin_cells(BIN)["pieces"], part_cells(PART, None)["price"]
('40', '0.02')
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from enum import Enum
from typing import Any

from sqlmodel import SQLModel

from fulfil.errors import CodeRefused
from fulfil.files.catalogue import FILES, Catalogue
from fulfil.files.closures import CLOSURES
from fulfil.files.columns import Column
from fulfil.files.equipment import BAGS, BOXES, SCALES, SERVICES
from fulfil.files.parts import PARTS, WEIGHTS, weight_u_g
from fulfil.files.places import BINS, GIVES, ROOM
from fulfil.files.prices import PRICES, SDR_RATES, SURCHARGES, ZONES
from fulfil.files.printers import PRINTERS
from fulfil.files.spreadsheet import csv_bytes
from fulfil.files.unit_weights import UNIT_WEIGHTS
from fulfil.quantities import print_estimate
from fulfil.records.despatch.tariff import Price, Surcharge
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, BinUse, RoomElement
from fulfil.records.settings import Settings
from fulfil.standards import iso3166, iso4217

Cells = dict[str, str]
"""One row: cells by column."""


def catalogue_files(catalogue: Catalogue) -> dict[str, bytes]:
    """The bytes of each file of a catalogue, by name."""
    plain = plain_weights(catalogue.unit_weights)
    beside = [one for one in catalogue.unit_weights if plain.get(one.part_number) is not one]
    rows: dict[str, Iterable[Cells]] = {
        "parts.csv": [part_cells(part, plain.get(part.number)) for part in catalogue.parts],
        "unit_weights.csv": [cells_of(UNIT_WEIGHTS, weight) for weight in beside],
        "bins.csv": [bin_cells(place) for place in catalogue.bins],
        "room.csv": [_room_cells(element) for element in catalogue.room],
        "scales.csv": [cells_of(SCALES, scale) for scale in catalogue.scales],
        "bags.csv": [cells_of(BAGS, bag_type) for bag_type in catalogue.bag_types],
        "boxes.csv": [cells_of(BOXES, box_type) for box_type in catalogue.box_types],
        "services.csv": [cells_of(SERVICES, service) for service in catalogue.services],
        "zones.csv": [cells_of(ZONES, zone) for zone in catalogue.zones],
        "prices.csv": [_price_cells(price) for price in catalogue.prices],
        "surcharges.csv": [_surcharge_cells(surcharge) for surcharge in catalogue.surcharges],
        "sdr_rates.csv": [cells_of(SDR_RATES, rate) for rate in catalogue.sdr_rates],
        "closures.csv": [cells_of(CLOSURES, closure) for closure in catalogue.closures],
        "printers.csv": [cells_of(PRINTERS, printer) for printer in catalogue.printers or ()],
        "settings.csv": _settings_rows(catalogue.settings),
    }
    return {name: file_of(columns, rows[name]) for name, columns in FILES.items()}


def file_of(columns: Sequence[Column], rows: Iterable[Mapping[str, str]]) -> bytes:
    """A CSV file of these columns."""
    names = [column.name for column in columns]
    return csv_bytes(names, ([row.get(name, "") for name in names] for row in rows))


def plain_weights(weights: Iterable[UnitWeight]) -> dict[str, UnitWeight]:
    """For each part the first of its weights that ``parts.csv`` can say whole; the others need a file of their own."""
    plain: dict[str, UnitWeight] = {}
    for weight in weights:
        if weight.part_number not in plain and _is_plain(weight):
            plain[weight.part_number] = weight
    return plain


def part_cells(part: Part, weight: UnitWeight | None) -> Cells:
    """A part as its row of ``parts.csv``, with a weight that the row can say whole, or none."""
    return cells_of(PARTS, part) | ({} if weight is None else cells_of(WEIGHTS, weight))


def bin_cells(place: Bin) -> Cells:
    """A bin as its row of ``bins.csv``, with its level by the books."""
    return cells_of(BINS, place)


def cells_of(columns: Iterable[Column], record: SQLModel) -> Cells:
    """The fields of a record as the cells that its columns read; money in major units, where it has a currency."""
    return {column.name: _cell(_said(record, column.field)) for column in columns}


_UNSAID = ("is_retired", "is_fragile", "width_mm", "thickness_mm")
"""Fields whose *no* and 0 stand as empty cells."""
_MONEY = {"price_minor": "currency", "insured_up_to_minor": "insured_currency"}
"""Amounts that a file gives in major units, and the field of their currency."""


def _said(record: SQLModel, field: str) -> Any:
    """The field's value; what nobody told, and what nearly all have, goes without saying."""
    value: Any = getattr(record, field, None)
    if field in _MONEY:
        currency = getattr(record, _MONEY[field])
        return iso4217.from_minor(value, currency) if currency else None
    unsaid = value is BinUse.PICKING or (not value and field in _UNSAID)
    return None if unsaid else value


def _cell(value: Any) -> str:
    for kind, write in _WRITTEN:
        if isinstance(value, kind):
            return write(value)
    return str(value)


_WRITTEN: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (type(None), lambda _: ""),
    (bool, lambda value: "yes" if value else "no"),
    (Enum, lambda value: str(value.value)),
    (Decimal, lambda value: f"{value:f}"),
    (float, print_estimate),
    (datetime, datetime.isoformat),
    (date, date.isoformat),
    (time, lambda value: value.isoformat("minutes") if not value.second else value.isoformat()),
)
"""How a field of each kind is written; the first that fits (a bool is an int, a datetime a date)."""


def _is_plain(weight: UnitWeight) -> bool:
    if weight.source == "sampled" and weight.sample_pieces < 1:
        return False
    u_g = weight_u_g(weight.source, weight.mean_g, weight.piece_sd_g, weight.sample_pieces)
    names = [column.field for column in WEIGHTS]
    read = UnitWeight(part_number=weight.part_number, u_g=u_g, **{name: getattr(weight, name) for name in names})
    return read == weight


def _amount(minor: int, currency: str) -> str:
    return f"{iso4217.from_minor(minor, currency):f}"


def _room_cells(element: RoomElement) -> Cells:
    """Zeros and *no* are left out where the reader doesn't ask for them: a row says what there is."""
    cells = cells_of(ROOM, element)
    for name in {"x_mm", "y_mm", "length_mm"} - {*GIVES[element.kind]}:
        cells[name] = "" if cells[name] == "0" else cells[name]
    cells["one_way"] = "yes" if element.is_one_way else ""
    return cells


def _price_cells(price: Price) -> Cells:
    return cells_of(PRICES, price) | {"price": _amount(price.price_minor, price.currency)}


def _surcharge_cells(surcharge: Surcharge) -> Cells:
    cells = cells_of(SURCHARGES, surcharge)
    for name in ("above_g", "above_longest_mm", "above_length_girth_mm"):
        cells[name] = "" if cells[name] == "0" else cells[name]
    if surcharge.currency:
        of = surcharge.currency
        amounts = {"percent": "", "amount": _amount(surcharge.amount_minor, of)}
        if surcharge.insured_step_minor:
            amounts["insured_step"] = _amount(surcharge.insured_step_minor, of)
            amounts["insured_free"] = _amount(surcharge.insured_free_minor, of)
        return cells | amounts
    return cells | {"percent": f"{Decimal(surcharge.basis_points).scaleb(-2):f}", "amount": ""}


def _settings_rows(settings: Settings) -> list[Cells]:
    """All settings; a shop that never said in which country it is doesn't say it here either."""
    rows = [{"setting": name, "value": _cell(getattr(settings, name))} for name in Settings.model_fields]
    return [row for row in rows if row["setting"] != "country" or _is_country(row["value"])]


def _is_country(code: str) -> bool:
    try:
        iso3166.validate(code)
    except CodeRefused:
        return False
    return True
