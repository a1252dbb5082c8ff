"""Tables of what the shop has: parts, bins, room, scales, bags, boxes, services, settings."""

from decimal import Decimal
from typing import Any

from pydantic_core import PydanticUndefined
from sqlalchemy import Index, false, true
from sqlmodel import Field

from fulfil.records.despatch.service import Service, SideRounding
from fulfil.records.equipment import BagType, BoxType, PrinterRecord, ScaleRecord
from fulfil.records.imported import ImportedFile
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, BinUse, ElementKind, RoomElement
from fulfil.records.settings import Settings
from fulfil.store.columns import Micrograms, Word, above_zero, check, not_negative, whole
from fulfil.store.row import MOST, Row, key


def _added(default: str | int, sa_type: Any = PydanticUndefined) -> Any:
    """A column that a later migration added: shops that were there before get the default."""
    return Field(default=default, sa_type=sa_type, sa_column_kwargs={"server_default": str(default)})


def _added_no() -> Any:
    return Field(default=False, sa_column_kwargs={"server_default": false()})


class PartRow(Row, Part, table=True):
    """Parts, by number."""

    __tablename__ = "part"
    __table_args__ = (
        *above_zero("bulk_volume_mm3"),
        whole("longest_mm", 1, MOST),
        whole("price_minor", 0, MOST),
    )
    number: str = key()
    pack_pieces: int = _added(1)
    lithium: str = _added("")
    lead_ppm: int = _added(0)
    width_mm: int = _added(0)
    thickness_mm: int = _added(0)
    is_fragile: bool = _added_no()


class UnitWeightRow(Row, UnitWeight, table=True):
    """Unit weights, by part and lot."""

    __tablename__ = "unit_weight"
    __table_args__ = (
        *above_zero("mean_g"),
        *not_negative("u_g", "piece_sd_g"),
        whole("sample_pieces", 0, MOST),
    )
    part_number: str = Field(primary_key=True, foreign_key="part.number")
    lot: str = key()
    piece_sd_source: str = _added("")
    lot_sd_g: float = _added(0)
    learned_n: int = _added(0)
    count_doubt: float = _added(0)


class RoomElementRow(Row, RoomElement, table=True):
    """Elements of the room, by kind and name."""

    __tablename__ = "room_element"
    __table_args__ = not_negative("x_mm", "y_mm", "length_mm")
    kind: ElementKind = key(Word(ElementKind))
    name: str = key()


class BinRow(Row, Bin, table=True):
    """Bins, by code."""

    __tablename__ = "bin"
    __table_args__ = (
        whole("pieces", 0, MOST),
        *not_negative("section", "level", "y_mm"),
    )
    code: str = key()
    part_number: str = Field(foreign_key="part.number", index=True)
    use: BinUse = _added("picking", Word(BinUse))


class ScaleRow(Row, ScaleRecord, table=True):
    """Scales, by code."""

    __tablename__ = "scale"
    __table_args__ = (
        *above_zero("e_g", "d_g", "max_g"),
        *not_negative("min_g", "repeatability_g"),
        check("interval_order", "d_g <= e_g"),
        check("range_order", "min_g < max_g"),
        check("class_word", "accuracy_class IN ('I', 'II', 'III', 'IIII')"),
    )
    code: str = key()
    is_retired: bool = _added_no()


class BagTypeRow(Row, BagType, table=True):
    """Bag types, by code."""

    __tablename__ = "bag_type"
    __table_args__ = (
        *above_zero("width_mm", "height_mm", "usable_volume_mm3", "tare_g", "max_load_g"),
        *not_negative("tare_sd_g"),
    )
    code: str = key()
    price_minor: int = _added(0)
    currency: str = _added("")


class PrinterRow(Row, PrinterRecord, table=True):
    """Printers, by name."""

    __tablename__ = "printer"
    __table_args__ = (*above_zero("dpi"),)
    name: str = key()


class BoxTypeRow(Row, BoxType, table=True):
    """Box types, by code."""

    __tablename__ = "box_type"
    __table_args__ = (
        *above_zero("length_mm", "width_mm", "height_mm", "tare_g", "max_load_g", "fill_fraction"),
        *not_negative("wall_mm", "tare_sd_g"),
        check("fill_fraction_at_most_1", "fill_fraction <= 1"),
    )
    code: str = key()
    cushioning_g: Decimal = _added(0, Micrograms)
    cushioning_sd_g: float = _added(0)
    price_minor: int = _added(0)
    currency: str = _added("")


class ServiceRow(Row, Service, table=True):
    """Services, by code."""

    __tablename__ = "service"
    __table_args__ = (
        *not_negative("max_weight_g", "max_longest_mm", "max_length_girth_mm", "divisor_cm3_per_kg", "least_charge_g"),
        *above_zero("side_step_mm", "weight_step_g"),
    )
    code: str = key()
    size_preset: str = _added("")
    collection_days: str = _added("")
    divisor_cm3_per_kg: int = _added(0)
    side_rounding: SideRounding = _added("none", Word(SideRounding))
    side_step_mm: int = _added(10)
    weight_step_g: int = _added(1)
    least_charge_g: int = _added(0)
    is_retired: bool = _added_no()
    cut_offs: str = _added("")
    holidays: str = _added("")
    insured_up_to_minor: int = _added(0)
    insured_currency: str = _added("")


class SettingsRow(Row, Settings, table=True):
    """The settings: one row."""

    __tablename__ = "settings"
    __table_args__ = (
        check("one_row", "id = 1"),
        *above_zero("risk_pass", "risk_reject", "cart_max_load_g", "lift_caution_g", "walk_m_per_s"),
        check("risks_below_half", "risk_pass < 0.5 AND risk_reject < 0.5"),
    )
    id: int = Field(default=1, primary_key=True)
    reach_seconds_by_level: str = _added("2 1 2 4")
    search_seconds_per_line: float = _added("3.0")
    check_and_pack_minutes: int = _added(30)
    allocation_rule: str = _added("first come")
    service_level: float = _added("0.95")
    make_days: int = _added(1)
    buy_days: int = _added(10)
    terms_of_delivery: str = _added("DAP")
    named_place: str = _added("")
    public_holidays: str = _added("")
    package_work_minor: int = _added(0)
    count_seconds_per_piece: float = _added("1.0")
    seconds_per_weighing: float = _added("10.0")
    look_chance: float = _added("0.05")
    risks_held_by: str = _added("mean")
    scale_line: str = _added("")
    first_in_first_out: bool = Field(default=True, sa_column_kwargs={"server_default": true()})
    cart_levels: int = _added(1)


class ImportedFileRow(Row, ImportedFile, table=True):
    """Files taken in, by digest."""

    __tablename__ = "imported_file"
    __table_args__ = (check("digest_length", "length(digest) = 64"), Index(None, "name", "at"))
    digest: str = key()
