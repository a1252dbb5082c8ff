"""``scales.csv``, ``bags.csv``, ``boxes.csv``, ``services.csv`` and ``settings.csv``."""

from collections.abc import Callable, Iterable
from datetime import time
from decimal import Decimal
from typing import TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import ValidationError
from sqlmodel import SQLModel

from fulfil.errors import QuantityRefused, Refusal
from fulfil.files.columns import Column, amount, estimate, grams, mm, whole, yes_or_no
from fulfil.files.estimates import usable_volume_mm3
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.despatch.service import WEEK, Service
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.settings import Settings
from fulfil.standards import dangerous_goods, iso3166, iso4217, public_holidays, upu

R = TypeVar("R", bound=SQLModel)


def _use(cell: str) -> str:
    if cell not in ("bags", "packages"):
        raise QuantityRefused("read the use", cell, "bags or packages")
    return cell


def _countries(cell: str) -> str:
    return cell if cell == "*" else " ".join(iso3166.validate(code) for code in cell.split())


def _hazards(cell: str) -> str:
    return " ".join(dangerous_goods.parse_refused(cell))


def _size_preset(cell: str) -> str:
    if cell not in upu.PRESETS:
        raise QuantityRefused("read the size preset", cell, f"one of {', '.join(upu.PRESETS)}")
    return cell


def _days(cell: str) -> str:
    days = [day.title() for day in cell.split()]
    if any(day not in WEEK for day in days):
        raise QuantityRefused("read the days", cell, f"some of {' '.join(WEEK)}")
    return " ".join(day for day in WEEK if day in days)


def _cut_offs(cell: str) -> str:
    """Pairs of a weekday and a time, in the order of the week."""
    expected = "a day and a time, such as Fri 15:00 Sat 11:30"
    words = cell.replace(",", " ").replace(";", " ").split()
    found: dict[str, str] = {}
    for day, at in zip(words[::2], words[1::2], strict=False):
        try:
            found[_days(day)] = time.fromisoformat(at).isoformat("minutes")
        except ValueError:
            raise QuantityRefused("read the cut-offs", cell, expected) from None
    if len(words) % 2 or len(found) != len(words) // 2:
        raise QuantityRefused("read the cut-offs", cell, f"{expected}, each day once")
    return " ".join(f"{day} {found[day]}" for day in WEEK if day in found)


SCALES = (
    Column("scale", "code"),
    Column("accuracy_class", "accuracy_class", do="copy it from the scale's plate"),
    Column("e_g", "e_g", grams, do="copy it from the scale's plate"),
    Column("d_g", "d_g", grams, do="copy it from the scale's plate"),
    Column("max_g", "max_g", grams, do="copy it from the scale's plate"),
    Column("min_g", "min_g", grams, do="copy it from the scale's plate"),
    Column("repeatability_g", "repeatability_g", estimate, is_needed=False),
    Column("use", "use", _use, is_needed=False),
    Column("retired", "is_retired", yes_or_no, is_needed=False),
)
BAGS = (
    Column("bag_type", "code"),
    Column("width_mm", "width_mm", mm),
    Column("height_mm", "height_mm", mm),
    Column("usable_volume_mm3", "usable_volume_mm3", mm, is_needed=False),
    Column("tare_g", "tare_g", grams),
    Column("tare_sd_g", "tare_sd_g", estimate),
    Column("max_load_g", "max_load_g", grams),
    Column("price", "price_minor", amount, is_needed=False),
    Column("currency", "currency", iso4217.validate, is_needed=False),
)
BOXES = (
    Column("box_type", "code"),
    Column("length_mm", "length_mm", mm),
    Column("width_mm", "width_mm", mm),
    Column("height_mm", "height_mm", mm),
    Column("wall_mm", "wall_mm", mm, is_needed=False),
    Column("tare_g", "tare_g", grams),
    Column("tare_sd_g", "tare_sd_g", estimate),
    Column("max_load_g", "max_load_g", grams),
    Column("fill_fraction", "fill_fraction", estimate),
    Column("cushioning_g", "cushioning_g", grams, is_needed=False),
    Column("cushioning_sd_g", "cushioning_sd_g", estimate, is_needed=False),
    Column("price", "price_minor", amount, is_needed=False),
    Column("currency", "currency", iso4217.validate, is_needed=False),
)
SERVICES = (
    Column("service", "code"),
    Column("name", "name"),
    Column("kind", "kind", do="write parcel or postal"),
    Column("countries", "countries", _countries, do="write * or ISO 3166-1 codes with spaces between"),
    Column("cut_off", "cut_off", do="write the time as 16:30"),
    Column("max_weight_g", "max_weight_g", grams),
    Column("max_longest_mm", "max_longest_mm", mm, is_needed=False),
    Column("max_length_girth_mm", "max_length_girth_mm", mm, is_needed=False),
    Column("refuses", "refuses", _hazards, is_needed=False),
    Column("size_preset", "size_preset", _size_preset, is_needed=False),
    Column("collection_days", "collection_days", _days, is_needed=False, do="write days as Mon Tue Wed"),
    Column("cut_offs", "cut_offs", _cut_offs, is_needed=False, do="write days with times, as Fri 15:00 Sat 11:30"),
    Column("holidays", "holidays", public_holidays.parse, is_needed=False),
    Column("insured_up_to", "insured_up_to_minor", amount, is_needed=False),
    Column("insured_currency", "insured_currency", iso4217.validate, is_needed=False),
    Column("divisor_cm3_per_kg", "divisor_cm3_per_kg", whole, is_needed=False),
    Column("side_rounding", "side_rounding", is_needed=False, do="write none, up or half-up"),
    Column("side_step_mm", "side_step_mm", mm, is_needed=False),
    Column("weight_step_g", "weight_step_g", whole, is_needed=False),
    Column("least_charge_g", "least_charge_g", whole, is_needed=False),
    Column("retired", "is_retired", yes_or_no, is_needed=False),
)
SETTINGS = (Column("setting", "setting"), Column("value", "value", is_needed=False))
MAY_BE_EMPTY = (
    "street", "city", "post_code", "region", "phone", "email", "notice", "named_place", "public_holidays", "scale_line",
)  # fmt: skip
"""Settings that may stand without a value."""


