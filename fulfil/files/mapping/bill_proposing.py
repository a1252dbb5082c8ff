r"""A mapping of a carrier's bills by example: what each column is, by what is in it and by the word above it.

The column that names the shop's packages tells itself, the unit of the weight too where their masses are known; whether
the charge holds its surcharges already is added up. What nobody can see in the file is asked.

>>> from fulfil.files.rows.table import read_table
>>> raw = "Sendung;Leistung;Gewicht;Fracht EUR;Dieselzuschlag;Gesamt\nP1;Std;1,250;6,90;0,62;7,52\nP2;Std;0,4;5,10;0,46;5,56\n"
>>> shop = BillShop(packages={"p1": Decimal(1248), "p2": Decimal(396)}, services={"ROAD": "Road"},
...                 surcharges=("fuel surcharge",), currency="EUR")
>>> proposal = propose_bill(read_table(raw.encode(), "march.csv"), shop)
>>> [proposal.facts[name] for name in ("package_column", "charge_column", "charge_is_total", "weight_column")]
['Sendung', 'Fracht EUR', 'no', 'Gewicht']
>>> [proposal.facts[name] for name in ("weight_unit", "service_column", "currency", "decimal_sign")]
['kg', 'Leistung', 'EUR', ',']
>>> [question.asks for question in proposal.questions]
["Which surcharge of the shop is 'Dieselzuschlag'?", "Which service is 'Std'?"]
>>> bill_settled(proposal, {"word std": "ROAD", "surcharge Dieselzuschlag": "fuel surcharge"}).surcharges
{'fuel surcharge': 'Dieselzuschlag'}
"""  # noqa: E501 - a file's rows are long

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from statistics import median
from typing import Any

from fulfil.errors import QuantityRefused, Refusal
from fulfil.files.bill_mapping import GRAMS, BillMapping
from fulfil.files.mapping.content import share
from fulfil.files.mapping.fitting import decimal_sign_of
from fulfil.files.mapping.header_words import currency_of, meant, plain, split_unit
from fulfil.files.mapping.number_signs import amount_by, bare, currency_in
from fulfil.files.mapping.proposing import Question
from fulfil.files.rows.table import Table
from fulfil.records.text import tidy

NONE_OF_THEM = "none of them"
_UNITS = {"gr": "g", "gram": "g", "grams": "g", "gramm": "g", "г": "g", "кг": "kg", "lbs": "lb"} | {u: u for u in GRAMS}
_NEAR = (0.9, 1.1)
"""A billed weight over the shop's own that says that both are in the same unit; a volume weight may be far off."""


@dataclass(frozen=True)
class BillShop:
    """What the shop knows of bills.

    Attributes:
        packages: its package numbers (case-folded), each with its mass in g, None where it was never weighed.
        others: the other numbers that stand on its packages (SSCC, S10), the same.
        services: code → name.
        surcharges: the names that its own prices have.
        currency: of its prices, ISO 4217.
    """

    packages: Mapping[str, Decimal | None]
    services: Mapping[str, str]
    surcharges: tuple[str, ...]
    currency: str
    others: Mapping[str, Decimal | None] = field(default_factory=dict)


@dataclass(frozen=True)
class BillProposal:
    """Settings as far as the file shows them, words for services, columns of surcharges, and what is to be asked."""

    facts: Mapping[str, str]
    services: Mapping[str, str]
    surcharges: Mapping[str, str]
    questions: tuple[Question, ...]
    left_alone: tuple[str, ...]


def propose_bill(table: Table, shop: BillShop) -> BillProposal:
    """What the table shows of its carrier's mapping."""
    found = _Found(table, shop)
    found.package()
    found.money()
    found.weight()
    found.service()
    used = {*found.facts.values(), *found.surcharges.values(), *found.asked}
    left = tuple(name for name in table.header if name and name not in used)
    return BillProposal(found.facts, found.services, found.surcharges, tuple(found.questions), left)


