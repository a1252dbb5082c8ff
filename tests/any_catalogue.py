"""Catalogues of any shop, for property tests: every file has rows, texts are odd."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from math import floor
from typing import Any

from hypothesis import strategies as st

from fulfil.files.catalogue import Catalogue
from fulfil.files.parts import weight_u_g
from fulfil.orders.print_check import unprintable
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.service import WEEK, Closure, Service, ServiceKind, SideRounding
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.equipment import BagType, BoxType, PrinterRecord, ScaleRecord
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.place import Bin, BinUse, ElementKind, RoomElement, Side
from fulfil.records.settings import Paper, Settings
from fulfil.records.text import tidy
from fulfil.standards import upu

_ODD = st.sampled_from(['"', "'", ";", ",", "\n", "\r", "\t", "=", "+", "-", "@", "\u00a0", "\u2028", "å", "A\u030a"])
# What no paper can print is a finding when a catalogue comes in.
_LETTERS = st.characters(exclude_categories=("Cc", "Cs", "Co", "Cn")).filter(lambda letter: not unprintable(letter))
TEXTS = st.lists(_ODD | _LETTERS, max_size=25).map(lambda signs: tidy("".join(signs)))
NAMES = TEXTS.filter(bool)
CODES = st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=12).map(tidy).filter(bool)
SHARES = st.floats(min_value=1e-9, max_value=1.0)
WHOLE = st.integers(0, 999_999_999)
MINOR = st.integers(0, 999_999_999)
CURRENCIES = st.sampled_from(["EUR", "JPY", "KWD", "UYW"])
COUNTRIES = st.sampled_from(["DE", "JP", "NA", "XK"])
GRAMS = st.decimals(min_value="0.000001", max_value="900000", places=6)
MOMENTS = st.timedeltas(timedelta(0), timedelta(3650)).map(lambda since: datetime(2020, 1, 1, tzinfo=UTC) + since)
DAYS = st.dates(date(2020, 1, 1), date(2030, 1, 1))


def codes(least: int, most: int) -> st.SearchStrategy[list[str]]:
    """Codes of which no two are alike in letters of either case."""
    return st.lists(CODES, min_size=least, max_size=most, unique_by=str.casefold)


@st.composite
def printers(draw: st.DrawFn) -> list[PrinterRecord]:
    """Some printers, with shifts to the tenth of a millimetre."""
    shifts = st.integers(-200, 200).map(lambda tenths: tenths / 10)
    return [
        PrinterRecord(
            name=name,
            dpi=draw(st.integers(100, 2400)),
            media=draw(st.sampled_from(["A4", "Letter", "60x40", "60x40 on A4: 3 x 6 at 10,12 step 65,45"])),
            papers=draw(st.sampled_from(["", "bag-labels"])),
            language=draw(st.sampled_from(["pdf", "picture", "zpl", "epl", "tspl"])),
            sends_to=draw(st.sampled_from(["folder", "queue office", "socket 192.0.2.7:9100"])),
            right_mm=draw(shifts),
            down_mm=draw(shifts),
            is_retired=draw(st.booleans()),
        )
        for name in draw(codes(0, 3))
    ]


@st.composite
def parts(draw: st.DrawFn, number: str) -> tuple[Part, list[UnitWeight]]:
    """A part and its weights: from a file, of more lots, of the shop's own; none is absurd."""
    longest_mm = draw(st.integers(1, 5000))
    bulk_volume_mm3 = draw(SHARES) * 4 * (longest_mm + 1) ** 3
    width_mm = draw(st.just(0) | st.integers(1, longest_mm))
    thickness_mm = draw(st.just(0) | st.integers(1, width_mm or longest_mm))
    part = Part(
        number=number, description=draw(NAMES), family=draw(NAMES), size=draw(TEXTS), finish=draw(TEXTS),
        bulk_volume_mm3=bulk_volume_mm3, longest_mm=longest_mm, width_mm=width_mm,
        thickness_mm=thickness_mm, supply=draw(st.sampled_from(Supply)),
        supplier=draw(TEXTS), hazards=draw(st.sampled_from(["", "sharp", "lead sharp", "flammable magnet"])),
        customs_description=draw(TEXTS), hs_code=draw(st.sampled_from(["", "731815", "9114901000"])),
        origin=draw(st.just("") | COUNTRIES), price_minor=draw(MINOR), currency=draw(CURRENCIES),
        photo_path=draw(TEXTS), is_retired=draw(st.booleans()), is_fragile=draw(st.booleans()),
    )  # fmt: skip
    most_g = min(50_000.0, 0.0226 * (longest_mm + 1) ** 3, 0.0226 * bulk_volume_mm3)
    lots = draw(st.lists(TEXTS, max_size=3, unique=True))
    return part, [draw(weights(number, lot, most_g)) for lot in lots]


