"""Zones, prices, surcharges and SDR rates of the demo shop; all of it invented, the rates of exchange too."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from fulfil_demo_catalog.generator.equipment import EUROPE
from fulfil_demo_catalog.generator.lands import LANDS

Row = tuple[str, ...]

HOME = "LU"
NEAR = ("BE", "DE", "FR", "NL")
UNION = tuple(
    "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK".split()  # noqa: SIM905
)
OVERSEAS = ("AU", "BR", "CA", "CL", "HK", "IL", "JP", "KE", "KR", "MX", "NA", "NZ", "SG", "TW", "US", "ZA", "AR")

ZONE_COLUMNS: Row = ("service", "country", "zone")
PRICE_COLUMNS: Row = ("service", "valid_from", "zone", "up_to_g", "price", "currency")
SURCHARGE_COLUMNS: Row = (
    "service", "valid_from", "surcharge", "country", "post_codes", "percent", "amount", "currency",
)  # fmt: skip
RATE_COLUMNS: Row = ("currency", "as_of", "per_sdr", "source")

_WEIGHTS = {
    "PEND": (500, 1000, 2000, 3000, 5000, 10_000, 20_000, 30_000),
    "COG": (1000, 2000, 5000, 10_000, 20_000, 31_500),
    "SUND": (100, 250, 500, 1000, 2000),
}
_BASE = {
    "PEND": {"1": "5.40", "2": "8.90", "3": "13.50", "4": "21.80"},
    "COG": {"A": "4.20", "B": "6.10", "C": "9.70"},
    "SUND": {"home": "2.10", "europe": "4.60", "world": "6.30"},
}
_PER_KG = {"PEND": "2.35", "COG": "0.82", "SUND": "9.60"}
_TABLES = (("2025-01-01", "0.95"), ("2026-01-01", "1"))
"""First day of a price table, and its prices over those of 2026."""


def zones() -> Iterator[Row]:
    """The zone of each country by service; ``*`` is the rest."""
    for land in sorted(land.code for land in LANDS):
        pend = "1" if land == HOME else "2" if land in NEAR else "3" if land in UNION else ""
        if pend:
            yield ("PEND", land, pend)
    yield ("PEND", "*", "4")
    for land in EUROPE.split():
        yield ("COG", land, "A" if land == HOME or land in NEAR else "B" if land in UNION else "C")
    for land in sorted(land.code for land in LANDS):
        if land not in OVERSEAS:
            yield ("SUND", land, "home" if land == HOME else "europe")
    yield ("SUND", "*", "world")


def prices() -> Iterator[Row]:
    """Base price of the zone plus so much a kilogram, to the cent (half up)."""
    for service, by_zone in _BASE.items():
        for valid_from, factor in _TABLES:
            for zone, base in by_zone.items():
                for up_to_g in _WEIGHTS[service]:
                    price = (Decimal(base) + Decimal(_PER_KG[service]) * up_to_g / 1000) * Decimal(factor)
                    yield (
                        service, valid_from, zone, str(up_to_g),
                        f"{price.quantize(Decimal('0.01'), ROUND_HALF_UP)}", "EUR",
                    )  # fmt: skip


SURCHARGES: tuple[Row, ...] = (
    ("PEND", "2026-02-01", "fuel surcharge", "*", "", "13.25", "", ""),
    ("PEND", "2026-03-01", "fuel surcharge", "*", "", "14.5", "", ""),
    ("PEND", "2026-01-01", "remote area surcharge", "AU", "31", "", "16.00", "EUR"),
    ("PEND", "2026-01-01", "remote area surcharge", "CA", "V8 Y0", "", "18.50", "EUR"),
    ("PEND", "2026-01-01", "remote area surcharge", "NO", "66 9", "", "12.00", "EUR"),
    ("COG", "2026-02-01", "fuel surcharge", "*", "", "8.5", "", ""),
    ("COG", "2026-03-01", "fuel surcharge", "*", "", "9", "", ""),
    ("COG", "2026-01-01", "remote area surcharge", "IS", "", "", "7.50", "EUR"),
    ("COG", "2026-01-01", "remote area surcharge", "NO", "66 9", "", "6.00", "EUR"),
)
"""Fuel follows the month; remote areas cost the same all year; the post adds nothing."""

SDR_RATES: tuple[Row, ...] = (
    ("EUR", "2026-02-27", "1.15", "invented for the demo shop"),
    ("GBP", "2026-02-27", "1.00", "invented for the demo shop"),
    ("JPY", "2026-02-27", "210", "invented for the demo shop"),
    ("USD", "2026-02-27", "1.35", "invented for the demo shop"),
)
