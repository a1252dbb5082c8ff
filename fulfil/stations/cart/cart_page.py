"""The cart's page takes marks: a walk begun and ended, bags filled, a bin that lacks pieces, pieces found elsewhere.

A mark may come late, from a place without a signal: it says how many seconds ago it was made. It is dated then, but not
before its person signed in and not on another day. What the shop answers to a mark's key it answers again.
"""

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

from starlette.responses import JSONResponse, Response

from fulfil.bench.once import once
from fulfil.errors import Refusal, StateRefused
from fulfil.records.bench import StationKind
from fulfil.shop.clock import local_day
from fulfil.stations.cart.cart_view import cart_view
from fulfil.stations.house import House
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.stock.empty_bins import bin_lacks, found_elsewhere
from fulfil.store.shop import Shop
from fulfil.walks.times import BEGUN, ENDED, say_walk
from fulfil.walks.under_way.picking import mark_filled, must_be_in_hands

_VERBS = ("begin WALK, end WALK, filled BAG, not-filled BAG, lacks BIN PIECES, found BIN PIECES in place of BIN; "
          "open the page again")  # fmt: skip
_LONGEST_S = 12 * 3600


@worked_at(StationKind.CART)
def show(house: House, visit: Visit) -> Response:
    """The walk in hand, or those that wait."""
    return _page(house, visit)


@worked_at(StationKind.CART)
def take(house: House, visit: Visit) -> Response:
    """One mark; to the page's script the answer, else the page with it."""
    assert visit.station is not None  # noqa: S101
    assert visit.worker is not None  # noqa: S101
    line, key, walk = (visit.form.get(name, "").strip() for name in ("line", "key", "walk"))
    line = _with_field(line, visit)
    who = visit.form.get("who", "") or visit.worker.name
    try:
        if who != visit.worker.name:
            raise StateRefused("send what was marked by", who, f"{who} signed in; {visit.worker.name} is")
        answer, _ = once(
            house.shop,
            visit.station.name,
            key,
            f"{walk}\n{line}",
            lambda shop: json.dumps(_done(house, shop, visit, walk, line)),
            at=visit.at,
            person=visit.worker.name,
        )
        told: dict[str, Any] = (
            json.loads(answer) if answer else {"done": True, "says": ["That was done already."], "anew": True}
        )
    except Refusal as refusal:
        told = {"done": False, "says": [str(refusal)], "anew": True}
    if visit.is_part:
        return JSONResponse(told)
    return _page(house, visit, tuple(told["says"]), is_refused=not told["done"])


def _with_field(line: str, visit: Visit) -> str:
    """Without script a button says which fields beside it are meant."""
    names = [word[1:] for word in line.split() if word.startswith("$")]
    for name in names:
        line = line.replace(f"${name}", visit.form.get(name, "").strip())
    return line


def _done(house: House, shop: Shop, visit: Visit, walk: str, line: str) -> dict[str, object]:
    """Does what a mark says; what it comes to, and whether the walk must be fetched anew."""
    assert visit.worker is not None  # noqa: S101
    at, person = _made_at(house, visit), visit.worker.name
    verb, _, about = line.partition(" ")
    if verb in ("filled", "not-filled"):
        mark_filled(shop, about, is_filled=verb == "filled", at=at, person=person)
        return {"done": True, "says": [], "anew": False}
    if verb in ("begin", "end"):
        with house.shop.reading() as books:
            if verb == "end":
                must_be_in_hands(books, about, person, "end what is")
        say_walk(shop, about, BEGUN if verb == "begin" else ENDED, at=at, person=person)
        says = [] if verb == "begin" else [f"Walk {about} has ended; its cart is at the bench."]
        return {"done": True, "says": says, "anew": True}
    day = _day(house, at)
    with house.shop.reading() as books:
        must_be_in_hands(books, walk, person, f"say '{verb}' of a bin")
    code, pieces = _pieces(about.partition(" in place of ")[0])
    steps: dict[str, Callable[[], tuple[str, ...]]] = {
        "lacks": lambda: bin_lacks(shop, code, pieces, day=day, at=at, person=person).tells,
        "found": lambda: (
            found_elsewhere(
                shop, code, pieces, instead_of=about.partition(" in place of ")[2], day=day, at=at, person=person
            ).tells
        ),
    }
    if verb not in steps:
        raise StateRefused("do", line[:60], _VERBS)
    return {"done": True, "says": list(steps[verb]()), "anew": True}


def _pieces(said: str) -> tuple[str, int]:
    """A bin's code and the pieces said after it."""
    code, _, pieces = said.strip().rpartition(" ")
    if not code or not (pieces.isascii() and pieces.isdigit() and len(pieces) <= 6):
        raise StateRefused("read pieces and bin of", said[:60], "a bin and a whole number, 0 or more")
    return code, int(pieces)


def _made_at(house: House, visit: Visit) -> datetime:
    """When a mark was made: not before its person signed in, and on this day."""
    late = visit.form.get("late_s", "0")
    seconds = int(late) if late.isascii() and late.isdigit() and len(late) < 7 else 0
    made = visit.at - timedelta(seconds=min(seconds, _LONGEST_S))
    since = None if visit.station is None else visit.station.signed_in_at
    made = made if since is None else max(made, since)
    return made if _day(house, made) == _day(house, visit.at) else visit.at


def _day(house: House, at: datetime) -> date:
    with house.shop.reading() as books:
        return local_day(at, books.settings())


def _page(house: House, visit: Visit, says: tuple[str, ...] = (), *, is_refused: bool = False) -> Response:
    assert visit.worker is not None  # noqa: S101
    with house.shop.reading() as books:
        view = cart_view(books, visit.worker.name, says=says, is_refused=is_refused)
    return shown("cart.html", visit, view=view, key=house.fresh())