def bill_settled(proposal: BillProposal, answers: Mapping[str, str]) -> BillMapping:
    """The mapping with the answers.

    Raises:
        QuantityRefused: a question without an answer, or an answer that is none of its choices.
        FileRefused: what the answers make is no mapping.
    """
    facts, services, surcharges = dict(proposal.facts), dict(proposal.services), dict(proposal.surcharges)
    for question in proposal.questions:
        said = answers.get(question.key, question.suggestion).strip()
        choices = {choice.casefold(): choice for choice in question.choices}
        if not said or (choices and said.casefold() not in choices):
            raise QuantityRefused(question.asks, said, ", ".join(question.choices) or "an answer")
        said = choices.get(said.casefold(), said)
        kind, _, what = question.key.partition(" ")
        if kind == "word":
            services[what] = said
        elif kind == "surcharge":
            name = plain(what) if said == NONE_OF_THEM else said
            if surcharges.setdefault(name, what) != what:
                raise QuantityRefused(question.asks, said, f"another one; '{surcharges[name]}' is that already")
        elif kind == "whole":
            facts |= {"charge_column": said, "charge_is_total": "yes"}
        else:
            facts[_FIELDS.get(question.key, question.key)] = said
    given: dict[str, Any] = dict(facts)
    return BillMapping(**given, services=services, surcharges=surcharges)


_FIELDS = {
    "column package": "package_column", "column charge": "charge_column", "unit": "weight_unit",
    "decimal": "decimal_sign", "total": "charge_is_total",
}  # fmt: skip


