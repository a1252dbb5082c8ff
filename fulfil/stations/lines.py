"""A line for a bench, from a page: done once, refused where the page was of another moment, answered in the same words.

A page says what it showed in hand. What was meant for one bag or package is not taken for another, whoever was
faster: another tablet, or a page that somebody went back to.
"""

import json
from collections.abc import Callable
from dataclasses import asdict, replace

from fulfil.bench.check_station import CheckBench
from fulfil.bench.once import once
from fulfil.checking.entry import Card, EntryKind, read_entry
from fulfil.checking.saying import Say, Sound, refused, said
from fulfil.errors import Refusal
from fulfil.stations.house import AtWork, BenchT, House
from fulfil.stations.visit import Visit
from fulfil.store.shop import Shop


def take_line(
    house: House, visit: Visit, at_work: AtWork[BenchT], in_hand: Callable[[], str], *, takes_badge: bool = False
) -> None:
    """Has the bench work on the line that was posted; what it says is in ``at_work`` then.

    ``in_hand`` names what the bench has in hand; ``takes_badge`` where a badge is asked for just now. The caller holds
    the bench's lock.
    """
    station = "" if visit.station is None else visit.station.name
    worker = "" if visit.worker is None else visit.worker.name
    line, shown, key = (visit.form.get(name, "") for name in ("line", "bag", "key"))
    if visit.form.get("as") == "count" and line.strip().isdecimal():
        line = f"#{line.strip()}"

    def do(shop: Shop) -> str:
        at_work.say = _against(line, shown, in_hand(), worker, takes_badge) or _enter(
            at_work, shop, line, worker, visit
        )
        return json.dumps(asdict(at_work.say))

    def known() -> str:
        return "" if at_work.bench.said is None else json.dumps(asdict(at_work.bench.said))

    house.catch_up(at_work)
    before = at_work.say
    try:
        asked = f"{shown}\n{line}"
        answer, was_done = once(house.shop, station, key, asked, do, at=visit.at, person=worker, known=known)
    except Refusal as refusal:
        answer, was_done = json.dumps(asdict(refused(str(refusal)))), True
    if was_done:
        at_work.say = _said(answer)
        if at_work.say != before:
            _forget_drawing(at_work)
    house.moved(at_work)


def _against(line: str, shown: str, in_hand: str, worker: str, takes_badge: bool) -> Say | None:
    """Why the line is not for the bench at this moment."""
    entry = read_entry(line)
    if shown != in_hand:
        now = f"{in_hand} is in hand now." if in_hand else "Nothing is in hand now."
        return refused(f"That was for {shown or 'an empty bench'}: nothing was done. {now}")
    if entry.card is Card.LEAVE:
        return refused("Sign out at the top of the page; what is in hand stays in hand.")
    if entry.kind is EntryKind.BADGE and not takes_badge:
        return refused(f"{worker} is signed in here. Sign out first; then {entry.text} signs in with badge and PIN.")
    return None


def _enter(at_work: AtWork[BenchT], shop: Shop, line: str, worker: str, visit: Visit) -> Say:
    bench = at_work.bench
    bench.shop = shop
    if bench.state.person != worker:
        bench.state = replace(bench.state, person=worker)
    return bench.enter(line, at=visit.at, now_s=visit.at.timestamp())


def _said(answer: str) -> Say:
    """The first answer again; one that was lost is told as done."""
    if not answer:
        return said("That was done already. Here is where the bench stands.")
    told = json.loads(answer)
    return Say(Sound(told["sound"]), told["headline"], tuple(told["lines"]), told["big"])


def _forget_drawing(at_work: AtWork[BenchT]) -> None:
    """What was judged last is drawn only beside its own words."""
    if isinstance(at_work.bench, CheckBench):
        at_work.bench.judged = None
