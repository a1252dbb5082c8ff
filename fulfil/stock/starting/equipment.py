"""Scales, bags, boxes and services: asked one by one until an empty answer, each row read by its file's own columns.

What nobody has measured yet gets a careful guess, which is said in the notes: a bag's spread 2 % of its tare, a box's
1 %, and that bags fill 70 % of a box (common practice; weigh twenty, and correct the file).
"""

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import time
from decimal import Decimal
from functools import partial
from typing import Any

from fulfil.errors import QuantityRefused
from fulfil.files.equipment import read_bag_types, read_box_types, read_scales, read_services
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.orders.keying import answers
from fulfil.shop.conversation import Question, Script
from fulfil.standards.country_names import by_any_name
from fulfil.stock.starting.measures import mass_g, sides_mm

Cells = dict[str, str]
Rows = list[Cells]
Reader = Callable[[Iterable[Row], FileReading], Sequence[Any]]
BAG_SPREAD, BOX_SPREAD, FILL = Decimal("0.02"), Decimal("0.01"), "0.7"
_CLASSES = {"1": "I", "2": "II", "3": "III", "4": "IIII", "IV": "IIII"}


def scales_script() -> Script[Rows]:
    """The rows of ``scales.csv``: what stands on each plate (OIML R 76-1, 7.1: class, e, d, Max, Min)."""

    def one(key: str, code: str) -> Script[Cells]:
        cells = {"scale": code}
        cells["accuracy_class"] = yield Question(
            f"{key} class", "Its class on the plate, in the oval (I, II, III, IIII)?", _class, stand_in="III"
        )
        cells["e_g"] = yield _mass(f"{key} e", "e on the plate, such as 0.1 g?")
        cells["d_g"] = yield _mass(f"{key} d", "d, the step of its display?", cells["e_g"])
        cells["max_g"] = yield _mass(f"{key} max", "Max, such as 6 kg?", stand_in="600")
        cells["min_g"] = yield _mass(f"{key} min", "Min?", f"{20 * Decimal(cells['e_g']):f}")
        cells["use"] = yield Question(
            f"{key} use", "Does it weigh bags or packages?", partial(_fits, "use", cells, read_scales, _use), "bags"
        )
        return cells

    return _several("scale", "What shall scale {} be called, such as BENCH?", "scales.csv", one, least=1)


def bags_script() -> Script[Rows]:
    """The rows of ``bags.csv``."""

    def one(key: str, code: str) -> Script[Cells]:
        width, height = yield Question(
            f"{key} size",
            "Its size laid flat, inside, such as 60 x 80 mm?",
            partial(sides_mm, count=2),
            stand_in=(60, 80),
        )
        tare = yield _mass(f"{key} tare", "What does an empty one weigh, or twenty (such as 12.4/20)?")
        cells = {"bag_type": code, "width_mm": str(width), "height_mm": str(height), "tare_g": tare}
        cells["tare_sd_g"] = _spread(tare, BAG_SPREAD)
        cells["max_load_g"] = yield _load(
            f"{key} load", "The most that it carries, such as 200 g?", cells, read_bag_types
        )
        return cells

    return _several("bag", "What shall bag {} be called, such as SMALL?", "bags.csv", one, least=1)


def boxes_script() -> Script[Rows]:
    """The rows of ``boxes.csv``."""

    def one(key: str, code: str) -> Script[Cells]:
        sides = yield Question(
            f"{key} size", "Its inside, such as 160 x 110 x 60 mm?", partial(sides_mm, count=3), stand_in=(1, 1, 1)
        )
        tare = yield _mass(f"{key} tare", "What does it weigh, closed and with its filling?")
        cells = {"box_type": code, "tare_g": tare, "tare_sd_g": _spread(tare, BOX_SPREAD), "fill_fraction": FILL}
        length, width, height = map(str, sides)
        cells |= {"length_mm": length, "width_mm": width, "height_mm": height}
        cells["max_load_g"] = yield _load(
            f"{key} load", "The most that it carries, such as 2 kg?", cells, read_box_types
        )
        return cells

    return _several("box", "What shall box {} be called, such as BOX-S?", "boxes.csv", one, least=1)


def services_script() -> Script[Rows]:
    """The rows of ``services.csv``."""

    def one(key: str, code: str) -> Script[Cells]:
        cells = {"service": code}
        cells["name"] = yield Question(f"{key} name", "Its name on papers?", partial(answers.something, "name"), code)
        cells["kind"] = yield Question(f"{key} kind", "Is it parcel or postal?", _kind, "parcel")
        cells["countries"] = yield Question(
            f"{key} countries", "Which countries does it go to (with commas between, or all)?", _countries, "all"
        )
        cells["cut_off"] = yield Question(
            f"{key} cut-off", "By when must packages be ready, such as 16:30?", _time, stand_in="16:00"
        )
        cells["max_weight_g"] = yield _load(
            f"{key} weight", "The heaviest package, such as 30 kg?", cells, read_services
        )
        return cells

    return _several("service", "What shall service {} be called, such as ROAD?", "services.csv", one, least=1)