class _Found:
    """What was found so far, column by column."""

    def __init__(self, table: Table, shop: BillShop) -> None:
        self.facts: dict[str, str] = {}
        self.services: dict[str, str] = {}
        self.surcharges: dict[str, str] = {}
        self.asked: list[str] = []
        self.questions: list[Question] = []
        self._table, self._shop = table, shop
        self._cells = {
            name: [row[place] for _, row in table.rows if place < len(row)] for place, name in enumerate(table.header)
        }
        self._sign = "."

    def package(self) -> None:
        """The column of the packages' numbers: ours, else others that stand on them, else by its word."""
        if named := self._naming(self._shop.packages) or self._naming(self._shop.others):
            self.facts["package_column"] = named
        tracked = self._said("tracking")
        if "package_column" not in self.facts:
            said = self._said("package") or (tracked if not self._shop.packages else [])
            if len(said) == 1:
                self.facts["package_column"] = said[0]
            else:
                asks = "Which column is the package's number?"
                self.questions.append(Question("column package", asks, tuple(said or self._table.header)))
        beside = [name for name in tracked if name != self.facts.get("package_column")]
        if beside:
            self.facts["tracking_column"] = beside[0]

    def money(self) -> None:
        """Charge, total and surcharges, their sign and currency."""
        charges, totals, extras = (
            [name for name in self._said(ours) if self._is_amount(name)] for ours in ("charge", "total", "surcharge")
        )
        words = [(name, plain(split_unit(name)[0])) for name in self._cells if self._is_amount(name)]
        named = {plain(one): one for one in self._shop.surcharges}
        extras = list(dict.fromkeys([*extras, *(name for name, word in words if word in named)]))
        amounts = [name for name in self._table.header if name in {*charges, *totals, *extras}]
        places = [place for place, name in enumerate(self._table.header) if name in amounts]
        self._sign, _, off = decimal_sign_of(self._table, places)
        if off:
            asks = f"The file {off[0].says}. Which sign is the decimal one?"
            self.questions.append(Question("decimal", asks, (".", ",")))
        elif any("," in cell or "." in cell for name in amounts for cell in self._cells[name]):
            self.facts["decimal_sign"] = self._sign
        for name in extras:
            self._surcharge(name, named)
        self._charge([name for name in charges if name not in extras], totals, extras)
        self._currency(amounts)

    def weight(self) -> None:
        """The weight's column and unit, beside its word or by the packages' own masses; a bill may have none."""
        said = [name for name in self._said("weight") if self._is_amount(name)]
        if not said:
            return
        self.facts["weight_column"] = said[0]
        unit = _UNITS.get(split_unit(said[0])[1], "")
        if not unit:
            unit = self._unit_by_mass(said[0])
        if unit:
            self.facts["weight_unit"] = unit
        else:
            self.questions.append(Question("unit", f"In which unit is '{said[0]}'?", tuple(GRAMS)))

    def service(self) -> None:
        """The service's column and the shop's codes for its words; a bill may have none."""
        said = [name for name in self._said("service") if any(self._cells[name])]
        if not said:
            return
        self.facts["service_column"] = said[0]
        codes = tuple(sorted(self._shop.services))
        known = {code.casefold(): code for code in codes}
        known |= {name.casefold(): code for code, name in self._shop.services.items()}
        for word in dict.fromkeys(tidy(cell) for cell in self._cells[said[0]] if cell):
            if word.casefold() in known:
                self.services[word.casefold()] = known[word.casefold()]
            else:
                self.questions.append(Question(f"word {word.casefold()}", f"Which service is '{word}'?", codes))

    def _surcharge(self, name: str, named: Mapping[str, str]) -> None:
        word = split_unit(name)[0]
        if word in named:
            self.surcharges[named[word]] = name
        elif self._shop.surcharges:
            asks = f"Which surcharge of the shop is '{name}'?"
            self.asked.append(name)
            self.questions.append(Question(f"surcharge {name}", asks, (*self._shop.surcharges, NONE_OF_THEM)))
        else:
            self.surcharges[word] = name

    def _charge(self, charges: list[str], totals: list[str], extras: list[str]) -> None:
        """The column that is the charge, and whether it holds the surcharges: added up where the file has both."""
        for charge in charges:
            for total in totals:
                if self._adds_up(total, [charge, *extras]):
                    self.facts |= {"charge_column": charge, "charge_is_total": "no"}
                    return
        if len(charges) + len(totals) == 1:
            self.facts["charge_column"] = (charges or totals)[0]
            if extras and totals:
                self.facts["charge_is_total"] = "yes"
            elif extras:
                asks = f"Does '{charges[0]}' hold the surcharges already?"
                self.questions.append(Question("total", asks, ("yes", "no")))
        elif charges or totals:
            asks = "Which column is the whole charge, its surcharges included?"
            self.questions.append(Question("whole", asks, (*totals, *charges)))
        else:
            self.questions.append(Question("column charge", "Which column is the charge?", tuple(self._table.header)))

    def _currency(self, amounts: list[str]) -> None:
        columns = [name for name in self._said("currency") if share(self._cells[name], _is_currency) > 0.9]
        beside = [split_unit(name)[1] for name in amounts]
        beside += [currency_in(cell).rstrip(".") for name in amounts for cell in self._cells[name]]
        if columns:
            self.facts["currency_column"] = columns[0]
        elif said := next(filter(None, map(currency_of, beside)), ""):
            self.facts["currency"] = said
        else:
            asks = "No column says the currency. Which one is it?"
            self.questions.append(Question("currency", asks, (), self._shop.currency))

    def _unit_by_mass(self, name: str) -> str:
        """The unit in which the billed weights are near the masses of the shop's packages; empty if none or several."""
        known = {**self._shop.others, **self._shop.packages}
        numbers = self._cells.get(self.facts.get("package_column", ""), [])
        ratios = []
        for number, cell in zip(numbers, self._cells[name], strict=True):
            gross_g = known.get(_key(number))
            billed = self._amount(cell)
            if gross_g and billed:
                ratios.append(billed / gross_g)
        near = [
            unit for unit, factor in GRAMS.items() if ratios and _NEAR[0] < float(median(ratios) * factor) < _NEAR[1]
        ]
        return near[0] if len(near) == 1 else ""

    def _adds_up(self, total: str, parts: list[str]) -> bool:
        rows = zip(self._cells[total], *(self._cells[name] for name in parts), strict=True)
        sums = [
            (self._amount(whole), sum((self._amount(cell) or Decimal(0) for cell in cells), Decimal(0)))
            for whole, *cells in rows
        ]
        return bool(sums) and all(whole == added for whole, added in sums)

    def _naming(self, known: Mapping[str, Decimal | None]) -> str:
        """The column of which half or more are these numbers."""
        shares = {name: share(cells, lambda cell: _key(cell) in known) for name, cells in self._cells.items()}
        best = max(shares, key=lambda name: shares[name], default="")
        return best if best and shares[best] >= 0.5 else ""

    def _said(self, ours: str) -> list[str]:
        """The columns whose word may mean this, in the order of the file."""
        return [name for name in self._table.header if ours in meant(name, "bills")]

    def _is_amount(self, name: str) -> bool:
        return share(self._cells[name], lambda cell: bare(cell)[:1] in "-−0123456789" and _has_digit(cell)) > 0.9

    def _amount(self, cell: str) -> Decimal | None:
        try:
            return amount_by(cell, self._sign)
        except Refusal:
            return None


def _key(cell: str) -> str:
    return tidy(cell).casefold()


def _has_digit(cell: str) -> bool:
    return any(map(str.isdigit, cell))


def _is_currency(cell: str) -> bool:
    return len(cell.strip()) == 3 and bool(currency_of(cell.strip().upper()))