@st.composite
def weights(draw: st.DrawFn, number: str, lot: str, most_g: float) -> UnitWeight:
    """A weight as a file gives it, or as the shop has it from its own scales."""
    mean_g = draw(SHARES) * most_g * 0.999
    piece_sd_g = draw(st.floats(min_value=0, max_value=0.9)) * mean_g
    source = draw(st.sampled_from(WeightSource))
    sample_pieces = draw(st.integers(1 if source is WeightSource.SAMPLED else 0, 10_000))
    u_g = weight_u_g(source, mean_g, piece_sd_g, sample_pieces)
    weight = UnitWeight(part_number=number, lot=lot, mean_g=mean_g, u_g=u_g, piece_sd_g=piece_sd_g,
                        sample_pieces=sample_pieces, source=source)  # fmt: skip
    if draw(st.booleans()):
        return weight
    own = {
        "u_g": draw(SHARES) * mean_g, "as_of": draw(st.none() | DAYS), "piece_sd_source": draw(TEXTS),
        "piece_sd_freedom": draw(st.none() | SHARES.map(lambda share: share * 100)), "lot_sd_g": draw(SHARES) * mean_g,
        "sampled_at": draw(st.none() | MOMENTS), "sample_mean_g": draw(st.none() | SHARES),
        "sample_u_g": draw(st.none() | SHARES), "sample_sd_g": draw(st.none() | SHARES), "learned_n": draw(WHOLE),
        "count_doubt": draw(SHARES),
    }  # fmt: skip
    return UnitWeight.model_validate(weight.model_dump() | own)


@st.composite
def rooms(draw: st.DrawFn) -> list[RoomElement]:
    """Aisles between two cross aisles, a bench, corners and passages."""
    names = draw(codes(8, 8))
    aisles = [RoomElement(kind=ElementKind.AISLE, name=name, x_mm=x_mm, is_one_way=draw(st.booleans()),
                          from_name=draw(st.sampled_from(["", names[3]])))
              for name, x_mm in zip(names[:3], draw(st.lists(WHOLE, min_size=3, max_size=3, unique=True)), strict=True)
              ]  # fmt: skip
    crossings = [
        RoomElement(kind=ElementKind.CROSS_AISLE, name=names[3], y_mm=0, length_mm=draw(WHOLE)),
        RoomElement(kind=ElementKind.CROSS_AISLE, name=names[4], y_mm=draw(st.integers(1, 999_999_999))),
    ]
    bench = RoomElement(kind=ElementKind.BENCH, name=names[5], x_mm=draw(WHOLE), y_mm=draw(st.just(0) | WHOLE))
    corner = RoomElement(kind=ElementKind.CORNER, name=names[6], x_mm=draw(WHOLE), y_mm=draw(WHOLE))
    passage = RoomElement(kind=ElementKind.PASSAGE, name=names[7], from_name=names[5], to_name=names[6],
                          length_mm=draw(st.just(0) | WHOLE), is_one_way=draw(st.booleans()))  # fmt: skip
    return [*aisles, *crossings, bench, corner, passage]


def insured(currency: str) -> st.SearchStrategy[dict[str, Any]]:
    """What a service insures: nothing, or up to a value."""
    some = st.fixed_dictionaries({"insured_up_to_minor": MINOR, "insured_currency": st.just(currency)})
    return st.just({}) | some


def priced() -> st.SearchStrategy[dict[str, Any]]:
    """The price of a bag or box, or none."""
    return st.just({}) | st.fixed_dictionaries({"price_minor": MINOR, "currency": CURRENCIES})


