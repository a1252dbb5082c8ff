"""Tables of what the shop has: parts, bins, room, scales, bags, boxes, services, settings."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Index
from sqlmodel import Field

from fulfil.records.despatch.service import Service, ServiceKind, SideRounding
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.imported import ImportedFile
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.settings import Paper, Settings
from fulfil.store.columns import Micrograms, Word, above_zero, check, not_negative, one_of, whole
from fulfil.store.row import MOST, Row, grams, key, moment, word


def _added(default: str | int) -> Any:
    """A column that a later migration added: shops that were there before get the default."""
    return Field(default=default, sa_column_kwargs={"server_default": str(default)})


class PartRow(Row, Part, table=True):
    """Parts, by number."""

    __tablename__ = "part"
    __table_args__ = (
        *above_zero("bulk_volume_mm3"),
        whole("longest_mm", 1, MOST),
        whole("price_minor", 0, MOST),
        one_of("supply", Supply),
    )
    number: str = key()
    supply: Supply = word(Supply)


class UnitWeightRow(Row, UnitWeight, table=True):
    """Unit weights, by part and lot."""

    __tablename__ = "unit_weight"
    __table_args__ = (
        *above_zero("mean_g"),
        *not_negative("u_g", "piece_sd_g"),
        whole("sample_pieces", 0, MOST),
        one_of("source", WeightSource),
    )
    part_number: str = Field(primary_key=True, foreign_key="part.number")
    lot: str = key()
    source: WeightSource = word(WeightSource)
    piece_sd_source: str = _added("")
    lot_sd_g: float = _added(0)
    sampled_at: datetime | None = moment()
    learned_n: int = _added(0)
    count_doubt: float = _added(0)


class RoomElementRow(Row, RoomElement, table=True):
    """Elements of the room, by kind and name."""

    __tablename__ = "room_element"
    __table_args__ = (one_of("kind", ElementKind), *not_negative("x_mm", "y_mm", "length_mm"))
    kind: ElementKind = Field(primary_key=True, sa_type=Word(ElementKind))
    name: str = key()


class BinRow(Row, Bin, table=True):
    """Bins, by code."""

    __tablename__ = "bin"
    __table_args__ = (
        whole("pieces", 0, MOST),
        *not_negative("section", "level", "y_mm"),
        one_of("side", Side),
    )
    code: str = key()
    side: Side = word(Side)
    part_number: str = Field(foreign_key="part.number", index=True)


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
    e_g: Decimal = grams()
    d_g: Decimal = grams()
    max_g: Decimal = grams()
    min_g: Decimal = grams()


class BagTypeRow(Row, BagType, table=True):
    """Bag types, by code."""

    __tablename__ = "bag_type"
    __table_args__ = (
        *above_zero("width_mm", "height_mm", "usable_volume_mm3", "tare_g", "max_load_g"),
        *not_negative("tare_sd_g"),
    )
    code: str = key()
    tare_g: Decimal = grams()
    max_load_g: Decimal = grams()


class BoxTypeRow(Row, BoxType, table=True):
    """Box types, by code."""

    __tablename__ = "box_type"
    __table_args__ = (
        *above_zero("length_mm", "width_mm", "height_mm", "tare_g", "max_load_g", "fill_fraction"),
        *not_negative("wall_mm", "tare_sd_g"),
        check("fill_fraction_at_most_1", "fill_fraction <= 1"),
    )
    code: str = key()
    tare_g: Decimal = grams()
    max_load_g: Decimal = grams()
    cushioning_g: Decimal = Field(default=Decimal(0), sa_type=Micrograms, sa_column_kwargs={"server_default": "0"})
    cushioning_sd_g: float = _added(0)


class ServiceRow(Row, Service, table=True):
    """Services, by code."""

    __tablename__ = "service"
    __table_args__ = (
        one_of("kind", ServiceKind),
        one_of("side_rounding", SideRounding),
        *not_negative("max_weight_g", "max_longest_mm", "max_length_girth_mm", "divisor_cm3_per_kg", "least_charge_g"),
        *above_zero("side_step_mm", "weight_step_g"),
    )
    code: str = key()
    kind: ServiceKind = word(ServiceKind)
    max_weight_g: Decimal = grams()
    size_preset: str = _added("")
    collection_days: str = _added("")
    divisor_cm3_per_kg: int = _added(0)
    side_rounding: SideRounding = Field(
        default=SideRounding.NONE, sa_type=Word(SideRounding), sa_column_kwargs={"server_default": "none"}
    )
    side_step_mm: int = _added(10)
    weight_step_g: int = _added(1)
    least_charge_g: int = _added(0)


class SettingsRow(Row, Settings, table=True):
    """The settings: one row."""

    __tablename__ = "settings"
    __table_args__ = (
        check("one_row", "id = 1"),
        one_of("paper", Paper),
        *above_zero("risk_pass", "risk_reject", "cart_max_load_g", "lift_caution_g", "walk_m_per_s"),
        check("risks_below_half", "risk_pass < 0.5 AND risk_reject < 0.5"),
    )
    id: int = Field(default=1, primary_key=True)
    paper: Paper = word(Paper)
    cart_max_load_g: Decimal = grams()
    lift_caution_g: Decimal = grams()
    reach_seconds_by_level: str = _added("2 1 2 4")
    search_seconds_per_line: float = _added("3.0")
    check_and_pack_minutes: int = _added(30)
    allocation_rule: str = _added("first come")
    service_level: float = _added("0.95")
    make_days: int = _added(1)
    buy_days: int = _added(10)
    terms_of_delivery: str = _added("DAP")
    named_place: str = _added("")


class ImportedFileRow(Row, ImportedFile, table=True):
    """Files taken in, by digest."""

    __tablename__ = "imported_file"
    __table_args__ = (check("digest_length", "length(digest) = 64"), Index(None, "name", "at"))
    digest: str = key()
    at: datetime = moment()
