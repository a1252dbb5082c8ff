"""What can happen in the shop, as the journal knows it: a closed list, each with the particulars that it may carry.

Nobody reads a fact out of the journal's text: who asks for an event asks by its type, and a figure that is needed
again stands in a record of its own. What an older release wrote under another name stays readable as text.

>>> Happening("walk begun") is Happening.WALK_BEGUN
True
>>> Happening.JOB_MADE.check({"part": "GEAR-12", "pieces": "many"})
Traceback (most recent call last):
    ...
TypeError: 'job made' takes pieces as int, got 'many'
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any, Self

_LISTED = (list, tuple)
_MASS = (str, Decimal, int)
_FROM_TO = {"from": str, "to": str, "reason": str}
_STOCK = {"before": int, "after": int, "why": str}
_AT_BENCH = {"bench": str}
_VERDICT = {"verdict": str, "reason": str, "causes": _LISTED}
_PACKAGE = _VERDICT | {"findings": _LISTED, "photo": str, "bags_counted": int}
_BOXES = {"fewest": int, "cost_minor": int, "least_cost_minor": int, "is_proven": bool}
_COUNTED = {"book": int, "counted": int, "booked": int, "reason": str}
_BY_WEIGHT = {"pieces": int, "lower": int, "upper": int, "net_g": float, "booked": int}
ANY = "any"
"""Marks an event whose particulars are the columns of a record."""


class Happening(StrEnum):
    """One kind of event; its value is the word in the journal, ``particulars`` the names and types that it takes."""

    particulars: Mapping[str, Any]

    def __new__(cls, said: str, particulars: Mapping[str, Any] | None = None) -> Self:
        """A kind with its word and its particulars."""
        one = str.__new__(cls, said)
        one._value_ = said
        one.particulars = particulars or {}
        return one

    ORDER_RECEIVED = "order received", {"lines": int, "pieces": int, "source": str, "claim": str}
    ORDER_CHANGED = (
        "order changed",
        {"address": _LISTED, "service": _LISTED, "notes": _LISTED, "lines": dict, "reason": str},
    )
    ORDER_HELD = "order held", _FROM_TO
    ORDER_RESUMED = "order resumed", _FROM_TO
    ORDER_CANCELLED = "order cancelled", _FROM_TO
    ORDER_REST_CANCELLED = "order shipped", _FROM_TO
    ORDER_RUSHED = "order rushed", {"walks": _LISTED, "onto": str}
    ORDER_TAKEN = "order taken", _AT_BENCH
    ORDER_LET_GO = "order let go", _AT_BENCH
    ORDER_FREED = "order freed", {"benches": _LISTED, "reason": str}
    ORDERS_COMBINED = "orders combined", {"from": _LISTED, "lines": int}
    NUMBERS_ISSUED = "numbers issued", {"numbers": _LISTED}
    RETURN_MATCHED = "return matched", {"by": _LISTED, "pieces": int}

    WALKS_PLANNED = "walks planned", {"walks": int, "bags": int, "length_mm": int, "seed": int}
    PLAN_BOUNDED = "plan bounded", {"bound_mm": int, "closed": bool}
    WALK_RELEASED = "walk released", {"orders": _LISTED}
    WALK_BEGUN = "walk begun"
    WALK_HANDED_OVER = "walk handed over", {"from": str, "by": str}
    WALK_ENDED = "walk ended"
    WALK_SPLIT = "walk split", {"from": str, "after_stop": int, "bags": _LISTED}
    WALK_PICKED = "walk picked"
    WALK_AT_BENCH = "walk at bench", _AT_BENCH
    BAG_FILLED = "bag filled", {"walk": str, "bin": str}
    BAG_NOT_FILLED = "bag not filled", {"walk": str, "bin": str}
    SIGNED_IN = "signed in", _AT_BENCH
    SIGNED_OUT = "signed out", _AT_BENCH
    SIGN_IN_REFUSED = "sign-in refused", _AT_BENCH
    PERSON_ADDED = "person added", {"roles": str}
    PERSON_CHANGED = "person changed", {"roles": str, "new_pin": bool}
    PERSON_RETIRED = "person retired"
    STATION_ADDED = "station added", {"kind": str}
    STATION_PAIRED = "station paired"
    STATION_RETIRED = "station retired"

    BAG_CHECKED = "bag checked", _VERDICT
    CHECK_UNDONE = "check undone", {"was": str}
    BAG_PULLED = "bag pulled", {"order": str, "pieces": int, "was": str, "reason": str}
    BAG_PUT_BACK = "bag put back", {"bin": str, "pieces": int, "pulled": int}
    BAG_LEFT_EMPTY = "bag left empty", {"order": str, "bin": str, "pieces": int, "walk": str}
    BAG_TWICE = "bag there twice", {"order": str, "pieces": int}
    BAG_PUT_ASIDE = "bag put aside"
    BAG_BOXED = "bag boxed"
    BAG_UNBOXED = "bag unboxed"

    BOXES_CHOSEN = "boxes chosen", {"packages": _LISTED, "fill": _LISTED, **_BOXES}
    BOXES_UNDONE = "boxes undone", {"packages": _LISTED}
    EMPTY_BOX_WEIGHED = "empty box weighed", {"weight_g": _MASS, "scale": str, "says": str, "reason": str}
    EMPTY_BOX_FORGOTTEN = "empty box's weight taken back", {"weight_g": _MASS}
    PACKAGE_SEALED = "package sealed", _PACKAGE
    PACKAGE_WEIGHED = "package weighed", _PACKAGE
    PACKAGE_REOPENED = "package reopened", {"reason": str, "weighed": _MASS}
    PACKAGE_VOIDED = "package voided", {"manifest": str, "replaced_by": str, "reason": str}
    PACKAGE_CAME_BACK = "package came back", {"reason": str, "bags": _LISTED, "manifest": str}
    PAPERS_PRINTED = "papers printed", {"orders": _LISTED, "packages": int}
    PAPERS_WAIVED = "customs papers waived", {"packages": _LISTED, "reason": str}
    CARRIER_NUMBERS_NOTED = "carrier's numbers noted", {"numbers": dict, "source": str}
    PARTICULARS_NOTED = (
        "customs particulars noted",
        {"line": int, "category": str, "importer_reference": str, "sender_reference": str, "comment": str},
    )
    HAZARDS_REVIEWED = "hazards reviewed", {"hazards": _LISTED, "reason": str}
    MANIFEST_OPENED = "manifest opened"
    MANIFEST_CLOSED = "manifest closed", {"packages": int, "weight_g": _MASS}
    BILL_TAKEN_IN = "bill taken in", {"lines": int, "file": str}
    DIFFERENCE_SETTLED = "difference settled", {"outcome": str, "says": str, "reason": str, "money": str}
    CLOSING_AGREED = "closing agreed", {"with": str}
    DAY_CLOSED = "day closed", {ANY: object}

    CLAIM_RECEIVED = "claim received", {"order": str, "line": int, "cause": str, "pieces": int}
    CLAIM_SETTLED = "claim settled", {"answer": str}
    CLAIM_OPEN_AGAIN = "claim open again", {"order": str, "reason": str}
    PIECES_RETURNED = "pieces returned", {"order": str, "part": str, "pieces": int, "outcome": str, "reason": str}

    JOB_MADE = "job made", {"part": str, "pieces": int, "reason": str}
    JOB_BOOKED_IN = "job booked in", {"pieces": int, "bin": str, "counted": str, "gross_g": _MASS, "scale": str}
    JOB_CLOSED = "job closed", {"reason": str}
    STOCK_COUNTED = "stock counted", _STOCK
    STOCK_ADJUSTED = "stock adjusted", _STOCK
    STOCK_RECEIVED = "stock received", _STOCK
    STOCK_REJECTED = "stock rejected", _STOCK
    STOCK_MOVED = "stock moved", {"to": str, "pieces": int, "why": str}
    BIN_COUNTED = "bin counted", _COUNTED | _BY_WEIGHT
    GOODS_IN = "goods in", _BY_WEIGHT
    NO_WHOLE_NUMBER = "no whole number", _BY_WEIGHT
    BIN_LACKS_PIECES = "bin lacks pieces", {"holds": int, "level": int, "was": int, "empty": _LISTED}

    PART_ADDED = "part added", {ANY: object}
    PART_CHANGED = "part changed", {ANY: object}
    BIN_ADDED = "bin added", {ANY: object}
    BIN_CHANGED = "bin changed", {ANY: object}
    BIN_RETIRED = "bin retired", {ANY: object}
    SERVICE_ADDED = "service added", {ANY: object}
    SERVICE_TERMS_CHANGED = "service terms changed", {ANY: object}
    PRINTER_SET = "printer set", {ANY: object}
    PRINTER_RETIRED = "printer retired"
    SCALE_ADDED = "scale added", {ANY: object}
    SCALE_CHANGED = "scale changed", {ANY: object}
    CATALOGUE_IMPORTED = "catalogue imported", {ANY: object}
    KITS_IMPORTED = "kits imported", {"kits": _LISTED}
    KIT_SET = "kit set", {"parts": dict}
    MAPPING_KEPT = "mapping kept"
    COUNTRY_EXPLAINED = "country explained", {"country": str, "said": str}
    CUSTOMERS_FORGOTTEN = "customers forgotten", {"orders": int, "returns": int, "before": date}
    SDR_RATE_ENTERED = "SDR rate entered", {"per_sdr": _MASS, "source": str}
    RANGE_GIVEN = "range given", {ANY: object}

    PART_SAMPLED = "part sampled", {ANY: object}
    SAMPLE_SET_ASIDE = "sample set aside", {ANY: object}
    UNIT_WEIGHTS_LEARNED = (
        "unit weights learned",
        {"weighings": int, "left_out": int, "unit_weights": int, "alarms": _LISTED},
    )
    SCALE_ALARM_ACTED_ON = "scale alarm acted on", {"since": str, "reason": str}
    GOODS_ALARM_ACTED_ON = "goods alarm acted on", {"kind": str, "lot": str, "since": str, "reason": str}
    SCALE_CHECKED = "scale checked", {"verdict": str, "reasons": _LISTED, "worst_share": float}

    def check(self, given: Mapping[str, object]) -> None:
        """Refuses particulars that this kind does not take.

        Raises:
            TypeError: a name is none of its own, or a value is of another type; None stands for what isn't known.
        """
        if ANY in self.particulars:
            return
        for name, value in given.items():
            kind = self.particulars.get(name)
            if kind is None:
                raise TypeError(f"'{self}' takes {', '.join(self.particulars) or 'no particulars'}, got {name!r}")
            kinds = kind if isinstance(kind, tuple) else (kind,)
            if value is not None and not isinstance(value, (*kinds, int) if float in kinds else kinds):
                wanted = " or ".join(one.__name__ for one in kinds)
                raise TypeError(f"'{self}' takes {name} as {wanted}, got {value!r}")