@st.composite
def services(draw: st.DrawFn, code: str) -> tuple[Service, list[Zone], list[Price], list[Surcharge]]:
    """A service with its tariff, all in one currency."""
    currency = draw(CURRENCIES)
    service = Service(
        code=code, name=draw(NAMES), kind=draw(st.sampled_from(ServiceKind)),
        countries=draw(st.sampled_from(["*", "DE JP"])), cut_off=draw(st.sampled_from([time(9, 5), time(16, 30, 15)])),
        max_weight_g=draw(st.just(Decimal(0)) | GRAMS), max_longest_mm=draw(WHOLE), max_length_girth_mm=draw(WHOLE),
        refuses=draw(st.sampled_from(["", "sharp magnet"])), size_preset=draw(st.sampled_from(["", *upu.PRESETS])),
        collection_days=draw(st.sampled_from(["", " ".join(WEEK[:5])])), divisor_cm3_per_kg=draw(WHOLE),
        side_rounding=draw(st.sampled_from(SideRounding)), side_step_mm=draw(st.integers(1, 999)),
        weight_step_g=draw(st.integers(1, 999_999)), least_charge_g=draw(WHOLE),
        cut_offs=draw(st.sampled_from(["", "Fri 15:00", "Mon 08:30 Sat 11:00"])),
        holidays=draw(st.sampled_from(["", "none", "AT", "CA-NL"])), **draw(insured(currency)),
    )  # fmt: skip
    zones = [Zone(service_code=code, country=country, zone=draw(CODES)) for country in ("*", draw(COUNTRIES))]
    prices = [
        Price(service_code=code, valid_from=draw(DAYS), zone=zones[0].zone, up_to_g=up_to_g, price_minor=draw(MINOR),
              currency=currency)
        for up_to_g in draw(st.lists(st.integers(1, 999_999_999), min_size=1, max_size=2, unique=True))
    ]  # fmt: skip
    name = draw(CODES)
    added = [
        Surcharge(service_code=code, valid_from=draw(DAYS), name=name, country="*",
                  basis_points=draw(st.integers(0, 99_999))),
        Surcharge(service_code=code, valid_from=draw(DAYS), name=name, country="DE", post_codes="10 2B",
                  amount_minor=draw(MINOR), currency=currency),
        Surcharge(service_code=code, valid_from=draw(DAYS), name=name, country="*",
                  above_g=draw(st.integers(1, 99_999)), above_longest_mm=draw(st.integers(0, 9999)),
                  above_length_girth_mm=draw(st.integers(0, 9999)),
                  hazard=draw(st.sampled_from(["", "magnet"])), basis_points=draw(st.integers(0, 99_999)),
                  percent_of=draw(st.sampled_from(["", "*"]))),
        Surcharge(service_code=code, valid_from=draw(DAYS), name=name, country="JP", amount_minor=draw(MINOR),
                  insured_step_minor=draw(st.integers(1, 99_999)), insured_free_minor=draw(MINOR), currency=currency),
    ]  # fmt: skip
    return service, zones, prices, added


@st.composite
def settings(draw: st.DrawFn) -> Settings:
    """Some settings set, the others as they are."""
    given = draw(
        st.fixed_dictionaries(
            {},
            optional={
                "shop_name": NAMES, "street": TEXTS, "city": TEXTS, "region": TEXTS, "notice": TEXTS,
                "country": COUNTRIES, "time_zone": st.sampled_from(["Asia/Tokyo", "Europe/Vienna"]),
                "currency": CURRENCIES, "public_holidays": st.sampled_from(["", "LU", "US-CA"]),
                "package_work_minor": MINOR, "paper": st.sampled_from(Paper),
                "risk_pass": SHARES.map(lambda one: one / 3),
                "cart_max_load_g": GRAMS, "walk_m_per_s": SHARES, "reach_seconds_by_level": st.just("1.5 2"),
                "terms_of_delivery": st.just("FCA"), "named_place": TEXTS, "make_days": st.integers(0, 999),
                "first_in_first_out": st.booleans(), "cart_levels": st.integers(1, 9),
            },
        )
    )  # fmt: skip
    return Settings.model_validate(given)


