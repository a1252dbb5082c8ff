"""Two hundred random packages quoted twice: by the shop, and by arithmetic written here for itself.

The second one is in Decimal, with rules read off price lists as common practice: round the sides, divide the volume,
take the larger weight, round it up to its step, look the price up, add what is added. It shares no code with the first.
"""

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from random import Random

import pytest

from fulfil.records.despatch.service import SideRounding
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.tiny import SERVICE
from fulfil.shipping.limits import Insured
from fulfil.shipping.services import Quote, Tariffs

DAYS = (date(2025, 1, 1), date(2025, 11, 3), date(2026, 3, 1))
COUNTRIES = ("AT", "CA", "JP", "NA", "PT")
HAZARDS = ("magnet", "sharp", "lead")


@dataclass(frozen=True)
class Asked:
    """One random question."""

    service: dict
    country: str
    code: str
    gross_g: Decimal
    sides: tuple[int, int, int]
    day: date
    hazards: tuple[str, ...]
    insured: int


def random_tables(dice: Random) -> tuple[list[dict], list[dict], list[dict]]:
    """Zones, prices and surcharges of the service X as plain rows."""
    zones = [{"country": one, "zone": str(dice.randint(1, 3))} for one in dice.sample(COUNTRIES, 3)]
    if dice.random() < 0.8:
        zones.append({"country": "*", "zone": "3"})
    prices = []
    for day in dice.sample(DAYS, 2):
        for zone in "123":
            limits = sorted(dice.sample(range(250, 40_000, 250), dice.randint(2, 6)))
            prices += [
                {"valid_from": day, "zone": zone, "up_to_g": most, "price_minor": dice.randint(200, 9000)}
                for most in limits
            ]
    added = [
        {"name": "fuel", "country": "*", "basis_points": dice.randint(1, 3000), "percent_of": dice.choice(["", "*"])},
        {"name": "far", "country": "CA", "post_codes": "X0 Y1", "amount_minor": dice.randint(1, 3000)},
        {"name": "far", "country": "CA", "post_codes": "X", "amount_minor": dice.randint(1, 3000)},
        {"name": "far", "country": "NA", "amount_minor": dice.randint(1, 3000)},
        {"name": "heavy", "country": "*", "above_g": 8000, "amount_minor": dice.randint(1, 3000)},
        {"name": "heavy", "country": "*", "above_g": 15_000, "amount_minor": dice.randint(1, 3000)},
        {"name": "long", "country": "*", "above_longest_mm": 700, "amount_minor": dice.randint(1, 3000)},
        {"name": "bulky", "country": "*", "above_length_girth_mm": 1800, "amount_minor": dice.randint(1, 3000)},
        {"name": "magnets", "country": "*", "hazard": "magnet", "amount_minor": dice.randint(1, 3000)},
        {"name": "toll", "country": "*", "basis_points": dice.randint(1, 2000), "percent_of": "far"},
        {"name": "insurance", "country": "*", "amount_minor": dice.randint(1, 400), "insured_step_minor": 10_000,
         "insured_free_minor": dice.choice([0, 50_000])},
    ]  # fmt: skip
    return zones, prices, [one | {"valid_from": DAYS[0]} for one in added if dice.random() < 0.8]


def random_question(dice: Random) -> Asked:
    """A package and the terms of the service."""
    service = {
        "divisor_cm3_per_kg": dice.choice([0, 4000, 5000, 6000]),
        "side_rounding": dice.choice(["none", "up", "half-up"]),
        "side_step_mm": dice.choice([1, 5, 10, 25]),
        "weight_step_g": dice.choice([1, 100, 500, 1000]),
        "least_charge_g": dice.choice([0, 0, 500, 1200]),
    }
    sides = (dice.randint(1, 900), dice.randint(1, 500), dice.randint(1, 300))
    gross_g = Decimal(dice.randint(1, 2_000_000)) / 100
    day = dice.choice([date(2024, 12, 31), *DAYS, date(2026, 7, 1)])
    hazards = tuple(one for one in HAZARDS if dice.random() < 0.3)
    insured = dice.choice([0, 0, dice.randint(1, 200_000)])
    return Asked(service, dice.choice(COUNTRIES), dice.choice(["X0 1", "X9", "Y1 A", "10"]), gross_g, sides, day,
                 hazards, insured)  # fmt: skip


