"""``fulfil services add``, ``change``, ``retire``: one service by itself, by the rules of ``services.csv``."""

import click

from ..frame import Answer, Ask, command
from ..numbers import SERVICE
from ..stock.typed_cells import cells_options, changed_answer, given
from .services import services

CELLS = {
    "name": "As the customer knows it, such as 'Road parcel'.",
    "kind": "parcel or postal.",
    "countries": "* for all, or ISO 3166-1 codes with spaces between.",
    "cut_off": "When its packages must be ready, such as 16:30.",
    "max_weight_g": "The heaviest package it takes, in g; 0 for no limit.",
    "max_longest_mm": "The longest side it takes, in mm.",
    "max_length_girth_mm": "Length and girth together, in mm.",
    "refuses": "Hazard words that it refuses, with spaces between.",
    "size_preset": "Published postal limits by name.",
    "collection_days": "Mon to Sun with spaces between; every day if not given.",
    "cut_offs": "Weekdays with another cut-off, such as 'Fri 15:00 Sat 11:30'.",
    "holidays": "Public holidays its carrier keeps, such as AT, DE-BY or none; the shop's if not given.",
    "insured_up_to": "The largest value that it insures.",
    "insured_currency": "ISO 4217 code of that value.",
    "divisor_cm3_per_kg": "For its dimensional weight; by mass alone if not given.",
    "side_rounding": "none, up or half-up.",
    "side_step_mm": "What it rounds a side to, in mm.",
    "weight_step_g": "What it rounds the weight up to, in g.",
    "least_charge_g": "The least weight that it charges, in g.",
    "retired": "yes, or no to bring a retired service back.",
}
"""The columns of ``services.csv``, each with what it is."""


@command(
    services,
    "add",
    "fulfil services add NIGHT --name 'Night parcel' --kind parcel --countries 'AT DE' --cut-off 19:00 "
    "--max-weight-g 20000",
)
@click.argument("code")
@cells_options(CELLS)
def add(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Adds one service; every option is the column of that name in services.csv.

    What it costs stands in zones.csv and prices.csv; without them it is used, and its bills aren't checked.
    """
    from fulfil.stock.equipment_changes import add_service

    with ask.shop() as shop:
        done = add_service(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "service", "code", code, "added")


@command(services, "change", "fulfil services change ROAD --cut-off 16:30")
@click.argument("code", type=SERVICE, metavar="SERVICE")
@cells_options(CELLS)
def change(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Changes one service of the shop; what isn't given stays. Another service for an order: fulfil orders send-by."""
    from fulfil.stock.equipment_changes import change_service_terms

    with ask.shop() as shop:
        done = change_service_terms(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "service", "code", code, "changed")


@command(services, "retire", "fulfil services retire NIGHT", has_dry_run=True)
@click.argument("code", type=SERVICE, metavar="SERVICE")
def retire(ask: Ask, code: str) -> Answer:
    """Takes a service out of use; refused while open orders go by it. Old papers and bills still know it."""
    from fulfil.stock.equipment_changes import retire_service

    with ask.shop() as shop:
        done = retire_service(shop, code, at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "service", "code", code, "retired")
