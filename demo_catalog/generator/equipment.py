"""Scales, bags, boxes, services and settings of the demo shop; all of it invented.

The scales keep the limits of their accuracy class (OIML R 76-1:2006, 3.2, Table 3; Directive 2014/31/EU, Annex I,
Table 1). A bag's usable volume is 60 % of what a flat bag of that size holds when stuffed (Robin 2004, "Paper bag
problem"; the formula is quoted from memory), the rest is for closing it.
"""

from math import pi

Row = tuple[str, ...]

SCALES: tuple[Row, ...] = (
    ("scale", "accuracy_class", "e_g", "d_g", "max_g", "min_g", "repeatability_g", "use"),
    ("FINE-1", "II", "0.01", "0.001", "220", "0.2", "0.0015", "bags"),
    ("BENCH-1", "II", "0.1", "0.01", "3000", "5", "0.012", "bags"),
    ("PACK-1", "III", "1", "1", "6000", "20", "0.4", "packages"),
    ("PACK-2", "III", "5", "5", "30000", "100", "2", "packages"),
)

BOXES: tuple[Row, ...] = (
    ("box_type", "length_mm", "width_mm", "height_mm", "wall_mm", "tare_g", "tare_sd_g", "max_load_g", "fill_fraction",
     "cushioning_g", "cushioning_sd_g", "price", "currency"),
    ("ENV", "230", "160", "25", "2", "15", "0.3", "800", "0.55", "4", "0.3", "0.24", "EUR"),
    ("BOX-1", "160", "110", "60", "3", "46", "0.6", "2000", "0.7", "12", "0.7", "0.38", "EUR"),
    ("BOX-2", "220", "160", "100", "3", "88", "1.1", "5000", "0.7", "24", "1.2", "0.55", "EUR"),
    ("BOX-3", "300", "220", "150", "4", "186", "2.2", "10000", "0.7", "50", "2.4", "0.92", "EUR"),
    ("BOX-4", "400", "300", "200", "4", "325", "3.6", "18000", "0.7", "90", "4", "1.45", "EUR"),
    ("BOX-5", "560", "380", "300", "6", "680", "6.5", "27000", "0.65", "210", "9", "2.60", "EUR"),
    ("TUBE", "920", "90", "90", "4", "270", "3.2", "5000", "0.6", "40", "2.4", "1.90", "EUR"),
)  # fmt: skip

EUROPE = (
    "AT BE BG CH CY CZ DE DK EE ES FI FR GB GR HR HU IE IS IT LT LU LV MT NL NO PL PT RO SE SI SK TR UA"
)  # fmt: skip

WEEKDAYS = "Mon Tue Wed Thu Fri"

SERVICES: tuple[Row, ...] = (
    ("service", "name", "kind", "countries", "cut_off", "max_weight_g", "max_longest_mm", "max_length_girth_mm",
     "refuses", "size_preset", "collection_days", "divisor_cm3_per_kg", "side_rounding", "side_step_mm",
     "weight_step_g", "least_charge_g", "cut_offs", "insured_up_to", "insured_currency"),
    ("PEND", "Pendulum Parcel (invented)", "parcel", "*", "15:30", "30000", "1500", "3000",
     "flammable pressurised lithium-battery corrosive", "", WEEKDAYS, "5000", "up", "10", "500", "500",
     "Fri 14:30", "2500.00", "EUR"),
    ("COG", "Cogway Road Parcel (invented)", "parcel", EUROPE, "17:00", "31500", "1750", "3000",
     "pressurised lithium-battery", "", WEEKDAYS, "6000", "half-up", "10", "1000", "", "", "750.00", "EUR"),
    ("SUND", "Sundial Post Small Packet (invented)", "postal", "*", "14:00", "2000", "", "",
     "flammable pressurised lithium-battery corrosive magnet", "letter-post small packet", f"{WEEKDAYS} Sat", "", "",
     "", "1", "", "Sat 11:00", "", ""),
)  # fmt: skip

SETTINGS: tuple[Row, ...] = (
    ("setting", "value"),
    ("shop_name", "Invented Escapement Works"),
    ("notice", "Demo shop: all data invented, weighings simulated."),
    ("street", "1, rue du Modèle"),
    ("city", "Musterduerf"),
    ("post_code", "4750"),
    ("region", ""),
    ("country", "LU"),
    ("phone", "+352 000 000 0000"),
    ("email", "shop@example.org"),
    ("time_zone", "Europe/Luxembourg"),
    ("currency", "EUR"),
    ("paper", "A4"),
    ("printer_dpi", "300"),
    ("risk_pass", "0.001"),
    ("risk_reject", "0.005"),
    ("most_bags_per_line", "5"),
    ("cart_positions", "10"),
    ("cart_volume_mm3", "60000000"),
    ("cart_max_load_g", "40000"),
    ("walk_m_per_s", "0.8"),
    ("pick_seconds_per_line", "25"),
    ("setup_seconds_per_walk", "180"),
    ("lift_caution_g", "23000"),
    ("terms_of_delivery", "DAP"),
    ("public_holidays", "LU"),
    ("package_work_minor", "120"),
)

CLOSURES: tuple[Row, ...] = (
    ("service", "first_day", "last_day", "why"),
    ("", "2026-08-03", "2026-08-14", "summer holidays"),
    ("COG", "2026-03-19", "", "depot moves"),
)

BAG_COLUMNS: Row = (
    "bag_type",
    "width_mm",
    "height_mm",
    "usable_volume_mm3",
    "tare_g",
    "tare_sd_g",
    "max_load_g",
    "price",
    "currency",
)

_BAGS = (
    ("BAG-1", 60, 80, "0.62", "0.008", 120, "0.02"),
    ("BAG-2", 100, 150, "1.85", "0.03", 500, "0.03"),
    ("BAG-3", 160, 230, "4.40", "0.06", 1500, "0.05"),
    ("BAG-4", 230, 320, "8.70", "0.11", 2900, "0.09"),
    ("SLEEVE", 80, 900, "9.20", "0.15", 2500, "0.16"),
)


def stuffed_volume_mm3(width_mm: float, height_mm: float) -> float:
    """What a flat bag holds when stuffed: w³ [h / (π w) − 0.142 (1 − 10^(−h/w))], w the shorter side.

    >>> round(stuffed_volume_mm3(60, 80), -2)
    62400.0
    """
    w, h = sorted((width_mm, height_mm))
    return w**3 * (h / (pi * w) - 0.142 * (1 - 10 ** (-h / w)))


def bags() -> list[Row]:
    """The rows of bags.csv under its header."""
    return [
        BAG_COLUMNS,
        *(
            (name, str(wide), str(high), str(round(0.6 * stuffed_volume_mm3(wide, high), -2)).removesuffix(".0"), tare,
             tare_sd, str(most), price, "EUR")
            for name, wide, high, tare, tare_sd, most, price in _BAGS
        ),
    ]  # fmt: skip