def by_hand(
    asked: Asked, zones: list[dict], prices: list[dict], added: list[dict]
) -> tuple[int, dict[str, int]] | None:
    """Price and surcharges in minor units, worked out here; None where there is no price."""
    of_country = {row["country"]: row["zone"] for row in zones}
    zone = of_country.get(asked.country, of_country.get("*"))
    days = {row["valid_from"] for row in prices if row["valid_from"] <= asked.day}
    if zone is None or not days:
        return None
    step, terms = Decimal(asked.service["side_step_mm"]), asked.service
    volume_mm3 = Decimal(1)
    for side in asked.sides:
        steps = Decimal(side) / step
        if terms["side_rounding"] == "up":
            steps = steps.to_integral_value(ROUND_CEILING)
        elif terms["side_rounding"] == "half-up":
            steps = max(Decimal(1), steps.to_integral_value(ROUND_HALF_UP))
        volume_mm3 *= steps * step
    weight_g = asked.gross_g.to_integral_value(ROUND_CEILING)
    if terms["divisor_cm3_per_kg"]:
        # cm³ over cm³/kg is kg; mm³ over the same is thousandths of it, and kg to g is a thousand again.
        weight_g = max(weight_g, (volume_mm3 / terms["divisor_cm3_per_kg"]).to_integral_value(ROUND_CEILING))
    weight_g = max(weight_g, Decimal(terms["least_charge_g"]))
    weight_step = Decimal(terms["weight_step_g"])
    charged_g = (weight_g / weight_step).to_integral_value(ROUND_CEILING) * weight_step
    rows = [row for row in prices if row["valid_from"] == max(days) and row["zone"] == zone]
    able = sorted((row["up_to_g"], row["price_minor"]) for row in rows if row["up_to_g"] >= charged_g)
    return (able[0][1], extras(asked, able[0][1], added)) if able else None


def extras(asked: Asked, price: int, added: list[dict]) -> dict[str, int]:
    """What is added by name."""

    def part(base: int, basis_points: int) -> int:
        return int((Decimal(base) * basis_points / 10_000).to_integral_value(ROUND_HALF_UP))

    names = {row["name"]: row for row in added}
    code = asked.code.replace(" ", "")
    longest, *others = sorted(asked.sides, reverse=True)
    found: dict[str, int] = {}
    if "far" in names:
        rows = [row for row in added if row["name"] == "far" and row["country"] == asked.country]
        fitting = [
            (len(start), row["amount_minor"])
            for row in rows
            for start in row.get("post_codes", "").split() or [""]
            if code.startswith(start)
        ]
        if fitting:
            found["far"] = max(fitting)[1]
    for row in added:
        if row["name"] == "heavy" and asked.gross_g > row["above_g"]:
            found["heavy"] = row["amount_minor"]  # the rows stand by their limit, the larger one last
    if "long" in names and longest > 700:
        found["long"] = names["long"]["amount_minor"]
    if "bulky" in names and longest + 2 * sum(others) > 1800:
        found["bulky"] = names["bulky"]["amount_minor"]
    if "magnets" in names and "magnet" in asked.hazards:
        found["magnets"] = names["magnets"]["amount_minor"]
    if "insurance" in names:
        above = max(0, asked.insured - names["insurance"]["insured_free_minor"])
        found["insurance"] = (above + 9999) // 10_000 * names["insurance"]["amount_minor"]
    if "toll" in names:
        found["toll"] = part(found.get("far", 0), names["toll"]["basis_points"])
    if "fuel" in names:
        base = price + (sum(found.values()) if names["fuel"]["percent_of"] else 0)
        found["fuel"] = part(base, names["fuel"]["basis_points"])
    return {name: minor for name, minor in found.items() if minor}


@pytest.mark.parametrize("seed", range(200))
def test_a_random_package_costs_the_same_both_ways(seed: int) -> None:
    """Price and every surcharge to the minor unit; where the one has no price the other has none."""
    dice = Random(seed)
    zones, prices, added = random_tables(dice)
    asked = random_question(dice)
    tariffs = Tariffs(
        [Zone(service_code="X", **row) for row in zones],
        [Price(service_code="X", currency="EUR", **row) for row in prices],
        [Surcharge(service_code="X", currency="EUR" if "amount_minor" in row else "", **row) for row in added],
    )
    terms = asked.service | {"code": "X", "side_rounding": SideRounding(asked.service["side_rounding"])}

    quoted = tariffs.quote(
        SERVICE.model_copy(update=terms), asked.country, asked.gross_g, asked.sides, as_of=asked.day,
        post_code=asked.code, hazards=asked.hazards, insured=Insured(asked.insured, "EUR"),
    )  # fmt: skip

    expected = by_hand(asked, zones, prices, added)
    if expected is None:
        assert not isinstance(quoted, Quote)
        return
    assert isinstance(quoted, Quote)
    assert (quoted.price_minor, {one.name: minor for one, minor in quoted.surcharges}) == expected
    assert quoted.charge_minor == expected[0] + sum(expected[1].values())


def test_most_of_the_two_hundred_have_a_price() -> None:
    """The check above would prove little if hardly any package had one, or a surcharge."""
    made = []
    for seed in range(200):
        dice = Random(seed)
        tables = random_tables(dice)
        made.append(by_hand(random_question(dice), *tables))
    priced = [one for one in made if one is not None]
    assert len(priced) > 120
    names = {name for _, added in priced for name in added}
    assert names == {"fuel", "far", "heavy", "long", "bulky", "magnets", "toll", "insurance"}