def read_scales(rows: Iterable[Row], file: FileReading) -> tuple[ScaleRecord, ...]:
    """The scales; what is wrong goes to the file's findings."""
    return _read(ScaleRecord, SCALES, rows, file)


def read_bag_types(rows: Iterable[Row], file: FileReading) -> tuple[BagType, ...]:
    """The bag types; a missing usable volume is estimated from the flat size."""

    def volume(values: dict[str, object], row: Row) -> None:
        _minor(values, row, file, "price", "price_minor", "currency")
        width, height = values["width_mm"], values["height_mm"]
        if "usable_volume_mm3" not in values and isinstance(width, int) and isinstance(height, int) and width * height:
            values["usable_volume_mm3"] = usable_volume_mm3(width, height)

    return _read(BagType, BAGS, rows, file, complete=volume)


def read_box_types(rows: Iterable[Row], file: FileReading) -> tuple[BoxType, ...]:
    """The box types; what is wrong goes to the file's findings."""

    def price(values: dict[str, object], row: Row) -> None:
        _minor(values, row, file, "price", "price_minor", "currency")

    return _read(BoxType, BOXES, rows, file, complete=price)


def read_services(rows: Iterable[Row], file: FileReading) -> tuple[Service, ...]:
    """The services; what is wrong goes to the file's findings."""

    def insured(values: dict[str, object], row: Row) -> None:
        _minor(values, row, file, "insured_up_to", "insured_up_to_minor", "insured_currency")

    return _read(Service, SERVICES, rows, file, complete=insured)


def _minor(values: dict[str, object], row: Row, file: FileReading, column: str, field: str, currency: str) -> None:
    """An amount in major units to the minor units of the currency beside it; one without the other is a finding."""
    said, of = values.pop(field, None), values.get(currency)
    if said is None and of is None:
        return
    if not isinstance(said, Decimal) or not isinstance(of, str):
        file.find(row, column, f"must stand beside {currency}", "give both, or empty the cell")
        return
    try:
        values[field] = iso4217.to_minor(said, of)
    except Refusal as refusal:
        file.find(row, column, f"expected {refusal.expected} in {of}")


def _read(
    kind: type[R],
    columns: tuple[Column, ...],
    rows: Iterable[Row],
    file: FileReading,
    complete: Callable[[dict[str, object], Row], None] = lambda _, __: None,
) -> tuple[R, ...]:
    records = []
    key = columns[0].name
    for row in rows:
        values = file.values(columns, row)
        if not file.is_new(row, key, row.cells.get(key, "")) or values is None:
            continue
        complete(values, row)
        record = file.build(kind, columns, row, values)
        if record is not None:
            records.append(record)
    return tuple(records)


def read_settings(rows: Iterable[Row], file: FileReading) -> Settings:
    """The settings: what the file names, the house rules for the rest."""
    values: dict[str, str] = {}
    named: dict[str, Row] = {}
    for row in rows:
        name = row.cells.get("setting", "")
        if not file.is_new(row, "setting", name):
            continue
        if name not in Settings.model_fields:
            file.find(row, "setting", "is no setting", f"use one of {', '.join(Settings.model_fields)}")
        elif row.cells.get("value") or name in MAY_BE_EMPTY:
            values[name], named[name] = row.cells.get("value", ""), row
        else:
            file.find(row, "value", f"must not be empty for {name}", "give a value, or remove the line")
    for name, check in (
        ("country", iso3166.validate),
        ("currency", iso4217.validate),
        ("time_zone", _time_zone),
        ("public_holidays", public_holidays.parse),
    ):
        if values.get(name):
            try:
                values[name] = check(values[name])
            except Refusal as refusal:
                file.find(named[name], "value", f"expected {refusal.expected}")
    try:
        return Settings.model_validate(values)
    except ValidationError as trouble:
        for error in trouble.errors():
            says = str(error["msg"]).removeprefix("Value error, ").replace("Input should be", "must be")
            file.find(named[str(error["loc"][0])], "value", f"{error['loc'][0]} {says}")
        return Settings()


def _time_zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise QuantityRefused("find the time zone", name, "a name such as Europe/Vienna") from None
    return name