def _several(word: str, asks: str, file: str, one: Callable[[str, str], Script[Cells]], *, least: int) -> Script[Rows]:
    """Rows until an empty answer; the first ``least`` are needed."""
    rows: Rows = []
    while True:
        place = len(rows) + 1
        is_needed = place <= least
        code = yield Question(
            f"{word} {place}", asks.format(place) + ("" if is_needed else " Enter when there are no more."),
            partial(_code, word, tuple(row[_KEYS[word]] for row in rows)), None if is_needed else "",
            stand_in=f"?{place}" if is_needed else "",
        )  # fmt: skip
        if not code:
            return rows
        rows.append((yield from one(f"{word} {place}", code)))


_KEYS = {"scale": "scale", "bag": "bag_type", "box": "box_type", "service": "service"}


def _code(word: str, taken: tuple[str, ...], said: str) -> str:
    if not said:
        return ""
    if not (said.isascii() and said.isprintable() and len(said) <= 40):
        raise QuantityRefused(f"call the {word}", said, "at most 40 letters and digits without accents")
    if said.casefold() in map(str.casefold, taken):
        raise QuantityRefused(f"call the {word}", said, "a name that no other has")
    return said


def _mass(key: str, asks: str, default: str | None = None, stand_in: str = "1") -> Question:
    return Question(key, asks, _grams, default, stand_in=stand_in)


def _grams(said: str) -> str:
    return f"{mass_g(said):f}"


def _load(key: str, asks: str, cells: Cells, reader: Reader) -> Question:
    """The last answer of a row: read by itself, then the whole row by its file's reader."""
    column = "max_weight_g" if reader is read_services else "max_load_g"
    return Question(key, asks, partial(_fits, column, cells, reader, _grams), stand_in="1000")


def _fits(column: str, cells: Cells, reader: Reader, read: Callable[[str], str], said: str) -> str:
    cell = read(said)
    file = FileReading("", [])
    reader([Row(None, {**cells, column: cell})], file)
    if file.findings:
        one = file.findings[0]
        raise QuantityRefused(
            "take", said, f"a row that fits together, go back with <: {f'{one.field} {one.value}'.strip()} {one.says}"
        )
    return cell


def _spread(tare_g: str, share: Decimal) -> str:
    return f"{(Decimal(tare_g) * share).quantize(Decimal('0.0001')).normalize():f}"


def _class(said: str) -> str:
    read = _CLASSES.get(said.upper(), said.upper())
    if read not in ("I", "II", "III", "IIII"):
        raise QuantityRefused("read the class", said, "I, II, III or IIII")
    return read


def _use(said: str) -> str:
    for use in ("bags", "packages"):
        if said and use.startswith(said.casefold()):
            return use
    raise QuantityRefused("read the use", said, "bags or packages")


def _kind(said: str) -> str:
    for kind in ("parcel", "postal"):
        if len(said) > 1 and kind.startswith(said.casefold().replace("post", "postal")[:6]):
            return kind
    raise QuantityRefused("read the kind", said, "parcel or postal")


def _countries(said: str) -> str:
    if said.casefold() in ("all", "*", "everywhere"):
        return "*"
    return " ".join(by_any_name(one).alpha_2 for one in said.replace(";", ",").split(",") if one.strip())


def _time(said: str) -> str:
    """Hours and minutes.

    >>> [_time(said) for said in ("16:30", "14h", "9.15", "4 pm", "4:30pm", "12 a.m.")]
    ['16:30', '14:00', '09:15', '16:00', '16:30', '00:00']
    """
    found = _CLOCK.fullmatch(said.strip().casefold())
    try:
        if found is None:
            raise ValueError(said)
        hour, half = int(found["hour"]), found["half"] or ""
        if half and not 1 <= hour <= 12:
            raise ValueError(said)
        hour = hour % 12 + 12 * (half[:1] == "p") if half else hour
        return f"{time(hour, int(found['minute'] or 0)):%H:%M}"
    except ValueError:
        raise QuantityRefused("read the time", said, "hours and minutes, such as 16:30") from None


_CLOCK = re.compile(r"(?P<hour>[0-9]{1,2})(?:[:.h](?P<minute>[0-9]{2})?)?\s*(?P<half>[ap]\.?m\.?)?")
