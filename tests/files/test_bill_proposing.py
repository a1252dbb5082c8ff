"""Bills in the habits of carriers of many regions, mapped by example; all of them invented.

What each line must say is worked out by hand beside it.
"""

from dataclasses import dataclass, field
from decimal import Decimal

import pytest

from fulfil.errors import QuantityRefused
from fulfil.files.carrier_bill import read_bill
from fulfil.files.mapping.bill_proposing import NONE_OF_THEM, BillShop, bill_settled, propose_bill
from fulfil.files.rows.table import read_table

SHOP = BillShop(
    packages={"p2603020001": Decimal(1248), "p2603020002": Decimal(396), "p2603020003": Decimal(8120)},
    services={"ROAD": "Road parcel", "POST": "Small packet"},
    surcharges=("fuel surcharge", "remote area surcharge"),
    currency="EUR",
    others={"rr473124829gb": Decimal(396)},
)
ONE, TWO = "P2603020001", "P2603020002"


@dataclass(frozen=True)
class Habit:
    """A bill, what is answered, what its first line must say: package, service, g, minor units, currency, number."""

    text: str
    first: tuple[str, str, str | None, int, str, str]
    answers: dict[str, str] = field(default_factory=dict)
    encoding: str = "utf-8"


HABITS = {
    # Net 6.90 + fuel 0.62 = total 7.52: added up, so the net is without it. 1,250 kg beside 1248 g: kilograms.
    "semicolons, decimal comma, kilograms by mass": Habit(
        f"Sendung;Leistung;Gewicht;Fracht EUR;Dieselzuschlag;Gesamt\n{ONE};Std;1,250;6,90;0,62;7,52\n"
        f"{TWO};Std;0,400;5,10;0,46;5,56\n",
        (ONE, "ROAD", "1250.000", 752, "EUR", ""),
        {"word std": "ROAD", "surcharge Dieselzuschlag": "fuel surcharge"},
        "cp1252",
    ),
    # 2.75 lb = 1247.379 g (pound 453.592 37 g), the unit beside the word; one amount, no surcharge.
    "commas, pounds beside the word": Habit(
        f"Tracking No,Customer Ref,Service,Weight (lb),Amount USD\n9400A1,{ONE},Road parcel,2.75,8.10\n"
        f"9400A2,{TWO},Road parcel,0.90,6.05\n",
        (ONE, "ROAD", "1247.379", 810, "USD", "9400A1"),
    ),
    # The whole charge is asked: 6,90 and 7,52 don't add up with anything.
    "net and gross beside each other": Habit(
        f"Colis;Montant HT;Total\n{ONE};6,90;8,28\n{TWO};5,10;6,12\n",
        (ONE, "", None, 690, "EUR", ""),
        {"whole": "Montant HT"},
    ),
    # A currency column in yen has no decimals: 1,280 with a group sign is 1280 yen only if the sign is a point.
    "a currency column": Habit(
        f"Package No\tCurrency\tCharge\tWeight g\n{ONE}\tJPY\t980\t1260\n{TWO}\tJPY\t1450\t400\n",
        (ONE, "", "1260.000", 980, "JPY", ""),
    ),
    # Only the post's own numbers: the package is found by the S10 number that stands on it.
    "the post's numbers only": Habit(
        "Item Number;Product;Price EUR\nRR473124829GB;Small packet;5,20\n",
        ("RR473124829GB", "POST", None, 520, "EUR", ""),
    ),
    # A surcharge and one amount: whether it holds it is asked; a word of its own that no price of the shop has stays.
    "a surcharge that the shop doesn't know": Habit(
        f"Riferimento;Importo;Pedaggio;Peso kg\n{ONE};7,20;0,30;1,25\n{TWO};5,40;0,30;0,40\n",
        (ONE, "", "1250.000", 720, "EUR", ""),
        {"surcharge Pedaggio": NONE_OF_THEM, "total": "yes"},
    ),
}


@pytest.mark.parametrize("habit", HABITS.values(), ids=[*HABITS])
def test_each_habit_is_mapped_with_few_answers(habit: Habit) -> None:
    """At most three answers beyond what is suggested, and the first line says what was worked out."""
    raw = habit.text.encode(habit.encoding)
    proposal = propose_bill(read_table(raw, "bill.csv"), SHOP)
    unsuggested = {one.key for one in proposal.questions if not one.suggestion}
    assert unsuggested == {*habit.answers}
    assert len(habit.answers) <= 3

    mapping = bill_settled(proposal, habit.answers)
    read = read_bill(raw, "bill.csv", mapping)
    assert read.findings == ()
    line = read.lines[0]
    mass = None if line.billed_g is None else str(line.billed_g)
    assert habit.first == (
        line.package_number, line.service_code, mass, line.charge_minor, line.currency, line.tracking_number,
    )  # fmt: skip
    assert type(mapping).from_json(mapping.to_json()) == mapping


def test_two_columns_are_never_one_surcharge() -> None:
    """The second answer of the same name is refused, since one of the amounts would be lost."""
    table = read_table(f"Parcel;Net;Fuel;Toll\n{ONE};6,90;0,62;0,10\n".encode(), "bill.csv")
    proposal = propose_bill(table, SHOP)
    same = {"surcharge Fuel": "fuel surcharge", "surcharge Toll": "fuel surcharge", "total": "no"}

    with pytest.raises(QuantityRefused, match="another one; 'Fuel' is that already"):
        bill_settled(proposal, same)
    assert bill_settled(proposal, same | {"surcharge Toll": NONE_OF_THEM}).surcharges == {
        "fuel surcharge": "Fuel", "toll": "Toll",
    }  # fmt: skip


def test_a_weight_far_from_our_own_is_asked() -> None:
    """A volume weight of three times the mass may be pounds as well as kilograms."""
    text = f"Parcel,Net,Weight\n{ONE},6.90,3.7\n{TWO},5.10,1.2\n"
    questions = propose_bill(read_table(text.encode(), "bill.csv"), SHOP).questions

    assert [one.asks for one in questions if not one.suggestion] == ["In which unit is 'Weight'?"]