@st.composite
def catalogues(draw: st.DrawFn) -> Catalogue:
    """A catalogue that its own reader would take, its records in the order of their keys."""
    made = [draw(parts(number)) for number in draw(codes(1, 4))]
    room = draw(rooms())
    back_mm = next(one.y_mm for one in room if one.kind is ElementKind.CROSS_AISLE and one.y_mm)
    bins = [
        Bin(code=code, aisle=draw(st.sampled_from([one.name for one in room[:3]])), side=draw(st.sampled_from(Side)),
            section=draw(WHOLE), level=draw(WHOLE), y_mm=floor(draw(SHARES) * back_mm),
            part_number=draw(st.sampled_from([part.number for part, _ in made])), lot=draw(TEXTS), pieces=draw(WHOLE),
            use=draw(st.sampled_from(BinUse)), received_on=draw(st.none() | DAYS))
        for code in draw(codes(0, 4))
    ]  # fmt: skip
    sent = [draw(services(code)) for code in draw(codes(1, 2))]
    d_g, min_g = draw(GRAMS), draw(st.just(Decimal(0)) | GRAMS)
    scale = ScaleRecord(code=draw(CODES), accuracy_class=draw(st.sampled_from(["I", "II", "III", "IIII"])), d_g=d_g,
                        e_g=d_g * 10, min_g=min_g, max_g=min_g + d_g, repeatability_g=draw(SHARES),
                        use=draw(st.sampled_from(["bags", "packages"])))  # fmt: skip
    bag = BagType(code=draw(CODES), width_mm=draw(st.integers(1, 999)), height_mm=draw(st.integers(1, 999)),
                  usable_volume_mm3=draw(st.integers(1, 999_999_999)), tare_g=draw(GRAMS), tare_sd_g=draw(SHARES),
                  max_load_g=draw(GRAMS), **draw(priced()))  # fmt: skip
    box = BoxType(code=draw(CODES), length_mm=9, width_mm=8, height_mm=7, wall_mm=draw(st.integers(0, 9)),
                  tare_g=draw(GRAMS), tare_sd_g=draw(SHARES), max_load_g=draw(GRAMS), fill_fraction=draw(SHARES),
                  cushioning_g=draw(st.just(Decimal(0)) | GRAMS), cushioning_sd_g=draw(SHARES),
                  **draw(priced()))  # fmt: skip
    first_day = draw(DAYS)
    closure = Closure(service_code=draw(st.sampled_from(["", *(one.code for one, *_ in sent)])), first_day=first_day,
                      last_day=first_day + timedelta(days=draw(st.integers(0, 30))), why=draw(TEXTS))  # fmt: skip
    rate = SdrRateEntry(currency=draw(CURRENCIES), as_of=draw(DAYS), per_sdr="1.1500", source=draw(TEXTS))
    surcharges = [one for *_, added in sent for one in added]
    return Catalogue(
        parts=tuple(sorted((part for part, _ in made), key=lambda one: one.number)),
        unit_weights=tuple(
            sorted((one for _, more in made for one in more), key=lambda one: (one.part_number, one.lot))
        ),
        bins=tuple(sorted(bins, key=lambda one: one.code)),
        room=tuple(sorted(room, key=lambda one: (one.kind.value, one.name))),
        scales=(scale,),
        bag_types=(bag,),
        box_types=(box,),
        services=tuple(sorted((one for one, *_ in sent), key=lambda one: one.code)),
        settings=draw(settings()),
        zones=tuple(
            sorted((one for _, zones, *_ in sent for one in zones), key=lambda one: (one.service_code, one.country))
        ),
        prices=tuple(sorted((one for _, _, prices, _ in sent for one in prices), key=_price_key)),
        surcharges=tuple(sorted(surcharges, key=_surcharge_key)),
        sdr_rates=(rate,),
        closures=(closure,),
        printers=tuple(sorted(draw(printers()), key=lambda one: one.name)),
    )


def _price_key(one: Price) -> tuple[object, ...]:
    return one.service_code, one.valid_from, one.zone, one.up_to_g


def _surcharge_key(one: Surcharge) -> tuple[object, ...]:
    sizes = one.above_g, one.above_longest_mm, one.above_length_girth_mm
    return one.service_code, one.valid_from, one.name, one.country, one.post_codes, *sizes, one.hazard
