r"""How a carrier's bill is read: which column is what, and what its words mean; a file of ``setting,value`` rows.

>>> given = b'setting,value\npackage_column,No\ncharge_column,Net\ncurrency,EUR\nseparator,tab\nkind_column,What\n'
>>> mapping = read_mapping(given + b'kind BASE,price\nkind DIESEL,fuel surcharge\n', "map.csv")
>>> mapping.separator, mapping.surcharge_kinds
('\t', ('fuel surcharge',))
"""

import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from decimal import ROUND_CEILING, Decimal

from fulfil.errors import FileRefused
from fulfil.files.bill_rows import CREDIT, NOT_COMPARED, PRICE, SKIP
from fulfil.files.rows.csv_rows import read_rows
from fulfil.quantities import parse_decimal
from fulfil.standards import iso4217

GRAMS = {"g": Decimal(1), "kg": Decimal(1000), "lb": Decimal("453.59237"), "oz": Decimal("28.349523125")}
"""Grams in a unit; the pound is exact (International yard and pound agreement, 1959)."""

SETTINGS = (
    "package_column", "charge_column", "weight_column", "weight_unit", "currency", "currency_column",
    "service_column", "tracking_column", "charge_is_total", "decimal_sign", "separator", "encoding",
    "kind_column", "weight_step",
)  # fmt: skip
_SERVICE_WORD = re.compile(r"service (.+)")
_SURCHARGE = re.compile(r"surcharge (.+)")
_KIND = re.compile(r"kind (.+)")
_SKIP = re.compile(r"skip (.+)")
_SEPARATORS = {"tab": "\t", "semicolon": ";", "comma": ",", "bar": "|"}


@dataclass(frozen=True)
class BillMapping:
    """Which column is what.

    ``services`` turns the carrier's word for a service into the shop's code, ``surcharges`` the shop's name of a
    surcharge into the carrier's column, ``kinds`` the carrier's word for a charge into what it is; ``skips`` are words
    of rows that are passed over. ``weight_step`` is in ``weight_unit``. ``tracking_column`` has the carrier's own
    number of the package.
    """

    package_column: str
    charge_column: str
    currency: str = ""
    currency_column: str = ""
    weight_column: str = ""
    weight_unit: str = "g"
    service_column: str = ""
    tracking_column: str = ""
    services: Mapping[str, str] = field(default_factory=dict)
    surcharges: Mapping[str, str] = field(default_factory=dict)
    charge_is_total: str = "no"
    decimal_sign: str = ""
    separator: str = ""
    encoding: str = ""
    kind_column: str = ""
    kinds: Mapping[str, str] = field(default_factory=dict)
    skips: frozenset[str] = frozenset()
    weight_step: str = ""

    @property
    def surcharge_kinds(self) -> tuple[str, ...]:
        """The surcharges that have kinds of their own, by name."""
        known = (PRICE, CREDIT, SKIP, *NOT_COMPARED)
        return tuple(sorted({meaning for meaning in self.kinds.values() if meaning not in known}))

    @property
    def step_g(self) -> Decimal | None:
        """The step of weights that is named, in grams."""
        step = parse_decimal(self.weight_step, "a weight step") if self.weight_step else None
        return None if step is None else (step * GRAMS[self.weight_unit]).quantize(Decimal("0.001"), ROUND_CEILING)

    def __post_init__(self) -> None:
        for name, value, is_right, expected in (
            ("package_column", self.package_column, bool(self.package_column), "the header of the package's number"),
            ("charge_column", self.charge_column, bool(self.charge_column), "the header of the charge"),
            ("weight_unit", self.weight_unit, self.weight_unit in GRAMS, f"one of {', '.join(GRAMS)}"),
            ("charge_is_total", self.charge_is_total, self.charge_is_total in ("yes", "no"), "yes or no"),
            ("decimal_sign", self.decimal_sign, self.decimal_sign in ("", ".", ","), "'.' or ','"),
            ("separator", self.separator, len(self.separator) <= 1, f"one sign, or {', '.join(_SEPARATORS)}"),
            (
                "kind_column",
                self.kind_column,
                bool(self.kind_column) == bool(self.kinds),
                "a column, and what each kind is (kind WORD)",
            ),
            (
                "currency",
                self.currency,
                bool(self.currency or self.currency_column),
                "one such as EUR, or currency_column",
            ),
        ):
            if not is_right:
                raise FileRefused(f"use the mapping's {name}", value, expected)
        if self.currency:
            iso4217.validate(self.currency)

    def to_json(self) -> str:
        """The mapping as the shop keeps it; settings that say nothing are left out."""
        said = asdict(self) | {"skips": sorted(self.skips)}
        return json.dumps({name: value for name, value in said.items() if value}, ensure_ascii=False)

    @classmethod
    def from_json(cls, text: str) -> "BillMapping":
        """The mapping of :meth:`to_json`.

        >>> mapping = BillMapping("No", "Net", "EUR", services={"std": "ROAD"}, skips=frozenset({"total"}))
        >>> BillMapping.from_json(mapping.to_json()) == mapping
        True
        """
        said = json.loads(text)
        return cls(**said | {"skips": frozenset(said.get("skips", ()))})


def read_mapping(raw: bytes, source: str) -> BillMapping:
    """The mapping in a file of ``setting,value`` rows.

    ``service THEIR WORD`` rows give the shop's service code, ``surcharge OUR NAME`` rows the carrier's column, ``kind
    THEIR WORD`` rows what a kind of charge is, ``skip WORD`` rows what is passed over.

    Raises:
        FileRefused: no such file of settings, or a setting that doesn't exist or can't be.
    """
    read = read_rows(raw, source, needed=("setting", "value"), optional=())
    if read.findings:
        raise FileRefused("read the mapping", source, f"a first line 'setting,value' and settings; {read.findings[0]}")
    values: dict[str, str] = {}
    services: dict[str, str] = {}
    surcharges: dict[str, str] = {}
    kinds: dict[str, str] = {}
    skips: set[str] = set()
    for row in read.rows:
        name, value = row.cells["setting"], row.cells["value"]
        word = _SERVICE_WORD.fullmatch(name)
        if word:
            services[word[1].casefold()] = value
        elif surcharge := _SURCHARGE.fullmatch(name):
            surcharges[surcharge[1]] = value
        elif kind := _KIND.fullmatch(name):
            kinds[kind[1].casefold()] = value
        elif skip := _SKIP.fullmatch(name):
            skips.add(skip[1].casefold())
        elif name == "separator":
            values[name] = _SEPARATORS.get(value.casefold(), value)
        elif name in SETTINGS:
            values[name] = value
        else:
            expected = f"one of {', '.join(SETTINGS)}, 'service WORD', 'surcharge NAME', 'kind WORD' or 'skip WORD'"
            raise FileRefused("use the mapping's setting", name, expected)
    if missing := [name for name in ("package_column", "charge_column") if not values.get(name)]:
        raise FileRefused("use the mapping", source, f"a value for {', '.join(missing)}")
    return BillMapping(**values, services=services, surcharges=surcharges, kinds=kinds, skips=frozenset(skips))
